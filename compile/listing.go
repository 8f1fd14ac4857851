package compile

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"lampwright/program"
	"lampwright/report"
)

// Listing gives the module's program as text for people: what it reacts to, which group hangs on which output, and every
// routine, operation by operation.
func (m *Module) Listing() string {
	var b strings.Builder
	p := m.Program
	fmt.Fprintf(&b, "module %s for lamp %s, board %s with %d outputs\n", m.Of.Name, m.Of.Lamp.Name, m.Of.Board.Name, m.Of.Board.Outputs)
	fmt.Fprintf(&b, "kit %08x, lamp %d, side %s, link %s\n", p.Kit, p.Lamp, m.Of.Lamp.Place.Side, linkWord(p.Link))
	if m.Image == nil {
		b.WriteString("refused: no image\n")
	} else {
		fmt.Fprintf(&b, "image %d bytes of %d, check %04x\n", len(m.Image), program.MaxImageBytes, m.ImageCheck())
	}
	fmt.Fprintf(&b, "%d of %d layers, %d of %d moving, %d of %d fades\n", len(p.Layers), program.MaxLayers, m.Moving, program.MaxMoving, m.Fades, m.MostFades())
	for _, line := range m.Words() {
		b.WriteString(Folded(line, "    ") + "\n")
	}
	m.listSafe(&b)
	for i := range p.Layers {
		m.listLayer(&b, i)
	}
	return b.String()
}

// Folded puts what a long line says in brackets onto a line of its own, behind an indent, and folds what is too wide still.
func Folded(line, indent string) string {
	if head, rest, found := strings.Cut(line, " ("); found && utf8.RuneCountInString(line) > report.FoldAt {
		return report.Folded(head, indent) + "\n" + indent + report.Folded("("+rest, indent)
	}
	return report.Folded(line, indent)
}

func linkWord(r program.LinkRole) string {
	return [...]string{program.NoLink: "none", program.Leader: "leader", program.Follower: "follower"}[r]
}

// listSafe tells the filters and what happens without a good image.
func (m *Module) listSafe(b *strings.Builder) {
	s := m.Safe
	b.WriteString("\ninputs, steady for so long before they count\n")
	for i := range program.MaxInputs {
		low := ""
		if s.Invert>>i&1 == 1 {
			low = ", active low"
		}
		if s.Shared.Used && int(s.Shared.As) == i {
			fmt.Fprintf(b, "  in%d  no pin: on from 15 highs of in%d among its last 20 samples (10 ms), off from 10\n", i+1, s.Shared.From+1)
			continue
		}
		if t := m.turnAt(i); t != nil {
			fmt.Fprintf(b, "  in%d  no pin: the turn on in%d, told apart from the stop by in%d\n", i+1, t.Wire+1, t.Reference+1)
			continue
		}
		if i >= len(m.Of.Board.Inputs) {
			continue
		}
		gap := ""
		if s.Gap[i] > 0 {
			gap = fmt.Sprintf(" in all, at most %.0f ms apart", refreshMS(s.Gap[i]))
		}
		fmt.Fprintf(b, "  in%d  on %.1f ms%s, off %.1f ms%s\n", i+1, refreshMS(s.On[i]), gap, refreshMS(s.Off[i]), low)
	}
	b.WriteString("without a good image\n")
	turns := m.turnNames()
	for _, f := range []struct {
		name    string
		inputs  uint8
		level   uint8
		outputs [program.MaxRegisters]uint8
	}{
		{"stop", s.Stop, program.FullLevel, s.StopOut},
		{turns[0], s.TurnA, program.FullLevel, s.TurnAOut},
		{turns[1], s.TurnB, program.FullLevel, s.TurnBOut},
		{"tail", s.Tail, s.TailLevel, s.TailOut},
	} {
		if f.inputs != 0 {
			fmt.Fprintf(b, "  %-7s  %s: level %d on %s\n", f.name, inputNames(f.inputs), f.level, outputRuns(f.outputs))
		}
	}
	if s.TurnWaits {
		b.WriteString("  the turn waits for the check of the image\n")
	}
}

// turnAt gives the stop-and-turn wire whose turn is read at an input number, or nil.
func (m *Module) turnAt(input int) *program.StopTurn {
	for i := range m.Safe.StopTurn {
		if t := &m.Safe.StopTurn[i]; t.Used && int(t.Turn) == input {
			return t
		}
	}
	return nil
}

// turnNames names turns A and B of the safe block. In an image for both hands A is the turn of the own side, if the first hand is LH.
func (m *Module) turnNames() [2]string {
	switch {
	case m.Twin == nil:
		return [2]string{"turn LH", "turn RH"}
	case m.first().Program.Side == program.RH:
		return [2]string{"turn of the other side", "turn"}
	}
	return [2]string{"turn", "turn of the other side"}
}

func refreshMS(count uint8) float64 { return float64(count) * 1000 / program.RefreshHz }

func inputNames(mask uint8) string {
	var names []string
	for i := range program.MaxInputs {
		if mask>>i&1 == 1 {
			names = append(names, fmt.Sprintf("in%d", i+1))
		}
	}
	return strings.Join(names, " or ")
}

// outputRuns lists outputs from 1, neighbours as runs.
func outputRuns(mask [program.MaxRegisters]uint8) string {
	var runs []string
	on := func(o int) bool { return o < program.MaxOutputs && mask[o/8]>>(o%8)&1 == 1 }
	for o := 0; o < program.MaxOutputs; o++ {
		if !on(o) {
			continue
		}
		first := o
		for on(o + 1) {
			o++
		}
		if first == o {
			runs = append(runs, fmt.Sprint(o+1))
		} else {
			runs = append(runs, fmt.Sprintf("%d..%d", first+1, o+1))
		}
	}
	if runs == nil {
		return "no output"
	}
	return "outputs " + strings.Join(runs, ", ")
}

func (m *Module) listLayer(b *strings.Builder, i int) {
	l, facts := &m.Program.Layers[i], m.Layers[i]
	kind := "signal"
	switch {
	case facts.Outage != nil:
		kind = "load"
	case l.Show:
		kind = "show"
	}
	fmt.Fprintf(b, "\n%d. %s %s on %s", i+1, kind, facts.Of.Name, inputNames(l.InputMask))
	for _, trait := range []struct {
		is   bool
		text string
	}{
		{l.Fast, "acts within a refresh"},
		{l.Pace >= 0, fmt.Sprintf("at the flasher's pace (pacer %d)", l.Pace)},
		{l.Linked, "kept in step over the link wire"},
		{l.Ends, "ends when interrupted"},
		{l.NotWhile != 0, "not while " + inputNames(l.NotWhile)},
		{l.OnlyWhile != 0, "only while " + inputNames(l.OnlyWhile)},
		{l.Window > 0, fmt.Sprintf("repeat window %d ms", int(l.Window)*program.FrameMS)},
		{l.Keep > 0, fmt.Sprintf("keeps dark for %d ms", int(l.Keep)*program.FrameMS)},
		{l.Limit > 0, fmt.Sprintf("at most %d s", int(l.Limit)*program.LimitUnitFrames*program.FrameMS/1000)},
	} {
		if trait.is {
			b.WriteString(", " + trait.text)
		}
	}
	b.WriteString("\n   slot  output  group\n")
	for slot, o := range l.Slots {
		name, still := "a load, no light", ""
		if facts.Outage == nil {
			name = m.Of.Lamp.Groups[facts.Groups[slot]].Name
		}
		if l.Still != nil {
			still = fmt.Sprintf("  level %d", l.Still[slot])
		}
		fmt.Fprintf(b, "   %4d  %6d  %s%s\n", slot, o+1, name, still)
	}
	for _, r := range facts.Routines {
		name := "hold what arrive left"
		switch {
		case r.Of != nil:
			name = r.Of.Name
		case facts.Outage != nil:
			name = facts.Outage.Name
		}
		fmt.Fprintf(b, "   %s: %s, %s, %s for %s, error %.2f levels\n", r.Part, name, report.Count(r.Code.Ticks, "tick"), report.Count(len(r.Code.Code), "byte"), report.Count(r.Fades, "fade"), r.WorstError)
		fmt.Fprintf(b, "      full frames would take %.1f times as much, tracks %.1f times\n", r.FrameRatio(), r.TrackRatio())
		if l.Pace >= 0 && r.Part == "arrive" {
			b.WriteString("      its times are stretched or squeezed: the end comes with the flasher's click\n")
		}
		for _, line := range program.Disassemble(r.Code, l.Slots) {
			b.WriteString("   " + line + "\n")
		}
	}
}
