package uitest

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/session"
)

// What is measured is a whole job of the size that is named.
func TestTheLargeJobIsWhole(t *testing.T) {
	k, faults := kit.Parse("large.yaml", []byte(largeJob()), kit.NoFiles)
	if k == nil || faults.HasErrors() {
		t.Fatal(faults)
	}
	leds := 0
	for _, l := range k.Lamps {
		leds += len(l.LEDs)
	}
	if len(k.Lamps) != largeLamps || leds != largeLEDs || len(k.Routines) != largeRoutines {
		t.Errorf("%d lamps, %d LEDs, %d routines", len(k.Lamps), leds, len(k.Routines))
	}
	r, faults := compile.Compile(k, compile.Options{})
	if faults.HasErrors() || len(r.Modules) != largeLamps {
		t.Fatal(faults)
	}
}

// Every command there is is measured, and does what it says on the large job.
func TestEveryCommandIsMeasured(t *testing.T) {
	known := map[string]bool{}
	for _, c := range largeCommands {
		known[c.name] = true
	}
	for _, c := range session.Commands() {
		if !known[c.Name] {
			t.Errorf("how long %s takes is not measured: enter it in largeCommands", c.Name)
		}
	}
	path := filepath.Join(t.TempDir(), "large.yaml")
	if err := os.WriteFile(path, []byte(largeJob()), 0o644); err != nil {
		t.Fatal(err)
	}
	desk, err := session.Open(path, session.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range largeCommands {
		for _, one := range append(c.before, c.asked) {
			was := desk.State().Revision
			if list := desk.Do(was, one.name, json.RawMessage(one.args)); list.HasErrors() {
				t.Errorf("%s %s: %v", one.name, one.args, list)
			} else if desk.State().Revision == was {
				t.Errorf("%s %s changes nothing", one.name, one.args)
			}
		}
		if list := desk.SetText(desk.State().Revision, largeJob()); list.HasErrors() {
			t.Fatal(list)
		}
	}
}
