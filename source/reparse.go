package source

import (
	"sort"
	"strings"

	"lampwright/report"
)

// Reparse gives what Parse gives of another text, sooner when the text differs little from the file's: only the lines of the innermost
// entries or items that hold all that differs are read, and the rest is taken over as it was read before.
func (f *File) Reparse(text []byte) (*File, report.List) {
	if next := f.patched(string(text)); next != nil {
		return next, nil
	}
	return Parse(f.Name, text)
}

// Beyond these the text is read as a whole, so that the limits of a file are counted in one place.
const (
	patchTokens = NodeLimit / 2
	patchKeys   = KeyLimit / 2
	patchDepth  = DepthLimit / 2
)

// patch is a run of children of a mapping or list outside brackets whose lines are read anew.
type patch struct {
	parent   *node
	child    int // of the parent before this, the one that leads here
	lo, hi   int // children read anew
	from, to int // bytes of their lines in the old text
}

// patched reads a text by what differs from the file's; nil when that cannot be done.
func (f *File) patched(text string) *File {
	if len(text) > TextLimitBytes {
		return nil
	}
	next := &File{Name: f.Name, lines: newLines(text)}
	before, now := f.lines.text, next.lines.text
	from, to, end := 0, len(before), len(now)
	for from < to && from < end && before[from] == now[from] {
		from++
	}
	for to > from && end > from && before[to-1] == now[end-1] {
		to--
		end--
	}
	chain := f.patches(from, to)
	for n := len(chain); n > 0; n-- {
		if f.patch(next, chain[:n]) {
			return next
		}
	}
	return nil
}

// patches lists the runs of children that hold the bytes from..to-1, from the outermost to the innermost.
func (f *File) patches(from, to int) (chain []patch) {
	n, child, end := f.root, 0, len(f.lines.text)
	for len(chain) < patchDepth {
		lines := f.linesOf(n)
		if len(lines) == 0 || from < lines[0] || to > end {
			return chain
		}
		lines = append(lines, end)
		last := len(lines) - 2
		p := patch{parent: n, child: child}
		p.lo = sort.SearchInts(lines[:last+1], from+1) - 1
		if from == to && from == lines[p.lo] && p.lo > 0 {
			p.lo-- // what is put between two belongs to the first
		}
		p.hi = max(p.lo, sort.SearchInts(lines[1:], to))
		p.from, p.to = lines[p.lo], lines[p.hi+1]
		chain = append(chain, p)
		if p.lo != p.hi {
			return chain
		}
		n, child, end = n.child(p.lo), p.lo, p.to
	}
	return chain
}

// linesOf gives where the lines of each child of a mapping or list begin; none when it stands in brackets, or not all of its children
// begin lines.
func (f *File) linesOf(n *node) []int {
	if n.flow {
		return nil
	}
	starts := make([]int, n.count(), n.count()+1)
	for i := range starts {
		start, _, _ := slot{f, n, i}.bounds()
		if !f.lines.blankBefore(start) {
			return nil
		}
		starts[i] = f.lines.starts[f.lines.lineOf(start)]
	}
	return starts
}

// patch completes the next file by the last of the patches; false when what stands there cannot be read by itself.
func (f *File) patch(next *File, chain []patch) bool {
	p := chain[len(chain)-1]
	grown := len(next.lines.text) - len(f.lines.text)
	to := p.to + grown
	body := next.lines.text[p.from:to]
	column := len(f.lines.column(p.parent.start))
	if strings.ContainsAny(body, "\r\t"+byteOrderMark) || p.to < len(f.lines.text) && !strings.HasSuffix(body, "\n") || !indented(body, column) {
		return false
	}
	// What is in a mapping is read in one, and before something where something follows: either may decide how a line is read.
	holder, follower := "", ""
	if len(chain) > 1 {
		holder = "x:\n"
	} else if column > 0 {
		return false
	}
	inner := p.hi+1 < p.parent.count()
	switch {
	case inner && p.parent.kind == List:
		follower = strings.Repeat(" ", column) + "- x\n"
	case inner:
		follower = strings.Repeat(" ", column) + "x: x\n"
	case p.to < len(f.lines.text):
		follower = "x: x\n"
	}
	part, _ := Parse(f.Name, []byte(holder+body+follower))
	if part == nil {
		return false
	}
	end := len(holder) + len(body)
	got := part.root
	if holder != "" {
		if !inner && follower != "" {
			got = got.before(end)
		}
		if got == nil || got.kind != Mapping || len(got.entries) != 1 {
			return false
		}
		got = got.entries[0].value
	}
	if inner {
		got = got.before(end + column)
	}
	if got == nil || got.kind != p.parent.kind || got.flow || got.start != len(holder)+column || !got.patchable(patchDepth-len(chain)) {
		return false
	}
	tokens := next.join(f, part, p, len(holder), grown)
	if len(tokens) > patchTokens {
		return false
	}
	root := p.parent.spliced(p.lo, p.hi, got.moved(p.from-len(holder)), grown)
	if root.count() > patchKeys {
		return false
	}
	for i := len(chain) - 1; i > 0; i-- {
		root = chain[i-1].parent.spliced(chain[i].child, chain[i].child, chain[i-1].parent.alone(chain[i].child, root), grown)
	}
	next.root, next.tokens = root, tokens
	return true
}

// indented tells whether no line of a text begins left of a column.
func indented(text string, column int) bool {
	for line := range strings.Lines(text) {
		if bare := strings.TrimLeft(line, " "); strings.TrimSpace(bare) != "" && len(line)-len(bare) < column {
			return false
		}
	}
	return true
}

// patchable tells whether a value means the same wherever it stands: it is not nested too deeply, and holds no text over lines of its
// own, whose end depends on what follows.
func (n *node) patchable(depth int) bool {
	if depth < 0 || n.style == '|' || n.style == '>' {
		return false
	}
	for i := range n.count() {
		if !n.child(i).patchable(depth - 1) {
			return false
		}
	}
	return true
}

// join gives the tokens of the next file: those of the part, with the old ones before and behind.
func (next *File) join(f, part *File, p patch, holder, grown int) []piece {
	at := func(tokens []piece, offset int) int {
		return sort.Search(len(tokens), func(i int) bool { return tokens[i].start >= offset })
	}
	fresh := part.tokens[at(part.tokens, holder):at(part.tokens, holder+p.to+grown-p.from)]
	behind := f.tokens[at(f.tokens, p.to):]
	tokens := append(make([]piece, 0, len(f.tokens)+len(fresh)), f.tokens[:at(f.tokens, p.from)]...)
	for _, t := range fresh {
		t.start += p.from - holder
		tokens = append(tokens, t)
	}
	for _, t := range behind {
		t.start += grown
		tokens = append(tokens, t)
	}
	return tokens
}
