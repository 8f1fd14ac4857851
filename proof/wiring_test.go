package proof_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/kit"
)

// groupLight plays a script on the HEX and gives, for a module, which groups every slot of every refresh lit.
func groupLight(t *testing.T, k *kit.Kit, r *compile.Result, name, presses string) (shown [][]outputs) {
	t.Helper()
	m := moduleOf(t, r, name)
	line := timeline(t, presses)
	onHEX(t, k, r, line, time.Duration(line.End())*us+100*ms, func(i int, v seen) {
		if i == m {
			shown = append(shown, byGroup(r.Modules[m].Of, v.words))
		}
	})
	return shown
}

// Two wires soldered the other way round, and told to the wiring map: every LED shines as before, frame for frame, although the
// words on the outputs differ.
func TestSwappedOutputsLeaveTheLight(t *testing.T) {
	t.Parallel()
	const presses = "turn-lh@100ms..2s~90/min:50% tail@300ms..2500ms stop@900ms..1400ms remote-1@600ms..3s"
	before, rBefore := changed(t, demoJob, "    same-image-as: rear-lh\n", "    strap: true\n") // so that one hand may be soldered alone
	after, rAfter := changed(t, demoJob, "    same-image-as: rear-lh\n", "    strap: true\n",
		"{arrow: 1..12, block: 13..24, edge: 25..30}", "{arrow: [2, 1, 3..11, 30], block: [24, 14..23, 13], edge: [25..29, 12]}")
	if slices.Equal(before.Modules[0].Output, after.Modules[0].Output) {
		t.Fatal("the wiring is the same")
	}
	a, b := groupLight(t, before, rBefore, "rear-lh", presses), groupLight(t, after, rAfter, "rear-lh", presses)
	if len(a) != len(b) || len(a) < 6000 {
		t.Fatalf("%d and %d refreshes", len(a), len(b))
	}
	var all outputs
	for n := range a {
		if !slices.Equal(a[n], b[n]) {
			t.Fatalf("refresh %d: groups %x before, %x after", n, a[n], b[n])
		}
		for _, w := range a[n] {
			all |= w
		}
	}
	if all != 1<<30-1 {
		t.Errorf("only groups %x were ever lit", all)
	}
}

// An edited routine changes the RH lamp's light as the exact reflection of the LH lamp's: the same groups in every slot of every
// refresh, and each at the mirrored place.
func TestEditedRoutineStaysReflected(t *testing.T) {
	t.Parallel()
	const presses = "turn-lh@100ms..3s~90/min:50% turn-rh@100ms..3s~90/min:50% stop@500ms..1500ms tail@1s..3s"
	pair := [2]string{"rear-lh", "rear-rh"}
	k, r := job(t, demoJob)
	edited, rEdited := changed(t, demoJob,
		"{on: arrow, direction: outboard,", "{on: arrow, light: 70 %, easing: gentle, direction: outboard,")
	for _, k := range []*kit.Kit{k, edited} {
		lh, _ := k.Lamp("tail-lh")
		rh, _ := k.Lamp("tail-rh")
		for g := range lh.Groups {
			for n, led := range lh.Groups[g].LEDs {
				own, other := lh.Vehicle(lh.LEDs[led].At), rh.Vehicle(rh.LEDs[rh.Groups[g].LEDs[n]].At)
				if math.Abs(own.X+other.X) > 1e-9 || math.Abs(own.Y-other.Y) > 1e-9 {
					t.Fatalf("group %d: the LED at %v on the vehicle has its reflection at %v", g, own, other)
				}
			}
		}
	}
	if lit := mirrored(t, k, r, pair, presses, onHEX); lit < 2000 {
		t.Errorf("lit in %d refreshes only", lit)
	}
	if lit := mirrored(t, edited, rEdited, pair, presses, onHEX); lit < 2000 {
		t.Errorf("edited, lit in %d refreshes only", lit)
	}
	for _, name := range pair {
		a, b := groupLight(t, k, r, name, presses), groupLight(t, edited, rEdited, name, presses)
		if slices.EqualFunc(a, b, slices.Equal[[]outputs]) {
			t.Errorf("%s shows nothing of the edit", name)
		}
	}
}
