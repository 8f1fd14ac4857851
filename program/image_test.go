package program

import (
	"bytes"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

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

// genRoutine draws a routine for n slots that a decoder accepts.
func genRoutine(t *rapid.T, n int, label string) *Routine {
	var c Coder
	var body func(depth, shift, ops int)
	body = func(depth, shift, ops int) {
		for range ops {
			switch k := rapid.IntRange(0, 9).Draw(t, label+" op"); {
			case k < 2:
				c.Over(rapid.IntRange(0, 255).Draw(t, "over"))
			case k < 5:
				if top := min(n-1-shift, maxFadeSlot); top >= 0 {
					c.Fade(rapid.IntRange(0, top).Draw(t, "slot"), rapid.Uint8().Draw(t, "level"))
				}
			case k < 6:
				if top := n - shift; top > 0 {
					span := rapid.IntRange(1, min(top, 20)).Draw(t, "span")
					c.Span(rapid.IntRange(0, top-span).Draw(t, "from"), span, rapid.Uint8().Draw(t, "level"))
				}
			case k < 8 || depth == MaxLoopDepth:
				c.Wait(rapid.IntRange(1, 400).Draw(t, "wait"))
			default:
				passes := rapid.IntRange(2, 5).Draw(t, "passes")
				step := rapid.IntRange(0, 3).Draw(t, "step")
				c.Loop(passes, step)
				c.Wait(rapid.IntRange(1, 30).Draw(t, "wait in loop"))
				body(depth+1, shift+step*(passes-1), 3)
				c.Close()
			}
		}
	}
	body(0, 0, rapid.IntRange(0, 8).Draw(t, "length"))
	if rapid.Bool().Draw(t, "again") {
		c.Wait(1)
		r, err := c.Again()
		if err != nil {
			t.Skip(err)
		}
		return r
	}
	r, err := c.End()
	if err != nil {
		t.Skip(err)
	}
	return r
}

// genProgram draws a program that a decoder accepts.
func genProgram() *rapid.Generator[*Program] {
	return rapid.Custom(func(t *rapid.T) *Program {
		p := &Program{
			Kit: rapid.Uint32().Draw(t, "kit"), Lamp: rapid.Uint16().Draw(t, "lamp"),
			Side: Side(rapid.IntRange(0, 2).Draw(t, "side")), Link: LinkRole(rapid.IntRange(0, 2).Draw(t, "link")),
			Registers: rapid.IntRange(1, 8).Draw(t, "registers"),
		}
		for i := range p.PacerInput {
			if b := rapid.IntRange(-1, 7).Draw(t, "pacer"); b >= 0 {
				p.PacerInput[i] = 1 << b
			}
		}
		if p.Walk = rapid.IntRange(0, 9).Draw(t, "walk") == 0; p.Walk {
			return p
		}
		signals, moving, fades := rapid.IntRange(0, 6).Draw(t, "signals"), 0, 0
		for i := range rapid.IntRange(1, MaxLayers).Draw(t, "layers") {
			l := genLayer(t, p, i >= signals, moving < MaxMoving, MaxFades-fades)
			if l.Still == nil {
				moving++
				fades += len(l.Slots)
			}
			p.Layers = append(p.Layers, l)
		}
		p.Arrange()
		return p
	})
}

func genLayer(t *rapid.T, p *Program, show, mayMove bool, fades int) Layer {
	outs := rapid.Permutation(upTo(8*p.Registers)).Draw(t, "outputs")
	n := rapid.IntRange(1, len(outs)).Draw(t, "slots")
	l := Layer{
		Show: show, Pace: -1, InputMask: uint8(rapid.IntRange(1, 255).Draw(t, "inputs")), Slots: outs[:n:n],
		Window: rapid.Uint16().Draw(t, "window"), Keep: rapid.Uint16Range(0, 300).Draw(t, "keep"),
	}
	if show {
		l.Limit = rapid.Uint16().Draw(t, "limit")
		l.Ends = rapid.Bool().Draw(t, "ends")
	}
	if !mayMove || n > fades || rapid.Bool().Draw(t, "still") {
		l.Still = rapid.SliceOfN(rapid.Uint8(), n, n).Draw(t, "levels")
		if !show && rapid.Bool().Draw(t, "fast") {
			l.Fast, l.Still = true, fullLevels(n)
		}
		return l
	}
	l.Stay = genRoutine(t, n, "stay")
	if rapid.Bool().Draw(t, "arrives") {
		l.Arrive = genRoutine(t, n, "arrive")
	}
	if rapid.Bool().Draw(t, "leaves") {
		l.Leave = genRoutine(t, n, "leave")
	}
	l.Linked = show && l.Stay.Loops && l.Stay.Ticks >= linkMinTicks
	if k := rapid.IntRange(0, 1).Draw(t, "pacer number"); !show && l.Arrive != nil && p.PacerInput[k] != 0 {
		l.Pace, l.InputMask = k, p.PacerInput[k]
	}
	return l
}

func upTo(n int) []uint8 {
	b := make([]uint8, n)
	for i := range b {
		b[i] = uint8(i)
	}
	return b
}

func TestImageRoundTrip(t *testing.T) {
	programs, layers := genProgram(), 0
	rapid.Check(t, func(t *rapid.T) {
		p := programs.Draw(t, "program")
		image, err := Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		q, err := Decode(image)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(p, q) {
			t.Fatalf("decoded %+v, encoded %+v", q, p)
		}
		again, err := Encode(q)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(image, again) {
			t.Fatal("the same program gave two images")
		}
		if plan, _ := accept(image, p.Registers); plan == nil {
			t.Fatal("a core would refuse what the decoder accepts")
		}
		layers += len(p.Layers)
	})
	if layers == 0 {
		t.Error("no program with a layer was drawn")
	}
}

func TestSafeRoundTrip(t *testing.T) {
	for _, s := range []Safe{LastResort(), *safeFor(1), *safeFor(5)} {
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
