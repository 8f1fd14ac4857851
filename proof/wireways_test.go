package proof_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/script"
)

// wiresJob is a small tail lamp whose stop and tail wires do what is filled in.
const wiresJob = `lampwright: 1
job: {title: Feeds, use: road-us}
lamps:
  tail:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds:
      - row: {name: block, from: [0, 0], to: [90, 0], count: 4, group: each, part: red-622}
      - row: {name: edge, from: [0, 20], to: [90, 20], count: 4, group: each, part: red-small}
modules: {tail: {board: %s, lamp: tail, wiring: {block: 1..4, edge: 5..8}}}
inputs:
  stop: {wire: tail.in2, feed: {%s}}
  tail: {wire: tail.in1, feed: {%s}}
routines:
  full: {strokes: [{hold: {on: block, light: 100 %%}}]}
  dim: {strokes: [{hold: {on: edge, light: 20 %%}}]}
signals:
  - stop: {input: stop, takes: block, stay: full}
  - tail: {input: tail, takes: edge, stay: dim}
`

const (
	blockOutputs outputs = 0x0F
	edgeOutputs  outputs = 0xF0
	release              = 30 * ms // from the wire to dark
)

// The presses of every wire: at odd times, so that its pulses fall at many phases.
const wirePresses = "stop@703ms..951ms tail@750ms..1900ms stop@1207ms..1307ms stop@1611ms..1777ms stop@2013ms..2113ms tail@2153ms..2400ms"

// wireWays plays a job with the given feeds on the HEX of both cores and tells for every refresh whether stop and tail are asked for,
// and since when. Pairs are replaced in the job first.
func wireWays(t *testing.T, stop, tail string, see func(v seen, stopOn, tailOn bool, stopFor, tailFor time.Duration), pairs ...string) {
	t.Helper()
	for _, board := range []string{"chain-8", "pins"} {
		text := strings.NewReplacer(pairs...).Replace(fmt.Sprintf(wiresJob, board, stop, tail))
		k, faults := kit.Parse("feeds.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatal(faults)
		}
		presses, faults := script.Parse("feeds", []byte(wirePresses), []string{"stop", "tail"})
		if faults.HasErrors() {
			t.Fatal(faults)
		}
		line := presses.Timeline(1)
		stops := wire{spans: line.Spans("stop"), never: true}
		tails := wire{spans: line.Spans("tail"), never: true}
		onHEX(t, k, compiled(t, k), line, 2600*ms, func(_ int, v seen) {
			stops.to(v.at)
			tails.to(v.at)
			see(v, stops.on, tails.on, v.at-stops.since, v.at-tails.since)
		})
	}
}

// answers judges outputs whose input is asked for: all of what is shown after so long, nothing so long after the release.
type answers struct {
	name    string
	outputs outputs
	within  time.Duration // from the press to the light
	on, off int           // refreshes judged
}

func (a *answers) see(t *testing.T, at time.Duration, shown, lit outputs, asked bool, since time.Duration) {
	switch {
	case asked && since > a.within:
		a.on++
		if shown&a.outputs != a.outputs {
			t.Errorf("%v: %v after the press the %s lamp shows %02x", at, since, a.name, shown&a.outputs)
		}
	case !asked && since > release:
		a.off++
		if lit&a.outputs != 0 {
			t.Errorf("%v: the %s lamp is lit (%02x), %v after the last release", at, a.name, lit&a.outputs, since)
		}
	}
}

// judged fails when too few refreshes were judged for the verdict to mean anything.
func (a *answers) judged(t *testing.T, on, off int) {
	t.Helper()
	if a.on < on || a.off < off {
		t.Errorf("%s: only %d refreshes were to be lit, %d dark", a.name, a.on, a.off)
	}
}

// A stop wire of its own is at full light within 5 ms of its press, never flickers while it lasts, is dark within 30 ms of its
// release, and never lights on the car's test pulses; steady, tested by pulses of up to 3 ms, or chopped at 85 to 95 % (common
// practice, no source, for what cars do).
func TestStopWireInAllItsWays(t *testing.T) {
	for _, stop := range []string{
		"kind: steady",
		"kind: steady, test-pulse: {width: 0.1 ms, every: 10 ms}",
		"kind: steady, test-pulse: {width: 1 ms, every: 20 ms}",
		"kind: steady, test-pulse: {width: 2.5 ms, every: 50 ms}",
		"kind: steady, test-pulse: {width: 2.5 ms}",
		"kind: steady, test-pulse: {width: 3 ms, every: 10 ms}",
		"kind: steady, chopped: {above: 13.2 V, duty: 85 %, at: 100 Hz}",
		"kind: steady, chopped: {above: 13.2 V, duty: 90 %, at: 100 Hz}, test-pulse: {width: 0.3 ms, every: 100 ms}",
		"kind: steady, chopped: {above: 13.2 V, duty: 95 %, at: 100 Hz}",
	} {
		t.Run(stop, func(t *testing.T) {
			lamp := answers{name: "stop", outputs: blockOutputs, within: 5 * ms}
			wireWays(t, stop, "kind: steady", func(v seen, on, _ bool, since, _ time.Duration) {
				lamp.see(t, v.at, v.full, v.lit, on, since)
			})
			lamp.judged(t, 2*1000, 2*3000)
		})
	}
}

// tailAnswer is the time for three pulses of 100 Hz, a filter's margin and three frames.
const tailAnswer = 45 * ms

// A tail wire dimmed by pulses of 100 to 200 Hz, 10 to 90 % high, reads as one steady on: once it is there its light does not go
// until it is released, and it is dark within 30 ms.
func TestDimmedTailReadsAsOneSteadyOn(t *testing.T) {
	for _, hz := range []int{100, 150, 200} {
		for _, duty := range []int{10, 50, 90} {
			tail := fmt.Sprintf("kind: dimmed, duty: %d %%, at: %d Hz", duty, hz)
			t.Run(tail, func(t *testing.T) {
				lamp := answers{name: "tail", outputs: edgeOutputs, within: tailAnswer}
				wireWays(t, "kind: steady", tail, func(v seen, _, on bool, _, since time.Duration) {
					lamp.see(t, v.at, v.lit, v.lit, on, since)
				})
				lamp.judged(t, 2*2000, 2*1500)
			})
		}
	}
}

// Tail and stop on one wire, of either active level: dimmed it is tail alone, high (or chopped) it is stop as well. Full stop light comes
// within two periods of the pulses and 5 ms, goes within 30 ms, and the pulses alone never light it.
func TestStopOnTheTailWire(t *testing.T) {
	for _, hz := range []int{100, 150, 200} {
		for _, duty := range []int{10, 20, 33} {
			for _, stop := range []string{"kind: steady", "kind: steady, chopped: {above: 13.2 V, duty: 90 %, at: 100 Hz}"} {
				for _, active := range []string{"high", "low"} {
					tail := fmt.Sprintf("kind: dimmed, duty: %d %%, at: %d Hz", duty, hz)
					t.Run(tail+", "+stop+", active "+active, func(t *testing.T) {
						stops := answers{name: "stop", outputs: blockOutputs, within: 2*time.Second/time.Duration(hz) + 5*ms}
						tails := answers{name: "tail", outputs: edgeOutputs, within: tailAnswer}
						wireWays(t, stop, tail, func(v seen, stopOn, tailOn bool, stopFor, tailFor time.Duration) {
							stops.see(t, v.at, v.full, v.lit, stopOn, stopFor)
							if tailOn { // on a shared wire it comes with the stop as well
								tails.see(t, v.at, v.lit, v.lit, tailOn, tailFor)
							}
						}, "stop: {wire: tail.in2,", "stop: {shares: tail,", "tail: {wire: tail.in1,", "tail: {wire: tail.in1, active: "+active+",")
						stops.judged(t, 2*1000, 2*3000)
						tails.judged(t, 2*2000, 0)
					})
				}
			}
		}
	}
}

// What cannot be told apart is refused with figures and a way out, not played.
func TestWireWhoseOnAndOffLookAlikeIsRefused(t *testing.T) {
	for _, stop := range []string{
		"kind: steady, test-pulse: {width: 5 ms, every: 20 ms}",
		"kind: dimmed, duty: 10 %, at: 100 Hz, test-pulse: {width: 1 ms, every: 10 ms}",
		"shares",
	} {
		text := fmt.Sprintf(wiresJob, "pins", stop, "kind: dimmed, duty: 60 %, at: 100 Hz")
		text = strings.Replace(text, "stop: {wire: tail.in2, feed: {shares}}", "stop: {shares: tail}", 1)
		k, faults := kit.Parse("feeds.yaml", []byte(text), kit.NoFiles)
		if k != nil {
			var more report.List
			_, more = compile.Compile(k, compile.Options{})
			faults = append(faults, more...)
		}
		if !faults.HasErrors() {
			t.Errorf("%s is taken", stop)
		}
		for _, d := range faults {
			if d.Place.Line == 0 || d.Next == "" {
				t.Errorf("%s: no place or no next step: %+v", stop, d)
			}
		}
	}
}
