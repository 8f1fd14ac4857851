package car

import (
	"os"
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

// A follower that lost its supply during the show is in step with the leader again at its next mark, and stays out of step while its
// end of the link wire is open; then it plays all the same.
func TestRigJoinsTheLink(t *testing.T) {
	const cut = "battery:rear-rh=gone@1s..1500ms "
	follower := func(script string, at units.Time) [program.MaxOutputs]uint16 {
		r := rig(t, pair(t), "ignition@0s..6s "+script, 6*s)
		r.To(at)
		if !r.Pulled() {
			t.Errorf("%s: the leader never pulls", script)
		}
		return r.Duties(1)
	}
	const frame = program.FrameMS * ms
	before, after := follower("", 5*s-frame), follower("", 5*s+frame)
	inStep := func(duties [program.MaxOutputs]uint16) bool { // to a frame; nothing turns within two
		for o, duty := range duties {
			if duty < min(before[o], after[o]) || duty > max(before[o], after[o]) {
				return false
			}
		}
		return true
	}
	if got := follower("", 5*s); !inStep(got) || before == after {
		t.Errorf("the light at %v turns or rests: %v, %v, %v", 5*s, before, got, after)
	}
	if got := follower(cut, 5*s); !inStep(got) {
		t.Errorf("out of step: %v, want between %v and %v", got, before, after)
	}
	if got := follower(cut+"link:rear-rh=open", 5*s); inStep(got) || got == [program.MaxOutputs]uint16{} {
		t.Errorf("in step without the link, or dark: %v", got)
	}
	if got := follower("link=low", 5*s); got == [program.MaxOutputs]uint16{} {
		t.Error("dark with a shorted link")
	}
}

// A module of which nothing is asked sleeps, and wakes with the wire: its stop comes as it does awake, but for the start of its clock.
func TestRigSleepsAndWakes(t *testing.T) {
	k := pair(t)
	k.Guard.SleepAfter = 2 * s
	r := rig(t, k, "stop@6s..7s turn-lh@6500ms..7s", 20*s)
	for _, c := range []struct {
		at    units.Time
		state [2]State
		light float64
	}{
		{10 * ms, [2]State{Plain, Plain}, 0}, {1 * s, [2]State{Runs, Runs}, 0}, {5 * s, [2]State{Asleep, Asleep}, 0},
		{6010 * ms, [2]State{Runs, Runs}, 2}, {8 * s, [2]State{Runs, Runs}, 0}, {15 * s, [2]State{Asleep, Asleep}, 0},
	} {
		r.To(c.at)
		if got := [2]State{r.State(0), r.State(1)}; got != c.state {
			t.Errorf("at %v: %v, want %v", c.at, got, c.state)
		}
		if got := light(t, k, r, 0, "stop"); got != c.light {
			t.Errorf("at %v: light %v, want %v", c.at, got, c.light)
		}
	}
}

// What a module has learned outlives its supply: with the battery gone for a moment the same memory is given to the next start.
func TestRigKeepsTheMemory(t *testing.T) {
	k := pair(t)
	r := rig(t, k, "turn-lh@500ms..8s~75/min:50% battery:F3=gone@9s..10s turn-lh@11s..13s~75/min:50%", 20*s)
	r.To(8500 * ms)
	kept := r.Engine(0).Memory()
	if kept == [program.MemoryBytes]byte{0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff} {
		t.Fatal("nothing was kept after nine flashes")
	}
	r.To(9500 * ms)
	if r.Engine(0) != nil || r.State(0) != Off {
		t.Fatal("the module runs without its battery")
	}
	r.To(10500 * ms)
	if got := r.Engine(0).Memory(); got != kept {
		t.Errorf("memory %x after the cut, %x before", got, kept)
	}
}

// Inputs pressed by hand: on a wire that two functions share, the pulses of the one and the full level of the other are told apart.
func TestRigIsPressedOnASharedWire(t *testing.T) {
	text, err := os.ReadFile("../examples/lamps/one-wire-tail.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, list := kit.Parse("one-wire-tail.yaml", text, kit.NoFiles)
	if k == nil || list.HasErrors() {
		t.Fatal(list)
	}
	r := rig(t, k, "", 5*s)
	for _, c := range []struct {
		press      []string
		at         units.Time
		stop, tail bool
	}{
		{nil, 1 * s, false, false}, {[]string{"tail"}, 2 * s, false, true}, {[]string{"tail", "stop"}, 3 * s, true, true}, {[]string{"stop"}, 4 * s, true, true},
		{nil, 5 * s, false, false},
	} {
		inputs := map[string]bool{}
		for _, in := range c.press {
			inputs[in] = true
		}
		r.Hold(k, Hands{Inputs: inputs, Supply: 13.5, Heat: RoomDegrees})
		r.To(c.at)
		if stop, tail := light(t, k, r, 0, "block") > 0, light(t, k, r, 0, "edge") > 0; stop != c.stop || tail != c.tail {
			t.Errorf("pressed %v: stop %v, tail %v", c.press, stop, tail)
		}
	}
}

// A car in somebody's hands: supply, battery and heat do by hand what a script makes them do.
func TestRigIsHeldByHand(t *testing.T) {
	k := pair(t)
	k.Guard.SleepAfter = 2 * s
	r := rig(t, k, "", s)
	inputs := func(on ...string) map[string]bool {
		all := map[string]bool{}
		for _, in := range on {
			all[in] = true
		}
		return all
	}
	for _, c := range []struct {
		says  string
		hands Hands
		at    units.Time
		state State
		light float64 // of the left stop groups
	}{
		{"nothing", Hands{Supply: 13.5, Heat: 25}, 1 * s, Runs, 0},
		{"asleep after two seconds", Hands{Supply: 13.5, Heat: 25}, 4 * s, Asleep, 0},
		{"woken by the brake", Hands{Inputs: inputs("stop"), Supply: 13.5, Heat: 25}, 5 * s, Runs, 2},
		{"halved at a jump start", Hands{Inputs: inputs("stop"), Supply: 24, Heat: 25}, 6 * s, Halved, 2. * 1023 / 2047},
		{"full again", Hands{Inputs: inputs("stop"), Supply: 13.5, Heat: 25}, 7 * s, Runs, 2},
		{"fed by the brake alone", Hands{Inputs: inputs("stop"), Supply: 13.5, Heat: 25, Gone: true}, 8 * s, Runs, 2},
		{"dark without any supply", Hands{Supply: 13.5, Heat: 25, Gone: true}, 9 * s, Off, 0},
		{"the brake brings it up", Hands{Inputs: inputs("stop"), Supply: 13.5, Heat: 25, Gone: true}, 10 * s, Runs, 2},
		{"no car at all", Hands{Inputs: inputs("stop"), Heat: 25}, 11 * s, Off, 0},
	} {
		r.Hold(k, c.hands)
		r.To(c.at)
		if got := light(t, k, r, 0, "stop"); r.State(0) != c.state || got != c.light {
			t.Errorf("%s: %s, light %v; want %s, %v", c.says, r.State(0), got, c.state, c.light)
		}
	}
}

// By hand and by script the same car shows the same light, refresh by refresh, where the wires do nothing of their own.
func TestHandsDoWhatAScriptDoes(t *testing.T) {
	k := pair(t)
	played, held := rig(t, k, "stop@1s..2s battery=gone@1500ms..2500ms supply=9V@2s..3s", 4*s), rig(t, k, "", 4*s)
	h := Hands{Supply: 13, Heat: RoomDegrees} // as drive has it
	for step := units.Time(0); step < 4*s; step += Refresh {
		switch step {
		case 1 * s:
			h.Inputs = map[string]bool{"stop": true}
		case 1500 * ms:
			h.Gone = true
		case 2 * s:
			h.Inputs, h.Supply = nil, 9
		case 2500 * ms:
			h.Gone = false
		case 3 * s:
			h.Supply = 13
		}
		held.Hold(k, h)
		if a, b := played.Pins(0), held.Pins(0); a.In != b.In || a.Powered != b.Powered || a.Codes != b.Codes {
			t.Fatalf("at %v: script %+v, hands %+v", step, a, b)
		}
		if played.Duties(0) != held.Duties(0) {
			t.Fatalf("at %v the light differs", step)
		}
		played.Step()
		held.Step()
	}
}
