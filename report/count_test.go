package report_test

import (
	"testing"

	"lampwright/report"
)

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "0 LEDs", 1: "1 LED", 2: "2 LEDs", 1200: "1200 LEDs"} {
		if got := report.Count(n, "LED"); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}
