package proof_test

import (
	"math"
	"testing"
	"time"

	"lampwright/proof"
)

// linkAt gives the link level that a module sampled last before the given time.
func linkAt(t *testing.T, m proof.ModuleLog, at time.Duration) bool {
	t.Helper()
	var level, found bool
	for _, r := range m.Refreshes {
		if m.Since(r) < at {
			level, found = r.Link, true
		}
	}
	if !found {
		t.Fatalf("%s took no sample before %v", m.Name, at)
	}
	return level
}

func TestLinkWire(t *testing.T) {
	log := mustRun(t, setup(100*ms, list(chain(t), pins(t), chain(t)),
		proof.Input(10*ms, 0, 6, true), // module 0 pulls from about 10.5 ms
		proof.LinkOpen(30*ms, 1, true), proof.LinkOpen(40*ms, 1, false),
		proof.Input(50*ms, 0, 6, false),
		proof.LinkWire(60*ms, proof.WireLow), proof.LinkWire(70*ms, proof.WireSupply),
		proof.Input(72*ms, 1, 6, true), // module 1 pulls in vain
		proof.LinkWire(80*ms, proof.WireFree),
		proof.Power(90*ms, 1, false))) // a module without supply lets go
	for _, c := range []struct {
		at   time.Duration
		want [3]bool
	}{
		{9 * ms, [3]bool{true, true, true}},
		{20 * ms, [3]bool{false, false, false}},
		{35 * ms, [3]bool{false, true, false}}, // an open end rests high
		{45 * ms, [3]bool{false, false, false}},
		{55 * ms, [3]bool{true, true, true}},
		{65 * ms, [3]bool{false, false, false}},
		{78 * ms, [3]bool{true, true, true}},
		{85 * ms, [3]bool{false, false, false}},
	} {
		for i, m := range log.Modules {
			if got := linkAt(t, m, c.at); got != c.want[i] {
				t.Errorf("at %v module %d sees %v, want %v", c.at, i, got, c.want[i])
			}
		}
	}
	if !linkAt(t, log.Modules[2], 95*ms) {
		t.Error("a module without supply holds the wire")
	}
	pulls := log.Modules[0].Pulls
	if len(pulls) != 2 || !pulls[0].Low || pulls[1].Low {
		t.Fatalf("module 0 pulled %v", pulls)
	}
}

// Two clocks 1 % apart: the sample counts are as the clocks, and both run to the end.
func TestClockErrorAndPowerOnTime(t *testing.T) {
	fast, slow := chain(t), chain(t)
	fast.ClockPPM, slow.ClockPPM, slow.PowerOn = 5000, -5000, 20*ms
	log := mustRun(t, setup(420*ms, list(fast, slow)))
	const started = (16398 + 5478.0 - 4000) / 8000 // refreshes that its start takes, less the half that the count is centred by
	for i, want := range []float64{420.0/0.5*1.005 - started, 400.0/0.5*0.995 - started} {
		if got := float64(log.Modules[i].Load.Samples); math.Abs(got-want) > 1.5 {
			t.Errorf("module %d took %v samples, want %.1f", i, got, want)
		}
	}
	first := log.Modules[1]
	if at := first.Since(first.Refreshes[0]); at < 20*ms || at > 20*ms+1500*us {
		t.Errorf("the late module samples first at %v", at)
	}
}

func TestSameRunSameLog(t *testing.T) {
	s := setup(40*ms, list(chain(t), pins(t)), proof.Input(3*ms, 0, 6, true), proof.Reset(9*ms, 1))
	a, b := mustRun(t, s), mustRun(t, s)
	for i := range a.Modules {
		x, y := a.Modules[i], b.Modules[i]
		if len(x.Refreshes) != len(y.Refreshes) || x.Load.Asleep != y.Load.Asleep {
			t.Fatalf("module %d differs between two runs", i)
		}
		for k, r := range x.Refreshes {
			if r.Cycle != y.Refreshes[k].Cycle || r.Inputs != y.Refreshes[k].Inputs || r.Link != y.Refreshes[k].Link {
				t.Fatalf("module %d refresh %d differs between two runs", i, k)
			}
		}
	}
}

// puller is the model of chain.c with its link: it pulls while in6 is high, from the sample on.
type puller struct {
	chainModel
	low   bool
	never bool // a wrong model, which expects no pull at all
}

func (p *puller) Step(s proof.Sample) []proof.Slot {
	p.low = s.Inputs&0x20 != 0 && !p.never
	return p.chainModel.Step(s)
}
func (p *puller) Pull() bool { return p.low }

func TestCompareJudgesPulls(t *testing.T) {
	log := mustRun(t, setup(30*ms, list(chain(t)), proof.Input(10*ms, 0, 6, true), proof.Input(20*ms, 0, 6, false)))
	if d := proof.Compare(log, 0, &puller{chainModel: chainModel{flash: 0xFF}}, proof.Tolerance{}); len(d) > 0 {
		t.Fatalf("differs: %v", d)
	}
	d := proof.Compare(log, 0, &puller{chainModel: chainModel{flash: 0xFF}, never: true}, proof.Tolerance{Listed: 100})
	if len(d) != 20 || d[0].Expected != "link wire let go" || d[0].Seen != "link wire held low" || d[0].At < 10*ms || d[19].At > 20*ms {
		t.Fatalf("%d differences, want one for each refresh of 10 ms: %v", len(d), d)
	}
}
