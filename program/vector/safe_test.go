package vector_test

import (
	"fmt"
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// safeFixtures run without an image, with damaged safe blocks, and the walk.
func safeFixtures(t *testing.T) []fixture {
	good := must[[]byte](t)(program.Encode(rear(t)))
	block1 := must[[program.SafeBytes]byte](t)(program.EncodeSafe(evenSafe()))
	damaged := slices.Clone(block1[:])
	damaged[3] ^= 0x40
	flipped := slices.Clone(good)
	flipped[len(flipped)-5] ^= 0x08
	all := []vector.Run{frames(10, 0), frames(10, tail), frames(10, tail|stop), frames(10, tail), frames(30, tail|turn), frames(10, stop), frames(6, 0)}
	safeWants := []want{
		{frame(10), frame(70) - 1, edge, 80, false}, {frame(20), 247, block, 255, true}, {frame(30), 8*70 + 7, block, 0, false},
		{frame(40), frame(70) - 1, arrow, 255, false}, {frame(70), frame(74), arrow, 0, false}, {frame(70), 8*80 + 7, block, 255, true},
	}
	active := evenSafe()
	active.Invert = stop | show
	return []fixture{
		{
			name: "bad-image", image: flipped, safe: evenSafe(), refusal: "wrong check",
			notes: "one bit of the image is wrong: the safe program for ever; no sweep, the tail at its own level.",
			runs:  all, want: safeWants,
		},
		{
			name: "no-image", image: nil, safe: evenSafe(), refusal: "0 bytes",
			notes: "the flash after the safe block is erased: the safe program.",
			runs:  all, want: safeWants,
		},
		checkFixture(t, 256, 1), checkFixture(t, 257, 2), checkFixture(t, 512, 2), checkFixture(t, 700, 3),
		{
			name: "safe-copy-b", image: good, safeA: damaged, safeB: block1[:],
			notes: "copy A of the safe block is damaged: copy B serves.",
			runs:  []vector.Run{frames(20, stop)},
			want:  []want{{16, 159, block, 255, true}},
		},
		{
			name: "last-resort", image: good, safeA: damaged, safeB: make([]byte, program.SafeBytes),
			notes: "both copies are damaged: all 64 outputs are stop on in2, on after 7, and the image does not fit.",
			runs:  []vector.Run{{Refreshes: 40, Link: true}, frames(10, stop|turn), frames(10, turn)},
			want: []want{{0, 46, span(0, 63), 0, false}, {47, 55, span(0, 63), 0, true}, {56, 135, span(0, 63), 255, true},
				// Off after 16 low samples, 120 to 135.
				{136, 143, span(0, 63), 255, false}, {152, 199, span(0, 63), 0, false}},
		},
		{
			name: "active-low", p: rear(t), safe: active,
			notes: "stop is active low: on while its input is low.",
			runs:  []vector.Run{frames(10, stop|show), frames(10, show), frames(10, stop|show)},
			want:  []want{{0, 87, block, 0, false}, {88, 95, block, 0, true}, {96, 167, block, 255, true}, {176, 239, block, 0, false}},
		},
		{
			name: "walk", p: &program.Program{Registers: 2, Walk: true}, safe: evenSafe(),
			notes: "one output at a time, one more at each press; held at power-up is no press, two at once are one; after the 16th comes the first.",
			runs:  walkRuns(),
			want: []want{
				{frame(1), frame(12) - 1, span(0, 15), 0, false},
				{frame(12), frame(16) - 1, span(0, 0), 255, false}, {frame(12), frame(16) - 1, span(1, 15), 0, false},
				{frame(16), frame(20) - 1, span(1, 1), 255, false}, {frame(72), frame(76) - 1, span(15, 15), 255, false},
				{frame(76), frame(80) - 1, span(0, 0), 255, false}, {frame(76), frame(80) - 1, span(1, 15), 0, false},
			},
		},
	}
}

// walkRuns holds stop at power-up and then presses 18 times, two frames on and two off.
func walkRuns() []vector.Run {
	runs := []vector.Run{frames(8, stop), frames(4, 0)}
	for i := range 18 {
		in := uint8(show)
		if i == 1 {
			in = show | turn
		}
		runs = append(runs, frames(2, in), frames(2, 0))
	}
	return runs
}

// checkFixture has an image of so many bytes, which is live from a job on: 256 bytes are checked in a job.
func checkFixture(t *testing.T, size, live int) fixture {
	return fixture{
		name: fmt.Sprintf("check-%d", size), image: longImage(t, size, func(*program.Program) {}), safe: evenSafe(),
		notes: "256 bytes of the image are checked in a job: the safe program's tail is seen until it is whole.",
		runs:  []vector.Run{frames(12, tail)},
		want:  []want{{0, 15, edge, 0, false}, {16, frame(live) - 1, edge, 80, false}, {frame(live), frame(9), edge, tailLevel, false}},
	}
}

// longImage is the rear lamp, changed, with a show on output 1 at level 99 that makes its image so many bytes long.
func longImage(t *testing.T, size int, change func(p *program.Program)) []byte {
	t.Helper()
	p := rear(t)
	p.Layers = append(p.Layers, program.Layer{Name: "long", Show: true, Pace: -1, InputMask: show2, Slots: []uint8{0}})
	change(p)
	lines := []string{"slot 0 to 99"}
	for {
		p.Layers[3].Stay = routine(t, append(lines, "wait 1", "again")...)
		image := must[[]byte](t)(program.Encode(p))
		if len(image) == size {
			return image
		}
		if len(image) > size {
			t.Fatalf("no image of %d bytes can be made this way", size)
		}
		lines = append(lines, "wait 1")
	}
}
