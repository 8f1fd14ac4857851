package source

import (
	"errors"
	"fmt"
	"os"
	"unicode/utf8"

	"lampwright/report"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

// Read reads and parses a file. The diagnostics name it by path.
func Read(path string) (*File, report.List) {
	text, list := readBounded(path)
	if list.HasErrors() {
		return nil, list
	}
	return Parse(path, text)
}

// readBounded reads a file whose size is within TextLimitBytes.
func readBounded(path string) ([]byte, report.List) {
	place := report.Place{File: path}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, report.List{report.Errorf("no-file", place, "there is no such file").Do("check the name and the folder")}
	case err != nil:
		return nil, report.List{report.Errorf("no-file", place, "the file cannot be reached").Do("check its permissions")}
	case info.IsDir():
		return nil, report.List{report.Errorf("no-file", place, "this is a folder, not a file").Do("name the file inside it")}
	case info.Size() > TextLimitBytes:
		return nil, report.List{tooLarge(place, info.Size())}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, report.List{report.Errorf("no-file", place, "the file cannot be read").Do("check its permissions")}
	}
	return text, nil
}

func tooLarge(place report.Place, size int64) report.Diagnostic {
	return report.Errorf("limit", place, "the file is too large to be one of ours").
		Against(fmt.Sprintf("%d bytes", size), fmt.Sprintf("%d bytes", TextLimitBytes), "limit of this program").
		Do("check that this is the right file")
}

// Parse reads text as YAML. name stands in the places of diagnostics. The File
// is nil exactly when the list has errors.
func Parse(name string, text []byte) (*File, report.List) {
	file := &File{Name: name, lines: newLines(string(text))}
	if d, bad := checkCharacters(file, text); bad {
		return nil, file.Finish(report.List{d})
	}
	tokens := lexer.Tokenize(file.lines.text)
	if list := checkTokens(file, tokens); len(list) > 0 {
		return nil, file.Finish(list)
	}
	tree, err := parseTokens(tokens)
	if err != nil {
		return nil, file.Finish(report.List{syntaxFault(file, err)})
	}
	b := &builder{file: file, index: make(map[*token.Token]int, len(tokens))}
	if list := b.locate(tokens); len(list) > 0 {
		return nil, file.Finish(list)
	}
	file.root = b.document(tree)
	if len(b.faults) > 0 {
		return nil, file.Finish(b.faults)
	}
	return file, nil
}

// Finish gives diagnostics that point into the file their source lines, and
// sorts them.
func (f *File) Finish(list report.List) report.List {
	list.FillLines(f.Name, []byte(f.lines.text))
	list.Sort()
	return list
}

// parseTokens runs the library's parser. Repeated keys are let through because
// we report them ourselves, all of them and with both places.
func parseTokens(tokens token.Tokens) (tree *ast.File, err error) {
	defer func() {
		// The library is large and meets arbitrary input; a fault in it must be
		// a message here, not the loss of the program.
		if recover() != nil {
			tree, err = nil, errors.New("unreadable")
		}
	}()
	return parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
}

// checkCharacters refuses what is not readable text.
func checkCharacters(file *File, text []byte) (report.Diagnostic, bool) {
	if len(text) > TextLimitBytes {
		return tooLarge(report.Place{File: file.Name}, int64(len(text))), true
	}
	body := file.lines.text
	for at := 0; at < len(body); {
		r, size := utf8.DecodeRuneInString(body[at:])
		place := func() report.Place { return file.lines.place(file.Name, at, at+size) }
		switch {
		case r == utf8.RuneError && size == 1:
			return report.Errorf("characters", place(), "the text is not in UTF-8 here").
				Do("save the file as UTF-8"), true
		case r == '\r':
			return report.Errorf("characters", place(), "a carriage return stands alone here").
				Do("save the file with the line ends of Windows or of Unix"), true
		case r < ' ' && r != '\n' && r != '\t', r == 0x7f, r >= 0x80 && r < 0xa0, r == '\u2028', r == '\u2029', r == '\ufeff':
			return report.Errorf("characters", place(), "there is an invisible control character here (U+%04X)", r).
				Do("delete it"), true
		}
		at += size
	}
	return report.Diagnostic{}, false
}

// refused lists the parts of YAML that are not read, with what to do instead.
var refused = map[token.Type]struct{ what, next string }{
	token.AnchorType:     {"anchors (&) are not read here", "write the value out where it is used, or put the text in quotes"},
	token.AliasType:      {"aliases (*) are not read here", "write the value out where it is used, or put the text in quotes"},
	token.MergeKeyType:   {"merge keys (<<) are not read here", "write the keys out where they are used"},
	token.TagType:        {"tags (!) are not read here", "leave the tag out, or put the text in quotes"},
	token.DirectiveType:  {"directives (%) are not read here", "delete this line, or put the text in quotes"},
	token.MappingKeyType: {"keys marked with ? are not read here", "write key: value, or put the text in quotes"},
}
