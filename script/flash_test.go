package script

import (
	"testing"

	"pgregory.net/rapid"

	"lampwright/units"
)

// A flash that is asked moment by moment is on exactly when the unrolled press is.
func TestFlashMomentByMoment(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := Flash{Rate: rapid.IntRange(1_000, 600_000).Draw(t, "rate"), Share: rapid.IntRange(1, 999).Draw(t, "share")}
		press := Press{Input: "turn", From: 0, To: 20 * units.Second, Flash: f}
		line := Script{Presses: []Press{press}}.Timeline(0)
		at := units.Time(rapid.Int64Range(0, int64(19*units.Second)).Draw(t, "at"))
		for range 6 { // at any moment, and just before and at its changes
			for _, at := range []units.Time{at, max(at-1, 0)} {
				if f.Lit(at) != line.Level("turn", at) {
					t.Fatalf("%v at %v: lit %v", f, at, f.Lit(at))
				}
			}
			next := f.Turns(at)
			if next <= at {
				t.Fatalf("%v: the change after %v is at %v", f, at, next)
			}
			if next >= press.To {
				return
			}
			at = next
		}
	})
	if !(Flash{}).Lit(units.Second) {
		t.Error("what does not flash is off")
	}
}
