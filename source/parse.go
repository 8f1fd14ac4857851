package source

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
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
	refuse := func(next, format string, args ...any) ([]byte, report.List) {
		return nil, report.List{report.Errorf("no-file", place, format, args...).Do("%s", next)}
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		fault := report.Errorf("no-file", place, "there is no such file").Do("check the name and the folder")
		fault.Suggestion = neighbour(path)
		return nil, report.List{fault}
	case errors.Is(err, fs.ErrPermission):
		return refuse("check the permissions of its folder", "you may not look into the folder of this file")
	case err != nil:
		return refuse("check the name and the folder", "the file cannot be reached")
	case info.IsDir():
		return refuse("name the file inside it", "this is a folder, not a file")
	case info.Size() > TextLimitBytes:
		return nil, report.List{tooLarge(place, info.Size())}
	}
	file, err := os.Open(path)
	if err != nil {
		return refuse("check its permissions", "you may not read this file")
	}
	defer file.Close()
	// A device or a pipe tells no size beforehand.
	text, err := io.ReadAll(io.LimitReader(file, TextLimitBytes+1))
	if err != nil {
		return refuse("check the disk, then try again", "the file cannot be read to its end")
	}
	return text, nil
}

// neighbour finds a file of nearly the same name in the same folder.
func neighbour(path string) string {
	folder, name := filepath.Split(path)
	entries, err := os.ReadDir(cmp.Or(folder, "."))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	if near := report.Suggest(name, names); near != "" {
		return folder + near
	}
	return ""
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
	if unreadable := notText(file.Name, text); unreadable != nil {
		return *unreadable, true
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

// A file is no text when its head holds more zero bytes than a slip of an editor would leave.
const headBytes, slipBytes = 1024, 3

// notText tells text in another form, and what is no text at all, from text with a slip in it.
func notText(name string, text []byte) *report.Diagnostic {
	start := report.Place{File: name}
	var fault report.Diagnostic
	switch {
	case bytes.HasPrefix(text, []byte{0xff, 0xfe}), bytes.HasPrefix(text, []byte{0xfe, 0xff}):
		fault = report.Errorf("characters", start, "the file is text in UTF-16, and only UTF-8 is read").Do("save the file as UTF-8")
	case bytes.Count(text[:min(len(text), headBytes)], []byte{0}) > slipBytes:
		fault = report.Errorf("characters", start, "this is not a text file").Do("check that this is the right file")
	default:
		return nil
	}
	return &fault
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
