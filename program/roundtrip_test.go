package program_test

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"

	"pgregory.net/rapid"
)

func TestImageRoundTrip(t *testing.T) {
	layers, hands, checks := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		checks++
		p := programtest.Random(t)
		image, err := program.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		q, err := program.Decode(image)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(p, q) {
			t.Fatalf("decoded %+v, encoded %+v", q, p)
		}
		again, err := program.Encode(q)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(image, again) {
			t.Fatal("the same program gave two images")
		}
		safe, err := program.EncodeSafe(programtest.RandomSafe(t, p))
		if err != nil {
			t.Fatal(err)
		}
		for hand := p; hand != nil; hand = hand.Other {
			for _, strap := range []program.Side{program.Centre, program.LH, program.RH} {
				e := program.NewEngine(program.Powering{SafeA: safe[:], SafeB: safe[:], Image: image, Strap: strap})
				e.Frames(100, 0, true)
				if right := !p.SideByStrap || strap == p.Side || p.Other != nil && strap == p.Other.Side; e.Shown().Live != right {
					t.Fatalf("strap %d: the image runs: %t", strap, !right)
				}
			}
			layers += len(hand.Layers)
			hands++
		}
	})
	if layers == 0 || hands == checks {
		t.Error("no program with a layer, or none with both hands was drawn")
	}
}

func TestEncodeLeavesProgramAlone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		p.Other = nil
		for i := range p.Layers {
			p.Layers[i].FirstFade = 0
		}
		before := *p
		before.Layers = append([]program.Layer(nil), p.Layers...)
		if _, err := program.Encode(p); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(&before, p) {
			t.Fatal("encoding changed the program")
		}
	})
}

func TestEqualTablesAreShared(t *testing.T) {
	r, err := program.Assemble([]string{"slots 0 x 4 to 9", "wait 30", "again"})
	if err != nil {
		t.Fatal(err)
	}
	layer := func() program.Layer {
		code := *r
		return program.Layer{Show: true, Pace: -1, InputMask: 1, Slots: []uint8{3, 2, 1, 0}, Stay: &code}
	}
	size := func(n int) int {
		p := &program.Program{Registers: 1}
		for range n {
			p.Layers = append(p.Layers, layer())
		}
		image, err := program.Encode(p)
		if err != nil {
			t.Fatal(err)
		}
		return len(image)
	}
	if one, four := size(1), size(4); four != one+3*32 {
		t.Errorf("three more layers with equal map and routine cost %d bytes, want their entries, 96", four-one)
	}
}

// One image may be refused for several reasons; all are told, in order.
func TestRefusalTellsAll(t *testing.T) {
	p := &program.Program{Registers: 1, Side: 7, Layers: []program.Layer{
		{Name: "tail", Pace: -1, Slots: []uint8{0, 0, 9}, Still: []uint8{1}, Limit: 3},
	}}
	_, err := program.Encode(p)
	faults, ok := err.(program.Faults)
	if !ok {
		t.Fatalf("got %v", err)
	}
	text := faults.Error()
	for _, want := range []string{"side 7", "no input asks", "output 1 twice", "output 10", "1 levels for 3 slots", "a signal with a limit", "layer 1 (tail)"} {
		if !strings.Contains(text, want) {
			t.Errorf("the refusal does not say %q:\n%s", want, text)
		}
	}
	for i := 1; i < len(faults); i++ {
		if faults[i].Offset < faults[i-1].Offset {
			t.Errorf("reasons out of order:\n%s", text)
		}
	}
}

func TestTooLargeImage(t *testing.T) {
	p := &program.Program{Registers: 8}
	for i := range program.MaxMoving {
		var c program.Coder
		for k := range 1000 {
			c.Fade((k*7+i)%4, uint8(k))
			c.Wait(1 + (k+i)%3)
		}
		r, err := c.Again()
		if err != nil {
			t.Fatal(err)
		}
		p.Layers = append(p.Layers, program.Layer{Show: true, Pace: -1, InputMask: 1, Slots: []uint8{0, 1, 2, 3}, Stay: r})
	}
	if _, err := program.Encode(p); err == nil || !strings.Contains(err.Error(), "22400 bytes") {
		t.Errorf("an image of 24 kB: %v", err)
	}
}

func TestListingRoundTrip(t *testing.T) {
	routines := 0
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		for i := range p.Layers {
			for _, r := range []*program.Routine{p.Layers[i].Arrive, p.Layers[i].Stay, p.Layers[i].Leave} {
				if r == nil {
					continue
				}
				lines := program.Disassemble(r, p.Layers[i].Slots)
				back, err := program.Assemble(lines)
				if err != nil {
					t.Fatalf("%v\n%s", err, strings.Join(lines, "\n"))
				}
				if !reflect.DeepEqual(r, back) {
					t.Fatalf("assembled %+v, listed %+v\n%s", back, r, strings.Join(lines, "\n"))
				}
				routines++
			}
		}
	})
	if routines == 0 {
		t.Error("no routine was drawn")
	}
}

func TestListing(t *testing.T) {
	lines := []string{"over 30", "loop 3 shift 1", "slot 0 to 255", "wait 10", "close", "over 20 wide", "slots 0 x 3 to 0", "wait 100", "again"}
	r, err := program.Assemble(lines)
	if err != nil {
		t.Fatal(err)
	}
	want := strings.TrimPrefix(`
      0 ms  over 30                              ; 120 ms
      0 ms  loop 3 shift 1
      0 ms    slot 0 to 255                      ; output 12
      0 ms    wait 10                            ; 40 ms
    120 ms  close
    120 ms  over 20 wide                         ; 80 ms
    120 ms  slots 0 x 3 to 0                     ; output 12 to output 10
    120 ms  wait 100                             ; 400 ms
    520 ms  again`, "\n")
	if got := strings.Join(program.Disassemble(r, []uint8{11, 10, 9}), "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if r.Ticks != 130 || !r.Loops {
		t.Errorf("%d ticks, begins again %t; want 130, true", r.Ticks, r.Loops)
	}
}

func TestAssembleTellsMistakes(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{"slot 64 to 1", "64"}, {"slots 0 x 65 to 1", "65"}, {"wait 0", "0"}, {"wait 320", "320"}, {"over 256", "256"},
		{"loop 1 shift 0", "1"}, {"loop 2 shift 200", "200"}, {"jump 3", "no operation"}, {"slot x to 1", "no operation"}, {"close", "not begun"},
	} {
		_, err := program.Assemble([]string{c.line, "wait 1", "end"})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: %v, expected a word of %q", c.line, err, c.want)
		}
	}
}
