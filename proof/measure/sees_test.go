package measure

import (
	"context"
	"reflect"
	"testing"
	"time"

	"lampwright/board"
	"lampwright/firmware"
	"lampwright/flash"
	"lampwright/program"
)

// A stop input with a filter of 20 samples answers after 10 ms: the measure must see it, and its goal must not be met.
func TestSlowStopIsSeen(t *testing.T) {
	u, err := plain("chain-64", nil)
	if err != nil {
		t.Fatal(err)
	}
	u.safe.On[stopWire-1] = 20
	image, err := program.Encode(u.program)
	if err != nil {
		t.Fatal(err)
	}
	if u.HEX, err = flash.Ship(board.CoreChain, u.safe, image); err != nil {
		t.Fatal(err)
	}
	lit, err := u.outputs("stop")
	if err != nil {
		t.Fatal(err)
	}
	s := Stop{Board: "chain-64", Case: StopIdle}
	if err := s.press(context.Background(), Rig{Cache: t.TempDir()}, u, lit, dice(1), [2]patch{}); err != nil {
		t.Fatal(err)
	}
	if s.Latency.Max < 9700*time.Microsecond || s.Latency.Max > 10500*time.Microsecond {
		t.Errorf("20 samples of 0.5 ms take %v", s.Latency.Max)
	}
	if f := s.Figures()[0]; f.Verdict() != NotMet {
		t.Errorf("%v", f)
	}
}

// The main loop is found in both cores, at two places, and nowhere in bytes that are no core.
func TestMainLoopIsFound(t *testing.T) {
	for name, hex := range map[string][]byte{"chain": firmware.Chain, "pins": firmware.Pins} {
		top, job, err := mainLoop(hex)
		if err != nil || top.word != opCLI || job.address <= top.address || job.address > top.address+64 {
			t.Errorf("%s: %+v %+v %v", name, top, job, err)
		}
	}
	none, err := flash.HEX(0, make([]byte, 4000))
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := mainLoop(none); err == nil {
		t.Error("a main loop is found where there is none")
	}
}

// What the watcher makes of the light of a last group, against flashes counted by hand: on at 100, 300 and 500 ms, off 100 ms later.
func TestWatcherTellsEarlyLateAndNever(t *testing.T) {
	const ms = time.Millisecond
	for _, c := range []struct {
		what string
		full [][2]time.Duration // from, to
		want []Sweep
	}{
		{"early, late, never", [][2]time.Duration{{180 * ms, 205 * ms}, {410 * ms, 415 * ms}},
			[]Sweep{{100 * ms, 20 * ms, true}, {100 * ms, -10 * ms, false}, {100 * ms, -1, false}}},
		{"light left of the flash before does not count", [][2]time.Duration{{150 * ms, 320 * ms}, {370 * ms, 405 * ms}, {599 * ms, 700 * ms}},
			[]Sweep{{100 * ms, 50 * ms, true}, {100 * ms, 30 * ms, true}, {100 * ms, 1 * ms, true}}},
		{"dark", nil, []Sweep{{100 * ms, -1, false}, {100 * ms, -1, false}, {100 * ms, -1, false}}},
	} {
		w := watcher{on: []time.Duration{100 * ms, 300 * ms, 500 * ms}, off: []time.Duration{200 * ms, 400 * ms, 600 * ms}}
		for at := time.Duration(0); at < 700*ms; at += ms / 2 {
			level := uint8(0)
			for _, f := range c.full {
				if at >= f[0] && at < f[1] {
					level = program.FullLevel
				}
			}
			w.see(at, level)
		}
		if got := w.done(); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

// An early and an unfinished sweep count against a flasher, each by its own bound.
func TestPaceIsJudged(t *testing.T) {
	sweeps := []Sweep{{Early: 4 * time.Millisecond, Finished: true}, {Early: 50 * time.Millisecond, Finished: true}, {Early: -1}}
	for on, over := range map[time.Duration]int{300 * time.Millisecond: 1, 500 * time.Millisecond: 0} {
		var p Pace
		p.judge(sweeps, on)
		if p.Flashes != 3 || p.Unfinished != 1 || p.OverBound != over || p.Earliest != 50*time.Millisecond {
			t.Errorf("on-time %v: %+v", on, p)
		}
	}
	p := Pace{steady: true}
	p.judge(sweeps, 500*time.Millisecond)
	if p.OverBound != 1 || p.Figures()[0].Verdict() != NotMet {
		t.Errorf("%+v", p)
	}
}
