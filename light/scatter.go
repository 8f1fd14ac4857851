package light

import (
	"cmp"
	"slices"
)

// hash32 mixes the bits of x: two rounds of multiply and shift. Every input
// gives another output. The constants are the well-known ones of a published
// search for the least bias (from memory).
func hash32(x uint32) uint32 {
	x ^= x >> 16
	x *= 0x7feb352d
	x ^= x >> 15
	x *= 0x846ca68b
	x ^= x >> 16
	return x
}

// draw gives the number by which a part is shuffled: the parts are ordered by
// hash32(hash32(hash32(seed) + repeat) + part), least first, and equal numbers
// by part. It holds no state, so every start can be known by itself.
func draw(seed uint32, repeat, part int) uint32 {
	return hash32(hash32(hash32(seed)+uint32(repeat)) + uint32(part))
}

// parts numbers the parts of a scatter from 0 in the order in which the region
// names them: for each of On its part, and the number of parts.
func (s *Stroke) parts() (partOf []int, n int) {
	partOf = make([]int, len(s.On))
	if s.Units == nil {
		for i := range partOf {
			partOf[i] = i
		}
		return partOf, len(partOf)
	}
	seen := make(map[int]int, len(s.On)) // looked up only, never walked
	for i, unit := range s.Units {
		part, ok := seen[unit]
		if !ok {
			part = len(seen)
			seen[unit] = part
		}
		partOf[i] = part
	}
	return partOf, len(seen)
}

// ranks gives for each of n parts its place in the shuffle of one repeat.
func (s *Stroke) ranks(repeat, n int) []float64 {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(draw(s.Seed, repeat, a), draw(s.Seed, repeat, b)), cmp.Compare(a, b))
	})
	ranks := make([]float64, n)
	for rank, part := range order {
		ranks[part] = float64(rank)
	}
	return ranks
}
