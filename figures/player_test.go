package figures

import (
	"slices"
	"testing"

	"lampwright/lamp"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"
)

// stopLamp is a module whose only signal lights all its outputs wholly, on in1, stop override or not.
func stopLamp(t *testing.T, fast bool, invert uint8) *program.Engine {
	t.Helper()
	slots := []uint8{3, 2, 1, 0}
	p := &program.Program{Registers: 1, Layers: []program.Layer{{Name: "stop", Fast: fast, Pace: -1, InputMask: 1, Slots: slots, Still: []uint8{255, 255, 255, 255}}}}
	p.Arrange()
	s := &program.Safe{Registers: 1, Invert: invert}
	for i := range s.On {
		s.On[i], s.Off[i] = 4, 8
	}
	if fast {
		s.Stop, s.StopOut[0] = 1, 0x0F
	}
	e, err := program.NewEngineFor(p, s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func rowLamp(t *testing.T) *lamp.Lamp {
	l := &lamp.Lamp{Name: "row"}
	unroll(t, l, "g", lamp.Line{Through: []lamp.Point{{}, {X: 40}}, Count: 5}, lamp.Grouping{By: lamp.ByEach}, "red")
	return l
}

func TestPlayerLightsWhatIsPressed(t *testing.T) {
	for _, fast := range []bool{false, true} {
		for _, low := range []bool{false, true} {
			invert := uint8(0)
			if low {
				invert = 1
			}
			l, dark := rowLamp(t), rowLamp(t)
			presses, faults := script.Parse("x", []byte("stop@100ms..200ms other@0ms..300ms"), nil)
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			p := NewPlayer([]Actor{{Name: "m", Lamp: l, Output: []int{3, 2, -1, 1, 0}, Engine: stopLamp(t, fast, invert),
				Wires: []Wire{{Input: "stop", Mask: 1, ActiveLow: low}, {Input: "other", Mask: 2}}}}, presses.Timeline(0))
			lamps := []*lamp.Lamp{dark, l}
			all, none := []units.Share{1, 1, 0, 1, 1}, []units.Share{0, 0, 0, 0, 0}
			for _, c := range []struct {
				at   units.Time
				want []units.Share
			}{{99 * units.Millisecond, none}, {120 * units.Millisecond, all}, {200 * units.Millisecond, all}, {220 * units.Millisecond, none}} {
				p.To(c.at)
				f := p.Frame(lamps)
				if f.At != c.at || !slices.Equal(f.Light[1], c.want) || !slices.Equal(f.Light[0], none) {
					t.Errorf("fast %v, active low %v, at %v: %v", fast, low, f.At, f.Light)
				}
				if slices.Contains(f.Pressed, "stop") != (c.at >= 100*units.Millisecond && c.at < 200*units.Millisecond) {
					t.Errorf("at %v pressed: %v", c.at, f.Pressed)
				}
			}
		}
	}
}

// A stop lamp is wholly lit within 5 ms of its wire, filter included: the player shows the override, not the frame alone.
func TestPlayerShowsTheStopOverride(t *testing.T) {
	l := rowLamp(t)
	presses, _ := script.Parse("x", []byte("stop@100ms..200ms"), nil)
	p := NewPlayer([]Actor{{Name: "m", Lamp: l, Output: []int{0, 1, 2, 3, -1}, Engine: stopLamp(t, true, 0), Wires: []Wire{{Input: "stop", Mask: 1}}}}, presses.Timeline(0))
	p.To(105 * units.Millisecond)
	if f := p.Frame([]*lamp.Lamp{l}); f.Light[0][0] != 1 {
		t.Errorf("light %v 5 ms after the press", f.Light[0][0])
	}
}
