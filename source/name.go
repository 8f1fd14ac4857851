package source

import (
	"strings"
	"unicode"

	"lampwright/report"
)

// NameExpected says what a name may look like.
const NameExpected = "a name of lower-case letters, digits and single hyphens that begins with a letter, as in tail-lh"

// reservedName is the key for free text in every mapping, so nothing can be
// called by it.
const reservedName = "note"

// NameProblem tells what keeps a text from being a name, or "" when it is one.
func NameProblem(text string) string {
	switch {
	case text == "":
		return "it is empty"
	case len(text) > NameLimitRunes:
		return "it is longer than 48 characters"
	case text == reservedName:
		return "note is kept for free text"
	case text[0] < 'a' || text[0] > 'z':
		return "it does not begin with a lower-case letter"
	case strings.HasSuffix(text, "-"):
		return "it ends in a hyphen"
	case strings.Contains(text, "--"):
		return "it has two hyphens in a row"
	}
	for _, r := range text {
		if (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' {
			return "it holds " + quoteRune(r)
		}
	}
	return ""
}

func quoteRune(r rune) string {
	if r == ' ' {
		return "a blank"
	}
	return "\"" + string(r) + "\""
}

// plainLetters writes letters of European languages without their marks.
var plainLetters = strings.NewReplacer("ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss", "æ", "ae", "œ", "oe", "ø", "o", "å", "a", "à", "a", "á", "a", "â", "a", "ã", "a",
	"ç", "c", "è", "e", "é", "e", "ê", "e", "ë", "e", "ì", "i", "í", "i", "î", "i", "ï", "i", "ñ", "n", "ò", "o", "ó", "o", "ô", "o", "õ", "o", "ù", "u", "ú", "u", "û", "u", "ý", "y")

// properName bends a text into a name, for suggestions. It may give "".
func properName(text string) string {
	name := strings.Map(func(r rune) rune {
		switch {
		case r == ' ', r == '_', r == '.':
			return '-'
		case r < unicode.MaxASCII && !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '-':
			return -1
		}
		return r
	}, plainLetters.Replace(strings.ToLower(text)))
	for strings.Contains(name, "--") {
		name = strings.ReplaceAll(name, "--", "-")
	}
	name = strings.Trim(name, "-")
	if NameProblem(name) != "" {
		return ""
	}
	return name
}

// nameFault reports a text that is not a name.
func nameFault(text string, place report.Place) (report.Diagnostic, bool) {
	problem := NameProblem(text)
	if problem == "" {
		return report.Diagnostic{}, false
	}
	d := report.Errorf("bad-name", place, "%s cannot be a name: %s", show(text), problem).
		Expect("%s", NameExpected).Do("choose another name")
	if strings.Contains(text, ":") {
		return d.Do("write a blank after the colon"), true
	}
	d.Suggestion = properName(text)
	if d.Suggestion != "" {
		d.Next = "write the suggested name here and wherever it is used"
	}
	return d, true
}

// showRunes is the longest piece of a document that a message repeats, in runes.
const showRunes = 40

// show quotes a piece of a document for a message.
func show(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	if runes := []rune(text); len(runes) > showRunes {
		text = string(runes[:showRunes]) + "…"
	}
	return "\"" + text + "\""
}
