package compile

import (
	"bytes"
	"strings"
	"testing"

	"lampwright/program"
)

func TestOneImageForBothHands(t *testing.T) {
	_, r := compiled(t, car(t))
	left, right := r.Modules[0], r.Modules[1]
	if !bytes.Equal(left.Image, right.Image) || *left.Safe != *right.Safe || left.Twin != right || right.Twin != left {
		t.Fatal("the hands have different bytes")
	}
	if !left.Program.SideByStrap || !right.Program.SideByStrap || left.Program.Other != right.Program || right.Program.Other != nil {
		t.Error("the hands are not told apart by the strap")
	}
	if len(left.Image) >= left.ApartBytes() || left.ApartBytes() != right.ApartBytes() {
		t.Errorf("%d bytes, %d apart", len(left.Image), left.ApartBytes())
	}
	for _, c := range []struct {
		strap program.Side
		m     *Module
	}{{program.LH, left}, {program.RH, right}} {
		e := engineOf(t, left, c.strap)
		s := hold(e, left, tailOn|stopOn, 60)
		for g, o := range c.m.Of.Output {
			name := c.m.Of.Lamp.Groups[g].Name
			if want := !strings.HasPrefix(name, "arrow"); lit(s, o+1) != want {
				t.Errorf("strap %d: group %s on output %d: lit %v", c.strap, name, o+1, !want)
			}
		}
		hold(e, left, 0, 100)
		s = hold(e, left, wireOn, 12) // the sweep begins at the inner end of either hand
		inner, outer := c.m.Of.Output[5], c.m.Of.Output[0]
		if !s.Live || !lit(s, inner+1) || !dark(s, outer+1) {
			t.Errorf("strap %d: live %v, inner %d, outer %d", c.strap, s.Live, s.Levels[inner], s.Levels[outer])
		}
	}
}

func TestOneSafeBlockMustServeBothHands(t *testing.T) {
	k := load(t, car(t))
	right := k.Modules[1]
	right.Output[0], right.Output[6] = right.Output[6], right.Output[0] // a turn group on a stop output, which the document cannot say
	r, list := Compile(k, Options{})
	if !hasID(t, list, "same-image") || r.Modules[0].Image != nil || r.Modules[1].Image != nil {
		t.Errorf("%v", list)
	}
}

func TestSwappingOutputsOfOneHandAltersOnlySlotMaps(t *testing.T) {
	_, before := compiled(t, car(t))
	for _, c := range []struct{ name, from, to string }{
		{"the first hand", "wiring: {arrow: 1..6, block: 7..10, edge: 11..18}", "wiring: {arrow: [2, 1, 3..6], block: 7..10, edge: 11..18}"},
		{"the second hand", "wiring: {arrow: 6..1, block: [9..10, 7..8], edge: 18..11}", "wiring: {arrow: 6..1, block: 10..7, edge: 18..11}"},
	} {
		text := car(t)
		if strings.Count(text, c.from) != 1 {
			t.Fatal(c.name)
		}
		_, after := compiled(t, strings.Replace(text, c.from, c.to, 1))
		onlySlotMaps(t, c.name, before.Modules[0].Image, after.Modules[0].Image)
		if !bytes.Equal(after.Modules[0].Image, after.Modules[1].Image) {
			t.Errorf("%s: the hands have different bytes", c.name)
		}
	}
}
