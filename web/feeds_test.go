package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/feed"
	"lampwright/units"
)

func wireDrawn(t *testing.T, s *Server, input string, supply float64) (p wirePicture) {
	t.Helper()
	w := ask(s, "GET", fmt.Sprintf("/api/feed?input=%s&supply=%g", input, supply), "")
	if w.Code != http.StatusOK {
		t.Fatalf("%s: status %d: %s", input, w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil {
		t.Fatal(err)
	}
	return p
}

// On every wire of every example job the module answers once, within the delays that are promised, whatever the wire does meanwhile; off it
// never answers.
func TestEveryWireIsReadOnce(t *testing.T) {
	files, err := filepath.Glob("../examples/*/*.yaml")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d examples: %v", len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		s, path := served(t, string(text))
		for _, mark := range []string{"panel-mark.csv"} {
			if csv, err := os.ReadFile("../examples/lamps/" + mark); err == nil {
				os.WriteFile(filepath.Join(filepath.Dir(path), mark), csv, 0o644)
			}
		}
		k := s.desk.Load().State().Seen
		if k == nil {
			continue
		}
		for _, in := range k.Inputs {
			for _, supply := range []float64{6.5, 9, 13.5, 16, 24} {
				p := wireDrawn(t, s, in.Name, supply)
				d := p.Decisions[len(p.Decisions)-1]
				if d.Input != in.Name || len(d.Spans) != 1 || p.OnMS == nil || p.OffMS == nil || *p.OnMS > p.MostOnMS+p.SampleMS || *p.OffMS > p.MostOffMS+p.SampleMS {
					t.Errorf("%s, %s at %g V: %+v", filepath.Base(file), in.Name, supply, p)
				}
				high, last := 0.0, -1.0
				for _, v := range p.Volts {
					if v[0] <= last || v[0] > p.UntilMS {
						t.Errorf("%s, %s: volts at %g ms after %g ms", filepath.Base(file), in.Name, v[0], last)
					}
					high, last = max(high, v[1]), v[0]
				}
				if high != supply {
					t.Errorf("%s, %s: the wire goes up to %g V of %g V", filepath.Base(file), in.Name, high, supply)
				}
			}
		}
	}
}

// The demo job's stop wire: chopped while the engine runs and steady without it, with test pulses before and after, all below the threshold
// of what the filter counts.
func TestTheStopWireAsDrawn(t *testing.T) {
	text, err := os.ReadFile("../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, _ := served(t, string(text))
	count := func(p wirePicture, from, to float64) (rises int) {
		for i, v := range p.Volts {
			if i > 0 && v[1] > p.HighFrom && v[0] >= from && v[0] < to {
				rises++
			}
		}
		return rises
	}
	running, off := wireDrawn(t, s, "stop", 13.5), wireDrawn(t, s, "stop", 12)
	if n := count(running, running.Asked[0], running.Asked[1]); n < 19 || n > 22 {
		t.Errorf("%d pulses in 200 ms at 100 Hz", n)
	}
	if n := count(off, off.Asked[0], off.Asked[1]); n < 1 || n > 3 {
		t.Errorf("with the engine off the wire rises %d times", n)
	}
	if n := count(running, 0, running.Asked[0]); n < 1 || n > 2 {
		t.Errorf("%d test pulses in %g ms, one comes every 100 ms", n, running.Asked[0])
	}
	if running.OffVolts <= 0 || running.OffVolts >= running.LowUpTo || running.LowUpTo >= running.HighFrom || running.HighFrom >= 6.5 {
		t.Errorf("off at %g V, low up to %g V, high from %g V", running.OffVolts, running.LowUpTo, running.HighFrom)
	}
	if !strings.Contains(running.Filter, "gap 4") || !strings.Contains(running.Says, "chopped") || running.Board != "chain-32" {
		t.Errorf("%+v", running)
	}
	low := wireDrawn(t, s, "stop", 5)
	if d := low.Decisions[0]; len(d.Spans) != 0 || low.OnMS != nil {
		t.Errorf("at 5 V the module reads the wire: %+v", d)
	}
}

func TestWiresThatCannotBeRead(t *testing.T) {
	s, _ := served(t, strings.Replace(jobText, "feed: {kind: steady}", "feed: {kind: steady, test-pulse: {width: 15 ms, every: 100 ms}}", 1))
	p := wireDrawn(t, s, "stop", 13.5)
	if p.Filter != "" || len(p.Decisions) != 0 || !p.Problems.HasErrors() || p.Problems[0].Next == "" || len(p.Volts) < 5 {
		t.Errorf("%+v", p)
	}
	for _, q := range []string{"input=horn", "", "input=stop&supply=lots", "input=stop&supply=-1", "input=stop&supply=NaN", "input=stop&supply=1e99"} {
		if w := ask(s, "GET", "/api/feed?"+q, ""); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `"next"`) {
			t.Errorf("%s: status %d: %s", q, w.Code, w.Body)
		}
	}
}

// A record of a wire is shown, and taken over by one command; the same wire drawn again looks like the record.
func TestAScopeRecordBecomesAFeed(t *testing.T) {
	s, path := served(t, strings.Replace(jobText, "feed: {kind: steady}", "feed: {kind: steady, pull-down: 2.2 kΩ}", 1))
	wire := feed.Feed{Kind: feed.Steady, TestPulse: feed.TestPulse{Width: 300 * units.Microsecond, Every: 100 * units.Millisecond}}
	var csv strings.Builder
	csv.WriteString("time (ms),volts\n")
	edges := feed.Wave(wire, []feed.Span{{From: 500 * units.Millisecond, To: 900 * units.Millisecond}}, 2*units.Second, feed.Conditions{Supply: 13.5, Seed: 1})
	high := false
	for at := units.Time(0); at < 2*units.Second; at += 50 * units.Microsecond {
		for len(edges) > 0 && edges[0].At <= at {
			high, edges = edges[0].High, edges[1:]
		}
		v := 0.05
		if high {
			v = 13.4
		}
		fmt.Fprintf(&csv, "%.3f,%.2f\n", at.Milliseconds(), v)
	}
	w := ask(s, "POST", "/api/scope?input=stop", csv.String())
	var seen struct {
		scopeView
		Feed json.RawMessage `json:"feed"`
	}
	if w.Code != http.StatusOK || json.Unmarshal(w.Body.Bytes(), &seen) != nil {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if !strings.Contains(seen.Written, "test-pulse: {width: 300 µs, every: 100 ms}") && !strings.Contains(seen.Written, "test-pulse: {width: 0.3 ms, every: 100 ms}") || seen.Filter == "" || len(seen.Trace) < 500 || len(seen.Trace) > traceColumns {
		t.Errorf("%s, %q, %d columns", seen.Written, seen.Filter, len(seen.Trace))
	}
	most := 0.0
	for _, c := range seen.Trace {
		most = max(most, c[2])
	}
	if most != 13.4 {
		t.Errorf("the trace goes up to %g V", most)
	}
	before := s.desk.Load().State()
	args := `{"base":"` + before.Revision + `","name":"feed","args":{"input":"stop","feed":` + string(seen.Feed) + `}}`
	if w := ask(s, "POST", "/api/do", args); w.Code != http.StatusOK {
		t.Fatalf("%s: status %d: %s", args, w.Code, w.Body)
	}
	file, _ := os.ReadFile(path)
	if now := s.desk.Load().State(); now.Kit == nil || now.Kit.Inputs[0].Feed.TestPulse != wire.TestPulse || now.Kit.Inputs[0].Feed.PullDown != 2200 {
		t.Errorf("taken over as\n%s", file)
	}
	for body, says := range map[string]string{"": "two numbers", "PK\x03\x04\x00": "plain text", "time (ms),volts\n1,2\n2,2\n": "samples", strings.Repeat("9", feed.MaxScopeBytes+1): "MiB"} {
		if w := ask(s, "POST", "/api/scope?input=stop", body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), says) {
			t.Errorf("%.20q: status %d: %.300s", body, w.Code, w.Body)
		}
	}
	if w := ask(s, "POST", "/api/scope?input=horn", csv.String()); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("of no input: status %d", w.Code)
	}
}

func TestScriptsAreKeptBesideTheJob(t *testing.T) {
	s, path := served(t, jobText)
	file := filepath.Join(filepath.Dir(path), "two-stops.script")
	keep := func(body string) (int, string) {
		w := ask(s, "POST", "/api/scripts", body)
		return w.Code, w.Body.String()
	}
	if code, body := keep(`{"name":"two-stops","text":"stop@1s..2s\nstop@3s..4s"}`); code != http.StatusOK {
		t.Fatalf("status %d: %s", code, body)
	}
	if text, _ := os.ReadFile(file); string(text) != "stop@1s..2s\nstop@3s..4s\n" {
		t.Errorf("kept as %q", text)
	}
	if code, _ := keep(`{"name":"two-stops","text":"stop@1s..2s\nstop@3s..4s\n"}`); code != http.StatusOK {
		t.Error("the same again is refused")
	}
	if code, body := keep(`{"name":"two-stops","text":"stop@5s..6s"}`); code != http.StatusUnprocessableEntity || !strings.Contains(body, "already") {
		t.Errorf("written over without a word: %d %s", code, body)
	}
	if code, _ := keep(`{"name":"two-stops","text":"stop@5s..6s","over":true}`); code != http.StatusOK {
		t.Error("not written over when asked to")
	}
	for body, says := range map[string]string{
		`{"name":"../out","text":"stop@1s..2s"}`:    "cannot be called",
		`{"name":"lamp.yaml","text":"stop@1s..2s"}`: "cannot be called",
		`{"name":"","text":"stop@1s..2s"}`:          "cannot be called",
		`{"name":"bad","text":"stop@1s"}`:           "from when to when",
		`{"name":"bad","text":"horn@1s..2s"}`:       "no input",
	} {
		if code, said := keep(body); code != http.StatusUnprocessableEntity || !strings.Contains(said, says) || !strings.Contains(said, `"next"`) {
			t.Errorf("%s: status %d: %s", body, code, said)
		}
	}
	if err := os.Symlink(path, filepath.Join(filepath.Dir(path), "link.script")); err == nil {
		keep(`{"name":"link","text":"stop@1s..2s","over":true}`)
	}
	if text, _ := os.ReadFile(path); string(text) != jobText {
		t.Error("a script was written into the job")
	}
	if left, _ := filepath.Glob(filepath.Join(filepath.Dir(path), ".*part")); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

// A script is deleted as the window shows it: nothing that it has not seen, no other file, and nothing that a link leads to.
func TestScriptsAreDeletedBesideTheJob(t *testing.T) {
	s, path := served(t, jobText)
	folder := filepath.Dir(path)
	outside := filepath.Join(t.TempDir(), "far.script")
	const text = "stop@1s..2s\n"
	for _, file := range []string{filepath.Join(folder, "brake.script"), filepath.Join(folder, "By Hand.script"), outside} {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(outside, filepath.Join(folder, "link.script")); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(filepath.Join(folder, "folder.script"), 0o755); err != nil {
		t.Fatal(err)
	}
	before, _ := os.ReadDir(folder)
	for body, says := range map[string]string{
		`{"name":"../far","text":"stop@1s..2s\n"}`:        "is none",
		`{"name":"By Hand","text":"stop@1s..2s\n"}`:       "in the folder",
		`{"name":"","text":""}`:                           "is none",
		`{"name":"lamp.yaml","text":""}`:                  "is none",
		`{"name":"link","text":"stop@1s..2s\n"}`:          "leads elsewhere",
		`{"name":"folder","text":""}`:                     "leads elsewhere",
		`{"name":"brake","text":"stop@1s..3s\n"}`:         "something else by now",
		`{"name":"brake","text":""}`:                      "something else by now",
		`{"name":"none","text":"stop@1s..2s\n"}`:          "any more",
		`{"name":"brake","text":"stop@1s..2s\n","all":1}`: "cannot be read",
	} {
		if w := ask(s, "DELETE", "/api/scripts", body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), says) || !strings.Contains(w.Body.String(), `"next"`) {
			t.Errorf("%s: status %d: %s", body, w.Code, w.Body)
		}
	}
	if w := ask(s, "DELETE", "/api/scripts", `{"name":"brake","text":"stop@1s..2s\n"}`, func(r *http.Request) { r.Header.Del("Cookie") }); w.Code != http.StatusForbidden {
		t.Errorf("a stranger: status %d", w.Code)
	}
	if after, _ := os.ReadDir(folder); len(after) != len(before) {
		t.Fatalf("%d entries of %d are left", len(after), len(before))
	}
	if w := ask(s, "DELETE", "/api/scripts", `{"name":"brake","text":"stop@1s..2s\n"}`); w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if _, err := os.Stat(filepath.Join(folder, "brake.script")); !os.IsNotExist(err) {
		t.Errorf("still there: %v", err)
	}
	if _, err := os.Stat(outside); err != nil {
		t.Error(err)
	}
	if w := ask(s, "POST", "/api/scripts", `{"name":"brake","text":"stop@1s..2s"}`); w.Code != http.StatusOK {
		t.Errorf("kept again: status %d: %s", w.Code, w.Body)
	}
}

// A film of a script can tell who holds each group, and what the script asks for when; why at a moment says the same.
func TestFilmsTellWhoHoldsWhat(t *testing.T) {
	s, _ := served(t, jobText)
	f, _ := filmed(t, s, `{"script":"stop@1s..3s button@1500ms..2s supply=9V@0s..1s","owners":true}`)
	owners := decoded(t, f.Owners)
	if len(owners) != f.Frames*8 || strings.Join(f.Layers, " ") != "stop run" {
		t.Fatalf("%d owners of %d frames, layers %v", len(owners), f.Frames, f.Layers)
	}
	for ms, want := range map[int]byte{512: 0, 1520: 1, 3520: 0} {
		if got := owners[ms/filmStepMS*8]; got != want {
			t.Errorf("at %d ms the owner is %d, want %d", ms, got, want)
		}
		var y why
		w := ask(s, "POST", "/api/why", fmt.Sprintf(`{"script":"stop@1s..3s button@1500ms..2s supply=9V@0s..1s","atMs":%d,"lamp":"lamp","group":0}`, ms))
		if w.Code != http.StatusOK || json.Unmarshal(w.Body.Bytes(), &y) != nil || y.Owner != map[byte]string{0: "", 1: "stop"}[want] || y.Says == "" || len(y.Layers) != 2 {
			t.Errorf("at %d ms: status %d: %s", ms, w.Code, w.Body)
		}
	}
	c := f.Script
	if c.MS != 3000 || len(c.Presses) != 2 || c.Presses[0].Spans[0] != [2]float64{1000, 3000} || len(c.Conditions) != 1 || c.Conditions[0].Says != "supply=9V" || *c.Conditions[0].Span != [2]float64{0, 1000} {
		t.Errorf("%+v", c)
	}
	if f, _ := filmed(t, s, `{"script":"stop@1s..2s"}`); f.Owners != "" {
		t.Error("owners came without being asked for")
	}
	for _, body := range []string{`{"script":"stop@1s","lamp":"lamp"}`, `{"script":"stop@1s..2s","atMs":-1,"lamp":"lamp"}`, `{"script":"stop@1s..2s","atMs":1e300,"lamp":"lamp"}`,
		`{"script":"stop@1s..2s","lamp":"none"}`, `{"script":"stop@1s..2s","lamp":"lamp","group":8}`, `{"script":"stop@1s..2s","lamp":"lamp","group":-1}`} {
		if w := ask(s, "POST", "/api/why", body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `"next"`) {
			t.Errorf("%s: status %d: %s", body, w.Code, w.Body)
		}
	}
}

func TestTimingsAreThoseOfTheModules(t *testing.T) {
	text, err := os.ReadFile("../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	s, _ := served(t, string(text))
	s.results.wait()
	v := seen(t, ask(s, "GET", "/api/job", ""))
	by := map[string]*timing{}
	for _, l := range v.Layers {
		by[l.Name] = l.Timing
	}
	if turn, stop, tide := by["turn-lh"], by["stop"], by["tide"]; turn.ArriveMS != 150 || turn.KeepMS != 800 || !stop.Still || !stop.Fast || !tide.Loops || tide.StayMS != 4000 || tide.LimitMS > 600_000 || tide.LimitMS < 599_000 {
		t.Errorf("turn %+v, stop %+v, tide %+v", turn, stop, tide)
	}
}

func FuzzFeedQueries(f *testing.F) {
	f.Add("input=stop&supply=13.5", "time,volts\n0,0\n1,12\n")
	f.Add("input=button", "x")
	f.Add("input=%00&supply=Inf", "")
	f.Fuzz(func(t *testing.T, query, body string) {
		if strings.ContainsAny(query, " \r\n#%\x00") {
			t.Skip()
		}
		s, _ := served(t, jobText)
		if w := ask(s, "GET", "/api/feed?"+query, ""); w.Code >= 500 {
			t.Errorf("status %d", w.Code)
		}
		if w := ask(s, "POST", "/api/scope?"+query, body); w.Code >= 500 {
			t.Errorf("status %d", w.Code)
		}
	})
}
