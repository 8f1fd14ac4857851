package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"text/tabwriter"

	"lampwright/compile"
	"lampwright/program"
	"lampwright/report"
)

// files gives what make writes, sorted by name within each module.
func (b *built) files() ([]kitFile, error) {
	var files []kitFile
	boards := map[string]bool{}
	for _, m := range b.modules {
		name := m.Of.Name
		files = append(files,
			kitFile{name + ".hex", m.hex},
			kitFile{name + ".image", m.Image},
			kitFile{name + ".txt", []byte(m.Listing())})
		if !boards[m.Of.Board.Name] {
			boards[m.Of.Board.Name] = true
			walk, err := walkHEX(m.Of.Board)
			if err != nil {
				return nil, fmt.Errorf("the wiring walk of board %s cannot be made: %w", m.Of.Board.Name, err)
			}
			files = append(files, kitFile{walkName(m.Of.Board), walk})
		}
	}
	files = append(files, kitFile{summaryName, []byte(b.summary() + "\n" + b.wiring())})
	slices.SortFunc(files, func(x, y kitFile) int { return strings.Compare(x.name, y.name) })
	return files, nil
}

// check gives the image's check as four digits.
func (m module) check() string { return fmt.Sprintf("%04x", m.ImageCheck()) }

// summary tells what the kit is, one line a module.
func (b *built) summary() string {
	var text strings.Builder
	fmt.Fprintln(&text, b.kit.Title)
	if b.kit.For != "" {
		fmt.Fprintf(&text, "for %s\n", b.kit.For)
	}
	fmt.Fprintf(&text, "%s, %s, %s, %s\n\n", report.Count(len(b.kit.Lamps), "lamp"), report.Count(len(b.modules), "module"), report.Count(b.layers(false), "signal"), report.Count(b.layers(true), "show"))
	table := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "module\tboard\tlamp\toutputs\tlayers\timage\tcheck")
	for _, m := range b.madeModules() {
		fmt.Fprintf(table, "%s\t%s\t%s\t%d\t%d\t%d bytes\t%s\n", m.Module, m.Board, m.Lamp, m.Outputs, m.Layers, m.Image, m.Check)
	}
	table.Flush()
	for _, m := range b.modules {
		if m.Twin != nil && m.Of.SameImageAs == nil {
			fmt.Fprintf(&text, "\n%s and %s hold one image, %d bytes for %d apart; the strap in the plug tells the hands apart\n",
				m.Of.Name, m.Twin.Of.Name, len(m.Image), m.ApartBytes())
		}
	}
	return strings.TrimRight(text.String(), "\n")
}

// wiring tells how each module is fed and guarded, which input comes in on which pin, and what hangs on which output.
func (b *built) wiring() string {
	var text strings.Builder
	for _, m := range b.modules {
		fmt.Fprintf(&text, "\n%s\n", m.Of.Name)
		for _, line := range m.Words() {
			fmt.Fprintf(&text, "  %s\n", compile.Folded(line, "    "))
		}
		pins := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
		for i, in := range b.kit.Inputs {
			for pin := range program.MaxInputs {
				if m.Of.InputPins(in)>>pin&1 == 0 {
					continue
				}
				low := ""
				if in.ActiveLow {
					low = ", on when low"
				}
				wire := b.result.Wires[i]
				where := fmt.Sprintf("in%d", pin+1)
				if in.Shares != nil {
					where = "-"
					low += ", on the wire of " + in.Shares.Name
				}
				fmt.Fprintf(pins, "  %s\t%s%s\tat most %.0f ms later on, %.0f ms later off\n", where, in.Name, low,
					math.Ceil(wire.Delay.On.Milliseconds()), math.Ceil(wire.Delay.Off.Milliseconds()))
			}
		}
		pins.Flush()
		table := tabwriter.NewWriter(&text, 0, 0, 2, ' ', 0)
		for o := range m.Of.Board.Outputs {
			if g := m.groupAt(o); g >= 0 {
				group := m.Of.Lamp.Groups[g]
				fmt.Fprintf(table, "  out%d\t%s (%s, %s)\n", o+1, group.Name, report.Count(len(group.LEDs), "LED"), m.Of.Lamp.GroupColour(g))
			} else if l := m.loadAt(o); l != nil {
				fmt.Fprintf(table, "  out%d\t%s (a load of %s, no light)\n", o+1, l.Name, l.Load)
			}
		}
		table.Flush()
	}
	return text.String()
}
