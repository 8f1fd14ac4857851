package compile

// Bounds of the search for repeats.
const (
	maxBody   = 4096 // tokens of a loop's body
	freeBody  = 32   // a body up to this may begin anywhere in its repeats
	window    = 8    // tokens; longer bodies are looked for where a window recurs
	mostEqual = 128  // equal windows before a window that are looked at
)

// findLoops notes every stretch that repeats under a shift.
func (p *packer) findLoops() {
	n := len(p.tokens)
	sum := make([]int32, n+1) // bytes of the tokens before
	keys := make([]uint32, n) // equal when tokens are equal but for the slot
	for i, t := range p.tokens {
		sum[i+1] = sum[i] + t.bytes()
		keys[i] = uint32(t.kind)<<16 | uint32(t.value)
	}
	runs, passed := make([]int32, n), make([]int32, n)
	for _, m := range p.distances(keys) {
		shifts := p.matchRuns(keys, m, runs)
		for i := range n - m {
			run := int(runs[i])
			if passed[i] = 0; i >= m && run > 0 && int(runs[i-m]) == run+m {
				passed[i] = passed[i-m] + 1 // passes of this run before this one
			}
			if run < m || m > freeBody && passed[i]%maxPasses != 0 {
				continue
			}
			l := loop{body: int32(m), passes: int32(min(1+run/m, maxPasses)), shift: shifts[i]}
			if (l.passes-1)*(sum[i+m]-sum[i]) > loopBytes && !p.madeOfPasses(i, l) {
				p.loops[i] = append(p.loops[i], l)
				p.widest[i] = l.body
			}
		}
	}
}

// matchRuns counts, for each token, how many from there on equal those m later under one shift, and gives the shift.
func (p *packer) matchRuns(keys []uint32, m int, runs []int32) []int8 {
	shifts := make([]int8, len(keys))
	run, nextFade, shift, shifted := 0, 0, 0, false
	for i := len(keys) - m - 1; i >= 0; i-- {
		if keys[i] != keys[i+m] {
			run, shift, shifted = 0, 0, false
			runs[i] = 0
			continue
		}
		run++
		if p.tokens[i].kind == fadeToken {
			k := int(p.tokens[i+m].slot) - int(p.tokens[i].slot)
			if shifted && k != shift {
				run = nextFade - i // another shift ends before the next fade
			}
			shift, shifted, nextFade = k, true, i
		}
		runs[i], shifts[i] = int32(run), int8(shift)
	}
	return shifts
}

// distances gives the body lengths that may repeat, in ascending order: all up to a window, and beyond it those at which
// enough windows in a row recur. Windows are equal when they are but for one shift of all slots.
func (p *packer) distances(keys []uint32) []int {
	n := len(keys)
	limit := min(n/2, maxBody)
	type row struct{ end, length, longest int } // windows in a row that recur at one distance
	rows := make([]row, limit+1)
	last := make(map[uint64]int, n)
	before := make([]int, max(n-window+1, 0)) // the last equal window, -1 for none
	for i := range before {
		h := p.windowHash(keys, i)
		before[i] = -1
		if j, ok := last[h]; ok {
			before[i] = j
		}
		last[h] = i
		for j, hops := before[i], 0; j >= 0 && i-j <= limit && hops < mostEqual; j, hops = before[j], hops+1 {
			r := &rows[i-j]
			if r.end != i-1 {
				r.length = 0
			}
			r.end = i
			r.length++
			r.longest = max(r.longest, r.length)
		}
	}
	var out []int
	for m := 1; m <= limit; m++ {
		if m < window || rows[m].longest > m-window {
			out = append(out, m)
		}
	}
	return out
}

// windowHash is FNV-1a over the window's tokens, with slots counted from the window's first fade.
func (p *packer) windowHash(keys []uint32, at int) uint64 {
	const offset, prime = 14695981039346656037, 1099511628211
	h := uint64(offset)
	first, any := uint8(0), false
	for i := at; i < at+window; i++ {
		h = (h ^ uint64(keys[i])) * prime
		if t := p.tokens[i]; t.kind == fadeToken {
			if !any {
				first, any = t.slot, true
			}
			h = (h ^ uint64(t.slot-first)) * prime
		}
	}
	return h
}
