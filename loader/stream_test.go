package loader

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"lampwright/program"
	"lampwright/proof/loading/model"
)

func TestStream(t *testing.T) {
	m := old(t)
	s, d := NewSerial(&model.Port{Module: m}, "COM3").Stream(context.Background())
	if d != nil {
		t.Fatal(d)
	}
	levels := make([]byte, 16)
	sent := 0
	for at := time.Duration(0); at < time.Second; at += 4 * time.Millisecond {
		levels[3] = byte(at / time.Millisecond)
		yes, err := s.Frame(at, levels)
		if err != nil {
			t.Fatal(err)
		}
		if yes {
			sent++
			if !bytes.Equal(m.Levels, levels) {
				t.Fatalf("at %v the module holds %x", at, m.Levels)
			}
		}
	}
	// A packet of 21 bytes takes 10.9 ms, and then 5 ms of rest: one in each 16 ms.
	if sent != 63 {
		t.Errorf("%d frames in a second", sent)
	}
	if NewStream(nil, program.MaxOutputs).Interval() > StreamHold/2 {
		t.Error("the largest frame takes so long that one that is lost ends live mode")
	}
	if _, err := s.Frame(2*time.Second, levels[:15]); err == nil {
		t.Error("a frame of the wrong length was sent")
	}
	still := model.New(1, safeBlock(t, 40), image(t, 1, program.LH, 5, func(p *program.Program) { p.Live = false }))
	if _, d := NewSerial(&model.Port{Module: still}, "COM3").Stream(context.Background()); d == nil || d.ID != IDNoLive || !strings.Contains(d.Next, "stream: true") {
		t.Errorf("%+v", d)
	}
}

// A stream uses the line as far as it goes and never more: nothing is sent while what was sent before is still on its way.
func TestStreamKeepsToTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outputs := 8 * rapid.IntRange(1, 8).Draw(t, "registers")
		var line bytes.Buffer
		s := NewStream(&line, outputs)
		at, busy := time.Duration(0), time.Duration(0)
		for range rapid.IntRange(1, 200).Draw(t, "frames") {
			sent, err := s.Frame(at, make([]byte, outputs))
			if err != nil {
				t.Fatal(err)
			}
			if sent && at < busy {
				t.Fatalf("a frame at %v, while the line is busy until %v", at, busy)
			}
			if !sent && at >= busy+10*time.Millisecond {
				t.Fatalf("no frame at %v, while the line is free since %v", at, busy)
			}
			if sent {
				busy = at + onLine(5+outputs)
			}
			at += time.Duration(rapid.IntRange(0, 60_000).Draw(t, "µs")) * time.Microsecond
		}
	})
}
