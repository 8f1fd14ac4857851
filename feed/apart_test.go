package feed

import (
	"testing"

	"lampwright/units"
)

func TestApart(t *testing.T) {
	const ms, us = units.Millisecond, units.Microsecond
	for _, c := range []struct {
		a, b   Filter
		da, db Delay
		want   units.Time
	}{
		{Filter{On: 4, Off: 10}, Filter{On: 4, Off: 10}, Delay{3 * ms, 6 * ms}, Delay{3 * ms, 6 * ms}, 1025 * us},    // alike: a millisecond of phase and clock
		{Filter{On: 4, Off: 10}, Filter{On: 7, Off: 16}, Delay{3 * ms, 6 * ms}, Delay{4 * ms, 9 * ms}, 4025 * us},    // off: 9 ms against 5 ms
		{Filter{On: 7, Off: 16}, Filter{On: 4, Off: 10}, Delay{4 * ms, 9 * ms}, Delay{3 * ms, 6 * ms}, 4025 * us},    // the other way round it is the same
		{Filter{On: 4, Off: 10}, Filter{On: 7, Off: 16}, Delay{3 * ms, 6 * ms}, Delay{40 * ms, 9 * ms}, 38_010 * us}, // a dimmed one comes late
	} {
		if got := Apart(c.a, c.da, c.b, c.db); got != c.want {
			t.Errorf("%+v: %s, want %s", c, got, c.want)
		}
	}
}
