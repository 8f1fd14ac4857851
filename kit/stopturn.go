package kit

import (
	"cmp"
	"slices"
	"strings"

	"lampwright/program"
	"lampwright/report"
	"lampwright/source"
)

// carriers resolves turn wires that light for the brake as well. With a reference the turn alone takes an input number of its own
// in each module: the highest that is free there and in the module that shares its image, carriers in the order of their pins.
func (b *builder) carriers() {
	type carrier struct {
		in   *Input
		pin  Pin
		name source.Name
	}
	var all []carrier
	for i, e := range b.doc.Inputs.Entries() {
		v := e.Value.CarriesStop
		if v == nil {
			continue
		}
		in := b.kit.Inputs[i]
		in.CarriesStop = true
		switch {
		case !strings.HasPrefix(in.Road, "turn-"):
			b.add(report.Errorf("carries-stop", e.Value.PlaceOf("carries-stop"), "%q is no turn wire", in.Name).
				Because("on such cars the stop comes over the two turn wires").Do("say carries-stop: at turn-lh and turn-rh, or delete it"))
		case e.Value.Shares.Given():
			b.add(report.Errorf("carries-stop", e.Value.PlaceOf("carries-stop"), "%q has no wire of its own", in.Name).
				Because("it comes on that of %s", e.Value.Shares.Text).Do("delete carries-stop: or shares:"))
		case v.Reference.Given() && b.reference(in, v.Reference):
			for _, p := range in.Pins {
				all = append(all, carrier{in, p, v.Reference})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b carrier) int { return cmp.Compare(a.pin.In, b.pin.In) })
	taken := map[*Module]uint8{}
	for _, c := range all {
		m, other := c.pin.Module, b.kit.OtherHand(c.pin.Module)
		free := func(m *Module, n int) bool { return m == nil || !b.kit.holds(m, n, nil) && taken[m]&(1<<n) == 0 }
		n := program.MaxInputs - 1
		for n >= 0 && !(free(m, n) && (free(other, n) || b.twin(other, c.in, n))) {
			n--
		}
		if n < 0 {
			b.add(report.Errorf("carries-stop", c.name.Where, "module %q has no input number left for the turn of %q", m.Name, c.in.Name).
				Because("apart from its stop the turn needs a number of its own, of %d", program.MaxInputs).Do("take a wire away from the module"))
			return // what follows, the other hand for one, most likely lacks it for the same reason
		}
		taken[m] |= 1 << n
		c.in.TurnAlone = append(c.in.TurnAlone, Pin{Module: m, In: n, At: c.pin.At})
	}
}

// twin tells whether a number of a module was given to the turn of the other side already: the two hands of an image use the same.
func (b *builder) twin(m *Module, in *Input, n int) bool {
	for _, other := range b.kit.Inputs {
		if other.Name != otherSide(in.Name) {
			continue
		}
		for _, p := range other.TurnAlone {
			if p.Module == m && p.In == n {
				return true
			}
		}
	}
	return false
}

// reference resolves the clean stop wire of a turn wire that carries the stop, and tells whether it can be one.
func (b *builder) reference(in *Input, name source.Name) bool {
	ref, ok := b.kit.Input(name.Text)
	if !ok {
		b.unknown("input", name.Text, name.Where, names(b.kit.Inputs, (*Input).name), nil)
		return false
	}
	if ref.Road != "stop" {
		b.add(report.Errorf("carries-stop", name.Where, "%q is no reference for the stop on %q", ref.Name, in.Name).
			Because("only a wire on which nothing but the brake comes tells brake from turn, as that of the high stop lamp").
			Do("write reference: stop, and wire the input stop to that wire"))
		return false
	}
	in.Reference = ref
	for _, p := range in.Pins {
		if b.unwired(p.Module, ref) {
			b.add(report.Errorf("carries-stop", name.Where, "the reference %q has no wire to module %q", ref.Name, p.Module.Name).
				Because("the module compares the two wires itself").See(ref.At, "the reference").
				Do("add a pin of %s to the wire: of %s, such as %s.%s", p.Module.Name, ref.Name, p.Module.Name, b.freePin(p.Module)))
			return false
		}
	}
	return true
}

// carriedPlainly refuses a wire that carries the stop without a reference where the lamp would say the wrong thing: without one, all
// that the wire lights lights for both.
func (b *builder) carriedPlainly() {
	if b.list.HasErrors() {
		return
	}
	for i, e := range b.doc.Inputs.Entries() {
		in := b.kit.Inputs[i]
		if !in.CarriesStop || in.Reference != nil {
			continue
		}
		at := e.Value.PlaceOf("carries-stop")
		for _, l := range b.kit.Lamps {
			if why, is := b.apart(in, l); is {
				b.add(report.Errorf("carries-stop", at, "%q carries the stop as well, and lamp %q cannot tell the two apart", in.Name, l.Name).
					Because("%s", why).See(l.At, "the lamp").
					Do("take a wire on which only the brake comes, such as that of the high stop lamp, to the module, and write carries-stop: {reference: stop}"))
				break
			}
		}
	}
}

// apart tells whether stop and turn of a lamp look different, so that a wire that carries both needs a reference, and why.
func (b *builder) apart(in *Input, l *Lamp) (string, bool) {
	var turn []int
	for _, y := range b.kit.Layers {
		if !y.Show && y.Input == in {
			turn = append(turn, y.Of(l)...)
		}
	}
	if len(turn) == 0 {
		return "", false
	}
	for _, g := range turn {
		for _, led := range l.Groups[g].LEDs {
			if c := l.LEDs[led].Colour; c == "amber" || c == "yellow" {
				return "its turn is " + c + ", and would light for the brake as well", true
			}
		}
	}
	var stop []int
	for _, y := range b.kit.Layers {
		if !y.Show && y.Input.Road == "stop" {
			stop = append(stop, y.Of(l)...)
		}
	}
	var zones [2][]int
	for i, name := range []string{"stop", "turn"} {
		for _, f := range l.Functions {
			if f.Name == name {
				zones[i] = f.Groups
			}
		}
	}
	slices.Sort(turn)
	turn = slices.Compact(turn)
	slices.Sort(stop)
	stop = slices.Compact(stop)
	switch {
	case len(zones[0]) > 0 && len(zones[1]) > 0 && !slices.Equal(zones[0], zones[1]):
		return "its stop and its turn have zones of their own", true
	case len(stop) > 0 && !slices.Equal(stop, turn):
		return "its stop signal lights other groups than its turn signal", true
	}
	return "", false
}
