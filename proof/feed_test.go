package proof_test

import (
	"testing"
	"time"

	"lampwright/feed"
	"lampwright/proof"
)

// The demo job's own wires, at a supply at which the stop wire is chopped: dimmed tail, test pulses on stop and turn. However the
// pulses fall, a signal is as steady as if its wire were, and pulses alone light nothing.
func TestFactoryWires(t *testing.T) {
	t.Parallel()
	k, r := job(t, demoJob)
	if in, _ := k.Input("stop"); in.Feed.Chopped == (feed.Chopping{}) || in.Feed.TestPulse == (feed.TestPulse{}) {
		t.Fatal("the stop wire of the demo job is neither chopped nor tested by pulses")
	}
	line := timeline(t, "stop@700ms..1900ms tail@1200ms..2400ms turn-lh@1500ms..2600ms~90/min:50%")
	for seed := range uint64(4) {
		setups, err := proof.Trial{
			Kit: k, Compiled: r, Line: line, Wires: feed.Conditions{Supply: feed.HotSupply, Seed: seed}, Length: 3600 * ms, Cache: sharedDir,
		}.Setups()
		if err != nil {
			t.Fatal(err)
		}
		var roads []*road
		for _, m := range r.Modules {
			roads = append(roads, newRoad(t, k, m, line))
		}
		stopEdges, on := 0, false
		_, block := layerOf(t, r.Modules[0], "stop")
		onSetup(t, r, setups[0], func(i int, v seen) {
			roads[i].see(v)
			if full := block&^v.full == 0; i == 0 && full != on {
				on = full
				stopEdges++
			}
		})
		if stopEdges != 2 {
			t.Errorf("seed %d: the stop went on and off %d times in all, want once each", seed, stopEdges)
		}
		for i, road := range roads {
			if dark := road.judged["nothing is asked: dark"]; dark < int(3*time.Second/refresh) {
				t.Errorf("%s: only %d refreshes were judged", r.Modules[i].Of.Name, dark)
			}
		}
	}
}
