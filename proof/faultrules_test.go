package proof

import (
	"os"
	"slices"
	"testing"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// The rule that a fault changes nothing that it does not reach bites: told that a dead module were no fault of its own lamp, it finds
// that lamp changed.
func TestUnreachedLampsAreCompared(t *testing.T) {
	text, err := os.ReadFile("../car/testdata/pair.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, list := kit.Parse("pair.yaml", text, kit.NoFiles)
	if k == nil || list.HasErrors() {
		t.Fatal(list)
	}
	r, list := compile.Compile(k, compile.Options{})
	all, err := car.Units(r)
	if err != nil {
		t.Fatal(list, err)
	}
	s := newStage(k, all, feed.Conditions{Supply: 13.5})
	functions := s.servedBy()
	presses := script.Script{Presses: []script.Press{{Input: "stop", From: askAt, To: askAt + askFor}}}
	usual := s.play(presses, Fault{}, nil)
	for _, v := range functions {
		v.need = 1
	}
	for _, known := range []bool{true, false} {
		f := Fault{Condition: script.Condition{What: script.Module, Where: "rear-lh", Is: script.Dead}}
		if known {
			f.modules = k.Modules[:1]
		}
		broken, _ := s.breaches(f, functions, usual, s.play(presses, f, usual))
		found := slices.ContainsFunc(broken, func(b Breach) bool { return b.Rule == OthersStay && b.Lamps[0] == "tail-lh" })
		if found == known {
			t.Errorf("known %v: %+v", known, broken)
		}
	}
}

// A script is shrunk to what matters, by leaving out, beginning sooner, making steady and shortening, always with the same result.
func TestShrink(t *testing.T) {
	press := func(input string, from, to units.Time, flash bool) script.Press {
		p := script.Press{Input: input, From: from * units.Millisecond, To: to * units.Millisecond}
		if flash {
			p.Flash = script.Flash{Rate: askRate, Share: askShare}
		}
		return p
	}
	of := func(s script.Script, input string) (script.Press, bool) {
		i := slices.IndexFunc(s.Presses, func(p script.Press) bool { return p.Input == input })
		if i < 0 {
			return script.Press{}, false
		}
		return s.Presses[i], true
	}
	long := script.Script{Presses: []script.Press{press("tail", 700, 3000, false), press("turn-lh", 1200, 3200, true), press("stop", 1500, 4000, false)}}
	for _, c := range []struct {
		name  string
		shows func(script.Script) bool
		want  string
	}{
		{"one press", func(s script.Script) bool { _, ok := of(s, "stop"); return ok }, "stop@500ms..550ms"},
		{"a long one", func(s script.Script) bool { p, ok := of(s, "stop"); return ok && p.To-p.From >= 400*units.Millisecond }, "stop@500ms..1s"},
		{"a flash", func(s script.Script) bool { p, ok := of(s, "turn-lh"); return ok && p.Flash.Rate > 0 }, "turn-lh@500ms..1s~90/min:50%"},
		{"one after another", func(s script.Script) bool {
			a, ok := of(s, "tail")
			b, too := of(s, "stop")
			return ok && too && b.From >= a.From+300*units.Millisecond
		}, "tail@500ms..550ms stop@1300ms..1350ms"},
		{"nothing helps", func(s script.Script) bool { return script.Format(s) == script.Format(long) }, script.Format(long)},
	} {
		if got := script.Format(shrink(long, c.shows)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}
