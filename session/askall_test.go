package session

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampwright/kit"
	"lampwright/report"
	"lampwright/source"
)

// lessened gives a job without what asks for something: as it is, without each of its signals, without signals and shows, without their
// routines too, and without wires and what hangs on them.
func lessened(t *testing.T, text string) map[string]string {
	t.Helper()
	file, faults := source.Parse("job.yaml", []byte(text))
	must(t, faults)
	without := func(file *source.File, paths ...source.Path) *source.File {
		for _, p := range paths {
			if _, there := at(file.Tree(), p); there {
				next, faults := file.Apply(source.Delete(p))
				must(t, faults)
				file = next
			}
		}
		return file
	}
	less := map[string]string{"as it is": text}
	signals, _ := at(file.Tree(), source.Path{"signals"})
	for i, item := range list(signals) {
		name, _ := layerOf(item)
		less["without "+name] = string(without(file, source.Path{"signals", source.Index(i)}).Text())
	}
	file = without(file, source.Path{"signals"}, source.Path{"shows"}, source.Path{"outages"})
	less["without signals"] = string(file.Text())
	file = without(file, source.Path{"routines"})
	less["without routines"] = string(file.Text())
	modules, _ := at(file.Tree(), source.Path{"modules"})
	fields, _ := modules.(source.Fields)
	for _, m := range fields {
		file = without(file, source.Path{"modules", m.Key, "fed"})
	}
	less["without wires"] = string(without(file, source.Path{"inputs"}).Text())
	return less
}

// Of every job that comes with the tool, whole or in part, whatever is asked for stands at once, or is refused and changes nothing.
func TestWhatIsAskedForStands(t *testing.T) {
	files, _ := filepath.Glob("../examples/*/*.yaml")
	asked, refused := 0, 0
	for _, file := range files {
		for how, text := range lessened(t, onDisk(t, file)) {
			d, path := opened(t, text, Options{})
			write(t, filepath.Join(filepath.Dir(path), "panel-mark.csv"), onDisk(t, "../examples/lamps/panel-mark.csv"))
			must(t, d.Apply(d.State().Revision, "begin", title("Begun")))
			text, before := onDisk(t, path), d.State()
			if before.Kit == nil {
				t.Fatalf("%s %s: %v", file, how, before.Problems)
			}
			told := map[string]Ask{} // what is offered, and what would be refused
			for _, a := range Asks(before) {
				told[a.Input] = a
			}
			for _, input := range append(slices.Clone(kit.Roads), "remote-9") {
				offer, offered := told[input]
				if faults := do(d, "ask", fmt.Sprintf(`{"input":%q}`, input)); faults.HasErrors() {
					refused++
					if offered && (len(offer.Why) == 0 || offer.Why[0].Text != faults[0].Text) {
						t.Errorf("%s %s: %s is offered as %+v and refused with %v", file, how, input, offer, faults)
					}
					if faults[0].Next == "" || onDisk(t, path) != text {
						t.Errorf("%s %s: %s is refused with %v", file, how, input, faults)
					}
					continue
				}
				asked++
				s := d.State()
				if input != "remote-9" && (!offered || len(offer.Why) > 0 || offer.Show || (offer.Also != "") != strings.Contains(s.Undo, " and ")) {
					t.Errorf("%s %s: %s can be asked for (%s), but is told of as %+v", file, how, input, s.Undo, offer)
				}
				if s.Kit == nil || s.Problems.Count(report.StopWork) > 0 {
					t.Errorf("%s %s: %s does not stand: %v", file, how, input, s.Problems)
				}
				if !slices.ContainsFunc(s.Seen.Layers, func(l *kit.Layer) bool { return l.Input.Name == input && len(l.Takes) > 0 }) {
					t.Errorf("%s %s: nothing answers %s", file, how, input)
				}
				must(t, d.Undo(s.Revision))
			}
			if onDisk(t, path) != text {
				t.Errorf("%s %s: what was asked for cannot be taken back", file, how)
			}
		}
	}
	if asked < 100 || refused < 100 {
		t.Errorf("%d were asked for and %d refused", asked, refused)
	}
}

// What is offered is what a press would do: switches that nothing answers, the next remote, and why a turn of an image for both hands fits alone nowhere.
func TestWhatIsOffered(t *testing.T) {
	offered := func(text string) (says []string) {
		d, _ := opened(t, text, Options{})
		for _, a := range Asks(d.State()) {
			line := a.Input
			if a.Also != "" {
				line += " with " + a.Also
			}
			if len(a.Why) > 0 {
				line += ": " + a.Why[0].Text
			}
			says = append(says, line)
		}
		return says
	}
	wired := oneNose + "modules: {m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}}}\ninputs: {drl: {wire: m.in1}, ignition: {wire: m.in2}, door: {wire: m.in3}, remote-1: {wire: m.in4}}\n" +
		"routines: {on: {strokes: [hold: {light: 50 %}]}}\nsignals: [drl: {input: drl, takes: nose, stay: on}]\nshows: [glow: {input: door, stay: on, not-while: ignition}]\n"
	if got, want := offered(wired), []string{"tail", "remote-1", "remote-2"}; !slices.Equal(got, want) {
		t.Errorf("offered are %q, and should be %q", got, want)
	}
	pair := lessened(t, onDisk(t, "../examples/lamps/one-image-pair.yaml"))["without wires"]
	if got := offered(pair); len(got) < 2 || got[0] != "turn-lh with turn-rh" || got[1] != "turn-rh with turn-lh" {
		t.Errorf("of one image for both hands is offered %q", got)
	}
	if got := offered(oneNose); got != nil {
		t.Errorf("without a module is offered %q", got)
	}
}

// Both hands of one image answer their turns alike, so the two come together, on the same pin.
func TestTurnsOfOneImageComeTogether(t *testing.T) {
	pair := lessened(t, onDisk(t, "../examples/lamps/one-image-pair.yaml"))["without wires"]
	d, path := opened(t, pair, Options{})
	must(t, do(d, "ask", `{"input":"turn-rh"}`))
	if undo := d.State().Undo; undo != "ask for turn-rh and turn-lh" {
		t.Errorf("the step is called %q", undo)
	}
	says(t, d.State().Text, "inputs:\n  turn-rh: {wire: right.in1}\n  turn-lh: {wire: left.in1}\n",
		"  - turn-lh: {input: turn-lh, takes: tail-lh.arrow, arrive: turn-out, pace: flasher}\n  - turn-rh: {input: turn-rh, takes: tail-rh.arrow, arrive: turn-out, pace: flasher}\n")
	must(t, do(d, "ask", `{"input":"stop"}`))
	says(t, d.State().Text, "  stop: {wire: [left.in2, right.in2]}\n")
	must(t, d.Undo(d.State().Revision))
	undone(t, d, path, pair)
}

func TestOddJobsAreAsked(t *testing.T) {
	for _, c := range []struct{ more, input, says string }{
		// the lamp that has no wire is left alone by a show, and one that is named like a zone is spelt out
		{"  spare: {place: {end: front, side: centre, at: [0 mm, 300 mm]}, leds: [row: {name: nose, from: [0, 0], to: [70, 0], count: 8, group: 2, part: white-150}]}\n" +
			"modules: {m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}}}\n", "remote-1", "  - drift: {input: remote-1, takes: nose.strip, stay: drift, limit: 10 min}\n"},
		// one module that hears a wire at two pins takes its lamp once
		{"modules: {m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}}}\ninputs: {drl: {wire: [m.in1, m.in2]}}\n", "drl", "  - drl: {input: drl, takes: nose, stay: full}\n"},
		// a module that another wire alone feeds is dead without it
		{"modules:\n  m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}, fed: {only: tail}}\ninputs: {tail: {wire: m.in1}}\n", "tail", "  - tail: {input: tail, takes: nose, stay: dim}\n"},
	} {
		d, _ := opened(t, oneNose+c.more, Options{})
		must(t, do(d, "ask", fmt.Sprintf(`{"input":%q}`, c.input)))
		says(t, d.State().Text, c.says)
		if s := d.State(); s.Kit == nil {
			t.Errorf("%s does not stand: %v", c.input, s.Problems)
		}
	}
	fed := oneNose + "modules:\n  m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}, fed: {only: tail}}\ninputs: {tail: {wire: m.in1}}\n"
	refusals(t, fed, [][3]string{{"ask", `{"input":"drl"}`, "no module"}})
	// a turn wire that carries the stop lets the brake light only what the turn lights
	carried := oneNose + "modules: {m: {board: chain-8, lamp: nose, wiring: {strip: 1..4}}}\ninputs: {turn-lh: {wire: m.in1, carries-stop: {}}, stop: {wire: m.in2}}\n" +
		"routines: {out: {length: 150 ms, strokes: [sweep: {direction: outboard, for: 150 ms}]}}\nsignals: [turn-lh: {input: turn-lh, takes: nose.strip.1, arrive: out, pace: flasher}]\n"
	refusals(t, carried, [][3]string{{"ask", `{"input":"stop"}`, "does not fit this job"}})
	refusals(t, fed+"signals: [mine: {input: drl, takes: nose}]\n", [][3]string{{"ask", `{"input":"drl"}`, "not all known"}})
}

const oneNose = `lampwright: 1
job: {title: One nose, use: show-only}
lamps:
  nose:
    place: {end: front, side: centre, at: [0 mm, 700 mm]}
    leds: [row: {name: strip, from: [0, 0], to: [70, 0], count: 8, group: 2, part: white-150}]
`
