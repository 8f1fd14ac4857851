package report_test

import (
	"bytes"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"lampwright/report"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func at(line, column, length int) report.Place {
	return report.Place{File: "a.yaml", Line: line, Column: column, Length: length}
}

// specimens shows every part of a diagnostic and every trap of its picture.
func specimens() report.List {
	long := strings.Repeat("abcdefghi ", 40) + "HERE" + strings.Repeat(" jklmnopqr", 40)
	d := func(d report.Diagnostic, line string) report.Diagnostic { d.Line = line; return d }
	return report.List{
		d(report.Errorf("unknown-key", at(3, 7, 5), "there is no key %q here", "titel").
			Expect("title, for, use").DidYouMean("titel", []string{"title", "for", "use"}).
			Because("it would be lost").Do("correct the key").
			See(at(1, 1, 3), "the first one"), "  x: {titel: a}"),
		d(report.Errorf("tab", at(4, 3, 1), "after two tabs"), "\t\tx"),
		d(report.Errorf("wide", at(5, 5, 2), "after wide letters"), "日本: 灯火 x"),
		d(report.Errorf("marks", at(6, 5, 1), "after a combining mark"), "e\u0301: x"),
		d(report.Errorf("end", at(7, 4, 1), "behind the end"), "abc"),
		d(report.Errorf("beyond", at(8, 99, 9), "far behind the end"), "abc"),
		d(report.Errorf("long", at(9, 401, 4), "in a long line"), long),
		d(report.Errorf("control", at(10, 2, 1), "beside a \x1b[31mcontrol character"), "a\x1bb"),
		d(report.Cautionf("line", at(11, 0, 0), "a whole line"), "key: value"),
		report.Errorf("file", report.Place{File: "b.yaml"}, "a whole file").Do("check it"),
		report.Errorf("nowhere", report.Place{}, "nothing in particular"),
		d(report.Findingf(report.StopWork, "r-stop", at(12, 1, 4), "the stop lamp is late").
			Against("0.31 s", "0.20 s", "common practice").Do("shorten the sweep"), "stop: late"),
		report.Findingf(report.Note, "r-note", at(13, 1, 1), "for information"),
	}
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := "testdata/" + name
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s (-want +got):\n%s", path, diff)
	}
}

func TestRender(t *testing.T) {
	var text bytes.Buffer
	if err := report.Render(&text, specimens()); err != nil {
		t.Fatal(err)
	}
	golden(t, "specimens.txt", text.Bytes())
}

func TestJSONComesBackTheSame(t *testing.T) {
	var text bytes.Buffer
	if err := report.WriteJSON(&text, specimens()); err != nil {
		t.Fatal(err)
	}
	golden(t, "specimens.json", text.Bytes())
	back, err := report.ReadJSON(&text)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(specimens(), back); diff != "" {
		t.Error(diff)
	}
	var empty bytes.Buffer
	if err := report.WriteJSON(&empty, nil); err != nil || !strings.Contains(empty.String(), `"diagnostics": []`) {
		t.Errorf("an empty list is %s (%v)", empty.String(), err)
	}
	for _, bad := range []string{"", "{", `{"version": 2, "diagnostics": []}`, `{"version":1,"diagnostics":[{"severity":"loud"}]}`, `{"version":1,"diagnostics":[{"kind":"x"}]}`} {
		if _, err := report.ReadJSON(strings.NewReader(bad)); err == nil {
			t.Errorf("%q was read", bad)
		}
	}
}

func TestSeveritiesCompareByWeight(t *testing.T) {
	if !(report.StopWork > report.Caution && report.Caution > report.Note) {
		t.Error("severities are out of order")
	}
	if (report.Diagnostic{}).Severity != report.StopWork {
		t.Error("a forgotten severity does not stop work")
	}
}

func TestAListIsAnErrorOnlyWhenItStopsWork(t *testing.T) {
	list := report.List{report.Cautionf("a", at(1, 1, 1), "careful")}
	if list.HasErrors() || list.Err() != nil {
		t.Error("a caution stops work")
	}
	if err := (report.List)(nil).Err(); err != nil {
		t.Errorf("an empty list is the error %v", err)
	}
	list.Add(report.Errorf("b", at(2, 1, 1), "wrong"))
	var back report.List
	if !errors.As(list.Err(), &back) || len(back) != 2 {
		t.Error("the list is lost behind its error")
	}
	if got := list.Error(); got != "a.yaml:1:1: caution: careful\na.yaml:2:1: error: wrong" {
		t.Errorf("it reads %q", got)
	}
}

func TestSummaryCountsInWords(t *testing.T) {
	if got := specimens().Summary(); got != "10 errors, 1 stop-work finding, 1 caution, 1 note" {
		t.Errorf("%q", got)
	}
	if got := (report.List{}).Summary(); got != "nothing to report" {
		t.Errorf("%q", got)
	}
}

func TestSortingIsTotal(t *testing.T) {
	place := rapid.Custom(func(t *rapid.T) report.Place {
		return report.Place{
			File: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "file"),
			Line: rapid.IntRange(0, 2).Draw(t, "line"), Column: rapid.IntRange(0, 2).Draw(t, "column"),
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		var list report.List
		for range rapid.IntRange(0, 12).Draw(t, "n") {
			list.Add(report.Errorf(rapid.SampledFrom([]string{"x", "y"}).Draw(t, "id"), place.Draw(t, "place"), "%s", rapid.SampledFrom([]string{"p", "q"}).Draw(t, "text")))
		}
		other := slices.Clone(list)
		slices.Reverse(other)
		list.Sort()
		other.Sort()
		if diff := cmp.Diff(list, other); diff != "" {
			t.Fatalf("the order depends on the order of adding:\n%s", diff)
		}
		for i := 1; i < len(list); i++ {
			if list[i-1].Place.Compare(list[i].Place) > 0 {
				t.Fatalf("%v stands before %v", list[i-1].Place, list[i].Place)
			}
		}
	})
}

func TestSuggest(t *testing.T) {
	words := []string{"sweep", "clear", "pass", "swing", "fade-up", "fade-down", "road-us", "LH", "RH"}
	for word, want := range map[string]string{
		"sweap": "sweep", "swep": "sweep", "seweep": "sweep", "wseep": "sweep", "fade up": "fade-up", "fadeup": "fade-up",
		"Fade_Down": "fade-down", "road-uk": "road-us", "lh": "LH", "swin": "swing",
		"": "", "xyzzy": "", "sweep": "", "clear-all-of-it": "", strings.Repeat("a", 1000): "",
	} {
		if got := report.Suggest(word, words); got != want {
			t.Errorf("%q suggests %q, want %q", word, got, want)
		}
	}
	if got := report.Suggest("a", []string{"b", "c"}); got != "" {
		t.Errorf("a suggests %q", got)
	}
}

func TestFillLines(t *testing.T) {
	list := report.List{report.Errorf("a", at(2, 1, 1), "x").See(at(1, 1, 1), "y"), report.Errorf("b", at(9, 1, 1), "z"), report.Errorf("c", report.Place{File: "other", Line: 1}, "z")}
	list.FillLines("a.yaml", []byte("one\r\ntwo\r\n"))
	if list[0].Line != "two" || list[0].Notes[0].Line != "one" || list[1].Line != "" || list[2].Line != "" {
		t.Errorf("%+v", list)
	}
}

func FuzzRender(f *testing.F) {
	f.Add("a: b\tc", 3, 2, "text")
	f.Add("日本", 2, 9, "\x1b")
	f.Add("\xff\xfe", 1, 1, "\u202e")
	f.Fuzz(func(t *testing.T, line string, column, length int, text string) {
		d := report.Errorf("id", report.Place{File: "f", Line: 1, Column: column, Length: length}, "%s", text)
		d.Line = line
		var out bytes.Buffer
		if err := report.Render(&out, report.List{d}); err != nil {
			t.Fatal(err)
		}
		for _, r := range out.String() {
			if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
				t.Fatalf("a control character was printed: %q", out.String())
			}
		}
		report.Suggest(line, []string{text})
	})
}
