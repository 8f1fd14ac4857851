package feed

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/units"
)

// trace is a synthetic record: what a wave looks like on a scope.
type trace struct {
	step    float64 // s between samples
	on, off float64 // V
	noise   float64 // V, greatest
	slew    float64 // s from one level to the other
}

func (x trace) volts(edges []Edge, until units.Time) (at, volts []float64) {
	random := rand.New(rand.NewPCG(3, 14))
	next, target, v := 0, x.off, x.off
	for i := 0; ; i++ {
		t := float64(i) * x.step
		if t >= until.Seconds() {
			return at, volts
		}
		for next < len(edges) && edges[next].At.Seconds() <= t {
			target = x.off
			if edges[next].High {
				target = x.on
			}
			next++
		}
		most := math.Abs(x.on-x.off) * x.step / max(x.slew, x.step)
		v += min(max(target-v, -most), most)
		at = append(at, t)
		volts = append(volts, v+x.noise*(2*random.Float64()-1))
	}
}

// csv writes a record; form has %g for seconds and volts, or a shape of its own.
func csv(heading string, at, volts []float64, row func(i int, t, v float64) string) []byte {
	var b bytes.Buffer
	b.WriteString(heading)
	for i := range at {
		b.WriteString(row(i, at[i], volts[i]))
	}
	return b.Bytes()
}

func plain(_ int, t, v float64) string { return fmt.Sprintf("%.7f,%.3f\n", t, v) }

// Every usual way to write a record gives the same one.
func TestReadScopeForms(t *testing.T) {
	f := Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}}
	at, volts := trace{step: 50e-6, on: 13, slew: 20e-6}.volts(Wave(f, []Span{{0, 150_000}}, 200_000, Conditions{}), 200_000)
	decimal := func(s string) string { return strings.ReplaceAll(s, ".", ",") }
	for name, c := range map[string]struct {
		text  []byte
		notes int
	}{
		"names and units":       {csv("Time (s),Voltage (V)\n", at, volts, plain), 0},
		"unit row, ms and mV":   {csv("Time,Channel A\n(ms),(mV)\n\n", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("%.4f,%.0f\n", 1e3*t-20, 1e3*v) }), 0},
		"short heading, CRLF":   {csv("\xef\xbb\xbfSecond,Volt\r\n", at, volts, func(i int, t, v float64) string { return fmt.Sprintf("%e, %e\r\n", t, v) }), 0},
		"units with underscore": {csv("t_us,v_mV\n", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("%.1f,%.1f\n", 1e6*t, 1e3*v) }), 0},
		"Latin-1 micro":         {csv("Time [\xb5s];Volt\n", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("%.1f;%.3f\n", 1e6*t, v) }), 0},
		"decimal comma":         {csv("Zeit (s);Volt\n", at, volts, func(_ int, t, v float64) string { return decimal(fmt.Sprintf("%.6f;%.3f\n", t, v)) }), 0},
		"tabs, no heading":      {csv("", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("%.6f\t%.3f\n", t, v) }), 2},
		"quoted":                {csv("\"Time\",\"CH1\"\n\"s\",\"V\"\n", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("\"%.6f\",\"%.3f\"\n", t, v) }), 0},
		"settings in the margin": {csv("", at, volts, func(i int, t, v float64) string {
			return []string{"Record Length,4000", "Sample Interval,5e-05", "Source,CH1", ","}[min(i, 3)] + fmt.Sprintf(",,%.6f,%.3f,\n", t, v)
		}), 2},
		"settings above":                {csv("Sample rate,20000\nTrigger,CH1 rising\n\nX-Axis,CH1\nsecond,Volt\n", at, volts, plain), 0},
		"two channels, second left out": {csv("time (s),ch1 (V),ch2 (V)\n", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf("%.6f,%.3f,0.1\n", t, v) }), 1},
		// The columns of a circuit solver: `print v(out)` with its page heads, and `wrdata` without any.
		"solver, printed": {csv("", at, volts, func(i int, t, v float64) string {
			head := ""
			if i%57 == 0 {
				head = "Index   time            v(out)\n" + strings.Repeat("-", 80) + "\n"
				if i > 0 {
					head = "\f\n" + head
				}
			}
			return head + fmt.Sprintf("%d\t%e\t%e\n", i, t, v)
		}), 1}, // no unit of time
		"solver, data": {csv("", at, volts, func(_ int, t, v float64) string { return fmt.Sprintf(" %.8e  %.8e \n", t, v) }), 2},
	} {
		r, list := ReadScope(name, c.text)
		if list.HasErrors() || len(list) != c.notes || list.Count(report.Note) != c.notes {
			t.Errorf("%s: %v", name, list)
			continue
		}
		if len(r.At) != len(at) {
			t.Errorf("%s: %d samples of %d", name, len(r.At), len(at))
			continue
		}
		for i := range at {
			if math.Abs(r.At[i]-at[i]) > 2e-6 || math.Abs(r.Volts[i]-volts[i]) > 2e-3 {
				t.Errorf("%s: sample %d is %g s %g V, not %g s %g V", name, i, r.At[i], r.Volts[i], at[i], volts[i])
				break
			}
		}
	}
}

func TestReadScopeFaults(t *testing.T) {
	rows := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "%g,%d\n", float64(i)/1000, i%2*12)
		}
		return b.String()
	}
	const head = "time (s),volt (V)\n"
	for _, c := range []struct {
		about, text string
		id          string
		line        int
		severity    report.Severity
	}{
		{"nothing", "", "scope-columns", 0, report.StopWork},
		{"words", "this is\nno record\n", "scope-columns", 0, report.StopWork},
		{"one column", "volt\n1\n2\n3\n", "scope-columns", 0, report.StopWork},
		{"counted rows", "Index v(wire)\n0 1\n1 2\n2 1\n", "scope-columns", 2, report.StopWork},
		{"too few", head + rows(5), "scope-short", 0, report.StopWork},
		{"no time passes", head + strings.Repeat("1,2\n", 50), "scope-short", 0, report.StopWork},
		{"back in time", head + rows(50) + "0.010,12\n", "scope-order", 52, report.StopWork},
		{"seconds that are none", head + rows(50) + "7e9,12\n", "scope-range", 52, report.StopWork},
		{"volts that are none", head + rows(50) + "1,13500\n", "scope-range", 52, report.StopWork},
		{"a torn row", head + rows(50) + "torn\n" + rows(0), "scope-rows", 52, report.Caution},
		{"many torn rows", head + rows(50) + strings.Repeat("torn\n", 20), "scope-rows", 52, report.StopWork},
		{"clipped", head + rows(50) + "0.06,∞\n0.061,OVER\n", "scope-clipped", 0, report.Caution},
		{"UTF-16", "\xff\xfet\x00i\x00", "scope-not-text", 0, report.StopWork},
		{"binary", "time\x00", "scope-not-text", 0, report.StopWork},
		{"too many", head + strings.Repeat("1,1\n", MaxScopeSamples+1), "scope-too-long", MaxScopeSamples + 2, report.StopWork},
		{"too long", strings.Repeat("0123456789abcde\n", MaxScopeBytes/16+1), "scope-too-long", 0, report.StopWork},
	} {
		_, list := ReadScope("wire.csv", []byte(c.text))
		if len(list) != 1 || list[0].ID != c.id || list[0].Place.Line != c.line || list[0].Severity != c.severity || list[0].Next == "" || list[0].Place.File != "wire.csv" {
			t.Errorf("%s: %+v", c.about, list)
		}
	}
}

func TestSum(t *testing.T) {
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(t))
	var flashes []Span
	for i := range units.Time(6) {
		flashes = append(flashes, Span{200_000 + i*667_000, 200_000 + i*667_000 + 333_000})
	}
	middle := []Span{{800_000, 1_600_000}}
	for _, c := range []struct {
		about string
		feed  Feed
		on    []Span
		until units.Time
		trace trace
		want  Feed
		says  string
	}{
		{"dimmed, floating", Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}}, middle, 2400_000, trace{step: 50e-6, on: 13.4, off: 3.5, noise: 0.3, slew: 30e-6},
			Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}, Leak: Leak{Volts: 3.5}}, "looks like dimmed 20 % at 200 Hz, on at 13.4 V, off floats at 3.5 V, 1 doubt"},
		{"dimmed 10 % at 100 Hz", Feed{Kind: Dimmed, Dimmed: Pulses{0.1, 100}}, middle, 2400_000, trace{step: 50e-6, on: 12.8, noise: 0.5, slew: 100e-6},
			Feed{Kind: Dimmed, Dimmed: Pulses{0.1, 100}}, "looks like dimmed 10 % at 100 Hz, on at"},
		{"dimmed 50 % at 90 Hz", Feed{Kind: Dimmed, Dimmed: Pulses{0.5, 90}}, middle, 2400_000, trace{step: 50e-6, on: 12.8, noise: 0.5},
			Feed{Kind: Dimmed, Dimmed: Pulses{0.5, 90}}, "looks like dimmed 50 % at 90 Hz"},
		{"steady and tested", Feed{Kind: Steady, TestPulse: TestPulse{300, 100_000}}, middle, 2400_000, trace{step: 20e-6, on: 12.6, off: 0.1, noise: 0.2, slew: 20e-6},
			Feed{Kind: Steady, TestPulse: TestPulse{300, 100_000}}, "looks like steady, on at 12.6 V, test pulses of 0.3 ms every 100 ms when off, off at 0.1 V"},
		{"tested close by", Feed{Kind: Steady, TestPulse: TestPulse{1000, 20_000}}, middle, 2400_000, trace{step: 20e-6, on: 12.6, noise: 0.2},
			Feed{Kind: Steady, TestPulse: TestPulse{1000, 20_000}}, "test pulses of 1 ms every 20 ms"},
		{"chopped and tested", Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}, TestPulse: TestPulse{300, 50_000}}, middle, 2400_000,
			trace{step: 20e-6, on: 14.1, off: 2.5, noise: 0.2, slew: 20e-6},
			Feed{Kind: Steady, Chopped: Chopping{13.2, Pulses{0.9, 100}}, TestPulse: TestPulse{300, 50_000}, Leak: Leak{Volts: 2.5}},
			"looks like steady, chopped 90 % at 100 Hz at 14.1 V, test pulses of 0.3 ms every 50 ms when off, off floats at 2.5 V"},
		{"a flasher", Feed{Kind: Flasher}, flashes, 4200_000, trace{step: 100e-6, on: 13.5, noise: 0.2}, Feed{Kind: Flasher}, "looks like a flasher, 90 a minute, 50 % on, on at 13.5 V, off at 0 V"},
		{"a flasher, tested between", Feed{Kind: Flasher, TestPulse: TestPulse{500, 30_000}}, flashes, 4200_000, trace{step: 50e-6, on: 13.5, noise: 0.2},
			Feed{Kind: Flasher, TestPulse: TestPulse{500, 30_000}}, "looks like a flasher, 90 a minute, 50 % on"},
		{"a relay that bounces", Feed{Kind: Relay, Bounce: 6000}, middle, 2400_000, trace{step: 20e-6, on: 12.6, noise: 0.2, slew: 20e-6}, Feed{Kind: Steady, Bounce: 6000}, "bounces for"},
		{"only test pulses", Feed{Kind: Steady, TestPulse: TestPulse{400, 10_000}}, nil, 500_000, trace{step: 20e-6, on: 12.6}, Feed{Kind: Steady, TestPulse: TestPulse{400, 10_000}},
			"never on, test pulses of 0.4 ms every 10 ms when off, off at 0 V, 1 doubt"},
		{"test pulses that look dimmed", Feed{Kind: Steady, TestPulse: TestPulse{1000, 10_000}}, nil, 500_000, trace{step: 20e-6, on: 12.6}, Feed{Kind: Dimmed, Dimmed: Pulses{0.1, 100}},
			"looks like dimmed 10 % at 100 Hz, on at 12.6 V, never off for long, 2 doubts"},
		{"one test pulse", Feed{Kind: Steady, TestPulse: TestPulse{Width: 2000}}, nil, 500_000, trace{step: 20e-6, on: 12.6}, Feed{Kind: Steady, TestPulse: TestPulse{Width: 2000}},
			"never on, single test pulses of 2 ms when off, off at 0 V"},
		{"never on", Feed{Kind: Steady}, nil, 500_000, trace{step: 50e-6, on: 12.6, off: 3.5, noise: 0.1}, Feed{Kind: Steady, Leak: Leak{Volts: 3.5}}, "never on, off floats at 3.5 V"},
		{"never off", Feed{Kind: Steady}, []Span{{0, 500_000}}, 500_000, trace{step: 50e-6, on: 12.6, off: 12.6, noise: 0.1}, Feed{Kind: Steady}, "looks like steady, on at 12.6 V, never off for long"},
	} {
		at, volts := c.trace.volts(Wave(c.feed, c.on, c.until, Conditions{Supply: 14.1, Seed: 11}), c.until)
		r, list := ReadScope("wire", csv("time (s),v (V)\n", at, volts, plain))
		if list.HasErrors() {
			t.Fatal(list)
		}
		s := r.Sum(levels)
		if s.Feed != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s\n%v", c.about, s.Feed, c.want, s.Doubts)
		}
		if !strings.HasPrefix(s.String(), c.says) && !strings.Contains(s.String(), c.says) {
			t.Errorf("%s: %s", c.about, s)
		}
		for _, d := range s.Doubts {
			if d.Next == "" || d.Why == "" || d.Place.File != "wire" {
				t.Errorf("%s: doubt without a step: %+v", c.about, d)
			}
		}
	}
}

// An outside source: what ngspice 39 made of testdata/solver.cir, `print` with page heads and `wrdata` with a heading.
func TestSolverRecords(t *testing.T) {
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(t))
	for _, name := range []string{"solver-print.txt", "solver-data.txt"} {
		text, err := os.ReadFile(filepath.Join("testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		r, list := ReadScope(name, text)
		if list.HasErrors() || list.Count(report.Caution) > 0 || len(r.At) != 1001 || math.Abs(r.At[1000]-0.1) > 1e-9 {
			t.Fatalf("%s: %d samples, %v", name, len(r.At), list)
		}
		s := r.Sum(levels)
		if want := (Feed{Kind: Dimmed, Dimmed: Pulses{0.2, 200}, Leak: Leak{Volts: 3.5}}); s.Feed != want {
			t.Errorf("%s: %s\n%v", name, s.Feed, s.Doubts)
		}
		if want := "looks like dimmed 20 % at 200 Hz, on at 13.5 V, off floats at 3.5 V"; !strings.HasPrefix(s.String(), want) {
			t.Errorf("%s: %s", name, s)
		}
	}
}

// Of noise, of any level, and of a wire that only just reaches the threshold, something is said and never nonsense.
func TestSumOfOddRecords(t *testing.T) {
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(t))
	random := rand.New(rand.NewPCG(1, 2))
	for _, c := range []struct{ middle, noise float64 }{{0, 0}, {6.2, 0.01}, {6, 6}, {12, 24}, {-5, 1}, {900, 90}} {
		r := Record{Name: "odd"}
		for i := range 5000 {
			r.At = append(r.At, float64(i)*100e-6)
			r.Volts = append(r.Volts, c.middle+c.noise*(2*random.Float64()-1))
		}
		s := r.Sum(levels)
		if list := s.Feed.Check(); len(list) > 0 || s.String() == "" || len(s.Doubts) == 0 {
			t.Errorf("%v: %v %v", c, s, list)
		}
	}
	if s := (Record{}).Sum(levels); len(s.Doubts) != 1 {
		t.Error(s)
	}
}

func FuzzReadScope(f *testing.F) {
	for _, seed := range []string{
		"time (s),volt (V)\n0,0\n0.001,12\n0.002,0\n",
		"Index   time  v(out)\n---\n0\t0\t1\n1\t1e-3\t2\n",
		"Record Length,4,,0,1\nx,y,,0.1,2\n",
		"t_ms;v\n0,1;3,5\n0,2;∞\n",
		" 0 1\n 1e-3 2\n 2e-3 1e999\n",
		"\xb5s,V\r\n1,2\r\n",
	} {
		f.Add([]byte(seed), false)
		f.Add([]byte(seed), true)
	}
	levels, _, _ := Electrical(Feed{Kind: Steady}, circuit(f))
	f.Fuzz(func(t *testing.T, text []byte, long bool) {
		if long { // short texts hardly ever make a record
			var b bytes.Buffer
			b.WriteString("t,v\n")
			for i, c := range text {
				fmt.Fprintf(&b, "%g,%d\n", float64(i)*0.0007, int(c)/12)
			}
			text = b.Bytes()
		}
		r, list := ReadScope("fuzz", text)
		if list.HasErrors() {
			if r.At != nil {
				t.Fatal("errors, and yet a record")
			}
			return
		}
		if len(r.At) != len(r.Volts) || len(r.At) < minSamples || r.At[0] != 0 {
			t.Fatalf("%d times, %d volts", len(r.At), len(r.Volts))
		}
		for i := range r.At {
			if i > 0 && !(r.At[i] > r.At[i-1]) || math.IsNaN(r.Volts[i]) || math.Abs(r.Volts[i]) > mostVolts {
				t.Fatalf("sample %d: %g s %g V", i, r.At[i], r.Volts[i])
			}
		}
		s := r.Sum(levels)
		if list := s.Feed.Check(); len(list) > 0 || s.String() == "" {
			t.Fatal(list)
		}
		FilterFor(s.Feed, "stop")
	})
}
