package script

import (
	"bytes"
	"cmp"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/report"
	"lampwright/units"
)

func mustParse(t *testing.T, text string) Script {
	t.Helper()
	script, faults := Parse("presses", []byte(text), nil)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return script
}

func TestLevelIsHalfOpen(t *testing.T) {
	line := mustParse(t, "stop@1s..3s stop@3s..4s stop@6s..8s stop@7s..7.5s").Timeline(0)
	for at, want := range map[units.Time]bool{
		0: false, 1*s - 1: false, 1 * s: true, 3 * s: true, 4*s - 1: true, 4 * s: false,
		6*s - 1: false, 6 * s: true, 7600 * ms: true, 8 * s: false, 60 * s: false,
	} {
		if got := line.Level("stop", at); got != want {
			t.Errorf("at %v: %v", at, got)
		}
	}
	if line.Level("tail", 2*s) {
		t.Error("an input without a press is on")
	}
	want := []Event{{1 * s, "stop", true}, {4 * s, "stop", false}, {6 * s, "stop", true}, {8 * s, "stop", false}}
	if got := line.Events(); !slices.Equal(got, want) {
		t.Errorf("events %v", got)
	}
	if line.End() != 8*s {
		t.Errorf("End = %v", line.End())
	}
}

// Ninety flashes a minute, half on: 333.3 ms on, 333.3 ms off. The edges are the exact thirds of a second, rounded down to
// a microsecond, also after an hour.
func TestFlashDoesNotDrift(t *testing.T) {
	line := mustParse(t, "turn-lh@1s..60min~90/min:50%").Timeline(0)
	spans := line.Spans("turn-lh")
	if len(spans) != (3600-1)*90/60+1 {
		t.Fatalf("%d flashes", len(spans))
	}
	for k, span := range spans[:len(spans)-1] {
		from := 1*s + units.Time(int64(k)*2*int64(s)/3)
		to := 1*s + units.Time((int64(k)*2+1)*int64(s)/3)
		if span.From != from || span.To != to {
			t.Fatalf("flash %d is %v..%v, want %v..%v", k, span.From, span.To, from, to)
		}
	}
	if last := spans[len(spans)-1]; last.To > 60*units.Minute {
		t.Errorf("the last flash ends at %v", last.To)
	}
}

func TestBounceChattersAndComesToRest(t *testing.T) {
	script := mustParse(t, "stop@1s..3s!10ms turn-lh@0s..2s~120/min:50%!5ms")
	line := script.Timeline(7)
	for _, span := range []Span{{"stop", 1*s + 10*ms, 3 * s}, {"turn-lh", 255 * ms, 500 * ms}} {
		want := span.Input == "stop"
		for at := span.From; at < span.To; at += 100 {
			if line.Level(span.Input, at) != want {
				t.Fatalf("%s is %v at %v", span.Input, !want, at)
			}
		}
	}
	early := 0
	for _, e := range line.Events() {
		if e.Input == "stop" && e.At < 1*s+10*ms {
			early++
		}
	}
	// Touches and gaps of 0.1 to 0.7 ms: 10 ms hold at least 14 of them, less one pair at the end.
	if early < 12 || early%2 == 0 {
		t.Errorf("%d changes in 10 ms of chatter", early)
	}
	if !reflect.DeepEqual(line, script.Timeline(7)) {
		t.Error("two runs with one seed differ")
	}
	if reflect.DeepEqual(line, script.Timeline(8)) {
		t.Error("the seed changes nothing")
	}
	alone := mustParse(t, "stop@1s..3s!10ms").Timeline(7)
	if !slices.Equal(alone.Spans("stop"), line.Spans("stop")) {
		t.Error("another press changes how stop chatters")
	}
}

// A timeline agrees with a plain reading of its script, and holds no more changes than promised.
func TestTimelineAgreesWithItsPresses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		script := genScript(t)
		var most int64
		for i := range script.Presses {
			most += script.Presses[i].mostEvents()
		}
		if most > 20_000 {
			t.Skip("too busy to compare")
		}
		line := script.Timeline(rapid.Uint64().Draw(t, "seed"))
		events := line.Events()
		if int64(len(events)) > most {
			t.Fatalf("%d changes, promised at most %d", len(events), most)
		}
		if !slices.IsSortedFunc(events, func(a, b Event) int { return cmp.Or(cmp.Compare(a.At, b.At), cmp.Compare(a.Input, b.Input)) }) {
			t.Fatal("events are not sorted")
		}
		level := map[string]bool{}
		for _, e := range events {
			if level[e.Input] == e.On {
				t.Fatalf("%v changes nothing", e)
			}
			level[e.Input] = e.On
			if line.Level(e.Input, e.At) != e.On || line.Level(e.Input, e.At-1) == e.On {
				t.Fatalf("levels around %v are wrong", e)
			}
		}
		at := units.Time(rapid.Int64Range(0, int64(script.Len())+1).Draw(t, "at"))
		for _, input := range script.Inputs() {
			want, sure := false, true
			for _, p := range script.Presses {
				if p.Input != input {
					continue
				}
				on, known := p.plain(at)
				want, sure = want || on, sure && known
			}
			if sure && line.Level(input, at) != want {
				t.Fatalf("%s at %v: %v in %s", input, at, !want, Format(script))
			}
		}
	})
}

// plain reads a press without unrolling it. It is unsure while the contacts chatter and within 2 µs of a flash's edge.
func (p Press) plain(at units.Time) (on, sure bool) {
	if at < p.From || at >= p.To+p.Bounce {
		return false, true
	}
	if p.Bounce > 0 && at >= p.To {
		return false, false
	}
	if p.Flash.Rate == 0 {
		return true, at >= p.From+p.Bounce
	}
	period := float64(flashPeriod) / float64(p.Flash.Rate)
	k := int(float64(at-p.From) / period)
	into := float64(at-p.From) - float64(k)*period
	on = into < period*float64(p.Flash.Share)/1000
	if !on {
		into -= period * float64(p.Flash.Share) / 1000
	}
	return on, into > float64(p.Bounce)+2 && into < period-2 && !(on && into > period*float64(p.Flash.Share)/1000-2)
}

func TestCSVReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line := genScript(t).Timeline(1)
		var out bytes.Buffer
		if err := WriteCSV(&out, line); err != nil {
			t.Fatal(err)
		}
		if out.Len() > MaxCSVBytes {
			t.Skip("longer than is read")
		}
		script, faults := ReadCSV("x", out.Bytes(), nil)
		if len(faults) > 0 {
			t.Fatalf("%v\n%s", faults, out.String())
		}
		if got := script.Timeline(2).Events(); !slices.Equal(got, line.Events()) {
			t.Fatalf("got  %v\nwant %v", got, line.Events())
		}
	})
}

func TestCSVFaults(t *testing.T) {
	const heading = "time_ms,input,level\n"
	for _, c := range []struct {
		text         string
		line, column int
		says         string
	}{
		{"0,stop,1\n1,stop,0\n", 1, 0, "heading line is missing"},
		{heading + "0,stop\n", 2, 0, "this one has 2"},
		{heading + "0,stop,1\n1,stop,2\n2,stop,0\n", 3, 8, `"2" is not a level`},
		{heading + "0,stop,1\n1,stop,1\n2,stop,0\n", 3, 8, "on already"},
		{heading + "0,stop,0\n", 2, 8, "off already"},
		{heading + "5,stop,1\n5,stop,0\n6,stop,0\n", 3, 1, "at the same time"},
		{heading + "5,stop,1\n4,tail,1\n6,stop,0\n", 3, 1, "earlier than the row before"},
		{heading + "5,stpo,1\n", 2, 3, `no input "stpo"`},
		{heading + "x,stop,1\n", 2, 1, "not a time"},
		{heading + "-1,stop,1\n", 2, 1, "not a time"},
		{heading + "1e3,stop,1\n", 2, 1, "not a time"},
		{heading + "1.0005,stop,1\n", 2, 1, "not a time"},
		{heading + "3600001,stop,1\n", 2, 1, "not a time"},
		{heading + "5,stop,1\n", 2, 8, "never off again"},
		{heading + "5,st\"op,1\n", 2, 0, "quotation mark"},
		{heading + "5,\xff,1\n", 0, 0, "not UTF-8"},
		{heading + strings.Repeat("\n", MaxCSVBytes), 0, 0, "at most"},
	} {
		_, faults := ReadCSV("x.csv", []byte(c.text), demoInputs)
		found := false
		for _, d := range faults {
			found = found || d.Place.Line == c.line && d.Place.Column == c.column && strings.Contains(d.Text, c.says)
			if d.Next == "" {
				t.Errorf("%q: no next step: %+v", c.text, d)
			}
		}
		if !found {
			t.Errorf("%.60q: %v", c.text, faults)
		}
	}
	got, faults := ReadCSV("x.csv", []byte(heading+"3599999.5,stop,1\r\n3600000, stop,0\r\n"), demoInputs)
	if len(faults) > 0 || len(got.Presses) != 1 || got.Presses[0].To != MaxTime {
		t.Errorf("%v %v", got, faults)
	}
}

func FuzzReadCSV(f *testing.F) {
	seeds, err := filepath.Glob("testdata/seeds/*.csv")
	if err != nil || len(seeds) == 0 {
		f.Fatal("no seeds found")
	}
	for _, name := range seeds {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		script, faults := ReadCSV("x", text, nil)
		if len(faults) > 0 {
			for _, d := range faults {
				if d.Next == "" {
					t.Errorf("no next step: %+v", d)
				}
			}
			return
		}
		line := script.Timeline(0)
		var out bytes.Buffer
		if err := WriteCSV(&out, line); err != nil {
			t.Fatal(err)
		}
		again, faults := ReadCSV("x", out.Bytes(), nil)
		if len(faults) > 0 || !slices.Equal(again.Timeline(0).Events(), line.Events()) {
			t.Fatalf("%q reads back as %v, %v", out.String(), again, faults)
		}
	})
}

// Another file taken for a script is not told word by word, and a mark that a spreadsheet puts in front is no fault.
func TestAnotherFileAsScript(t *testing.T) {
	for name, read := range map[string]func(string, []byte, []string) (Script, report.List){"text": Parse, "CSV": ReadCSV} {
		_, faults := read("job.yaml", []byte(strings.Repeat("lamps:\n  - row: {}\n", 100)), demoInputs)
		if len(faults) != MaxFaults+1 {
			t.Fatalf("%s: %d faults are told", name, len(faults))
		}
		last := faults[MaxFaults]
		if !strings.Contains(last.Text, "more faults from here on") || !strings.Contains(last.Next, "not another file") || last.Place.Line == 0 {
			t.Errorf("%s: the last says %v", name, last)
		}
	}
	if got, faults := Parse("a", []byte("\ufeffstop@1s..2s"), demoInputs); len(faults) > 0 || len(got.Presses) != 1 {
		t.Errorf("text with a mark in front: %v %v", got, faults)
	}
	if got, faults := ReadCSV("a", []byte("\ufefftime_ms,input,level\n0,stop,1\n5,stop,0\n"), demoInputs); len(faults) > 0 || len(got.Presses) != 1 {
		t.Errorf("CSV with a mark in front: %v %v", got, faults)
	}
}
