package feed

import (
	"math"
	"testing"

	"lampwright/board"
)

// By Ohm's law, with the input's resistors and the pull-down at the upper end of their tolerance.
func TestOffVolts(t *testing.T) {
	b, err := board.Find("chain-32")
	if err != nil {
		t.Fatal(err)
	}
	input := float64(b.Input.Series.Is+b.Input.ToGround.Is) * (1 + float64(b.Input.Tolerance.Is))
	beside := 1 / (1/input + 1/(2200*1.05))
	for _, c := range []struct {
		feed Feed
		want float64
	}{
		{Feed{Kind: Steady}, 0},
		{Feed{Kind: Steady, Leak: Leak{Volts: 3.5}}, 3.5},
		{Feed{Kind: Steady, Leak: Leak{Volts: 3.5, Through: 5600}}, 3.5 * input / (input + 5600)},
		{Feed{Kind: Steady, Leak: Leak{Volts: 3.5, Through: 5600}, PullDown: 2200}, 3.5 * beside / (beside + 5600)},
	} {
		if got := float64(c.feed.OffVolts(b.Input)); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%v: %v V, want %v V", c.feed, got, c.want)
		}
	}
}
