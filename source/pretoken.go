package source

import (
	"fmt"
	"unicode/utf8"

	"lampwright/report"

	"github.com/goccy/go-yaml/token"
)

// level is a mapping or list outside brackets that is still open.
type level struct {
	column int
	keys   int
}

// tokenCheck looks at tokens before the parser sees them: the parser calls
// itself for every level and every key, so both are bounded here.
type tokenCheck struct {
	file     *File
	list     report.List
	levels   []level
	brackets []token.Type // those still open
	seen     bool         // a token of the document itself
}

// checkTokens refuses what is outside our part of YAML, and what is too much.
func checkTokens(file *File, tokens token.Tokens) report.List {
	c := tokenCheck{file: file}
	for i, tk := range tokens {
		if tk.Type == token.CommentType {
			continue
		}
		if i > 4*NodeLimit { // a value takes at most a dash, a key, a colon and itself
			c.limit(tk, "the file holds too many values", fmt.Sprintf("%d values", NodeLimit))
			return c.list
		}
		if full := c.one(tk); full {
			return c.list
		}
		c.seen = true
	}
	return c.list
}

// one looks at one token, and tells whether looking on is of no use.
func (c *tokenCheck) one(tk *token.Token) (full bool) {
	if r, bad := refused[tk.Type]; bad {
		c.list.Add(report.Errorf("not-read", c.place(tk), "%s", r.what).Do("%s", r.next))
	}
	switch tk.Type {
	case token.DocumentHeaderType, token.DocumentEndType:
		if c.seen || tk.Type == token.DocumentEndType {
			c.list.Add(report.Errorf("not-read", c.place(tk), "one file holds one document; %s is not read here", tk.Value).
				Do("delete this line, or move what follows into a file of its own"))
		}
	case token.SequenceStartType, token.MappingStartType:
		c.brackets = append(c.brackets, tk.Type)
	case token.SequenceEndType, token.MappingEndType:
		c.brackets = c.brackets[:max(0, len(c.brackets)-1)]
	case token.SequenceEntryType, token.MappingValueType:
		if len(c.brackets) == 0 {
			c.block(tk)
		}
	}
	if n := len(c.brackets); n > 0 && c.brackets[n-1] == token.MappingStartType {
		c.inBraces(tk)
	}
	if len(c.brackets)+len(c.levels) > DepthLimit {
		c.limit(tk, "values are nested too deeply here", fmt.Sprintf("%d levels", DepthLimit))
		return true
	}
	if len(c.levels) > 0 && c.levels[len(c.levels)-1].keys > KeyLimit {
		c.limit(tk, "too many keys stand beside one another here", fmt.Sprintf("%d keys", KeyLimit))
		return true
	}
	return len(c.list) >= FaultLimit
}

// inBraces refuses keys without a value. They mean nothing in our documents,
// are most often a comma at the wrong place, and cost the parser the square of
// their number.
func (c *tokenCheck) inBraces(tk *token.Token) {
	closes := func(tk *token.Token) bool {
		return tk != nil && (tk.Type == token.CollectEntryType || tk.Type == token.MappingEndType)
	}
	next := tk.Next
	for next != nil && next.Type == token.CommentType {
		next = next.Next
	}
	if !closes(next) {
		return
	}
	before := tk.Prev
	for before != nil && before.Type == token.CommentType {
		before = before.Prev
	}
	switch {
	case tk.Type == token.MappingValueType && before != nil:
		c.list.Add(report.Errorf("no-value", c.place(before), "nothing is written for %s", show(before.Value)).
			Do("write a value, or delete the key"))
	case before != nil && (before.Type == token.CollectEntryType || before.Type == token.MappingStartType) && !closes(tk) && tk.Type != token.MappingStartType:
		c.list.Add(report.Errorf("no-value", c.place(tk), "%s stands in braces without a colon and a value", show(tk.Value)).
			Do("write key: value, or put several values into a list with brackets, as in [1, 2]"))
	}
}

// block follows a dash or a key outside brackets.
func (c *tokenCheck) block(tk *token.Token) {
	column, keys := tk.Position.Column, 0
	if tk.Type == token.MappingValueType {
		keys = 1
		if tk.Prev != nil && tk.Prev.Position.Line == tk.Position.Line {
			column = tk.Prev.Position.Column
		}
	}
	for len(c.levels) > 0 && c.levels[len(c.levels)-1].column > column {
		c.levels = c.levels[:len(c.levels)-1]
	}
	if n := len(c.levels); n > 0 && c.levels[n-1].column == column {
		c.levels[n-1].keys += keys
		return
	}
	c.levels = append(c.levels, level{column, keys})
}

func (c *tokenCheck) limit(tk *token.Token, text, limit string) {
	c.list.Add(report.Errorf("limit", c.place(tk), "%s", text).
		Against("more", limit, "limit of this program").
		Do("check that this is the right file, and that every bracket is closed"))
}

func (c *tokenCheck) place(tk *token.Token) report.Place {
	return report.Place{File: c.file.Name, Line: tk.Position.Line, Column: max(1, tk.Position.Column), Length: max(1, utf8.RuneCountInString(tk.Value))}
}
