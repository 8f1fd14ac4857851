package board

import (
	"testing"

	"lampwright/units"
)

func chain8(t *testing.T) Board {
	t.Helper()
	b, err := Find("chain-8")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Worked by hand: 47 k over 10 k makes 5 V of 28.5 V (docs/image-format.md, section 2), 256 codes.
func TestSupplyByHand(t *testing.T) {
	s := chain8(t).Supply
	for volts, code := range map[units.Voltage]uint8{0: 0, 6.5: 58, 11.8: 105, 13.5: 121, 16: 143, 17: 152, 24: 215, 28.5: 255, 40: 255} {
		if got := s.Code(volts); got != code {
			t.Errorf("%v: code %d, want %d", volts, got, code)
		}
	}
	at, low, high := s.From(152)
	near(t, "152 codes, V", float64(at), 152*28.5/256, 1e-9)
	near(t, "at the least, V", float64(low), (152-1.125)/256*4.9*(46.53+10.1)/10.1, 1e-9)
	near(t, "at the most, V", float64(high), (152+1.125)/256*5.1*(47.47+9.9)/9.9, 1e-9)
}

// Worked by hand for beta 3435 K: at 85 °C exp(3435 · (1/358.15 - 1/298.15)) is 0.1451, at 105 °C 0.08742. Sensors of this class are
// listed with 1451 Ω at 85 °C and 0.974 kΩ at 100 °C (from memory).
func TestHeatByHand(t *testing.T) {
	h := chain8(t).Heat
	near(t, "85 °C, codes", h.Exact(85), 256*1451/11451.0, 0.05)
	near(t, "105 °C, codes", h.Exact(105), 256*874.2/10874.2, 0.05)
	near(t, "100 °C, codes", h.Exact(100), 256*988.0/10988, 0.1)
	if h.Code(25) != 128 || h.Code(85) != 32 || h.Code(-40) < 240 || (HeatSense{}).Code(85) != 255 || (HeatSense{}).Fitted() || !h.Fitted() {
		t.Errorf("codes %d at 25 °C, %d at 85 °C, %d at -40 °C", h.Code(25), h.Code(85), h.Code(-40))
	}
	at, low, high := h.UpTo(int(h.Code(85)))
	if at > 85 || at < 83.5 || low > at-2 || low < at-6 || high < at+2 || high > at+6 {
		t.Errorf("limit of 85 °C: nominal %v, %v to %v", at, low, high)
	}
	near(t, "back from the next code", h.Exact(at), float64(h.Code(85))+1, 1e-9)
}

// The codes of docs/engine.md: 0x79 is 13.5 V; a shorted heat sensor reads 3 or less, which no temperature does that a board survives.
func TestCodesOfTheEnginePage(t *testing.T) {
	for _, b := range All() {
		if got := b.Supply.Code(13.5); got != 0x79 {
			t.Errorf("%s: 13.5 V is code %02x", b.Name, got)
		}
		if got := b.Heat.Code(150); got <= 3 {
			t.Errorf("%s: 150 °C is code %d", b.Name, got)
		}
		if _, _, high := b.Supply.From(int(b.Supply.Code(17))); high >= b.Limits.Survives.Is {
			t.Errorf("%s: 17 V may be %v", b.Name, high)
		}
		if _, low, _ := b.Supply.From(int(b.Supply.Code(17))); low <= b.Limits.HighestSupply.Is {
			t.Errorf("%s: 17 V may be %v", b.Name, low)
		}
		if b.Strap() != (b.Core == CoreChain) {
			t.Errorf("%s: strap %v", b.Name, b.Strap())
		}
	}
}
