package car

import (
	"testing"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/units"
)

func rig(t testing.TB, k *kit.Kit, text string, until units.Time) *Rig {
	t.Helper()
	r, list := compile.Compile(k, compile.Options{})
	if list.HasErrors() {
		t.Fatal(list)
	}
	all, err := Units(r)
	if err != nil {
		t.Fatal(err)
	}
	return NewRig(all, drive(t, k, text, until))
}

// light sums up the duties of the groups of a zone, in full outputs.
func light(t testing.TB, k *kit.Kit, r *Rig, module int, zone string) (sum float64) {
	t.Helper()
	m := k.Modules[module]
	groups, ok := m.Lamp.Zone(zone)
	if !ok {
		t.Fatalf("no zone %s", zone)
	}
	duties := r.Duties(module)
	for _, g := range groups.Groups {
		sum += float64(duties[m.Output[g]]) / program.FullDuty
	}
	return sum
}

func TestRigShowsWhatIsFedAndAsked(t *testing.T) {
	for _, c := range []struct {
		script string
		at     units.Time
		want   [2]float64 // light of the two stop groups, left and right
	}{
		{"stop@1s..2s", 999 * ms, [2]float64{}},
		{"stop@1s..2s", 1020 * ms, [2]float64{2, 2}},
		{"stop@1s..2s", 2050 * ms, [2]float64{}},
		{"stop@1s..2s tap:rear-lh.in2=open", 1500 * ms, [2]float64{0, 2}},
		{"tap:rear-lh.in2=supply", 1 * s, [2]float64{2, 0}},
		{"stop@1s..2s output:rear-lh.4=open", 1500 * ms, [2]float64{1, 2}},
		{"output:rear-rh.4=on@0s..1s", 999 * ms, [2]float64{0, 1}},
		{"output:rear-rh.4=on@0s..1s", 1 * s, [2]float64{}},
		{"module:rear-lh=dead stop@1s..2s", 1500 * ms, [2]float64{0, 2}},
		{"module:rear-lh=dead output:rear-lh.4=on", 1500 * ms, [2]float64{}},
		// Without the battery the stop wire feeds both: it is lit within 10 ms, and dark when the wire goes.
		{"battery:F3=gone stop@1s..2s", 999 * ms, [2]float64{}},
		{"battery:F3=gone stop@1s..2s", 1010 * ms, [2]float64{2, 2}},
		{"battery:F3=gone stop@1s..2s", 2000 * ms, [2]float64{}},
		{"battery:F3=gone stop@1s..2s feed:rear-rh.stop=open", 1500 * ms, [2]float64{2, 0}},
		{"battery=gone@500ms..1500ms stop@0s..3s", 1700 * ms, [2]float64{2, 2}},
		{"supply=4V@1s..2s stop@0s..3s", 1500 * ms, [2]float64{}},
	} {
		k := pair(t)
		r := rig(t, k, c.script, 5*s)
		r.To(c.at)
		if got := [2]float64{light(t, k, r, 0, "stop"), light(t, k, r, 1, "stop")}; got != c.want {
			t.Errorf("%s, at %v: %v, want %v", c.script, c.at, got, c.want)
		}
	}
}

// A dip that the reservoir bridges leaves no trace once it is over: the module did not start anew.
func TestRigRestartsOnlyWithoutSupply(t *testing.T) {
	for script, restarts := range map[string]bool{"battery=gone@1s..1020ms": false, "battery=gone@1s..1030ms": true, "supply=crank@1s..2s": false} {
		r := rig(t, pair(t), script, 5*s)
		r.To(900 * ms)
		before := r.Engine(0)
		r.To(3 * s)
		if now := r.Engine(0); now != before != restarts {
			t.Errorf("%s: restarts %v", script, now != before)
		}
	}
}

// The follower of the link wire keeps step with the leader, and goes its own way when the wire is broken: both play on.
func TestRigJoinsTheLink(t *testing.T) {
	pulls := func(script string) (low, steps int) {
		r := rig(t, pair(t), "ignition@0s..4s "+script, 5*s)
		for r.At() < 4*s {
			r.Step()
			if r.Engine(0).Shown().Pull {
				low++
			}
			steps++
		}
		return low, steps
	}
	if low, _ := pulls(""); low == 0 {
		t.Error("the leader never pulls")
	}
	if low, _ := pulls("link=low"); low == 0 {
		t.Error("a leader whose wire is shorted gives up")
	}
}
