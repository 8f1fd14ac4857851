package light

import (
	"slices"
	"testing"

	"lampwright/lamp"
	"lampwright/report"

	"pgregory.net/rapid"
)

func TestIdle(t *testing.T) {
	stage := row(t, 3)
	all := everywhere(stage)
	axis, err := stage.Axis(all, lamp.Direction{Heading: lamp.Right})
	if err != nil {
		t.Fatal(err)
	}
	full := 1.0
	hold := Stroke{Kind: Hold, On: all, Light: 0.4}
	fade := Stroke{Kind: FadeDown, On: all, ForMS: 100}
	dark := &Routine{Name: "dark", LengthMS: 100, Strokes: []Stroke{fade}}
	tests := []struct {
		name    string
		strokes []Stroke
		idle    string
	}{
		{"all busy", []Stroke{hold, fade}, ""},
		{"a fade down over the dark", []Stroke{fade, hold}, "routine r, stroke 1 (fade down): it changes nothing"},
		{"a fade down from a light", []Stroke{{Kind: FadeDown, On: all, ForMS: 100, From: &full}}, ""},
		{"a clear elsewhere", []Stroke{{Kind: Hold, On: []int{0}, Light: 1}, {Kind: Clear, On: []int{2}, Axis: lamp.Axis{MM: []float64{0}}, ForMS: 50}}, "routine r, stroke 2 (clear): it changes nothing"},
		{"brighter but dim", []Stroke{hold, {Kind: Sweep, On: all, Axis: axis, ForMS: 100, Light: 0.3, Meets: Brighter}}, "routine r, stroke 2 (sweep): it changes nothing"},
		{"busy in one frame only", []Stroke{hold, {Kind: Hold, On: all, StartMS: 96, ForMS: 4}}, ""},
		{"a call of darkness", []Stroke{hold, {Kind: Call, Called: dark, Meets: Brighter}}, "routine r, stroke 2 (call): it changes nothing"},
		{"a call of a fade", []Stroke{hold, {Kind: Call, Called: dark, On: []int{1}}}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			r := &Routine{Name: "r", LengthMS: 100, Strokes: test.strokes}
			idle, err := r.Idle(stage, nil)
			if err != nil {
				t.Fatal(err)
			}
			if test.idle == "" {
				if len(idle) > 0 {
					t.Errorf("idle %v", idle)
				}
				return
			}
			if len(idle) != 1 || idle[0].Text != test.idle || idle[0].Severity != report.Caution || idle[0].Next == "" {
				t.Errorf("idle %+v", idle)
			}
		})
	}
	if _, err := (&Routine{Name: "r"}).Idle(stage, nil); err == nil {
		t.Error("a routine without strokes was played")
	}
}

// CheckAt and Idle put each matter at its own place.
func TestWhere(t *testing.T) {
	stage := row(t, 1)
	on := []int{0}
	inner := &Routine{Name: "inner", LengthMS: 100, Strokes: []Stroke{{Kind: Hold, On: on, Light: 1}, {Kind: Hold, On: on, Light: 2}}}
	outer := &Routine{Name: "outer", LengthMS: 100, Strokes: []Stroke{{Kind: Call, Called: inner}, {Kind: Hold, On: on}}}
	where := func(r *Routine, stroke int) report.Place {
		return report.Place{File: r.Name, Line: stroke + 2} // 1 for the routine itself
	}
	at := func(list report.List, want string) {
		t.Helper()
		if len(list) != 1 || list[0].Place.String() != want {
			t.Errorf("%v, want one at %s", list, want)
		}
	}
	at(outer.CheckAt(stage, where), "inner:3")
	inner.Strokes[1].Light = 1
	idle, err := inner.Idle(stage, where)
	if err != nil {
		t.Fatal(err)
	}
	at(idle, "inner:3") // the second hold is as bright as the first
	inner.Strokes = append(inner.Strokes, Stroke{Kind: Call, Called: outer})
	at(outer.CheckAt(stage, where), "inner:4") // the call that closes the circle
	inner.Strokes = nil
	at(outer.CheckAt(stage, where), "inner:1")
}

// A stroke is idle where by the definition it changes no LED at any frame, however few of the LEDs show that it does.
func TestIdleIsWhatChangesNothing(t *testing.T) {
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		stage := anyStage().Draw(t, "stage")
		r := anyRoutine(t, stage)[0]
		if r.Length() > 2000 {
			t.Skip("long")
		}
		var want []report.Place
		where := func(_ *Routine, stroke int) report.Place { return report.Place{Line: stroke + 1} }
		for i := range r.Strokes {
			idle := true
			for at := 0.0; at < r.Length() && idle; at += FrameMS {
				for led := range stage.Len() {
					below := 0.0
					for k := range i {
						below = r.Strokes[k].over(led, at, false, below, 1)
					}
					idle = idle && r.Strokes[i].over(led, at, false, below, 1) == below
				}
			}
			if idle {
				want = append(want, where(r, i))
			}
		}
		list, err := r.Idle(stage, where)
		var got []report.Place
		for _, d := range list {
			got = append(got, d.Place)
		}
		if err != nil || !slices.Equal(got, want) {
			t.Fatalf("idle are %v, and %v by the definition (%v)", got, want, err)
		}
		found += len(want)
	})
	if found == 0 {
		t.Error("no stroke was idle")
	}
}
