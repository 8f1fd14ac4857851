package kit

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"lampwright/board"
	"lampwright/job"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/source"
)

// modules resolves boards, lamps and wiring maps.
func (b *builder) modules() {
	drives := map[*Lamp]*Module{}
	for _, e := range b.doc.Modules.Entries() {
		v := e.Value
		m := &Module{Name: e.Name.Text, Link: string(v.Link.Value), At: e.Name.Where}
		if m.Link == string(job.NoLink) {
			m.Link = ""
		}
		found, err := board.Find(v.Board.Text)
		known := err == nil
		if m.Board = found; !known {
			b.unknownBoard(v.Board)
		}
		l, ok := b.kit.Lamp(v.Lamp.Text)
		if !ok {
			b.unknown("lamp", v.Lamp.Text, v.Lamp.Where, names(b.kit.Lamps, (*Lamp).name), b.doc.Lamps.Keys())
			continue
		}
		if other := drives[l]; other != nil {
			b.add(report.Errorf("module", v.Lamp.Where, "lamp %q already has the module %q", l.Name, other.Name).See(other.At, "the other module").
				Because("each group hangs on one output of one module").Do("give this module another lamp, or split the lamp in two"))
		}
		drives[l] = m
		m.Lamp = l
		if known {
			b.wiring(m, v.Wiring)
		}
		b.kit.Modules = append(b.kit.Modules, m)
	}
	b.leaders()
}

func (b *builder) unknownBoard(n source.Name) {
	all := board.Names()
	d := report.Errorf("unknown-name", n.Where, "there is no board called %q", n.Text).DidYouMean(n.Text, all)
	b.add(d.Expect("%s", listed(all)).Do("choose one of the boards; docs/boards tells what each needs"))
}

// leaders holds a job to one leader on the link wire.
func (b *builder) leaders() {
	var leader *Module
	followers := 0
	for _, m := range b.kit.Modules {
		switch {
		case m.Link == string(job.Leader) && leader != nil:
			b.add(report.Errorf("link", m.At, "%q and %q both lead on the link wire", leader.Name, m.Name).See(leader.At, "the first leader").
				Do("let one lead and the others follow"))
		case m.Link == string(job.Leader):
			leader = m
		case m.Link == string(job.Follower):
			followers++
		}
	}
	if followers > 0 && leader == nil {
		b.add(report.Errorf("link", b.doc.Modules.Where, "modules follow on the link wire, but none leads").Do("give one module link: leader"))
	}
}

// wiring resolves a wiring map.
func (b *builder) wiring(m *Module, wiring source.Map[job.Outputs]) {
	m.Output = make([]int, len(m.Lamp.Groups))
	m.WiringAt = make([]report.Place, len(m.Lamp.Groups))
	for g := range m.Output {
		m.Output[g] = -1
	}
	usedBy := map[int]int{}                  // output -> group
	dark := make([]bool, len(m.Lamp.Groups)) // by the word none
	before := b.list.Count(report.StopWork)
	for _, e := range wiring.Entries() {
		if m.Lamp.excused(e.Name.Text) {
			continue
		}
		groups, wrong := m.Lamp.Pick(lamp.Pick{With: []lamp.Term{{Zone: e.Name.Text}}})
		if len(wrong) > 0 {
			b.placed(wrong, e.Name.Where)
			continue
		}
		numbers := e.Value.For(len(groups))
		if len(numbers) != len(groups) {
			b.add(report.Errorf("wiring", e.Value.Where, "%q has %s, but %s", e.Name.Text, report.Count(len(groups), "group"), these(len(numbers))).
				Because("each group hangs on one output").
				Expect("%s, such as %s", report.Count(len(groups), "output"), run(len(groups))).Do("name one output for each group, in the order of the groups"))
			continue
		}
		for i, g := range groups {
			o := numbers[i] - 1
			if o < 0 { // none: the document says so
				dark[g] = true
				continue
			}
			at := e.Value.Where
			switch other, taken := usedBy[o]; {
			case o >= m.Board.Outputs:
				b.add(report.Errorf("wiring", at, "output %d is beyond board %s", o+1, m.Board.Name).
					Against("output "+strconv.Itoa(o+1), report.Count(m.Board.Outputs, "output"), "board data").Do("use 1 to %d, or a board with more outputs", m.Board.Outputs))
			case taken:
				b.add(report.Errorf("wiring", at, "output %d is given to %s and to %s", o+1, m.Lamp.Groups[other].Name, m.Lamp.Groups[g].Name).
					See(m.WiringAt[other], "the other one").Do("give each group an output of its own"))
			case m.Output[g] >= 0:
				b.add(report.Errorf("wiring", at, "group %s already hangs on output %d", m.Lamp.Groups[g].Name, m.Output[g]+1).
					See(m.WiringAt[g], "the other one").Do("name each group once"))
			default:
				usedBy[o], m.Output[g], m.WiringAt[g] = g, o, at
			}
		}
	}
	if m.Lamp.whole() && b.list.Count(report.StopWork) == before { // else groups are loose because of what was reported
		b.loose(m, dark)
	}
}

// loose finds groups that hang on no output and of which the document does not say so.
func (b *builder) loose(m *Module, dark []bool) {
	var loose []string
	for g, o := range m.Output {
		if o < 0 && !dark[g] {
			loose = append(loose, m.Lamp.Groups[g].Name)
		}
	}
	switch len(loose) {
	case 0:
	case 1:
		b.add(report.Cautionf("loose-group", m.At, "module %q: 1 group hangs on no output: %s", m.Name, loose[0]).
			Because("it stays dark whatever a routine says").Do("name its output under wiring:, or write none there if it is to stay dark"))
	default:
		pattern, _, _ := strings.Cut(loose[0], ".")
		b.add(report.Cautionf("loose-group", m.At, "module %q: %d groups hang on no output: %s", m.Name, len(loose), listed(loose)).
			Because("they stay dark whatever a routine says").Do("name their outputs under wiring:, or write %s: none there if they are to stay dark", pattern))
	}
}

func these(n int) string {
	if n == 1 {
		return "this is 1 output"
	}
	return fmt.Sprintf("these are %d outputs", n)
}

func run(n int) string {
	if n == 1 {
		return "1"
	}
	return fmt.Sprintf("1..%d", n)
}

// inputNames lists the inputs of a module's board: in1 and so on.
func (m *Module) inputNames() []string {
	all := make([]string, len(m.Board.Inputs))
	for i, p := range m.Board.Inputs {
		all[i] = p.Name
	}
	return all
}

// Roads are the input names that ask for road functions.
var Roads = []string{"tail", "stop", "turn-lh", "turn-rh", "reverse", "drl", "fog"}

// inputs resolves the wires that come in.
func (b *builder) inputs() {
	type where struct {
		m  *Module
		in int
	}
	used := map[where]*Input{}
	for _, e := range b.doc.Inputs.Entries() {
		in := &Input{Name: e.Name.Text, ActiveLow: e.Value.Active.Value == job.Low, OneTap: e.Value.OneTap, At: e.Name.Where}
		if slices.Contains(Roads, in.Name) {
			in.Road = in.Name
		} else if near := cmp.Or(job.RoadMeant(in.Name), report.Suggest(in.Name, Roads)); near != "" {
			b.add(report.Cautionf("input-name", e.Name.Where, "%q is read as a switch for shows", in.Name).
				Because("only %s are road signals", listed(Roads)).Do("write %s if the road signal is meant", near))
		}
		for _, p := range e.Value.Wire.Items {
			m, ok := b.kit.Module(p.Module)
			if !ok {
				b.unknown("module", p.Module, p.Where, names(b.kit.Modules, (*Module).name), b.doc.Modules.Keys())
				continue
			}
			if m.Board.Name == "" {
				continue // its board is unknown, and was reported
			}
			inputs := m.inputNames()
			n := slices.Index(inputs, p.Pin)
			if n < 0 {
				b.add(report.Errorf("unknown-name", p.Where, "board %s of %q has no input %q", m.Board.Name, m.Name, p.Pin).
					Expect("%s", listed(inputs)).Do("use one of these inputs"))
				continue
			}
			if other := used[where{m, n}]; other != nil {
				b.add(report.Errorf("input", p.Where, "input %s of %q is given to %q and to %q", p.Pin, m.Name, other.Name, in.Name).
					See(other.At, "the other one").Do("give each wire an input of its own; for stop on a tail wire write stop: {shares: tail}"))
				continue
			}
			used[where{m, n}] = in
			in.Pins = append(in.Pins, Pin{Module: m, In: n, At: p.Where})
		}
		b.feed(in, e.Value.Feed)
		b.kit.Inputs = append(b.kit.Inputs, in)
	}
	b.shares()
	b.carriers()
}
