package source

import (
	"errors"
	"strings"

	"lampwright/report"

	"github.com/goccy/go-yaml"
)

// wordings turns the library's messages into the builder's words. The first
// row whose part occurs in the message is used.
var wordings = []struct{ part, text, next string }{
	{"end character of single-quoted", "a text in single quotes is never closed", "add the closing quote (') at its end"},
	{"end character of double-quoted", "a text in double quotes is never closed", "add the closing quote (\") at its end"},
	{"character '\t'", "a tab stands where only blanks may indent", "replace the tab by blanks"},
	{"cannot start any token", "a text cannot begin with this character", "put the text in quotes"},
	{"tab character", "a tab stands where only blanks may indent", "replace the tab by blanks"},
	{"flow mapping end token '}'", "a brace is opened here and never closed", "add the closing brace }"},
	{"',' or '}' must be specified", "a comma or a closing brace is missing before this", "add the comma or the brace }"},
	{"sequence end token ']'", "a bracket is opened here and never closed", "add the closing bracket ]"},
	{"',' or ']' must be specified", "a comma or a closing bracket is missing before this", "add the comma or the bracket ]"},
	{"expected sequence element", "there is one comma too many here", "delete the comma"},
	{"'[' character corresponding", "this bracket closes nothing", "delete it, or add the opening bracket ["},
	{"'{' character corresponding", "this brace closes nothing", "delete it, or add the opening brace {"},
	{"block sequence entries are not allowed", "a list item cannot begin here", "put the dash on a line of its own, indented below the key"},
	{"non-map value is specified", "this is not a key with a value", "write key: value, with a blank after the colon"},
	{"value is not allowed in this context", "this value stands where none can stand", "check the indentation, and put a text that holds ': ' in quotes"},
	{"mapping value is not allowed", "a second colon stands in one line", "put a text that holds ': ' in quotes"},
	{"reserved character", "a text cannot begin with this character", "put the text in quotes"},
	{"implicit line break", "a key runs over the end of its line", "write the key on one line, followed by a colon"},
	{"invalid key", "this is not a key", "write key: value, with a blank after the colon"},
	{"key", "the keys around this cannot be read", "write key: value, with a blank after the colon, and keys of one level in one column"},
	{"escape", "an escape in this quoted text is unknown", "use single quotes, or write \\\\ for one backslash"},
	{"surrogate", "an escape in this quoted text is not a character", "write the character itself"},
	{"header option", "the sign after | or > is unknown", "use | or > alone, or |- and >- for a text without a line end"},
}

// syntaxFault says what the library could not read.
func syntaxFault(file *File, err error) report.Diagnostic {
	place := report.Place{File: file.Name}
	message := err.Error()
	var fault *yaml.SyntaxError
	if errors.As(err, &fault) {
		message = fault.Message
		if fault.Token != nil && fault.Token.Position != nil {
			p := fault.Token.Position
			place.Line = p.Line
			if offset, ok := file.lines.offset(p.Line, p.Column); ok {
				place = file.lines.place(file.Name, offset, offset+1)
			}
		}
	}
	for _, w := range wordings {
		if strings.Contains(message, w.part) {
			return report.Errorf("syntax", place, "%s", w.text).Do("%s", w.next)
		}
	}
	return report.Errorf("syntax", place, "the text cannot be read from here on").
		Do("check the indentation, quotes, brackets and colons of this line and of the one before")
}
