package compile

import (
	"strings"
	"testing"

	"lampwright/board"
	"lampwright/program"
)

// Supply codes by hand, 28.5 V in 256 codes (docs/image-format.md, section 2); those of the heat sensor belong to the board's data.
func TestGuardBecomesCodes(t *testing.T) {
	chain, err := board.Find("chain-24")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		guard                       string
		low, over, warm, hot, sleep uint8
	}{
		{"", 0, 152, 0, 0, 0},                                         // 17 V is 152.7 codes
		{"{shows-above: 11.8 V}", 106, 152, 0, 0, 0},                  // 105.99: shows never run below 11.8 V
		{"{shows-above: 12 V, halve-above: 18 V}", 108, 161, 0, 0, 0}, // 107.8, 161.7
		{"{sleep-after: 30 s}", 0, 152, 0, 0, 118},                    // 117.2 units of 256 ms
		{"{sleep-after: 65 s}", 0, 152, 0, 0, 254},
		{"{shows-off-at: 85 °C, halve-at: 105 °C}", 0, 152, chain.Heat.Code(85), chain.Heat.Code(105), 0},
	} {
		text := base
		if c.guard != "" {
			text = change(t, "modules:\n", "guard: "+c.guard+"\nmodules:\n")
		}
		_, r := compiled(t, text)
		for _, m := range r.Modules {
			p := m.Program
			if p.Low != c.low || m.Safe.Over != c.over || p.Warm != c.warm || p.Hot != c.hot || p.SleepAfter != c.sleep {
				t.Errorf("%s: low %d, over %d, warm %d, hot %d, sleep %d", c.guard, p.Low, m.Safe.Over, p.Warm, p.Hot, p.SleepAfter)
			}
			for _, l := range m.Limits {
				if !strings.Contains(c.guard+"halve-above: 17 V", l.Word+": "+l.Written) || l.Least == l.Most || l.String() == "" {
					t.Errorf("%s: %+v", c.guard, l)
				}
			}
		}
	}
}

// The engine ends shows and halves light at the codes, and not one code before.
func TestGuardActsAtItsCodes(t *testing.T) {
	_, r := compiled(t, car(t))
	m := r.Modules[0]
	const cold = 255
	warm, hot := m.Program.Warm, m.Program.Hot
	for _, c := range []struct {
		supply, heat  uint8
		shows, halved bool
	}{
		{121, cold, true, false}, {106, cold, true, false}, {105, cold, false, false}, {151, cold, true, false}, {152, cold, false, true},
		{121, warm + 1, true, false}, {121, warm, false, false}, {121, hot + 1, false, false}, {121, hot, false, true},
	} {
		e := engineOf(t, m, program.LH)
		hold(e, m, glowOn, 20)
		e.Sense(c.supply, c.heat)
		s := hold(e, m, glowOn, 20)
		if lit := shows(e, m, glowOn, 600, 7, 8, 9, 10); lit != c.shows || s.Halved != c.halved {
			t.Errorf("codes %d, %d: shows lit %v, halved %v", c.supply, c.heat, lit, s.Halved)
		}
	}
}
