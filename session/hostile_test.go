package session

import (
	"testing"

	"lampwright/source"
)

// Commands on a text that is no proper job are refused or done, and never more than that.
func TestCommandsStandOddTexts(t *testing.T) {
	odd := []string{"", " x", " [x]", " {x: 1}", " [{x: 1}]", " {x: {y: 1}}", " {lamp: {leds: [x]}}", " {lamp: {leds: {x: 1}}}", " {lamp: [x]}", " {lamp: {leds: [row: x]}}",
		" {lamp: {leds: [led: {at: x, name: [y]}], zones: [x], functions: {stop: x}}}", " [x: {takes: {y: 1}, input: [stop]}]", " {m: {lamp: [lamp], wiring: [x], fed: x}}", " {x: {strokes: [[x], {hold: [x]}]}}"}
	sections := []string{"lamps", "modules", "inputs", "routines", "signals", "shows", "parts", "outages"}
	for _, section := range sections {
		for _, value := range odd {
			text := "lampwright: 1\njob: {title: Odd, use: show-only}\n" + section + ":" + value + "\n"
			d, _ := opened(t, text, Options{})
			before := d.State()
			if before.File == nil {
				continue
			}
			for _, c := range []struct{ name, args string }{
				{"ask", `{"input":"stop"}`}, {"ask", `{"input":"x"}`}, {"ask", `{"input":"note"}`},
				{"erase", `{"paths":[["lamps","lamp","leds","0"]]}`}, {"erase", `{"paths":[["lamps","lamp","leds","x"]]}`}, {"erase", `{"paths":[["lamps","lamp","paths","x"]]}`},
				{"put", `{"lamp":"lamp","text":"parts: {a: {colour: red}}\nleds: [led: {name: x, at: [1, 2], part: a}]"}`},
				{"rename", `{"kind":"lamp","from":"lamp","to":"y"}`}, {"rename", `{"kind":"zone","from":"x","to":"y"}`}, {"rename", `{"kind":"part","from":"x","to":"y"}`},
			} {
				do(d, c.name, c.args)
				s := d.State()
				LooseEnds(before.File, s.File)
				LooseEnds(s.File, before.File)
				if s.Undo != "" {
					must(t, d.Undo(s.Revision))
				}
			}
			for _, p := range []source.Path{{section}, {section, "x"}, {section, "lamp"}} {
				if next, _ := before.File.Apply(source.Delete(p)); next != nil {
					LooseEnds(before.File, next)
				}
			}
			if d.State().Text != text {
				t.Errorf("%q became %q", text, d.State().Text)
			}
		}
	}
}
