package loading

import (
	"bytes"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/proof/loading/model"
)

// rounds is how many random lines are tried: SOAK makes it so many times more.
func rounds(n int) int {
	if soak, err := strconv.Atoi(os.Getenv("SOAK")); err == nil && soak > 0 {
		n *= soak
	}
	return n
}

// spoken is one thing that a stranger says: bytes, and whether a pause or a break comes before it.
type spoken struct {
	says   string
	bytes  []byte
	pause  bool // 10 ms
	break_ bool
}

// stranger draws what somebody says who knows the packets but not the order, and is heard badly.
func stranger(r *rand.Rand, loads bool) spoken {
	s := spoken{pause: r.IntN(3) > 0, break_: r.IntN(12) == 0}
	payload := func(n int) []byte {
		p := make([]byte, n)
		for i := range p {
			p[i] = byte(r.Uint32())
		}
		return p
	}
	page := func() []byte {
		at := []int{0, 0x1F00, 0x1F80, 0x2000, 0x2080, 0x2081, 0x7700, 0x7780, 0x7800, 0x7F80, 0x8000, 0xFF80, 0xA000}[r.IntN(13)]
		return append([]byte{byte(at), byte(at >> 8)}, payload(flash.PageBytes)...)
	}
	var p []byte
	switch x := r.IntN(12); {
	case x == 0:
		s.says, p = "noise", payload(r.IntN(40))
	case x == 1:
		s.says, p = "noise with marks", bytes.ReplaceAll(payload(r.IntN(40)), []byte{1}, []byte{0xA5})
	case x < 5:
		s.says, p = "read", packet(1, byte(r.Uint32()), byte(r.IntN(256)), byte(r.IntN(70)))
	case x == 5:
		s.says, p = "enter, wrong key", packet(2, payload(6)...)
	case x == 6:
		s.says, p = "enter, a key of the wrong length", packet(2, payload(r.IntN(10))...)
	case x == 7:
		s.says, p = "live", packet(3, payload(8*r.IntN(10))...)
	case x == 8:
		s.says, p = "page", packet(4, page()...)
	case x == 9:
		s.says, p = "leave, of the wrong length", packet(5, payload(1+r.IntN(4))...)
	case x == 10:
		s.says, p = "an unknown command", packet(byte(6+r.IntN(250)), payload(r.IntN(135))...)
	default:
		s.says, p = "enter", packet(2, key(kitNumber, lampNumber)...)
		if !loads {
			s.says, p = "enter, nearly", packet(2, key(kitNumber, lampNumber+1)...)
		}
	}
	switch r.IntN(6) {
	case 0:
		if len(p) > 0 {
			s.says += ", one bit wrong"
			p[r.IntN(len(p))] ^= 1 << r.IntN(8)
		}
	case 1:
		s.says += ", cut short"
		p = p[:r.IntN(len(p)+1)]
	}
	s.bytes = p
	return s
}

// A stranger on the line is answered as docs/loading.md says, which is what the model does, and changes no byte that it may not change.
func TestStrangers(t *testing.T) {
	for i, k := range []kind{kinds[0], kinds[2], kinds[1], kinds[2]} {
		loads := i >= 2 // whether the stranger knows the key, so that the loader is tried as well
		t.Run(fmt.Sprintf("%v, knows the key: %v", k, loads), func(t *testing.T) {
			safe, block := k.safe(t, 40, nil)
			image := k.image(t, 300, nil)
			b := k.module(t, safe, image)
			before := b.dump(0, flash.TotalBytes)
			m := model.New(map[bool]byte{true: 1, false: 2}[k.core == "chain"], block, image)
			copy(m.Flash[:], before)
			m.PowerOn()
			r := rand.New(rand.NewPCG(uint64(i), 5))
			for n := range rounds(250) {
				s := stranger(r, loads)
				if s.pause {
					b.run(10 * time.Millisecond)
					m.Gap()
				}
				if s.break_ {
					b.do("break 2000")
					b.run(2100 * time.Microsecond)
					m.Gap()
				}
				var want []byte
				for _, x := range s.bytes {
					want = append(want, m.Take(x)...)
				}
				b.do("send %x", s.bytes)
				// The answer, or a pause in which every packet that was begun is given up.
				got, err := hex.DecodeString(b.do("get %d", (time.Duration(len(s.bytes))*521*time.Microsecond + 60*time.Millisecond).Microseconds()))
				if err != nil {
					t.Fatal(err)
				}
				m.Gap()
				if !bytes.Equal(bytes.TrimLeft(got, "\x00"), want) {
					t.Fatalf("%d: %s (%x): answer %x, want %x; %+v", n, s.says, s.bytes, got, want, b.state())
				}
			}
			if got := b.dump(0, flash.TotalBytes); !bytes.Equal(got, m.Flash[:]) {
				t.Error("the flash is not what the model's is")
			} else if !loads && !bytes.Equal(got, before) {
				t.Error("the flash changed")
			} else if !bytes.Equal(got[:flash.SafeAStart], before[:flash.SafeAStart]) || !bytes.Equal(got[flash.LoaderStart:], before[flash.LoaderStart:]) {
				t.Error("core or loader changed")
			}
			b.run(4 * time.Second) // the loader gives up
			if s := b.sound(); s.overruns != 0 || (s.restarts > 0) != loads {
				t.Errorf("%+v", s)
			}
			if !loads {
				lights(t, b)
			}
		})
	}
}

// The loader gives up three seconds after the last right packet, and not before.
func TestLoaderGivesUp(t *testing.T) {
	for _, k := range kinds[1:] {
		safe, _ := k.safe(t, 40, nil)
		b := k.module(t, safe, k.image(t, 0, nil))
		enter := packet(2, key(kitNumber, lampNumber)...)
		if got := b.ask(enter); !bytes.Contains(got, packet(0x82)) {
			t.Fatalf("%v: %x", k, got)
		}
		b.run(2 * time.Second)
		b.ask(readPacket(0, 1))
		b.run(2300 * time.Millisecond)            // the answer was waited for as well
		b.do("send %x", append(packet(9)[:4], 0)) // whole, but not right
		if s := b.state(); s.restarts != 0 {
			t.Errorf("%v: gave up too early: %+v", k, s)
		}
		b.run(900 * time.Millisecond)
		if s := b.sound(); s.restarts != 1 {
			t.Errorf("%v: did not give up: %+v", k, s)
		}
		b.run(600 * time.Millisecond)
		lights(t, b)
	}
}
