package light

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"lampwright/lamp"
	"lampwright/report"
)

func TestCheckStroke(t *testing.T) {
	stage := row(t, 3)
	all := everywhere(stage)
	axis, err := stage.Axis(all, lamp.Direction{Heading: lamp.Right})
	if err != nil {
		t.Fatal(err)
	}
	most, more, half := 1.0, 1.5, 0.5
	round := axis
	round.AroundMM = 30
	tests := []struct {
		name   string
		stroke Stroke
		id     string
		text   string
	}{
		{"a good sweep", Stroke{Kind: Sweep, On: all, Axis: axis, ForMS: 100, Light: 1}, "", ""},
		{"a good call", Stroke{Kind: Call, Called: &Routine{Name: "x"}}, "", ""},
		{"unknown kind", Stroke{Kind: 99, On: all}, "stroke", "it is of no known kind, ease or way to meet what is below"},
		{"no region", Stroke{Kind: Hold}, "region", "it goes over no LED"},
		{"an empty region", Stroke{Kind: Call, On: []int{}, Called: &Routine{}}, "region", "it goes over no LED"},
		{"an LED off stage", Stroke{Kind: Hold, On: []int{3}}, "region", "it goes over an LED that is not on the routine's lamps"},
		{"an LED twice", Stroke{Kind: Hold, On: []int{1, 2, 1}}, "region", "it names LED row/2 of lamp row twice"},
		{"no direction", Stroke{Kind: Sweep, On: all, ForMS: 100}, "direction", "it travels, but nothing says where to"},
		{"units for some", Stroke{Kind: Scatter, On: all, Units: []int{1}, ForMS: 10}, "units", "it has parts for 1 of its 3 LEDs"},
		{"negative start", Stroke{Kind: Hold, On: all, StartMS: -4}, "stroke", "its start is -4 ms"},
		{"endless time", Stroke{Kind: Hold, On: all, ForMS: math.Inf(1)}, "stroke", "its time is +Inf ms"},
		{"edge is no number", Stroke{Kind: Sweep, On: all, Axis: axis, ForMS: 1, EdgeMM: math.NaN()}, "stroke", "its edge is NaN mm"},
		{"negative band", Stroke{Kind: Pass, On: all, Axis: axis, ForMS: 1, BandMM: -1}, "stroke", "its band is -1 mm"},
		{"a beat of no time", Stroke{Kind: Beat, On: all, Light: 1}, "no-time", "it takes no time, so it would never be seen"},
		{"negative times", Stroke{Kind: Hold, On: all, Times: -2}, "times", "it is repeated -2 times"},
		{"repeats of no time", Stroke{Kind: Hold, On: all, Times: 2}, "times", "it is repeated, but nothing says when"},
		{"each longer than all", Stroke{Kind: Scatter, On: all, ForMS: 100, EachMS: 101}, "each", "each part lasts 101 ms of a stroke of 100 ms"},
		{"too much light", Stroke{Kind: Hold, On: all, Light: 1.004}, "light", "its light is 100.4 %"},
		{"light is no number", Stroke{Kind: Hold, On: all, Light: math.NaN()}, "light", "its light is NaN %"},
		{"from too much light", Stroke{Kind: Sweep, On: all, Axis: axis, From: &more}, "light", "it starts from a light of 150 %"},
		{"fade up that darkens", Stroke{Kind: FadeUp, On: all, ForMS: 1, Light: 0.2, From: &most}, "light", "it fades up from 100 % to 20 %"},
		{"fade down that brightens", Stroke{Kind: FadeDown, On: all, ForMS: 1, Light: 0.7, From: &half}, "light", "it fades down from 50 % to 70 %"},
		{"a band of no width", Stroke{Kind: Swing, On: all, Axis: axis, ForMS: 1, Light: 1}, "band", "its band has no width"},
		{"around nothing", Stroke{Kind: Pass, On: all, Axis: axis, ForMS: 1, BandMM: 3, Around: true}, "around", "it goes round, but its direction does not close on itself"},
		{"around itself", Stroke{Kind: Pass, On: all, Axis: round, ForMS: 1, BandMM: 30, EdgeMM: 1, Around: true}, "around", "its band and edges are 32 mm wide, more than one round of 30 mm"},
		{"a sweep around", Stroke{Kind: Sweep, On: all, Axis: round, ForMS: 1, Around: true}, "around", "only a pass goes round"},
		{"a call of nothing", Stroke{Kind: Call}, "call", "it calls nothing"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			wrong := test.stroke.Check(stage)
			if test.id == "" {
				if len(wrong) > 0 {
					t.Errorf("faults %v", wrong)
				}
				return
			}
			if len(wrong) != 1 || wrong[0].ID != test.id || wrong[0].Text != test.text || wrong[0].Next == "" {
				t.Errorf("faults %+v", wrong)
			}
		})
	}
}

func TestCheckRoutine(t *testing.T) {
	stage := row(t, 3)
	all := everywhere(stage)
	hold := Stroke{Kind: Hold, On: all, Light: 1}
	tests := []struct {
		name     string
		routine  Routine
		text     string
		severity report.Severity
	}{
		{"no stroke", Routine{Name: "r"}, "routine r has no stroke", report.StopWork},
		{"negative length", Routine{Name: "r", LengthMS: -1, Strokes: []Stroke{hold}}, "routine r has a length of -1 ms", report.StopWork},
		{"a stroke's fault is told with its place", Routine{Name: "r", Strokes: []Stroke{hold, {Kind: FadeUp, On: all, Light: 2}}},
			"routine r, stroke 2 (fade up): its light is 200 %", report.StopWork},
		{"a called routine's fault", Routine{Name: "r", Strokes: []Stroke{{Kind: Call, Called: &Routine{Name: "in", Strokes: []Stroke{{Kind: Hold}}}}}},
			"routine in, stroke 1 (hold): it goes over no LED", report.StopWork},
		{"repeats that overlap", Routine{Name: "r", LengthMS: 200, Strokes: []Stroke{{Kind: Beat, On: all, ForMS: 100, Times: 2, EveryMS: 60, Light: 1}}},
			"routine r, stroke 1 (beat): it starts again after 60 ms, before its 100 ms are over", report.StopWork},
		{"calls that overlap", Routine{Name: "r", LengthMS: 200, Strokes: []Stroke{{Kind: Call, Times: 2, EveryMS: 60, Called: &Routine{Name: "in", LengthMS: 100, Strokes: []Stroke{hold}}}}},
			"routine r, stroke 1 (call): it starts again after 60 ms, before its 100 ms are over", report.StopWork},
		{"never seen", Routine{Name: "r", LengthMS: 100, Strokes: []Stroke{hold, {Kind: Hold, On: all, StartMS: 100}}},
			"routine r, stroke 2 (hold): it starts at 100 ms, when the routine of 100 ms is over", report.Caution},
		{"cut short", Routine{Name: "r", LengthMS: 100, Strokes: []Stroke{{Kind: Beat, On: all, StartMS: 20, ForMS: 50, Times: 2, Light: 1}}},
			"routine r, stroke 1 (beat): it ends at 120 ms, but the routine is over at 100 ms", report.Caution},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			wrong := test.routine.Check(stage)
			if len(wrong) != 1 || wrong[0].Text != test.text || wrong[0].Severity != test.severity || wrong[0].Next == "" {
				t.Errorf("faults %+v", wrong)
			}
			sampler, err := NewSampler(stage, &test.routine, stage.Groups())
			if refused := err != nil; refused != (test.severity == report.StopWork) {
				t.Errorf("sampler %v, error %v", sampler != nil, err)
			}
		})
	}
}

func TestCheckCalls(t *testing.T) {
	stage := row(t, 1)
	call := func(r *Routine, called ...*Routine) *Routine {
		for _, c := range called {
			r.Strokes = append(r.Strokes, Stroke{Kind: Call, Called: c})
		}
		return r
	}
	leaf := func(name string) *Routine {
		return &Routine{Name: name, LengthMS: 100, Strokes: []Stroke{{Kind: Hold, On: []int{0}, Light: 1}}}
	}
	chain := func(deep int) *Routine {
		r := leaf("r1")
		for i := 2; i <= deep; i++ {
			r = call(&Routine{Name: fmt.Sprintf("r%d", i), LengthMS: 100}, r)
		}
		return r
	}
	doubling := func(deep int) *Routine { // 2^deep leaves
		r := leaf("r0")
		for i := range deep {
			r = call(&Routine{Name: fmt.Sprintf("d%d", i), LengthMS: 100}, r, r)
		}
		return r
	}

	self := leaf("self")
	call(self, self)
	a, b, c := leaf("a"), leaf("b"), leaf("c")
	call(a, leaf("aside"), b)
	call(b, c)
	call(c, b)

	tests := []struct {
		name string
		r    *Routine
		id   string
		text string
	}{
		{"the deepest that is allowed", chain(MaxDepth), "", ""},
		{"too deep", chain(MaxDepth + 1), "call-depth", "calls are nested 17 deep: r17 calls r16 calls r15"},
		{"itself", self, "call-circle", "routines call one another in a circle: self calls self"},
		{"a circle further in", a, "call-circle", "routines call one another in a circle: b calls c calls b"},
		{"one routine called twice is no circle", doubling(1), "", ""},
		{"many strokes", doubling(10), "", ""},
		{"too many strokes", doubling(15), "call-strokes", "routine d14 reaches more than 4096 strokes through its calls"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			wrong := test.r.Check(stage)
			if test.id == "" {
				if len(wrong) > 0 {
					t.Fatalf("faults %v", wrong)
				}
				sampler, err := NewSampler(stage, test.r, stage.Groups())
				if err != nil {
					t.Fatal(err)
				}
				if got := sampler.At(50)[0]; got != 1 || test.r.At(0, 50) != 1 {
					t.Errorf("light %v", got)
				}
				return
			}
			if len(wrong) != 1 || wrong[0].ID != test.id || !strings.HasPrefix(wrong[0].Text, test.text) || wrong[0].Next == "" {
				t.Errorf("faults %+v", wrong)
			}
			if sampler, err := NewSampler(stage, test.r, stage.Groups()); err == nil {
				t.Errorf("sampled all the same: %v", sampler.Groups())
			}
		})
	}
}
