package script

import (
	"bytes"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"lampwright/report"
	"lampwright/units"
)

// example is what a message shows to someone who wrote something else.
const example = "stop@1s..3s or turn-lh@4s..9s~90/min:50%"

// Names lists what exists, so that a text cannot speak of anything else.
type Names struct {
	Inputs []string          // nil: any
	Where  map[What][]string // the places of each thing; without an entry: any
}

// Parse reads the text form. file names the text in messages; known lists the inputs that exist, nil for any.
// It reports every fault up to MaxFaults, in the order of the text; the script holds the presses and conditions without fault.
func Parse(file string, text []byte, known []string) (Script, report.List) {
	return ParseIn(file, text, Names{Inputs: known})
}

// ParseIn is Parse for a job that has these names and no others.
func ParseIn(file string, text []byte, names Names) (Script, report.List) {
	p := parser{file: file, names: names}
	if len(text) > MaxTextBytes {
		p.faults.Add(report.Errorf("script-too-long", report.Place{File: file},
			"the script is %d bytes long, and at most %d are read", len(text), MaxTextBytes).
			Do("use the CSV form for long recordings, or a repeat such as %s", "turn-lh@4s..9s~90/min:50%"))
		return Script{}, p.faults
	}
	if !utf8.Valid(text) {
		p.faults.Add(report.Errorf("script-not-text", report.Place{File: file}, "the script is not UTF-8 text").
			Do("save it as plain UTF-8 text"))
		return Script{}, p.faults
	}
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	for i, line := range bytes.Split(text, []byte("\n")) {
		p.line(i+1, []rune(strings.TrimSuffix(string(line), "\r")))
	}
	p.tooMany()
	p.faults.FillLines(file, text)
	p.faults.Sort()
	return p.script, shortened(p.faults)
}

// byteOrderMark is what some editors and spreadsheets put in front of UTF-8 text.
const byteOrderMark = "\ufeff"

// shortened cuts a sorted list of faults to what can be read: a text with more of them is most likely something else.
func shortened(faults report.List) report.List {
	if len(faults) <= MaxFaults {
		return faults
	}
	more := report.Errorf("script-faults", faults[MaxFaults].Place, "there are %d more faults from here on", len(faults)-MaxFaults).
		Do("mend those above first, and check that this is a script and not another file")
	return append(faults[:MaxFaults:MaxFaults], more)
}

type parser struct {
	file   string
	names  Names
	script Script
	faults report.List
}

// line reads the presses and conditions of one line; each is judged on its own, so that one fault hides no other.
func (p *parser) line(number int, runes []rune) {
	for at := 0; at < len(runes); {
		switch {
		case unicode.IsSpace(runes[at]):
			at++
		case runes[at] == '#':
			return
		default:
			end := at
			for end < len(runes) && !unicode.IsSpace(runes[end]) && runes[end] != '#' {
				end++
			}
			w := word{p: p, line: number, at: at, runes: runes[at:end]}
			if w.kind() == "condition" {
				if c, ok := w.condition(); ok {
					p.script.World = append(p.script.World, c)
				}
			} else if press, ok := w.press(); ok {
				p.script.Presses = append(p.script.Presses, press)
			}
			at = end
		}
	}
}

// tooMany refuses a script whose flashes and bounces would unroll into more changes than are kept.
func (p *parser) tooMany() {
	total := int64(0)
	for _, press := range p.script.Presses {
		total += press.mostEvents()
	}
	if total > MaxEvents {
		p.faults.Add(report.Errorf("script-too-busy", report.Place{File: p.file},
			"the script may change its inputs %d times, and at most %d changes are played", total, MaxEvents).
			Do("shorten the flashing presses, or leave out some bounces"))
		p.script = Script{}
	}
	if n := len(p.script.World); n > MaxConditions {
		p.faults.Add(report.Errorf("script-too-busy", report.Place{File: p.file}, "the script holds %d conditions, and at most %d are played", n, MaxConditions).
			Do("leave some out, or cut the script into several"))
		p.script = Script{}
	}
}

// word is one press or condition as written.
type word struct {
	p     *parser
	line  int
	at    int // runes before the word in its line
	runes []rune
}

// place points at runes from..to-1 of the word.
func (w word) place(from, to int) report.Place {
	return report.Place{File: w.p.file, Line: w.line, Column: w.at + from + 1, Length: max(1, to-from)}
}

func (w word) fault(id string, from, to int, format string, args ...any) report.Diagnostic {
	return report.Errorf(id, w.place(from, to), format, args...)
}

// index finds a rune at or after from, or gives the word's length.
func (w word) index(from int, set string) int {
	for i := from; i < len(w.runes); i++ {
		if strings.ContainsRune(set, w.runes[i]) {
			return i
		}
	}
	return len(w.runes)
}

// kind tells what the word is, for messages.
func (w word) kind() string {
	if w.index(0, "=") < w.index(0, "@") {
		return "condition"
	}
	return "press"
}

func (w word) text(from, to int) string { return string(w.runes[from:to]) }

// press reads the word. It adds at most one fault for each of its parts.
func (w word) press() (Press, bool) {
	before := len(w.p.faults)
	var press Press
	at := w.index(0, "@")
	if at == len(w.runes) {
		w.p.faults.Add(w.fault("script-press", 0, at, "%q is not a press", w.text(0, at)).
			Expect("input@from..to, such as %s, or a condition such as supply=6.5V@2s..3s", example).
			Do("write no blank inside a press"))
		return press, false
	}
	press.Input = w.input(at)
	tilde := w.index(at, "~!")
	bang := w.index(at, "!")
	w.times(&press, at+1, tilde)
	if tilde < bang {
		w.flash(&press, tilde+1, bang)
	}
	if bang < len(w.runes) {
		w.bounce(&press, bang+1)
	}
	if len(w.p.faults) == before {
		w.sense(press, at, tilde, bang)
	}
	return press, len(w.p.faults) == before
}

// input reads and checks the name in runes 0..end-1.
func (w word) input(end int) string {
	name := w.text(0, end)
	if !validName(name) {
		w.p.faults.Add(w.fault("script-input", 0, end, "%q is not the name of an input", name).
			Expect("a letter or digit, then letters, digits, '-', '_' or '.'").Do("write it in that form"))
		return name
	}
	known := w.p.names.Inputs
	if known == nil || slices.Contains(known, name) {
		return name
	}
	d := w.fault("script-unknown-input", 0, end, "there is no input %q", name).DidYouMean(name, known)
	if len(known) > 0 {
		d = d.Do("use one of: %s", strings.Join(known, ", "))
	} else {
		d = d.Do("give the job an input first")
	}
	w.p.faults.Add(d)
	return name
}

// validName tells whether a text can name an input.
func validName(name string) bool {
	for i, r := range name {
		letter := unicode.IsLetter(r) || unicode.IsDigit(r)
		if !letter && (i == 0 || !strings.ContainsRune("-_.", r)) {
			return false
		}
	}
	return name != ""
}

// times reads from..to in runes from..end-1.
func (w word) times(press *Press, from, end int) {
	text := w.text(from, end)
	dots := strings.Index(text, "..")
	if dots < 0 {
		w.p.faults.Add(w.fault("script-times", from, end, "%q does not say from when to when", text).
			Expect("from..to, such as 1s..3s").Do("write it in that form"))
		return
	}
	middle := from + utf8.RuneCountInString(text[:dots])
	var good [2]bool
	press.From, good[0] = w.time(from, middle)
	press.To, good[1] = w.time(middle+2, end)
	if good[0] && good[1] && press.To <= press.From {
		w.p.faults.Add(w.fault("script-times", from, end, "the %s ends at %s and begins at %s", w.kind(), press.To, press.From).
			Do("let it end after it begins"))
	}
}

// time reads a time within the limits in runes from..end-1.
func (w word) time(from, end int) (units.Time, bool) {
	t, err := units.ParseTime(w.text(from, end))
	switch {
	case err != nil:
		w.p.faults.Add(w.fault("script-time", from, end, "%q is not a time", w.text(from, end)).
			Expect("a number with ms, s or min and no blank, such as 300ms, 1.5s or 2min").Do("write it in that form"))
	case t < 0:
		w.p.faults.Add(w.fault("script-time", from, end, "%s is before the start of play", t).Do("count times from 0ms on"))
	case t > MaxTime:
		w.p.faults.Add(w.fault("script-time", from, end, "%s is later than is played", t).
			Do("keep every time within %s", MaxTime))
	default:
		return t, true
	}
	return 0, false
}
