package rules

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"lampwright/kit"
	"lampwright/report"
)

// calls gives the road inputs that may call a function. A lamp in the centre may be called by either turn.
func calls(function string, l *kit.Lamp) []string {
	switch function {
	case "turn":
		switch l.Place.Side.String() {
		case "LH":
			return []string{"turn-lh"}
		case "RH":
			return []string{"turn-rh"}
		}
		return []string{"turn-lh", "turn-rh"}
	case "park", "side-marker":
		return []string{"tail"}
	}
	return []string{function}
}

// served finds functions of a lamp that no signal lights: a required one stops work, an extra one is worth a note. It also finds turn signals on the wrong side.
func served(k *kit.Kit) (list report.List) {
	for _, l := range k.Lamps {
		for _, f := range l.Functions {
			wanted := calls(f.Name, l)
			lit := map[int]bool{}
			for _, y := range k.Layers {
				if !y.Show && (slices.Contains(wanted, y.Input.Road) || f.Name == "stop" && stops(y)) {
					maps.Copy(lit, lights(y, l))
				}
			}
			dark := 0
			for _, g := range f.Groups {
				if !lit[g] {
					dark++
				}
			}
			if dark == 0 {
				continue
			}
			severity, kind := report.Note, "extra"
			if f.Required {
				severity, kind = report.StopWork, "required"
				if !k.Use.OnRoad() {
					severity = report.Caution
				}
			}
			list.Add(report.Findingf(severity, "unserved", f.At, "lamp %q performs %s (%s), but no signal on %s lights %s of its %d groups",
				l.Name, f.Name, kind, strings.Join(wanted, " or "), all(dark, len(f.Groups)), len(f.Groups)).
				Because("what a lamp is said to perform, it must do").
				Against(fmt.Sprintf("%d of %d groups dark", dark, len(f.Groups)), "none dark", "common practice, no source").
				Do("let a signal with input %s take them, and let its routine light them; or take the function away from the lamp", wanted[0]))
		}
	}
	return list
}

// lights gives the groups of a lamp that a signal takes and that its arrive or stay routine ever lights.
func lights(y *kit.Layer, l *kit.Lamp) map[int]bool {
	lit := map[int]bool{}
	t := kit.Take{Lamp: l, Groups: y.Of(l)}
	for _, r := range []*kit.Routine{y.Arrive, y.Stay} {
		if r == nil || len(t.Groups) == 0 {
			continue
		}
		frames(r.On(l), t, func(_ float64, lights []float64) bool {
			for i, g := range t.Groups {
				if lights[i] > 0 {
					lit[g] = true
				}
			}
			return len(lit) < len(t.Groups)
		})
	}
	return lit
}

func all(n, of int) string {
	if n == of {
		return "any"
	}
	return fmt.Sprint(n)
}

// stopAnswers notes a stop lamp that is not wholly on: only full light has the quick path of the interrupt.
func stopAnswers(k *kit.Kit) (list report.List) {
	for _, y := range k.Layers {
		if y.Show || y.Input.Road != "stop" || y.Stay == nil || y.Arrive != nil || y.Leave != nil {
			continue
		}
		for _, t := range y.Takes {
			b := y.Stay.On(t.Lamp)
			for _, g := range t.Groups {
				share := b.Light.GroupLight(b.GroupLEDs(t.Lamp, []int{g}), 0)
				if share >= 1 {
					continue
				}
				list.Add(report.Findingf(report.Note, "stop-part-light", y.At, "stop signal %q lights group %s of lamp %q at %.0f %%", y.Name, t.Lamp.Groups[g].Name, t.Lamp.Name, share*100).
					Because("only a stop at full light is switched by the module's interrupt, within 5 ms and even with a hung program; this one answers with the frames, within 14 ms").
					Against(fmt.Sprintf("%.0f %%", share*100), "100 %", "the module's engine, docs/engine.md").
					Do("hold its groups at 100 %% and choose the resistor for the light wanted, or take groups that stay dark out of takes:"))
				return list
			}
		}
	}
	return list
}
