package programtest

import (
	"lampwright/program"

	"pgregory.net/rapid"
)

// happening is what comes to a module beside its inputs, at one moment.
type happening struct {
	codes *program.Codes
	live  []uint8
}

// happenings draws codes and streamed frames by the refresh before which they come, all below refreshes.
func happenings(t *rapid.T, p *program.Program, s *program.Safe, refreshes int) map[int]happening {
	all := map[int]happening{}
	codes := program.CodesAtStart
	heats := limits(p, func(p *program.Program) []uint8 { return []uint8{p.Warm, p.Hot} })
	supplies := append(limits(p, func(p *program.Program) []uint8 { return []uint8{p.Low} }), about(s.Over)...)
	if chance(t, "codes at the start", 4) {
		codes = program.Codes{Supply: code(t, codes.Supply, supplies), Heat: code(t, codes.Heat, heats)}
		all[0] = happening{codes: &program.Codes{Supply: codes.Supply, Heat: codes.Heat}}
	}
	if len(supplies)+len(heats) > 0 || chance(t, "codes without a limit", 4) {
		for frame := 0; ; {
			frame += rapid.OneOf(rapid.IntRange(1, 12), rapid.IntRange(50, 300)).Draw(t, "codes after")
			at := program.RefreshesPerFrame*frame + rapid.IntRange(2, 6).Draw(t, "codes at phase")
			if at >= refreshes {
				break
			}
			if rapid.Bool().Draw(t, "supply changes") {
				codes.Supply = code(t, program.CodesAtStart.Supply, supplies)
			} else {
				codes.Heat = code(t, program.CodesAtStart.Heat, heats)
			}
			now := codes
			all[at] = happening{codes: &now}
		}
	}
	if p.Live || chance(t, "streamed all the same", 6) {
		for at := rapid.IntRange(0, 3000).Draw(t, "stream from"); at < refreshes; at += 1 + rapid.OneOf(rapid.IntRange(0, 200), rapid.IntRange(400, 3000)).Draw(t, "streamed after") {
			h := all[at]
			h.live = frame(t, 8*p.Registers)
			all[at] = h
		}
	}
	return all
}

// limits gives the codes about the limits of both hands.
func limits(p *program.Program, of func(p *program.Program) []uint8) (all []uint8) {
	for ; p != nil; p = p.Other {
		for _, l := range of(p) {
			all = append(all, about(l)...)
		}
	}
	return all
}

// about gives the codes at which a limit's hysteresis turns, and some well away; none for no limit.
func about(limit uint8) []uint8 {
	if limit == 0 {
		return nil
	}
	var all []uint8
	for _, d := range []int{-40, -5, -4, -1, 0, 1, 3, 4, 6, 7, 40} {
		all = append(all, uint8(min(max(int(limit)+d, 0), 255)))
	}
	return all
}

// code draws a code: often the usual one, mostly one of those near the limits.
func code(t *rapid.T, usual uint8, near []uint8) uint8 {
	if rapid.IntRange(0, 2).Draw(t, "usual code") == 0 {
		return usual
	}
	if len(near) > 0 && !chance(t, "any code", 5) {
		return rapid.SampledFrom(near).Draw(t, "code")
	}
	return rapid.OneOf(rapid.Uint8Range(0, 5), rapid.Uint8()).Draw(t, "code")
}

// frame draws a streamed frame of n levels.
func frame(t *rapid.T, n int) []uint8 {
	first, step := rapid.Uint8().Draw(t, "streamed level"), rapid.SampledFrom([]uint8{0, 1, 7, 85}).Draw(t, "streamed step")
	levels := make([]uint8, n)
	for o := range levels {
		levels[o] = first + uint8(o)*step
	}
	return levels
}

// RandomStrap draws what the side strap says: mostly the side of one of the program's hands.
func RandomStrap(t *rapid.T, p *program.Program) program.Side {
	sides := []program.Side{p.Side, program.Centre, program.LH, program.RH, p.Side}
	if p.Other != nil {
		sides = append(sides, p.Other.Side, p.Other.Side, p.Other.Side)
	}
	return rapid.SampledFrom(sides).Draw(t, "strap")
}

// RandomMemory draws what the EEPROM holds at power-up: erased (nil), good paces, damaged ones, or many writes.
func RandomMemory(t *rapid.T) *[program.MemoryBytes]byte {
	if chance(t, "erased memory", 3) {
		return nil
	}
	m := [program.MemoryBytes]byte(rapid.SliceOfN(rapid.Byte(), program.MemoryBytes, program.MemoryBytes).Draw(t, "memory"))
	for p := range program.MaxPacers {
		if !chance(t, "damaged pace", 4) {
			m[4*p] = rapid.Uint8Range(28, 227).Draw(t, "pace")
			m[4*p+1] = ^m[4*p]
		}
	}
	writes := rapid.SampledFrom([]int{0, 1, 0xFF, 49_998, 49_999, 50_000, 50_001, 0xFF01, 0xFFFF}).Draw(t, "writes")
	m[8], m[9] = byte(writes), byte(writes>>8)
	return &m
}

// RandomRemnant draws what the RAM holds at power-up: a flash that was seen, one that was stored, or anything.
func RandomRemnant(t *rapid.T) program.Remnant {
	pace := rapid.Uint8Range(28, 227).Draw(t, "last flash")
	return program.Remnant{pace, pace ^ rapid.OneOf(rapid.SampledFrom([]byte{0xFF, 0x5A}), rapid.Byte()).Draw(t, "word")}
}
