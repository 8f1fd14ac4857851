package report_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"lampwright/report"
)

func TestFolded(t *testing.T) {
	long := strings.Repeat("x", 90)
	for _, c := range []struct{ text, indent, want string }{
		{"", "  ", ""},
		{"a short line", "  ", "a short line"},
		{strings.Repeat("four ", 16), "", strings.TrimSpace(strings.Repeat("four ", 16))}, // 79
		{strings.Repeat("four ", 17), "", strings.TrimSpace(strings.Repeat("four ", 16)) + "\nfour"},
		{strings.Repeat("four ", 16), "  ", strings.TrimSpace(strings.Repeat("four ", 15)) + "\n  four"},
		{strings.Repeat("four ", 15) + "91 °C", "  ", strings.TrimSpace(strings.Repeat("four ", 15)) + "\n  91 °C"},
		{"a " + long + " b", "  ", "a\n  " + long + "\n  b"},
		{strings.Repeat("Ωµ° ", 20), "", strings.TrimSpace(strings.Repeat("Ωµ° ", 20))}, // letters count, not bytes
	} {
		got := report.Folded(c.text, c.indent)
		if got != c.want {
			t.Errorf("%q behind %q: %q, want %q", c.text, c.indent, got, c.want)
		}
		for line := range strings.SplitSeq(got, "\n") {
			if utf8.RuneCountInString(line) > report.FoldAt && !strings.Contains(line, long) {
				t.Errorf("%q is too wide", line)
			}
		}
	}
}
