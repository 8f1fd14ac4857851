package light

import (
	"fmt"
	"slices"

	"lampwright/report"
)

// Idle cautions about strokes of a routine that change nothing at any of its
// frames, because what they go over is already as they would make it: a fade
// down over the dark, a dim stroke that meets brighter. Strokes of called
// routines count as the call. The routine must have passed Check. where may be
// nil, see CheckAt.
func (r *Routine) Idle(stage *Stage, where Where) (report.List, error) {
	busy, err := r.busy(stage, r.few(stage))
	if err == nil && slices.Contains(busy, false) {
		busy, err = r.busy(stage, everyLED(stage))
	}
	if err != nil {
		return nil, err
	}
	var idle report.List
	for i, b := range busy {
		if b {
			continue
		}
		kind := r.Strokes[i].Kind
		next := "remove it, or give it another light, place or time"
		if kind == FadeDown || kind == Clear {
			next = "hold the region lit below it, or give it a light to start from"
		}
		idle.Add(report.Cautionf("idle-stroke", where.place(r, i), "%s", fmt.Sprintf("routine %s, stroke %d (%s): it changes nothing", r.Name, i+1, kind)).
			Because("a routine starts from dark, and what it goes over is already as it would make it").Do("%s", next))
	}
	return idle, nil
}

// fewLEDs of each stroke mostly show that it does something; only where they do not are all looked at.
const fewLEDs = 8

// few gives some LEDs of each stroke, spread over its region.
func (r *Routine) few(stage *Stage) (leds []int) {
	for i := range r.Strokes {
		on := r.Strokes[i].On
		if on == nil {
			on = everyLED(stage)
		}
		n := min(fewLEDs, len(on))
		for k := range n {
			leds = append(leds, on[k*len(on)/n])
		}
	}
	return leds
}

func everyLED(stage *Stage) []int {
	all := make([]int, stage.Len())
	for led := range all {
		all[led] = led
	}
	return all
}

// busy tells of each stroke whether it changes one of some LEDs at any frame.
func (r *Routine) busy(stage *Stage, leds []int) ([]bool, error) {
	s, err := NewSampler(stage, r, [][]int{leds})
	if err != nil {
		return nil, err
	}
	busy := make([]bool, len(r.Strokes))
	below := make([]float64, len(s.levels))
	var plan []step
	for t := 0.0; t < s.length && slices.Contains(busy, false); t += FrameMS {
		clear(s.levels)
		for i := range r.Strokes {
			copy(below, s.levels)
			plan = s.scheduleStroke(plan[:0], &r.Strokes[i], t, false)
			s.perform(plan)
			busy[i] = busy[i] || !slices.Equal(below, s.levels)
		}
	}
	return busy, nil
}
