package compile

import (
	"strings"
	"testing"

	"lampwright/program"
)

func TestATurnFedModuleAnswersInTime(t *testing.T) {
	text := strings.Replace(bar, "board: chain-16,", "board: chain-16, fed: {only: turn-lh},", 1)
	text = strings.Replace(text, "wire: one.in5, carries-stop: {reference: stop}", "wire: one.in5", 1)
	text = strings.Replace(text, "  - turn-rh: {input: turn-rh, takes: bar.7..12, arrive: out, pace: flasher}\n  - stop: {input: stop, takes: bar, stay: full}\n", "", 1)
	_, r := compiled(t, text)
	m := r.Modules[0]
	if !m.Program.TurnFed || !m.Safe.TurnWaits || !strings.Contains(strings.Join(m.Words(), "\n"), "waits 4 ms") {
		t.Errorf("turn-fed %v, waits %v, %v", m.Program.TurnFed, m.Safe.TurnWaits, m.Words())
	}
	// Shows without end make the image long: 3840 bytes are checked in 60 ms, 256 in a frame.
	long := strings.Replace(text, "signals:", "  embers: {strokes: [{scatter: {on: bar, for: 500 ms, each: 200 ms, times: 100, every: 700 ms}}]}\nsignals:", 1) +
		"shows:\n  - embers: {input: remote, stay: embers}\n"
	long = strings.Replace(long, "  drl: {wire: one.in8}", "  remote: {wire: one.in8}", 1)
	k := load(t, long)
	r, list := Compile(k, Options{})
	found := false
	for _, d := range list {
		found = found || d.ID == "turn-fed" && d.Limit == "60 ms, 3840 bytes" && strings.HasSuffix(d.Figure, " ms") && d.Source != "" && d.Next != ""
	}
	if !found || r.Modules[0].Image != nil {
		t.Errorf("%d bytes: %v", r.Modules[0].imageBytes(), list)
	}
	// A wire that may carry the brake does not wait.
	_, r = compiled(t, strings.Replace(text, "turn-lh: {wire: one.in5}", "turn-lh: {wire: one.in5, carries-stop: {}}", 1))
	if m := r.Modules[0]; m.Program.TurnFed || m.Safe.TurnWaits {
		t.Error("a brake would wait for the check of the image")
	}
}

func TestLoadsAreDrawnWhileTheCarLooks(t *testing.T) {
	_, r := compiled(t, car(t))
	m := r.Modules[0]
	e := engineOf(t, m, program.LH)
	s := hold(e, m, stopOn, 10)
	if s.Levels[23] != program.FullLevel || s.Levels[22] != 0 {
		t.Errorf("40 ms of stop: loads %v", s.Levels[22:24])
	}
	if s = hold(e, m, stopOn, 60); s.Levels[23] != 0 || !lit(s, 7) {
		t.Errorf("past the window: loads %v, stop %v", s.Levels[22:24], s.Levels[6])
	}
	hold(e, m, 0, 20)
	if s = hold(e, m, wireOn, 10); s.Levels[22] != 0 {
		t.Errorf("the lamp is not whole: loads %v", s.Levels[22:24])
	}
	hold(e, m, 0, 200)
	if s = hold(e, m, wireOn|wholeOn, 60); s.Levels[22] != program.FullLevel {
		t.Errorf("240 ms of flash: loads %v", s.Levels[22:24])
	}
	// How long, frame by frame: no shorter than the car looks.
	for name, want := range map[string]int{"150 ms": 38, "1 s": 250, "2001 ms": 501} {
		_, r := compiled(t, strings.ReplaceAll(car(t), "window: 150 ms", "window: "+name))
		m := r.Modules[0]
		e, frames := engineOf(t, m, program.LH), 0
		for range want + 50 {
			if hold(e, m, stopOn, 1).Levels[23] != 0 {
				frames++
			}
		}
		if frames != want {
			t.Errorf("window %s: %d frames", name, frames)
		}
	}
	l, facts := layerOf(t, m, "look-lh")
	if facts.Outage == nil || facts.Of.Show || len(facts.Groups) != 0 || l.Show || l.Fast || l.InputMask != stopOn || l.Still != nil {
		t.Errorf("%+v", l)
	}
	if l, _ := layerOf(t, m, "pace-lh"); l.InputMask != wireOn || l.OnlyWhile != wholeOn || l.Still == nil || l.Fast {
		t.Errorf("%+v", l)
	}
	if m.Safe.StopOut[2] != 0 || m.Safe.TurnAOut[2] != 0 {
		t.Error("a load is lit without an image")
	}
	// A module that the wire brings to life sees no edge on it.
	k := load(t, strings.Replace(bar, "routines:\n", "outages: [{look: {input: drl, on: one.16, kind: shut-off, threshold: 100 mA, window: 100 ms, load: 110 ohm}}]\nroutines:\n", 1))
	k.Modules[0].Fed.Only, _ = k.Input("drl")
	if _, list := Compile(k, Options{}); !hasID(t, list, "outage") {
		t.Errorf("%v", list)
	}
}
