package proof_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"
)

// faultTrial makes a trial of the pair of tail lamps, with words of the job replaced.
func faultTrial(t testing.TB, edits ...string) proof.FaultTrial {
	t.Helper()
	text, err := os.ReadFile("../car/testdata/pair.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job := string(text)
	for i := 0; i < len(edits); i += 2 {
		if !strings.Contains(job, edits[i]) {
			t.Fatalf("the job has no %q", edits[i])
		}
		job = strings.ReplaceAll(job, edits[i], edits[i+1])
	}
	k, list := kit.Parse("pair.yaml", []byte(job), kit.NoFiles)
	if k == nil || list.HasErrors() {
		t.Fatal(list)
	}
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		t.Fatal(list)
	}
	return proof.FaultTrial{Kit: k, Compiled: r, Wires: feed.Conditions{Supply: 13.5}}
}

func tried(t testing.TB, trial proof.FaultTrial) *proof.FaultReport {
	t.Helper()
	r, err := trial.Run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// plain prints a report for a golden file: what is not held, and how many are.
func plain(r *proof.FaultReport) []byte {
	var out bytes.Buffer
	held := 0
	for _, s := range r.Standings {
		if s.Verdict() == proof.Held {
			held++
			continue
		}
		fmt.Fprintf(&out, "%s: %s\n", s.Verdict(), s.What)
		for _, l := range s.Losses {
			fmt.Fprintf(&out, "  %s: %s\n", l, l.Script)
		}
		for _, b := range s.Breaches {
			fmt.Fprintf(&out, "  %s: %s\n    shortest: %s\n    mend: %s\n", b.Rule, b.What, b.Script, b.Mend)
		}
		if s.Mend != "" {
			fmt.Fprintf(&out, "  mend: %s\n", s.Mend)
		}
	}
	fmt.Fprintf(&out, "%d held of %d\n", held, len(r.Standings))
	return out.Bytes()
}

func faultGolden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", "faults", name)
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; got:\n%s", path, got)
	}
}

// A job whose modules are fed by their battery and by the wires themselves stands every single fault; what is broken is weaker at its own
// place only.
func TestGoodJobStandsEveryFault(t *testing.T) {
	r := tried(t, faultTrial(t))
	if !r.Held() {
		t.Error("a rule is broken")
	}
	if r.Standings[0].What != "no fault" || r.Standings[0].Verdict() != proof.Held {
		t.Errorf("without a fault: %v", r.Standings[0])
	}
	for _, s := range r.Standings {
		for _, l := range s.Losses {
			if strings.Contains(s.What, "-lh") == strings.HasSuffix(l.Lamp, "-rh") {
				t.Errorf("%s: %s", s.What, l)
			}
		}
	}
	faultGolden(t, "good.txt", plain(r))
}

// Jobs that one fault darkens on both sides are found out, each with the shortest script that shows it.
func TestBrokenJobsAreFound(t *testing.T) {
	const stopWire = "stop: {wire: [rear-lh.in2, rear-rh.in2], feed: {kind: steady, chopped: {above: 13.2 V, duty: 90 %, at: 100 Hz}}}"
	for _, c := range []struct {
		name  string
		edits []string
		fault string // that is broken
		rule  proof.Rule
		says  []string // functions
	}{
		{"one-fuse", []string{", also: [stop, turn-lh, tail]", "", ", also: [stop, turn-rh, tail]", ""}, "battery:F3=gone", proof.OneSideStays, []string{"tail", "stop", "turn"}},
		{"one-fuse-stop", []string{"also: [stop, turn-lh, tail]", "also: [turn-lh, tail]", "also: [stop, turn-rh, tail]", "also: [turn-rh, tail]"}, "battery:F3=gone", proof.OneSideStays, []string{"stop"}},
		{"one-tap", []string{stopWire, "stop: {wire: [rear-lh.in2, rear-rh.in2], one-tap: true}"}, "tap:rear-lh.in2=open", proof.OneSideStays, []string{"stop"}},
		{"reference", []string{stopWire, "stop: {wire: [rear-lh.in2, rear-rh.in2], one-tap: true}",
			"turn-lh: {wire: rear-lh.in3}", "turn-lh: {wire: rear-lh.in3, carries-stop: {reference: stop}}",
			"turn-rh: {wire: rear-rh.in3}", "turn-rh: {wire: rear-rh.in3, carries-stop: {reference: stop}}"}, "tap:rear-lh.in2=open", proof.OneSideStays, []string{"stop"}},
	} {
		r := tried(t, faultTrial(t, c.edits...))
		if r.Held() {
			t.Errorf("%s: held", c.name)
		}
		var said []string
		for _, s := range r.Standings {
			for _, b := range s.Breaches {
				if s.Condition.String() == c.fault && b.Rule == c.rule {
					said = append(said, b.Function)
				}
				if b.Mend == "" || !strings.HasPrefix(b.Script, s.Condition.String()) {
					t.Errorf("%s: %+v", c.name, b)
				}
			}
		}
		if !slices.Equal(said, c.says) {
			t.Errorf("%s: %s breaks %v, want %v", c.name, c.fault, said, c.says)
		}
		faultGolden(t, c.name+".txt", plain(r))
	}
}

// A trial that is stopped says so, and says how far it is.
func TestFaultTrialIsStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	trial := faultTrial(t)
	told := 0
	trial.Progress = func(p proof.FaultProgress) {
		if told++; p.Tried != told || p.Faults != len(proof.Faults(trial.Kit)) {
			t.Errorf("progress %+v after %d", p, told)
		}
		if told == 3 {
			cancel()
		}
	}
	if r, err := trial.Run(ctx); !errors.Is(err, context.Canceled) || r != nil || told != 3 {
		t.Errorf("%v, %v after %d", r, err, told)
	}
}

// Every fault can be said in a script of the job, and no two are the same.
func TestFaultsAreConditions(t *testing.T) {
	trial := faultTrial(t)
	seen := map[string]bool{}
	for _, f := range proof.Faults(trial.Kit) {
		text := f.Condition.String()
		back, faults := script.Parse("fault", []byte(text), nil)
		if len(faults) > 0 || len(back.World) != 1 || back.World[0] != f.Condition || seen[text] || f.What == "" || f.At.IsZero() {
			t.Errorf("%q (%s): %v", text, f.What, faults)
		}
		seen[text] = true
	}
	// Fuse and two branches, six feeds, eight taps in three ways, fourteen outputs in two, link in four, two modules.
	if len(seen) != 3+6+8*3+14*2+4+2 {
		t.Errorf("%d faults", len(seen))
	}
}

// What is asked and fed is shown: a fog wire that is shorted must not hide the stop behind a dim light on the same groups, and is told
// when it does. A turn whose sweep outlasts its flash is found without any fault.
func TestSignalsThatHideOthersAreFound(t *testing.T) {
	fog := faultTrial(t, "  turn-lh: {wire: rear-lh.in3}", "  fog: {wire: [rear-lh.in4, rear-rh.in4]}\n  turn-lh: {wire: rear-lh.in3}",
		"signals:\n", "signals:\n  - fog: {input: fog, takes: stop, stay: faint}\n", "routines:\n", "routines:\n  faint: {strokes: [{hold: {on: stop, light: 2 %}}]}\n")
	late := faultTrial(t, "sweep: {on: turn, direction: outboard, for: 150 ms, edge: 20 mm}", "sweep: {on: turn, direction: outboard, for: 1 s}",
		"length: 150 ms", "length: 1 s", ", pace: flasher", "")
	for _, c := range []struct {
		trial  proof.FaultTrial
		fault  string
		rule   proof.Rule
		says   string
		script string
		mend   string
	}{
		{fog, "tap:rear-lh.in4=supply", proof.WireIsObeyed, "stop at tail-lh dark, though its wire arrives and its module is fed",
			"tap:rear-lh.in4=supply stop@500ms..550ms", "put signal stop before the one on fog"},
		{late, "", proof.ShownAlone, "turn at tail-lh shows no more than 33 % of its light", "turn-lh@3s..5s~90/min:50%", "let the signal on turn-lh light its groups wholly, sooner"},
	} {
		found := false
		for _, s := range tried(t, c.trial).Standings {
			for _, b := range s.Breaches {
				at := ""
				if !s.None() {
					at = s.Condition.String()
				}
				if at == c.fault && b.Rule == c.rule && b.Lamps[0] == "tail-lh" {
					found = true
					if !strings.HasPrefix(b.What, c.says) || b.Script != c.script || !strings.HasPrefix(b.Mend, c.mend) {
						t.Errorf("%+v", b)
					}
				}
			}
		}
		if !found {
			t.Errorf("%q: %s is not found", c.fault, c.rule)
		}
	}
}

// The HEX does under every fault what the engine says, in one run for all faults that look the same to its pins; what is broken behind the
// outputs is not run.
func TestFaultsOnHEX(t *testing.T) {
	text, err := os.ReadFile("../examples/lamps/one-wire-tail.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, list := kit.Parse("one-wire-tail.yaml", text, kit.NoFiles)
	if k == nil || list.HasErrors() {
		t.Fatal(list)
	}
	c, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		t.Fatal(list)
	}
	last := proof.FaultProgress{}
	r := tried(t, proof.FaultTrial{Kit: k, Compiled: c, Wires: feed.Conditions{Supply: 13.5}, HEX: true, Cache: sharedDir,
		Progress: func(p proof.FaultProgress) { last = p }})
	if !r.Held() {
		t.Errorf("not held:\n%s", plain(r))
	}
	for _, s := range r.Standings {
		if s.OnHEX == (s.Condition.What == script.Output) || len(s.Problems) > 0 {
			t.Errorf("%s: on the HEX %v, %v", s.What, s.OnHEX, s.Problems)
		}
	}
	// None and an open diode; no battery; an open tap and one at ground; one at the supply; a dead module.
	if r.Runs != 5 || last.Run != 5 || last.Runs != 5 {
		t.Errorf("%d runs, the last progress %+v", r.Runs, last)
	}
	if bad := (proof.Standing{Problems: []string{"a word differs"}}); bad.Verdict() != proof.Broken {
		t.Error("a HEX that does otherwise is passed over")
	}
}
