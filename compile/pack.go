package compile

import (
	"math"

	"lampwright/program"
)

// packer finds short code for a sequence of tokens.
//
// # Method
//
// The code is a parse of the sequence into tokens written by themselves, spans (a run of fades of neighbouring slots to one
// level, 4 bytes) and loops (a stretch of tokens that repeats with all slots shifted by k, 4 bytes and its body, which is
// parsed in turn). Equality under shift is found for every body length up to a bound: tokens i and i+m match when they are
// equal but for a shift of the slot, and a loop needs one shift throughout. Then dynamic programming over the ends gives the
// parse of fewest bytes, innermost loops first. Expanding loops gives back the tokens, so F is right everywhere.
//
// The result is the shortest within this search: loops at most two deep; bodies of at most maxBody tokens; a body that is
// itself made of whole shorter passes is left out; a body of more than freeBody tokens begins within the first pass of its
// repeats; F is set exactly where it changes; waits are split in one way. Of equally short parses the first found wins.
type packer struct {
	tokens []token
	spanTo []int32  // end of the run of fades of neighbouring slots and one level that begins here
	loops  [][]loop // the loops that may begin here, shortest body first
	widest []int32  // the longest body that may begin here
	plain  [][]step // memo of parse without loops
}

// loop is a stretch of tokens that repeats.
type loop struct {
	body   int32 // tokens
	passes int32 // at most
	shift  int8  // slots from pass to pass
}

// step is the last part of the best parse up to some token.
type step struct {
	bytes  int32
	from   int32 // first token of the part
	passes int32 // of a loop; 1: a span; 0: a token by itself
	loop   int32 // which of the loops that begin there
}

const (
	maxPasses  = 255
	loopsDeep  = 2
	leastSpan  = 3 // two fades are as short as a span
	noBytesYet = math.MaxInt32
)

// pack writes the shortest code found for tokens, with loops nested at most so deep; without the routine's last operation.
func pack(to *program.Coder, tokens []token, deep int) {
	p := &packer{tokens: tokens}
	p.findSpans()
	p.loops, p.widest = make([][]loop, len(tokens)), make([]int32, len(tokens))
	p.plain = make([][]step, len(tokens))
	if deep > 0 {
		p.findLoops()
	}
	p.write(to, 0, len(tokens), deep)
}

// findSpans notes how far neighbouring slots go to one level.
func (p *packer) findSpans() {
	p.spanTo = make([]int32, len(p.tokens))
	for i := len(p.tokens) - 1; i >= 0; i-- {
		p.spanTo[i] = int32(i)
		if p.tokens[i].kind != fadeToken {
			continue
		}
		p.spanTo[i] = int32(i + 1)
		if i+1 < len(p.tokens) {
			next := p.tokens[i]
			next.slot++
			if p.tokens[i+1] == next {
				p.spanTo[i] = p.spanTo[i+1]
			}
		}
	}
}

// madeOfPasses tells whether a shorter loop at the same place does the same.
func (p *packer) madeOfPasses(at int, l loop) bool {
	for _, s := range p.loops[at] {
		if l.body%s.body == 0 && s.body*s.passes >= l.body*l.passes {
			return true
		}
	}
	return false
}

// parse gives, for each end up to length tokens after at, the last step of the shortest code with loops at most so deep.
func (p *packer) parse(at, length, deep int) []step {
	if deep == 0 {
		if len(p.plain[at]) > length {
			return p.plain[at]
		}
		length = max(length, int(p.widest[at])) // all that will be asked for
	}
	best := make([]step, length+1)
	for i := 1; i <= length; i++ {
		best[i].bytes = noBytesYet
	}
	offer := func(end int, s step) {
		if s.bytes < best[end].bytes {
			best[end] = s
		}
	}
	for i := range length {
		here, now := best[i].bytes, at+i
		offer(i+1, step{bytes: here + p.tokens[now].bytes(), from: int32(i)})
		for end := min(int(p.spanTo[now])-at, length); end >= i+leastSpan; end-- {
			offer(end, step{bytes: here + spanBytes, from: int32(i), passes: 1})
		}
		if deep == 0 || len(p.loops[now]) == 0 || int(p.loops[now][0].body)*2 > length-i {
			continue
		}
		var bodies []step
		for n, l := range p.loops[now] {
			most := min(int(l.passes), (length-i)/int(l.body))
			if most < 2 {
				break
			}
			if bodies == nil {
				bodies = p.parse(now, min(int(p.widest[now]), (length-i)/2), deep-1)
			}
			bytes := here + loopBytes + bodies[l.body].bytes
			for passes := most; passes >= 2; passes-- {
				offer(i+passes*int(l.body), step{bytes: bytes, from: int32(i), passes: int32(passes), loop: int32(n)})
			}
		}
	}
	if deep == 0 {
		p.plain[at] = best
	}
	return best
}

// write writes the shortest code of a stretch.
func (p *packer) write(to *program.Coder, at, length, deep int) {
	best := p.parse(at, length, deep)
	var ends []int
	for end := length; end > 0; end = int(best[end].from) {
		ends = append(ends, end)
	}
	for i := len(ends) - 1; i >= 0; i-- {
		s := best[ends[i]]
		first := at + int(s.from)
		switch s.passes {
		case 0:
			p.tokens[first].write(to)
		case 1:
			t := p.tokens[first]
			to.Span(int(t.slot), ends[i]-int(s.from), uint8(t.value))
		default:
			l := p.loops[first][s.loop]
			to.Loop(int(s.passes), int(l.shift))
			p.write(to, first, int(l.body), deep-1)
			to.Close()
		}
	}
}
