package source

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"lampwright/report"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// piece is a token with the bytes it starts at.
type piece struct {
	kind    token.Type
	start   int
	content bool // the text of a block scalar, which starts at no place of its own
}

// builder turns the library's tree into nodes with byte spans.
type builder struct {
	file   *File
	index  map[*token.Token]int // into file.tokens
	faults report.List
	nodes  int
}

// locate finds the byte offset of every token.
func (b *builder) locate(tokens token.Tokens) report.List {
	b.file.tokens = make([]piece, 0, len(tokens))
	for i, tk := range tokens {
		content := i > 0 && isBlockHeader(tokens, i-1)
		offset, ok := b.file.lines.offset(tk.Position.Line, tk.Position.Column)
		if content { // the text of a block scalar carries no usable column
			offset, ok = b.file.tokens[len(b.file.tokens)-1].start, true
		}
		if !ok {
			return report.List{report.Errorf("syntax", report.Place{File: b.file.Name, Line: tk.Position.Line}, "this line cannot be read").
				Do("check its quotes, brackets and blanks")}
		}
		b.index[tk] = i
		b.file.tokens = append(b.file.tokens, piece{tk.Type, offset, content})
	}
	return nil
}

// isBlockHeader tells whether the token at i, or a comment after it, opens the
// block text that follows.
func isBlockHeader(tokens token.Tokens, i int) bool {
	if tokens[i].Type == token.CommentType && i > 0 && tokens[i-1].Position.Line == tokens[i].Position.Line {
		i--
	}
	return tokens[i].Type == token.LiteralType || tokens[i].Type == token.FoldedType
}

// start gives the offset of a token.
func (b *builder) start(tk *token.Token) int {
	if i, ok := b.index[tk]; ok {
		return b.file.tokens[i].start
	}
	offset, _ := b.file.lines.offset(tk.Position.Line, max(1, tk.Position.Column))
	return offset
}

// next gives the offset of the first token that starts after offset.
func (b *builder) next(tk *token.Token, offset int) int {
	if i, ok := b.index[tk]; ok {
		for _, p := range b.file.tokens[i+1:] {
			if p.start > offset {
				return p.start
			}
		}
	}
	return len(b.file.lines.text)
}

func (b *builder) document(tree *ast.File) *node {
	var body ast.Node
	for _, doc := range tree.Docs {
		if doc.Body == nil {
			continue
		}
		if body != nil {
			b.fault(b.file.place(&node{start: b.start(doc.Body.GetToken())}), "syntax", "a second document begins here")
			break
		}
		body = doc.Body
	}
	if body == nil {
		return &node{}
	}
	return b.node(body, 0, 0)
}

func (b *builder) fault(place report.Place, id, text string) {
	if len(b.faults) < FaultLimit {
		b.faults.Add(report.Errorf(id, place, "%s", text).Do("check the indentation, quotes and brackets around it"))
	}
}

// node converts one value. after is where an absent value would stand.
func (b *builder) node(from ast.Node, after, depth int) *node {
	b.nodes++
	if depth > DepthLimit || b.nodes > NodeLimit {
		if b.nodes == NodeLimit+1 || depth == DepthLimit+1 {
			b.fault(b.file.place(&node{start: after, end: after}), "limit",
				fmt.Sprintf("the file holds more than %d values or %d levels", NodeLimit, DepthLimit))
		}
		return &node{start: after, end: after}
	}
	switch v := from.(type) {
	case nil:
		return &node{start: after, end: after}
	case *ast.NullNode:
		return b.null(v, after)
	case *ast.MappingNode:
		return b.mapping(v.Values, v.IsFlowStyle, v.Start, v.End, depth)
	case *ast.MappingValueNode:
		return b.mapping([]*ast.MappingValueNode{v}, false, nil, nil, depth)
	case *ast.SequenceNode:
		return b.list(v, depth)
	case *ast.LiteralNode:
		return b.block(v)
	case *ast.StringNode:
		return b.scalar(v.Token, v.Value)
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		tk := from.GetToken()
		return b.scalar(tk, tk.Value)
	}
	b.fault(b.file.place(&node{start: after, end: after}), "syntax", "this value cannot be read")
	return &node{start: after, end: after}
}

// null tells an absent value from a written word that means nothing.
func (b *builder) null(v *ast.NullNode, after int) *node {
	if _, written := b.index[v.Token]; !written {
		return &node{start: after, end: after}
	}
	start := b.start(v.Token)
	return &node{start: start, end: b.trimmed(start, b.next(v.Token, start))}
}

func (b *builder) scalar(tk *token.Token, text string) *node {
	n := &node{kind: Scalar, text: text, start: b.start(tk)}
	body := b.file.lines.text
	switch tk.Type {
	case token.SingleQuoteType, token.DoubleQuoteType:
		n.style = '\''
		if tk.Type == token.DoubleQuoteType {
			n.style = '"'
		}
		n.end = quotedEnd(body, n.start, n.style)
		if n.end < 0 {
			b.fault(b.file.place(n), "syntax", "the quoted text has no clear end")
			n.end = n.start
		}
	default:
		n.end = b.trimmed(n.start, b.next(tk, n.start))
	}
	b.measure(n)
	return n
}

// quotedEnd gives the offset after the closing quote of the text at start, or -1.
func quotedEnd(body string, start int, quote byte) int {
	if start >= len(body) || body[start] != quote {
		return -1
	}
	for i := start + 1; i < len(body); i++ {
		switch {
		case quote == '"' && body[i] == '\\':
			i++
		case body[i] == quote && quote == '\'' && i+1 < len(body) && body[i+1] == quote:
			i++
		case body[i] == quote:
			return i + 1
		}
	}
	return -1
}

func (b *builder) block(v *ast.LiteralNode) *node {
	n := &node{kind: Scalar, text: v.Value.Value, style: '|', start: b.start(v.Start)}
	if v.Start.Type == token.FoldedType {
		n.style = '>'
	}
	end := b.next(v.Start, n.start)
	if i, ok := b.index[v.Value.Token]; ok {
		end = len(b.file.lines.text)
		if i+1 < len(b.file.tokens) {
			end = b.file.tokens[i+1].start
		}
	}
	n.end = b.trimmed(n.start, end)
	b.measure(n)
	return n
}

// trimmed gives the end of the bytes start..end-1 without blanks at their end.
func (b *builder) trimmed(start, end int) int {
	if end < start {
		return start
	}
	return start + len(strings.TrimRight(b.file.lines.text[start:end], " \t\n"))
}

// measure refuses a text that is too long.
func (b *builder) measure(n *node) {
	if len(n.text) > StringLimitRunes && utf8.RuneCountInString(n.text) > StringLimitRunes {
		b.fault(b.file.place(n), "limit", fmt.Sprintf("this text is longer than %d characters", StringLimitRunes))
	}
}

func (b *builder) mapping(values []*ast.MappingValueNode, flow bool, open, closing *token.Token, depth int) *node {
	n := &node{kind: Mapping, flow: flow}
	for _, v := range values {
		keyToken := v.Key.GetToken()
		key := b.scalar(keyToken, keyToken.Value)
		e := entry{key: key, colon: key.end}
		if i, ok := b.index[v.Start]; ok && v.Start.Type == token.MappingValueType {
			e.colon = b.file.tokens[i].start + 1
		}
		e.value = b.node(v.Value, e.colon, depth+1)
		n.entries = append(n.entries, e)
	}
	switch {
	case flow:
		n.start, n.end = b.start(open), b.start(closing)+1
	case len(n.entries) > 0:
		n.start, n.end = n.entries[0].key.start, n.entries[len(n.entries)-1].end()
	}
	return n
}

func (b *builder) list(v *ast.SequenceNode, depth int) *node {
	n := &node{kind: List, flow: v.IsFlowStyle}
	for i, value := range v.Values {
		at := 0
		if !n.flow && i < len(v.Entries) && v.Entries[i].Start != nil {
			at = b.start(v.Entries[i].Start)
		}
		it := item{dash: at}
		if !n.flow {
			it.value = b.node(value, at+1, depth+1)
		} else {
			it.value = b.node(value, b.start(v.Start)+1, depth+1)
			it.dash = it.value.start
		}
		n.items = append(n.items, it)
	}
	switch {
	case n.flow:
		n.start, n.end = b.start(v.Start), b.start(v.End)+1
	case len(n.items) > 0:
		n.start, n.end = n.items[0].dash, n.items[len(n.items)-1].end()
	}
	return n
}
