package report

import (
	"strings"
	"unicode/utf8"
)

// FoldAt is how wide a line of text is at most where it can be folded, letters: a screen of 80 columns.
const FoldAt = 80

// Folded breaks a text at blanks so that no line is wider than FoldAt; what follows the first line stands behind an indent, for which the
// first has room as well. A number keeps the word behind it, mostly its unit; a word that is wider than a line is left whole.
func Folded(text, indent string) string {
	var lines []string
	line := ""
	words := strings.Fields(text)
	for i := 0; i < len(words); i++ {
		word := words[i]
		if i+1 < len(words) && isNumber(word) {
			i++
			word += " " + words[i]
		}
		if line != "" && utf8.RuneCountInString(indent+line+" "+word) > FoldAt {
			lines, line = append(lines, line), word
			continue
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return strings.Join(append(lines, line), "\n"+indent)
}

func isNumber(word string) bool { return strings.Trim(word, "-−.0123456789") == "" }
