package loader

import (
	"bytes"
	"context"
	"os"
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/proof/loading/model"
)

// avrdude reads first what the chip holds, and a program for another lamp is refused before anything is written.
func TestAvrdudeRefusesWrongPairs(t *testing.T) {
	needAvrdude(t)
	path, _ := writeHEX(t)
	for name, c := range map[string]struct {
		held    *model.Module
		replace bool
		says    string
	}{
		"its own lamp":      {held: old(t)},
		"an empty chip":     {},
		"another lamp":      {held: model.New(1, safeBlock(t, 40), image(t, 2, program.RH, 5, nil)), says: "the module holds tail-rh"},
		"another board":     {held: model.New(2, safeBlock(t, 40), image(t, 1, program.LH, 5, nil)), says: "board is of the kind pins"},
		"replace":           {held: model.New(2, safeBlock(t, 40), image(t, 2, program.RH, 5, nil)), replace: true},
		"an older core":     {held: func() *model.Module { m := old(t); m.Flash[model.Mark+6] = 1; return m }()},
		"a core of no mark": {held: func() *model.Module { m := old(t); copy(m.Flash[model.Mark:], "another"); return m }()},
	} {
		t.Run(name, func(t *testing.T) {
			simulated := newChip()
			if c.held != nil {
				simulated.flash = c.held.Flash
			}
			before := simulated.flash
			port, done := simulated.plug(t)
			w := rearLH(t)
			w.Replace = c.replace
			o := Options{HEX: path, Programmer: "stk500v1", Port: port}
			d := w.Check(context.Background(), o, &bytes.Buffer{})
			if (d == nil) != (c.says == "") || d != nil && (d.ID != IDWrongPair || !strings.Contains(d.Text, c.says) || !strings.Contains(d.Next, "--replace")) {
				t.Errorf("%+v", d)
			}
			done()
			if simulated.flash != before || simulated.erased {
				t.Error("the chip was written")
			}
		})
	}
}

func TestAvrdudeReads(t *testing.T) {
	needAvrdude(t)
	simulated := newChip()
	simulated.flash = old(t).Flash
	port, done := simulated.plug(t)
	held, d := Held(context.Background(), Options{Programmer: "stk500v1", Port: port}, &bytes.Buffer{})
	done()
	if d != nil || !bytes.Equal(bytes.TrimRight(held, "\xff"), bytes.TrimRight(simulated.flash[:], "\xff")) {
		t.Errorf("%v: %d bytes read are not those of the chip", d, len(held))
	}
	if got := ContentsOf(held); !got.ImageRight || got.Board != "chain" || !got.SafeB {
		t.Errorf("%+v", got)
	}
}

func TestHeldFails(t *testing.T) {
	t.Setenv("LOADER_FAKE", "done")
	if _, d := Held(context.Background(), Options{Program: os.Args[0]}, &bytes.Buffer{}); d == nil || d.ID != IDOther || !strings.Contains(d.Next, "--replace") {
		t.Errorf("%+v", d)
	}
	t.Setenv("LOADER_STATUS", "1")
	for id, said := range map[string]string{IDNoPermission: "Permission denied", IDNoAnswer: "not in sync"} {
		t.Setenv("LOADER_FAKE", said)
		if _, d := Held(context.Background(), Options{Program: os.Args[0]}, &bytes.Buffer{}); d == nil || d.ID != id || d.Next == "" {
			t.Errorf("%s: %+v", id, d)
		}
	}
	if _, d := Held(context.Background(), Options{Program: "avrdude-that-is-not-there"}, &bytes.Buffer{}); d == nil || d.ID != IDNoAvrdude {
		t.Errorf("%+v", d)
	}
}
