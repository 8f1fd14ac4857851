package proof_test

import (
	"context"
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/proof"
)

// bent is the right model with one thing changed, from one refresh on.
type bent struct {
	chainModel
	from, n int
	change  func([]proof.Slot) []proof.Slot
}

func (b *bent) Restart(boot proof.Boot) { b.chainModel.Restart(boot); b.n = 0 }
func (b *bent) Step(s proof.Sample) []proof.Slot {
	out := b.chainModel.Step(s)
	if b.n++; b.n > b.from {
		out = b.change(out)
	}
	return out
}

func TestCompareFindsDifferences(t *testing.T) {
	log := mustRun(t, setup(30*ms, list(chain(t))))
	for _, c := range []struct {
		name   string
		change func([]proof.Slot) []proof.Slot
		want   proof.Difference
	}{
		{"output", func(s []proof.Slot) []proof.Slot { s[1].Word[2] ^= 0x04; return s },
			proof.Difference{Refresh: 7, Slot: 1, Output: 19, Expected: "off", Seen: "on"}},
		{"output off", func(s []proof.Slot) []proof.Slot { s[2].Word[0] ^= 0x80; return s },
			proof.Difference{Refresh: 7, Slot: 2, Output: 8, Expected: "on", Seen: "off"}},
		{"width", func(s []proof.Slot) []proof.Slot { s[0].LitCycles += 4; return s },
			proof.Difference{Refresh: 7, Slot: 0, Expected: "lit for 84 cycles, 3 either way", Seen: "80 cycles"}},
		{"word missing", func(s []proof.Slot) []proof.Slot { return append(s, proof.Slot{}) },
			proof.Difference{Refresh: 7, Slot: 3, Expected: "4 words", Seen: "3 words"}},
		{"word too many", func(s []proof.Slot) []proof.Slot { return s[:2] },
			proof.Difference{Refresh: 7, Slot: 2, Expected: "2 words", Seen: "3 words"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := &bent{chainModel: chainModel{flash: 0xFF}, from: 7, change: c.change}
			got := proof.Compare(log, 0, m, proof.Tolerance{WidthCycles: 3, Listed: 2})
			if len(got) != 2 {
				t.Fatalf("%d differences, want the first two: %v", len(got), got)
			}
			c.want.At, c.want.Module = log.Modules[0].Since(log.Modules[0].Refreshes[7]), "chain"
			if got[0] != c.want {
				t.Fatalf("got  %v\nwant %v", got[0], c.want)
			}
			if s := got[0].String(); !strings.Contains(s, "ms, module chain, refresh 7, slot") {
				t.Fatal(s)
			}
		})
	}
	within := &bent{chainModel: chainModel{flash: 0xFF}, change: func(s []proof.Slot) []proof.Slot { s[0].LitCycles += 3; return s }}
	if got := proof.Compare(log, 0, within, proof.Tolerance{WidthCycles: 3}); len(got) > 0 {
		t.Fatalf("a width within the tolerance differs: %v", got)
	}
}

// A program that shows light before it has read its inputs is caught, even when it never takes a sample.
func TestCompareWantsDarkStart(t *testing.T) {
	log := mustRun(t, setup(5*ms, list(chain(t))))
	log.Modules[0].Boots[0].Slots = []proof.Slot{{LitCycles: 9}, {Word: [8]byte{1}}, {Word: [8]byte{1}, LitCycles: 1}}
	log.Modules[0].Refreshes = nil
	got := proof.Compare(log, 0, &chainModel{}, proof.Tolerance{})
	if len(got) != 1 || got[0].Slot != 2 || !strings.Contains(got[0].Expected, "dark") {
		t.Fatalf("got %v", got)
	}
}

// A judge that takes refreshes as they come says what Compare says of the finished log.
func TestJudgeEqualsCompare(t *testing.T) {
	s := setup(60*ms, list(chain(t)), proof.Reset(20*ms, 0), proof.Power(30*ms, 0, false), proof.Power(40*ms, 0, true))
	model := func() proof.Model {
		return &bent{chainModel: chainModel{flash: 0xFF}, from: 35, change: func(s []proof.Slot) []proof.Slot { return s[:1] }}
	}
	j := proof.NewJudge(s.Modules[0], model(), proof.Tolerance{})
	if _, err := proof.Watch(context.Background(), s, func(_ int, b proof.Boot, r proof.Refresh) error { j.Take(b, r); return nil }); err != nil {
		t.Fatal(err)
	}
	want := proof.Compare(mustRun(t, s), 0, model(), proof.Tolerance{})
	if len(want) == 0 || len(j.Differences) != len(want) {
		t.Fatalf("judge %d, comparison %d", len(j.Differences), len(want))
	}
	for i := range want {
		if j.Differences[i] != want[i] {
			t.Fatalf("judge %v, comparison %v", j.Differences[i], want[i])
		}
	}
}

// noting is the right model, which also says what the RAM holds.
type noting struct {
	chainModel
	left program.Remnant
}

func (n *noting) Remnant() program.Remnant { return n.left }

// What RAM that lived on holds is what the model holds; RAM that did not may hold anything.
func TestCompareKnowsWhatTheRAMHolds(t *testing.T) {
	for _, lived := range []bool{true, false} {
		back := proof.Power(21*ms, 0, true)
		if lived {
			back = proof.PowerSoon(21*ms, 0)
		}
		log := mustRun(t, setup(30*ms, list(chain(t)), proof.Power(20*ms, 0, false), back))
		boots := log.Modules[0].Boots
		if len(boots) != 2 || boots[0].Lived || boots[1].Lived != lived {
			t.Fatalf("starts %+v", boots)
		}
		for _, right := range []bool{true, false} {
			m := &noting{chainModel: chainModel{flash: 0xFF}, left: boots[1].Left}
			if !right {
				m.left[1] ^= 1
			}
			want := 0
			if lived && !right {
				want = 1
			}
			if got := proof.Compare(log, 0, m, proof.Tolerance{WidthCycles: 3}); len(got) != want {
				t.Errorf("lived %v, right %v: %v", lived, right, got)
			}
		}
	}
}
