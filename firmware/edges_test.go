package firmware

import (
	"bytes"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// oneLayer gives a module of one register with one layer on in1, and filters of one refresh.
func oneLayer(t rapid.TB, l program.Layer) *vector.Vector {
	p := &program.Program{Registers: 1, PacerInput: [2]uint8{1}, Layers: []program.Layer{l}}
	s := program.LastResort()
	s.Registers, s.Stop, s.StopOut = 1, 0, [8]uint8{}
	for i := range s.On {
		s.On[i], s.Off[i] = 1, 1
	}
	return moduleFor(t, p, &s)
}

func routine(t rapid.TB, c *program.Coder) *program.Routine {
	r, err := c.End()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return r
}

// flashed gives a module with a paced layer whose every tick shows, under a flasher with such on-times, in refreshes.
func flashed(t rapid.TB, onTimes ...int) *vector.Vector {
	var arrive, stay program.Coder
	for i := range 60 {
		arrive.Fade(0, uint8(4*i))
		arrive.Wait(1)
	}
	stay.Fade(0, 255)
	v := oneLayer(t, program.Layer{Pace: 0, InputMask: 1, Slots: []uint8{0}, Arrive: routine(t, &arrive), Stay: routine(t, &stay)})
	v.Runs = []vector.Run{{Refreshes: 100, Link: true}}
	for _, on := range onTimes {
		v.Runs = append(v.Runs, vector.Run{Refreshes: on, In: 1, Link: true}, vector.Run{Refreshes: 60, Link: true})
	}
	return v
}

// TestPaceEdges learns from on-times that lie on, and next to, every border of the pace's rules.
func TestPaceEdges(t *testing.T) {
	t.Run("odd ones that just agree", func(t *testing.T) {
		sameLight(t, flashed(t, 800, 800, 800, 1000, 1125, 1125, 800, 800))
		sameLight(t, flashed(t, 800, 800, 800, 1000, 1126, 1126, 800, 800))
		sameLight(t, flashed(t, 1600, 1600, 1600, 1000, 875, 875, 800, 800))
		sameLight(t, flashed(t, 1600, 1600, 1600, 1000, 874, 874, 800, 800))
	})
	rapid.Check(t, func(t *rapid.T) {
		usual := rapid.OneOf(rapid.IntRange(240, 1600), rapid.SampledFrom([]int{240, 1800})).Draw(t, "usual")
		var onTimes []int
		for range rapid.IntRange(1, 8).Draw(t, "changes") {
			long := usual + rapid.IntRange(-1, 1).Draw(t, "and")
			if part := rapid.SampledFrom([]int{0, 0, 0, 32, -32, 8, -8}).Draw(t, "off by one in"); part != 0 {
				long += usual / part
			}
			for range rapid.IntRange(1, 6).Draw(t, "flashes") {
				onTimes = append(onTimes, long)
			}
		}
		sameLight(t, flashed(t, onTimes...))
	})
}

// TestOperationLimit counts to the last operation that a tick may hold, and past it.
func TestOperationLimit(t *testing.T) {
	const last = 62 // slots of the fourth span, with which the wait is operation 255
	var c program.Coder
	for range 3 {
		c.Span(0, 64, 50)
	}
	c.Span(0, last, 100)
	c.Wait(1)
	c.Fade(0, 255)
	code := routine(t, &c)
	slots := make([]uint8, 64)
	for i := range slots {
		slots[i] = uint8(i)
	}
	p := &program.Program{Registers: 8, Layers: []program.Layer{{Pace: -1, InputMask: 1, Slots: slots, Stay: code}}}
	s := program.LastResort()
	v := moduleFor(t, p, &s)
	v.Runs = []vector.Run{{Refreshes: 60, Link: true}, {Refreshes: 60, In: 1, Link: true}}
	at := bytes.LastIndex(v.Image, []byte{0xC2, 0, last, 100}) + 2
	lit := []int{}
	for n := last - 1; n <= last+2; n++ {
		v.Image[at] = byte(n)
		v.Image = resealed(v.Image)
		lit = append(lit, sameLight(t, v))
	}
	if lit[1] == lit[2] {
		t.Fatalf("%v changes: operation 256 makes no difference", lit)
	}
}
