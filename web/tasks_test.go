package web

import (
	"bufio"
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"lampwright/proof"
)

const (
	patience = 20 * time.Second
	proving  = `{"script":"stop@100ms..300ms","name":"typed"}`
)

// proves puts a prover into a server that proves as run does.
func proves(s *Server, run func(ctx context.Context, t proof.Trial) ([]proof.Verdict, error)) {
	s.Prover = Prover{
		Ready: func(context.Context) error { return nil },
		Run:   run,
		Faults: func(ctx context.Context, t proof.FaultTrial) (*proof.FaultReport, error) {
			t.HEX = false
			return t.Run(ctx)
		},
	}
}

// begun starts work and gives it.
func begun(t *testing.T, s *Server, path, body string) (one task) {
	t.Helper()
	w := ask(s, "POST", path, body, func(r *http.Request) { r.Host = s.Host; r.Header.Set("Origin", "http://"+s.Host) })
	if w.Code != http.StatusOK {
		t.Fatalf("%s: status %d: %s", path, w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &one); err != nil {
		t.Fatal(err)
	}
	return one
}

// ended waits until work is over and gives it with what it found.
func ended(t *testing.T, s *Server, id string) (f found) {
	t.Helper()
	for end := time.Now().Add(patience); ; time.Sleep(2 * time.Millisecond) {
		w := ask(s, "GET", "/api/task/"+id, "")
		f = found{}
		if err := json.Unmarshal(w.Body.Bytes(), &f); w.Code != http.StatusOK || err != nil {
			t.Fatalf("status %d: %v: %s", w.Code, err, w.Body)
		}
		if f.Ended {
			return f
		}
		if time.Now().After(end) {
			t.Fatalf("it does not end: %s", w.Body)
		}
	}
}

func TestAProofIsToldModuleByModule(t *testing.T) {
	s, _ := served(t, jobText)
	proves(s, func(_ context.Context, trial proof.Trial) ([]proof.Verdict, error) {
		trial.Running(proof.Running{Run: 0, Runs: 1, Modules: []string{"m"}, Done: 650 * time.Millisecond, Length: trial.Length})
		v := proof.Verdict{Module: "m", Refreshes: 2600, Differences: []proof.Difference{
			{At: 100 * time.Millisecond, Module: "m", Output: 3, Expected: "on", Seen: "off"},
			{At: 100 * time.Millisecond, Module: "m", Expected: "9 words", Seen: "8 words"},
			{At: 900 * time.Millisecond, Module: "m", Expected: "EEPROM ff", Seen: "EEPROM 00"}}}
		v.Shown = []proof.Shown{{Module: "m", From: 99 * time.Millisecond, To: 200 * time.Millisecond, Refreshes: 2,
			Outputs: []proof.OutputShown{{Output: 3, Promised: 1, Found: 0.25}}, Others: v.Differences[1:2],
			Promised: []float64{0, 0, 1, 0, 0, 0, 0, 0}, Found: []float64{0, 0, 0.25, 0, 0, 0, 0, 1}}}
		return []proof.Verdict{v}, nil
	})
	one := begun(t, s, "/api/prove", proving)
	f := ended(t, s, one.ID)
	if f.Good || f.Stopped || len(f.Problems) > 0 || f.What != "proof" || f.Name != "typed" || f.Script != "stop@100ms..300ms" || f.Revision == "" || f.At.Share != 1 {
		t.Errorf("%+v", f.task)
	}
	p := f.Proof
	if p == nil || p.Proven || p.LengthMS != 1300 || len(p.Modules) != 1 || p.Modules[0].Refreshes != 2600 || p.Supply != "13.5 V" {
		t.Fatalf("%+v", p)
	}
	if lines := p.Modules[0].Problems; len(lines) != 1 || !strings.Contains(lines[0], "EEPROM") {
		t.Errorf("beside the picture: %q", lines)
	}
	show := p.Shown[0]
	if show.Lamp != "lamp" || show.FromMS != 99 || show.ToMS != 200 || len(show.Others) != 1 || show.Outputs[0] != (ProofOutput{Output: 3, Group: 2, Promised: 100, Found: 25}) {
		t.Errorf("%+v", show)
	}
	if found, _ := base64.StdEncoding.DecodeString(show.Found); !bytes.Equal(found, []byte{0, 0, level(0.25), 0, 0, 0, 0, 255}) {
		t.Errorf("found: %v", found)
	}
}

// What cannot be proven is refused with the next step, and nothing begins.
func TestProofsThatAreRefused(t *testing.T) {
	s, _ := served(t, jobText)
	if w := ask(s, "POST", "/api/faults", `{"quick":true}`); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "lampwright open JOB") {
		t.Errorf("without a prover: status %d: %s", w.Code, w.Body)
	}
	proves(s, func(context.Context, proof.Trial) ([]proof.Verdict, error) { return nil, errors.New("never run") })
	for _, c := range []struct{ path, body, says string }{
		{"/api/prove", `{"script":"nothing@1s..2s"}`, "nothing"},
		{"/api/prove", `{"script":"stop@1s..20min"}`, "cut it into several"},
		{"/api/task/7/stop", `{}`, "run it again"},
	} {
		if w := ask(s, "POST", c.path, c.body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), c.says) {
			t.Errorf("%s %s: status %d: %s", c.path, c.body, w.Code, w.Body)
		}
	}
	if n := len(s.tasks.news()); n != 0 {
		t.Errorf("%d tasks begun", n)
	}
	broken, _ := served(t, strings.Replace(jobText, "takes: bar", "takes: nowhere", 1))
	if w := ask(broken, "POST", "/api/prove", proving); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "mend what stops work") {
		t.Errorf("broken: status %d: %s", w.Code, w.Body)
	}
	showOnly, _ := served(t, jobText[:strings.Index(jobText, "inputs:")]+`inputs: {button: {wire: m.in5, feed: {kind: relay}}}
routines: {full: {strokes: [{hold: {on: bar, light: 100 %}}]}}
shows: [{show: {input: button, stay: full, takes: bar}}]
`)
	proves(showOnly, nil)
	if w := ask(showOnly, "POST", "/api/faults", "{}"); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "no road signal") {
		t.Errorf("show only: status %d: %s", w.Code, w.Body)
	}
}

// A machine without the simulator says so before and after, with what would help.
func TestAMachineThatCannotProve(t *testing.T) {
	s, _ := served(t, jobText)
	proves(s, func(context.Context, proof.Trial) ([]proof.Verdict, error) { return nil, errors.New("never run") })
	s.Prover.Ready = func(context.Context) error {
		return &proof.NotProven{Reason: "the C compiler is missing", Install: "apt-get install gcc"}
	}
	if w := ask(s, "GET", "/api/proof", ""); !strings.Contains(w.Body.String(), `"here":false`) || !strings.Contains(w.Body.String(), "apt-get install gcc") || !strings.Contains(w.Body.String(), "stop@500ms..3500ms") {
		t.Errorf("%s", w.Body)
	}
	f := ended(t, s, begun(t, s, "/api/prove", proving).ID)
	if f.Good || f.Proof != nil || len(f.Problems) != 1 || f.Problems[0].Next != "apt-get install gcc" {
		t.Errorf("%+v", f)
	}
	if f := ended(t, s, begun(t, s, "/api/faults", `{"quick":true}`).ID); f.Faults == nil || f.Faults.Runs != 0 {
		t.Errorf("on the engine alone: %+v", f)
	}
}

// One piece of work at a time; it stops at once when told to, and the next may begin.
func TestWorkIsStopped(t *testing.T) {
	s, _ := served(t, jobText)
	proves(s, func(ctx context.Context, _ proof.Trial) ([]proof.Verdict, error) { <-ctx.Done(); return nil, ctx.Err() })
	one := begun(t, s, "/api/prove", proving)
	if w := ask(s, "POST", "/api/faults", "{}"); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "still under way") {
		t.Errorf("a second: status %d: %s", w.Code, w.Body)
	}
	if w := ask(s, "POST", "/api/task/"+one.ID+"/stop", "{}"); w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if f := ended(t, s, one.ID); !f.Stopped || f.Good || f.Proof != nil || len(f.Problems) > 0 {
		t.Errorf("%+v", f)
	}
	again := begun(t, s, "/api/prove", proving)
	if again.ID == one.ID {
		t.Error("the same id twice")
	}
	done := make(chan struct{})
	go func() { s.Close(); close(done) }() // the end of the server is the end of its work
	select {
	case <-done:
	case <-time.After(patience):
		t.Fatal("the server does not end while work runs")
	}
	if f := ended(t, s, again.ID); !f.Stopped {
		t.Errorf("%+v", f)
	}
	if w := ask(s, "POST", "/api/prove", proving); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("begun after the end: status %d", w.Code)
	}
}

// Work that stopped hearing is shown as stopping, not as ended.
func TestWorkThatTakesTimeToStop(t *testing.T) {
	s, _ := served(t, jobText)
	hold := make(chan struct{})
	proves(s, func(ctx context.Context, _ proof.Trial) ([]proof.Verdict, error) { <-hold; return nil, ctx.Err() })
	one := begun(t, s, "/api/prove", proving)
	var told task
	if err := json.Unmarshal(ask(s, "POST", "/api/task/"+one.ID+"/stop", "{}").Body.Bytes(), &told); err != nil || !told.Stopping || told.Ended {
		t.Errorf("%v, %+v", err, told)
	}
	close(hold)
	if f := ended(t, s, one.ID); !f.Stopped {
		t.Errorf("%+v", f)
	}
}

// Every window hears of work, one that comes later as well, and without what was found: that is asked for.
func TestEveryWindowHearsOfWork(t *testing.T) {
	s, _ := served(t, jobText)
	hold := make(chan struct{})
	proves(s, func(_ context.Context, trial proof.Trial) ([]proof.Verdict, error) {
		trial.Running(proof.Running{Runs: 1, Modules: []string{"m"}, Done: trial.Length / 2, Length: trial.Length})
		<-hold
		return []proof.Verdict{{Module: "m", Refreshes: 1}}, nil
	})
	web := httptest.NewUnstartedServer(s)
	s.Host = web.Listener.Addr().String()
	web.Start()
	t.Cleanup(web.Close)
	window := func() (next func(ok func([]task) bool)) {
		r, err := http.NewRequest("GET", web.URL+"/api/events", nil)
		if err != nil {
			t.Fatal(err)
		}
		r.AddCookie(&http.Cookie{Name: s.cookie(), Value: testKey})
		w, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { w.Body.Close() })
		lines := bufio.NewScanner(w.Body)
		return func(ok func([]task) bool) {
			t.Helper()
			event := ""
			for lines.Scan() {
				if e, is := strings.CutPrefix(lines.Text(), "event: "); is {
					event = e
				}
				data, is := strings.CutPrefix(lines.Text(), "data: ")
				if !is || event != "tasks" {
					continue
				}
				if strings.Contains(data, "refreshes") {
					t.Error("an event brings what was found")
				}
				var all []task
				if err := json.Unmarshal([]byte(data), &all); err != nil {
					t.Fatal(err)
				}
				if ok(all) {
					return
				}
			}
			t.Fatal("the line ended before it was told")
		}
	}
	first := window()
	first(func(all []task) bool { return len(all) == 0 }) // at once, so that a window forgets what a server before it did
	one := begun(t, s, "/api/prove", proving)
	running := func(all []task) bool {
		return len(all) == 1 && all[0].ID == one.ID && !all[0].Ended && all[0].At.Share == 0.5
	}
	first(running)
	second := window()
	second(running)
	close(hold)
	over := func(all []task) bool { return len(all) == 1 && all[0].Ended && all[0].Good }
	first(over)
	second(over)
	window()(over)
}

// Only so many tasks are remembered.
func TestOldWorkIsForgotten(t *testing.T) {
	s, _ := served(t, jobText)
	proves(s, func(context.Context, proof.Trial) ([]proof.Verdict, error) {
		return []proof.Verdict{{Module: "m", Refreshes: 1}}, nil
	})
	first := begun(t, s, "/api/prove", proving)
	ended(t, s, first.ID)
	for range mostTasks {
		ended(t, s, begun(t, s, "/api/prove", proving).ID)
	}
	if w := ask(s, "GET", "/api/task/"+first.ID, ""); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "run it again") {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
	if n := len(s.tasks.news()); n != mostTasks {
		t.Errorf("%d are remembered", n)
	}
}

func TestFaultsAreTried(t *testing.T) {
	s, _ := served(t, jobText)
	proves(s, nil)
	f := ended(t, s, begun(t, s, "/api/faults", `{"quick":true}`).ID)
	if f.Faults == nil || !f.Quick || f.Faults.Runs != 0 || len(f.Faults.All) < 10 {
		t.Fatalf("%+v", f)
	}
	seen := false
	for _, one := range f.Faults.All {
		if one.Fault != "module:m=dead" {
			continue
		}
		seen = true
		if one.Stand == proof.Held || len(one.Lost) == 0 || one.Place.Line == 0 || len(one.Place.Path) == 0 || one.Lost[0].Script == "" || !strings.Contains(one.Lost[0].Script, "module:m=dead") {
			t.Errorf("%+v", one)
		}
	}
	if !seen {
		t.Errorf("no dead module among %d faults", len(f.Faults.All))
	}
}

func TestScriptsBesideTheJob(t *testing.T) {
	s, path := served(t, jobText)
	folder := filepath.Dir(path)
	for name, text := range map[string]string{"b.script": "stop@1s..2s\n", "a.script": "none@1s..2s", "c.txt": "stop@1s..2s", "long.script": strings.Repeat("# ", mostScriptBytes)} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(folder, "d.script"), 0o755); err != nil {
		t.Fatal(err)
	}
	var all []scriptFile
	if err := json.Unmarshal(ask(s, "GET", "/api/scripts", "").Body.Bytes(), &all); err != nil {
		t.Fatal(err)
	}
	if len(all) != 3 || all[0].Name != "a" || len(all[0].Problems) != 1 || all[1].Name != "b" || all[1].Text != "stop@1s..2s\n" || len(all[1].Problems) != 0 || all[2].Name != "long" || len(all[2].Problems) != 1 || all[2].Text != "" {
		t.Errorf("%+v", all)
	}
}
