package lamp

import (
	"math"
	"strings"
	"testing"

	"lampwright/report"
)

func TestCheck(t *testing.T) {
	tests := []struct {
		name     string
		change   func(l *Lamp)
		id       string
		text     string
		severity report.Severity
	}{
		{"two groups of one name", func(l *Lamp) { l.Groups[1].Name = "arrow.1" }, "name-twice", "lamp tail-lh: two groups have the name arrow.1", report.StopWork},
		{"two LEDs of one name", func(l *Lamp) { l.LEDs[1].ID = "arrow/1" }, "name-twice", "lamp tail-lh: two LEDs have the name arrow/1", report.StopWork},
		{"two zones of one name", func(l *Lamp) { l.AddZone("edge", []int{1}) }, "name-twice", "lamp tail-lh: two zones have the name edge", report.StopWork},
		{"two paths of one name", func(l *Lamp) { l.Paths = append(l.Paths, l.Paths[0]) }, "name-twice", "lamp tail-lh: two light paths have the name edge", report.StopWork},
		{"a path on one spot", func(l *Lamp) { l.Paths = append(l.Paths, Path{Name: "dot", Points: []Point{{1, 1}, {1, 1}}}) }, "light-path", "lamp tail-lh: light path dot has no length", report.StopWork},
		{"LH on the right", func(l *Lamp) { l.Place.At.X = 720 }, "side-place", "lamp tail-lh: an LH lamp stands at x = 720 mm, which is right of the driver's middle", report.StopWork},
		{"RH on the left", func(l *Lamp) { l.Place.Side = RH }, "side-place", "lamp tail-lh: an RH lamp stands at x = -720 mm, which is left of the driver's middle", report.StopWork},
		{"no LED", func(l *Lamp) { l.LEDs, l.Groups, l.Zones = nil, nil, nil }, "no-led", "lamp tail-lh: there is no LED", report.StopWork},
		{"a group of two colours", func(l *Lamp) { l.LEDs[0].Colour = "amber" }, "mixed-group", "lamp tail-lh: group arrow.1 has LEDs of the colours amber and red", report.StopWork},
		{"an empty group", func(l *Lamp) { l.Groups = append(l.Groups, Group{Name: "x"}) }, "empty-group", "lamp tail-lh: group x has no LED", report.StopWork},
		{"an LED in two groups", func(l *Lamp) { l.Groups[1].LEDs = append(l.Groups[1].LEDs, 0) }, "led-twice", "lamp tail-lh: LED arrow/1 is in the groups arrow.1 and arrow.2", report.StopWork},
		{"an LED in no group", func(l *Lamp) { l.Groups[0].LEDs = l.Groups[0].LEDs[1:] }, "led-alone", "lamp tail-lh: LED arrow/1 is in no group", report.StopWork},
		{"outline of two corners", func(l *Lamp) { l.Outline = l.Outline[:2] }, "outline", "lamp tail-lh: the outline encloses nothing", report.StopWork},
		{"outline that crosses itself", func(l *Lamp) { l.Outline[1], l.Outline[2] = l.Outline[2], l.Outline[1] }, "outline", "lamp tail-lh: the outline crosses itself: its stretches 1 and 3 meet", report.StopWork},
		{"LED outside", func(l *Lamp) { l.LEDs[0].At = Point{-3, -4} }, "outside-outline", "lamp tail-lh: 1 LED stands outside the outline, arrow/1 by 5 mm", report.Caution},
		{"LEDs outside", func(l *Lamp) { l.Outline[1].X, l.Outline[2].X = 170, 170 }, "outside-outline", "lamp tail-lh: 17 LEDs stand outside the outline, arrow/70 by 4 mm", report.Caution},
		{"two LEDs on one spot", func(l *Lamp) { l.LEDs[1].At = l.LEDs[0].At }, "same-spot", "lamp tail-lh: the LEDs arrow/1 and arrow/2 stand on one spot, (6, 12) mm", report.Caution},
		{"place is not a number", func(l *Lamp) { l.Place.At.Y = math.Inf(1) }, "pattern", "lamp tail-lh: a position or length is not a number", report.StopWork},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			l := tail(t)
			test.change(l)
			wrong := l.Check()
			if len(wrong) != 1 {
				t.Fatalf("faults: %v", wrong)
			}
			d := wrong[0]
			if d.ID != test.id || d.Text != test.text || d.Severity != test.severity {
				t.Errorf("%s %v %q", d.ID, d.Severity, d.Text)
			}
			if strings.TrimSpace(d.Next) == "" && d.Suggestion == "" {
				t.Error("no next step")
			}
		})
	}
}

func TestStrays(t *testing.T) {
	l := &Lamp{Name: "x", Outline: []Point{{0, 0}, {100, 0}, {50, 50}, {100, 100}, {0, 100}}} // a notch at the right
	l.Add(mustUnroll(t, "x", List{[]Point{{0, 0}, {100, 50}, {50, 50}, {40, 50}, {-3, 40}, {0, 60}, {100.0005, 100}, {90, 95}}}, Grouping{By: ByEach}))
	got := l.Strays()
	want := []Stray{{1, math.Sqrt(1250)}, {4, 3}}
	if len(got) != len(want) {
		t.Fatalf("strays %v, want %v", got, want)
	}
	for i := range want {
		if got[i].LED != want[i].LED || math.Abs(got[i].DistanceMM-want[i].DistanceMM) > 1e-9 {
			t.Errorf("stray %v, want %v", got[i], want[i])
		}
	}
	l.Outline = nil
	if got := l.Strays(); got != nil {
		t.Errorf("without outline: %v", got)
	}
}
