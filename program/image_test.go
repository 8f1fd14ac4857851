package program

import "testing"

// The published check value of CRC-16 with polynomial 1021, initial FFFF, no reflection (known as CRC-16/CCITT-FALSE and
// CRC-16/IBM-3740) in the Catalogue of parametrised CRC algorithms by G. Cook: check("123456789") = 0x29B1.
func TestCRCCheckValue(t *testing.T) {
	if got := CRC([]byte("123456789")); got != 0x29B1 {
		t.Errorf("CRC of 123456789 is %04x, published: 29b1", got)
	}
	if got := CRC(appendCRC([]byte("123456789"))); got != 0 {
		t.Errorf("CRC of data with its check is %04x, want 0", got)
	}
}

func upTo(n int) []uint8 {
	b := make([]uint8, n)
	for i := range b {
		b[i] = uint8(i)
	}
	return b
}

func TestSafeRoundTrip(t *testing.T) {
	full := *safeFor(3)
	full.StopTurn[1] = StopTurn{Used: true, Wire: 7, Reference: 0, Turn: 6}
	full.Over, full.TurnWaits = 200, true
	for _, s := range []Safe{LastResort(), *safeFor(1), *safeFor(5), full} {
		b, err := EncodeSafe(&s)
		if err != nil {
			t.Fatal(err)
		}
		q, err := DecodeSafe(b[:])
		if err != nil {
			t.Fatal(err)
		}
		if *q != s {
			t.Errorf("decoded %+v, encoded %+v", *q, s)
		}
	}
}
