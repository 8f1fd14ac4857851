package proof_test

import (
	"context"
	"testing"
	"time"

	"lampwright/proof"
)

func sweep(t *testing.T, v proof.Variants) []proof.Outcome {
	t.Helper()
	var out []proof.Outcome
	if err := proof.Sweep(context.Background(), v, func(n int, o proof.Outcome) error {
		if n != len(out) {
			t.Fatalf("variant %d comes as number %d", n, len(out))
		}
		out = append(out, o)
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return out
}

// The light account is kept in C during a sweep and in Go from a full log: both must agree to the cycle.
func TestSweepAgreesWithLog(t *testing.T) {
	// chain.c samples 5478 cycles after its first instruction, 16 398 cycles after power-on, and every 8000 cycles, so this window holds the refreshes 10 to 19 whole.
	edge := func(n int) time.Duration { return time.Duration(16398+5478+8000*n) * 125 * time.Nanosecond / 2 }
	base := setup(30*ms, list(chain(t)), proof.Input(2*ms, 0, 1, true))
	extra := [][]proof.Event{nil, {proof.FlashXor(0, 0, 0x2000, 0xF0)}, {proof.Input(12*ms, 0, 3, true)}}
	for jobs := 1; jobs <= 3; jobs += 2 {
		got := sweep(t, proof.Variants{Setup: base, Windows: []proof.Window{{From: edge(10), To: edge(20)}}, Extra: extra, Jobs: jobs})
		for n, events := range extra {
			s := base
			s.Events = append(append([]proof.Event{}, base.Events...), events...)
			log := mustRun(t, s)
			var want [32]uint32
			for _, r := range log.Modules[0].Refreshes[10:20] {
				for _, slot := range r.Slots {
					for o := range want {
						if slot.Lit(o) {
							want[o] += uint32(slot.LitCycles)
						}
					}
				}
			}
			light := got[n].Modules[0].Windows[0]
			if light.Cycles != 80000 {
				t.Fatalf("the window has %d cycles", light.Cycles)
			}
			for o, w := range want {
				// Outputs 9..16 count refreshes: at the window's two ends their word is split between neighbours. All others
				// repeat in every refresh, so they must agree to the cycle.
				counts, d := o/8 == 1, int(light.Lit[o])-int(w)
				if !counts && d != 0 || d > 6634 || d < -6634 {
					t.Errorf("variant %d output %d: %d cycles in the sweep, %d in the log", n, o, light.Lit[o], w)
				}
			}
		}
	}
}

func TestSweepTellsLight(t *testing.T) {
	v := proof.Variants{
		Setup:   setup(400*ms, list(chain(t)), proof.Input(0, 0, 1, true)),
		Windows: []proof.Window{{From: 20 * ms, To: 120 * ms}, {From: 250 * ms, To: 350 * ms}},
		Extra: [][]proof.Event{
			nil,
			{proof.FlashXor(0, 0, 0x2000, 0xFF)}, // the byte shown by outputs 17..24 becomes 0
			{proof.Input(200*ms, 0, 1, false)},
			{proof.FlashXor(0, 0, 0, 0xF0)},   // the first instruction is damaged: the controller runs wild and has no watchdog yet
			{proof.Input(150*ms, 0, 5, true)}, // hangs for ever, the watchdog bites
			{proof.Power(180*ms, 0, false)},
		},
	}
	got := sweep(t, v)
	if len(got) != len(v.Extra) {
		t.Fatalf("%d outcomes", len(got))
	}
	wholly := func(n, w, output int) bool { return got[n].Modules[0].Windows[w].Wholly(output) }
	never := func(n, w, output int) bool { return got[n].Modules[0].Windows[w].Never(output) }
	for _, c := range []struct {
		what string
		ok   bool
	}{
		{"input 1 lights output 1 wholly", wholly(0, 0, 0) && wholly(0, 1, 0)},
		{"output 2 never", never(0, 0, 1) && never(0, 1, 1)},
		{"the counter's lowest output is lit half the time: neither", !wholly(0, 0, 8) && !never(0, 0, 8)},
		{"outputs 17..24 are lit", wholly(0, 0, 16) && wholly(0, 0, 23)},
		{"and dark when the flash byte is 0", never(1, 0, 16) && never(1, 1, 23) && wholly(1, 1, 0)},
		{"released input", wholly(2, 0, 0) && never(2, 1, 0)},
		{"wild from the start", got[3].Modules[0].StuckAtEnd && got[3].Modules[0].Samples == 0 && never(3, 1, 0)},
		{"hang: resets by the watchdog", got[4].Modules[0].Resets == 3 && wholly(4, 0, 0) && !wholly(4, 1, 0)},
		{"no supply, no light", wholly(5, 0, 0) && never(5, 1, 0)},
		{"the good run is good", got[0].Modules[0].Resets == 0 && got[0].Modules[0].Misdeeds == 0 && got[0].Modules[0].Stuck == 0},
	} {
		if !c.ok {
			t.Errorf("not so: %s", c.what)
		}
	}
}

func TestSweepIsChecked(t *testing.T) {
	good := proof.Variants{Setup: setup(10*ms, list(chain(t))), Windows: []proof.Window{{To: ms}}, Extra: [][]proof.Event{nil}}
	for name, change := range map[string]func(*proof.Variants){
		"no window":   func(v *proof.Variants) { v.Windows = nil },
		"no variant":  func(v *proof.Variants) { v.Extra = nil },
		"late window": func(v *proof.Variants) { v.Windows = []proof.Window{{To: 11 * ms}} },
		"bad event":   func(v *proof.Variants) { v.Extra = [][]proof.Event{{proof.Reset(0, 3)}} },
	} {
		v := good
		change(&v)
		if err := proof.Sweep(context.Background(), v, func(int, proof.Outcome) error { return nil }); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func BenchmarkSweep(b *testing.B) {
	v := proof.Variants{Setup: setup(800*ms, list(chain(b))), Windows: []proof.Window{{From: 100 * ms, To: 700 * ms}}}
	for i := range b.N {
		v.Extra = append(v.Extra, []proof.Event{proof.FlashXor(0, 0, uint16(0x2000+i%0x5800), 1)})
	}
	b.ResetTimer()
	if err := proof.Sweep(context.Background(), v, func(int, proof.Outcome) error { return nil }); err != nil {
		b.Fatal(err)
	}
}
