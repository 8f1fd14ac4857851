package vector_test

import (
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// eeprom gives the bytes of a memory: pacer 0 in bytes 0 and 1, pacer 1 in 4 and 5, the count in 8 and 9; the others erased.
func eeprom(b0, b1, b4, b5, b8, b9 byte) *[program.MemoryBytes]byte {
	return &[program.MemoryBytes]byte{b0, b1, 0xFF, 0xFF, b4, b5, 0xFF, 0xFF, b8, b9}
}

// keptFixtures show the pace that outlives the supply, and modules that are fed by their turn wire.
func keptFixtures(t *testing.T) []fixture {
	begin := []vector.Run{frames(10, 0)}
	fed := func() *program.Program {
		p := rear(t)
		p.TurnFed = true
		return p
	}
	waits := evenSafe()
	waits.TurnWaits = true
	fedBig := longImage(t, 700, func(p *program.Program) { p.TurnFed = true })
	two := rear(t)
	two.PacerInput[1] = show
	two.Layers = append([]program.Layer{{Name: "turn 2", Pace: 1, InputMask: show, Slots: []uint8{15}, Arrive: two.Layers[0].Arrive, Stay: routine(t, "slot 0 to 255", "end")}}, two.Layers...)
	two.Layers[0].Arrive = routine(t, "wait 40", "slot 0 to 255", "end")
	seen := func(pace byte) *program.Remnant { return &program.Remnant{pace, ^pace} }
	stored := func(pace byte) *program.Remnant { return &program.Remnant{pace, pace ^ 0x5A} }
	oneFlash := func(on int) []vector.Run {
		return []vector.Run{{Refreshes: on, In: turn, Link: true}, {Refreshes: 69, Link: true}}
	}
	onTurn := func(n int, in uint8) vector.Run { return vector.Run{Refreshes: n, In: in, Link: true} }
	return []fixture{
		{
			name: "kept-used", p: rear(t), safe: chopSafe(), memory: eeprom(83, 172, 0xFF, 0xFF, 7, 0), kept: eeprom(83, 172, 0xFF, 0xFF, 7, 0),
			notes: "the memory holds 83, that is 664 refreshes: the first sweep takes that time, and the second what was learnt. Six flashes like it are not stored.",
			runs:  slices.Concat(begin, flashes(7, 667, 667)),
			want:  slices.Concat(sweep(80, 667, 664), sweep(80+1334, 667, 667)),
		},
		{
			name: "kept-stored", p: rear(t), safe: chopSafe(), kept: eeprom(83, 172, 0xFF, 0xFF, 1, 0),
			notes: "an erased memory: the first sweep takes the default time. After the sixth flash 667 / 8 = 83 is stored, for the first time; a new rate later is not stored in the same power-up.",
			runs:  slices.Concat(begin, flashes(6, 667, 667), flashes(9, 500, 500)),
			want:  slices.Concat(sweep(80, 667, 260), sweep(80+1334, 667, 667)),
		},
		{
			name: "kept-five", p: rear(t), safe: chopSafe(), memory: eeprom(0xFF, 0xFF, 0xFF, 0xFF, 9, 1), kept: eeprom(0xFF, 0xFF, 0xFF, 0xFF, 9, 1),
			notes: "five flashes are not enough to be stored.",
			runs:  slices.Concat(begin, flashes(5, 667, 667)),
			want:  sweep(80, 667, 260),
		},
		{
			name: "kept-odd-complement", p: rear(t), safe: chopSafe(), memory: eeprom(83, 171, 0xFF, 0xFF, 0xFF, 0), kept: eeprom(75, 180, 0xFF, 0xFF, 0, 1),
			notes: "the complement is wrong, as after power was lost while it was written: nothing is held, and the default time serves. 600 / 8 = 75 is stored, for the 256th time.",
			runs:  slices.Concat(begin, flashes(6, 600, 600)),
			want:  sweep(80, 600, 260),
		},
		{
			name: "kept-out-of-range", p: rear(t), safe: chopSafe(), memory: eeprom(29, 226, 226, 29, 0xFF, 0xFF), kept: eeprom(29, 226, 226, 29, 0xFF, 0xFF),
			notes: "29 and 226 are no paces, though their complements are right.",
			runs:  slices.Concat(begin, flashes(1, 600, 600)),
			want:  sweep(80, 600, 260),
		},
		{
			name: "kept-differs", p: rear(t), safe: chopSafe(), memory: eeprom(83, 172, 0xFF, 0xFF, 0xFF, 0xFF), kept: eeprom(77, 178, 0xFF, 0xFF, 1, 0),
			notes: "83 is held; 77 is shorter by more than 83 / 32 = 2 and is stored. A count that is erased is 0.",
			runs:  slices.Concat(begin, flashes(6, 620, 620)),
			want:  []want{{frame(10), 80 + 1240, []int{5}, 0, false}}, // let go before the sweep is done
		},
		{
			name: "kept-worn", p: rear(t), safe: chopSafe(), memory: eeprom(83, 172, 0xFF, 0xFF, 0x50, 0xC3), kept: eeprom(83, 172, 0xFF, 0xFF, 0x50, 0xC3),
			notes: "50 000 writes: nothing is stored any more.",
			runs:  slices.Concat(begin, flashes(7, 500, 500)),
			want:  []want{{frame(10), 80 + 1000, []int{5}, 0, false}}, // let go before the sweep is done
		},
		{
			name: "kept-torn-count", p: rear(t), safe: chopSafe(), memory: eeprom(83, 172, 0xFF, 0xFF, 1, 0xFF), kept: eeprom(62, 193, 0xFF, 0xFF, 1, 0),
			notes: "power was lost while the count was written: its high byte is erased. A count above 50 000 is 0.",
			runs:  slices.Concat(begin, flashes(6, 500, 500)),
			want:  []want{{frame(10), 80 + 1000, []int{5}, 0, false}},
		},
		{
			name: "kept-just-above", p: rear(t), safe: chopSafe(), memory: eeprom(0xFF, 0xFF, 0xFF, 0xFF, 0x51, 0xC3), kept: eeprom(62, 193, 0xFF, 0xFF, 1, 0),
			notes: "50 001 writes cannot be: the count is 0.",
			runs:  slices.Concat(begin, flashes(6, 500, 500)),
		},
		{
			name: "kept-last-write", p: two, safe: chopSafe(), memory: eeprom(0xFF, 0xFF, 60, 195, 0x4F, 0xC3), kept: eeprom(75, 180, 60, 195, 0x50, 0xC3),
			notes: "two pacers learn in the same frame, with 49 999 writes done: the first is stored, the second no more.",
			runs:  slices.Concat(begin, pairs(6, 600, 600, turn|show)),
			want:  sweep(80, 600, 260),
		},
		{
			name: "kept-both", p: two, safe: chopSafe(), memory: eeprom(0xFF, 0xFF, 40, 215, 1, 0), kept: eeprom(75, 180, 75, 180, 3, 0),
			notes: "two pacers learn in the same frame: the second is stored after the first.",
			runs:  slices.Concat(begin, pairs(6, 600, 600, turn|show)),
			want:  sweep(80, 600, 260),
		},
		{
			name: "kept-second-first", p: two, safe: chopSafe(), kept: eeprom(75, 180, 75, 180, 2, 0),
			notes: "the second pacer learns two frames before the first, which waits until all four bytes of the second are written.",
			runs:  slices.Concat(begin, staggered(6, 600, 600, 16)),
			want:  sweep(96, 600, 260),
		},
		{
			name: "turn-fed", p: fed(), safe: waits, kept: eeprom(82, 173, 0xFF, 0xFF, 1, 0),
			notes: "the turn wire feeds the module: on from the first sample. No turn is lit until the image runs, in job 1, and then it sweeps: its age is 8 refreshes, (260 − 8 − 10) / 8 = 30 frames.\nThe flash is learnt as 660 refreshes, and stored at once. The second, without a cut of the supply, is swept by it.",
			runs:  []vector.Run{onTurn(667, turn), onTurn(613, 0), frames(90, turn), frames(10, 0)},
			want: []want{{0, frame(1) - 1, arrow, 0, false}, {frame(1), frame(31) - 1, span(5, 5), 0, false}, {frame(31), 8*83 + 7, span(5, 5), 255, false},
				// (660 − 7 − 10) / 8 = 80 frames.
				{frame(160), frame(240) - 1, span(5, 5), 0, false}, {frame(240), frame(249), span(5, 5), 255, false}},
		},
		{
			name: "turn-fed-again", p: fed(), safe: waits, memory: eeprom(82, 173, 0xFF, 0xFF, 1, 0), kept: eeprom(82, 173, 0xFF, 0xFF, 1, 0),
			notes: "the next flash, after a cut of the supply: its sweep takes the stored 656 refreshes, (656 − 8 − 10) / 8 = 79 frames.",
			runs:  []vector.Run{onTurn(667, turn), onTurn(69, 0)},
			want:  []want{{0, frame(1) - 1, arrow, 0, false}, {frame(1), frame(80) - 1, span(5, 5), 0, false}, {frame(80), 8*83 + 7, span(5, 5), 255, false}},
		},
		{
			name: "turn-fed-first", p: fed(), safe: waits, remnant: *seen(40), kept: eeprom(82, 173, 0xFF, 0xFF, 1, 0), left: stored(82),
			notes: "nothing is held: the first flash is stored, whatever the one before was, and the RAM tells it.",
			runs:  oneFlash(667),
		},
		{
			name: "turn-fed-shorter-once", p: fed(), safe: waits, memory: eeprom(82, 173, 0xFF, 0xFF, 1, 0), kept: eeprom(82, 173, 0xFF, 0xFF, 1, 0), left: seen(49),
			notes: "82 is held, and RAM that did not live tells nothing: a flash of 49, perhaps of a lever let go within it, is noted in RAM and not stored.",
			runs:  oneFlash(400),
		},
		{
			name: "turn-fed-shorter-twice", p: fed(), safe: waits, memory: eeprom(82, 173, 0xFF, 0xFF, 1, 0), remnant: *seen(50), kept: eeprom(49, 206, 0xFF, 0xFF, 2, 0), left: stored(49),
			notes: "the flash before was one of 50: 49 is shorter by no more than 50 / 32 = 1. It is a quicker flasher, and stored.",
			runs:  oneFlash(400),
		},
		{
			name: "turn-fed-unlike", p: fed(), safe: waits, memory: eeprom(82, 173, 0xFF, 0xFF, 1, 0), remnant: *seen(51), kept: eeprom(82, 173, 0xFF, 0xFF, 1, 0), left: seen(49),
			notes: "the flash before was one of 51: 49 does not agree, and takes its place.",
			runs:  oneFlash(400),
		},
		{
			name: "turn-fed-longer-within", p: fed(), safe: waits, memory: eeprom(73, 182, 0xFF, 0xFF, 1, 0), remnant: *seen(82), kept: eeprom(73, 182, 0xFF, 0xFF, 1, 0), left: seen(82),
			notes: "73 is held: 82 is longer by no more than 73 / 8 = 9, and needs no other pace, however often it is seen.",
			runs:  oneFlash(667),
		},
		{
			name: "turn-fed-longer", p: fed(), safe: waits, memory: eeprom(72, 183, 0xFF, 0xFF, 1, 0), remnant: *seen(76), kept: eeprom(82, 173, 0xFF, 0xFF, 2, 0), left: stored(82),
			notes: "72 is held: 82 is longer by more than 72 / 8 = 9, and than the flash before by no more than 76 / 8 = 9. It is stored.",
			runs:  oneFlash(667),
		},
		{
			name: "turn-fed-once", p: fed(), safe: waits, memory: eeprom(82, 173, 0xFF, 0xFF, 2, 0), remnant: *stored(82), kept: eeprom(82, 173, 0xFF, 0xFF, 2, 0), left: stored(82),
			notes: "something was stored since the RAM lives: nothing more is, nor noted.",
			runs:  oneFlash(400),
		},
		{
			name: "turn-fed-torn", p: fed(), safe: waits, memory: eeprom(82, 0xFF, 0xFF, 0xFF, 2, 0), remnant: *stored(82), kept: eeprom(82, 0xFF, 0xFF, 0xFF, 2, 0), left: stored(82),
			notes: "power was lost while the complement was written: nothing is held, but a second try waits until the RAM has not lived.",
			runs:  oneFlash(667),
		},
		{
			name: "turn-fed-long", image: fedBig, safe: waits,
			notes: "a longer image: three jobs without a turn, while stop and tail serve. It sweeps from job 3 on, with an age of 24 refreshes: (260 − 24 − 10) / 8 = 28 frames.",
			runs:  []vector.Run{frames(60, turn|stop|tail)},
			want: []want{{0, frame(3) - 1, arrow, 0, false}, {frame(3), frame(31) - 1, span(5, 5), 0, false}, {frame(31), frame(57), span(5, 5), 255, false},
				{8, 15, block, 0, true}, {16, frame(57), block, 255, true}, {16, frame(3) - 1, edge, 80, false}, {frame(3), frame(57), edge, tailLevel, false}},
		},
		{
			name: "turn-fed-no-image", safe: waits, refusal: "0 bytes",
			notes: "without an image the turn waits for the verdict, job 0, and is lit from job 1 on.",
			runs:  []vector.Run{frames(20, turn), frames(4, 0)},
			want:  []want{{0, frame(1) - 1, arrow, 0, false}, {frame(1), frame(20) - 1, arrow, 255, false}, {frame(20), frame(21), arrow, 0, false}},
		},
		{
			name: "turn-fed-bad-image", image: flipped(fedBig), safe: waits, refusal: "wrong check",
			notes: "a damaged image is found out in job 2: until then the turn waits.",
			runs:  []vector.Run{frames(20, turn)},
			want:  []want{{0, frame(3) - 1, arrow, 0, false}, {frame(3), frame(17), arrow, 255, false}},
		},
	}
}

// staggered is n flashes at which the second turn comes and goes so many refreshes before the first.
func staggered(n, on, off, before int) (runs []vector.Run) {
	for range n {
		runs = append(runs, vector.Run{Refreshes: before, In: show, Link: true}, vector.Run{Refreshes: on - before, In: show | turn, Link: true},
			vector.Run{Refreshes: before, In: turn, Link: true}, vector.Run{Refreshes: off - before, Link: true})
	}
	return runs
}

// flipped is an image with one bit wrong.
func flipped(image []byte) []byte {
	b := slices.Clone(image)
	b[len(b)-5] ^= 0x08
	return b
}
