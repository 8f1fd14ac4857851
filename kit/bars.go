package kit

import (
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/report"
	"lampwright/source"
)

// bars resolves what keeps a show from running.
func (b *builder) bars(l *Layer, v job.Show) {
	l.NotWhile = b.barring(v.NotWhile)
	l.OnlyWhile = b.barring(v.OnlyWhile)
	for i, in := range l.NotWhile {
		at := v.NotWhile.Items[i].Where
		switch {
		case in == nil:
		case in == l.Input:
			b.add(report.Errorf("bar", at, "show %q is barred by the very input that asks for it", l.Name).
				Because("it would never run").Do("name another input, such as ignition"))
		case slices.Contains(l.OnlyWhile, in):
			b.add(report.Errorf("bar", at, "show %q runs not while and only while %q is on", l.Name, in.Name).
				Because("it would never run").Do("take %s out of one of the two", in.Name))
		}
	}
	unknown := func(in *Input) bool { return in == nil }
	l.NotWhile, l.OnlyWhile = slices.DeleteFunc(l.NotWhile, unknown), slices.DeleteFunc(l.OnlyWhile, unknown)
}

func (b *builder) barring(inputs source.OneOrMany[source.Name]) (all []*Input) {
	for _, n := range inputs.Items {
		in := b.input(n)
		if in != nil && slices.Contains(all, in) {
			b.add(report.Errorf("name-twice", n.Where, "%q is named twice", n.Text).Do("name each input once"))
		}
		all = append(all, in)
	}
	return all
}

// neverBarred refuses what would keep a signal dark.
func (b *builder) neverBarred(l *Layer, v job.Signal) {
	for _, k := range []struct {
		key   string
		given bool
	}{{"not-while", len(v.NotWhile.Items) > 0}, {"only-while", len(v.OnlyWhile.Items) > 0}} {
		if k.given {
			b.add(report.Errorf("bar", v.PlaceOf(k.key), "signal %q cannot have %s", l.Name, k.key).
				Because("what bars a road signal can keep it dark when it is needed: signals answer their wire and nothing else").
				Do("delete %s:, or make this a show with a switch of its own", k.key))
		}
	}
}

// barsReach checks that the modules of a show see the inputs that bar it.
func (b *builder) barsReach(l *Layer) {
	for _, in := range slices.Concat(l.NotWhile, l.OnlyWhile) {
		var blind []string
		free := ""
		for _, t := range l.Takes {
			if m, ok := b.kit.ModuleOf(t.Lamp); ok && m.InputPins(in) == 0 {
				blind = append(blind, m.Name)
				free += ", " + m.Name + "." + b.freePin(m)
			}
		}
		if len(blind) > 0 {
			b.add(report.Errorf("bar", l.At, "show %q depends on input %q, which has no wire to %s", l.Name, in.Name, listed(blind)).
				Because("a module knows only its own wires").See(in.At, "the input").
				Do("add to its wire: %s; or take the show from their lamps", strings.TrimPrefix(free, ", ")))
		}
	}
}
