package proof_test

import (
	"context"
	"flag"
	"fmt"
	"os"
	"slices"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"lampwright/car"
	"lampwright/compile"
	"lampwright/internal/randomjob"
	"lampwright/kit"
	"lampwright/proof"
	"lampwright/script"

	"pgregory.net/rapid"
)

// soak is how many times wider than usual the random tests run: SOAK=20 in the environment.
func soak(t testing.TB) int {
	t.Helper()
	text := os.Getenv("SOAK")
	if text == "" {
		return 1
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("SOAK=%q is not a number from 1 on", text)
	}
	return n
}

// draws checks a property with n draws, as many times more as SOAK says, in two halves side by side. A failure prints the
// seed that repeats it.
func draws(t *testing.T, n int, property func(*rapid.T)) {
	t.Helper()
	for name, value := range map[string]string{"rapid.checks": strconv.Itoa((n*soak(t) + 1) / 2), "rapid.shrinktime": "20s", "rapid.nofailfile": "true"} {
		if err := flag.Set(name, value); err != nil {
			t.Fatal(err)
		}
	}
	t.Run("halves", func(t *testing.T) {
		for _, half := range []string{"one", "other"} {
			t.Run(half, func(t *testing.T) {
				t.Parallel()
				rapid.Check(t, property)
			})
		}
	})
}

// drawn is a random job, compiled, and a timeline of random presses.
type drawn struct {
	text, presses string
	kit           *kit.Kit
	compiled      *compile.Result
	line          *script.Timeline
	length        time.Duration
}

// draw draws a job and presses; it gives nil when the job asks more of a module than it can hold.
func draw(t *rapid.T, job func(*rapid.T) string, shortest, longest int, more func(*rapid.T, *kit.Kit, int) string) *drawn {
	d := &drawn{text: job(t)}
	k, faults := kit.Parse("random.yaml", []byte(d.text), kit.NoFiles)
	if k == nil {
		t.Fatalf("a random job is faulty: %v\n%s", faults, d.text)
	}
	d.kit = k
	d.compiled, faults = compile.Compile(k, compile.Options{})
	if faults.HasErrors() {
		return nil
	}
	var inputs []string
	for _, in := range k.Inputs {
		inputs = append(inputs, in.Name)
	}
	length := rapid.IntRange(shortest, longest).Draw(t, "length ms")
	d.presses = randomjob.Script(t, inputs, length) + more(t, k, length)
	for _, m := range k.Modules {
		if only := m.Fed.Only; only != nil { // without its wire it is dead, and nothing would be compared
			d.presses += fmt.Sprintf(" %s@%dms..%dms", only.Name, length+50, length+500)
		}
	}
	presses, faults := script.ParseIn("random", []byte(d.presses), car.Names(k))
	if faults.HasErrors() {
		t.Fatalf("random presses are faulty: %v", faults)
	}
	d.line = presses.Timeline(rapid.Uint64().Draw(t, "chatter"))
	d.length = time.Duration(d.line.End())*time.Microsecond + 250*ms
	return d
}

// limits counts draws and those that no module could hold. Few may be, or little would be tested.
type limits struct{ drawn, refused atomic.Int64 }

func (l *limits) draw(t *rapid.T, job func(*rapid.T) string, shortest, longest int, more func(*rapid.T, *kit.Kit, int) string) *drawn {
	l.drawn.Add(1)
	d := draw(t, job, shortest, longest, more)
	if d == nil {
		l.refused.Add(1)
		t.Skip("refused for a limit of the module")
	}
	return d
}

func (l *limits) few(t *testing.T) {
	t.Helper()
	drawn, refused := l.drawn.Load(), l.refused.Load()
	t.Logf("%d of %d random jobs were refused for their limits", refused, drawn)
	if refused*8 > drawn {
		t.Errorf("too many of the random jobs are refused: %d of %d", refused, drawn)
	}
}

// Random jobs under random presses, in a car whose supply, heat and harness do what they like, with light streamed to modules that take it:
// every word, every width and every pull of the HEX that ships is the reference engine's.
func TestRandomJobs(t *testing.T) {
	var l limits
	var promised, compared atomic.Int64 // refreshes
	draws(t, 300, func(t *rapid.T) {
		d := l.draw(t, randomjob.Job, 300, 4000, carToo)
		trial := proof.Trial{Kit: d.kit, Compiled: d.compiled, Line: d.line, Wires: wires, Length: d.length, Cache: sharedDir}
		verdicts, err := d.run(t, trial)
		if err != nil {
			t.Fatal(err)
		}
		promised.Add(int64(d.length/refresh) * int64(len(verdicts)))
		for _, v := range verdicts {
			compared.Add(int64(v.Refreshes))
		}
		d.judge(t, verdicts)
	})
	l.few(t)
	if compared.Load()*2 < promised.Load() {
		t.Errorf("the modules were alive for %d of %d refreshes", compared.Load(), promised.Load())
	}
}

// run runs a trial, half of those whose modules have their supply throughout with streamed frames.
func (d *drawn) run(t *rapid.T, trial proof.Trial) ([]proof.Verdict, error) {
	if !d.lives() || rapid.Bool().Draw(t, "no streams") {
		return trial.Run(context.Background())
	}
	setups, err := trial.Setups()
	if err != nil || len(setups) != 1 {
		return nil, fmt.Errorf("%d runs, %w", len(setups), err)
	}
	setups[0].Events = append(setups[0].Events, drawStreams(t, d, setups[0])...)
	return proof.Judged(context.Background(), setups[0], proof.Core)
}

// carToo draws what the car does beside the presses, every other time.
func carToo(t *rapid.T, k *kit.Kit, lengthMS int) string {
	if rapid.Bool().Draw(t, "a quiet car") {
		return ""
	}
	return " " + randomjob.Conditions(t, car.Names(k), lengthMS)
}

// drawStreams draws frames for the modules that take them, one after another, from when their images surely run: one that is under way
// when an image is accepted may count or not.
func drawStreams(t *rapid.T, d *drawn, s proof.Setup) (events []proof.Event) {
	for i, m := range s.Modules {
		of, _ := d.kit.Module(m.Name)
		if !of.Stream {
			continue
		}
		at := 500 * ms
		for range rapid.IntRange(1, 8).Draw(t, "frames") {
			at += time.Duration(rapid.IntRange(0, 600_000).Draw(t, "later us")) * us
			packet := proof.LivePacket(rapid.SliceOfN(rapid.Byte(), 8*m.Registers, 8*m.Registers).Draw(t, "levels"))
			if at < d.length {
				events = append(events, proof.Serial(at, i, packet))
			}
			at += time.Duration(len(packet)+20) * proof.SerialByte
		}
	}
	return events
}

func nothing(*rapid.T, *kit.Kit, int) string { return "" }

// latestMS is how late a module of a pair may get its supply, ms: its show then begins out of step.
const latestMS = 900

// linkedShow holds the show that the link keeps in step, most of the time.
func linkedShow(t *rapid.T, _ *kit.Kit, lengthMS int) string {
	from := rapid.IntRange(0, lengthMS/4).Draw(t, "show from")
	return fmt.Sprintf(" show-a@%dms..%dms", from, lengthMS)
}

// Two modules on one link wire, each with its own clock, and a wire that fails: parity of each module for the samples that it
// took, pulls included.
func TestRandomPairs(t *testing.T) {
	var l limits
	draws(t, 80, func(t *rapid.T) {
		d := l.draw(t, randomjob.Pair, 1500, 6000, linkedShow)
		d.length += time.Second
		trial := proof.Trial{Kit: d.kit, Compiled: d.compiled, Line: d.line, Wires: wires, Length: d.length, Cache: sharedDir}
		setups, err := trial.Setups()
		if err != nil || len(setups) != 1 {
			t.Fatalf("%d runs, %v", len(setups), err)
		}
		s := setups[0]
		for i := range s.Modules {
			s.Modules[i].ClockPPM = rapid.Float64Range(-5000, 5000).Draw(t, "clock ppm") // a ceramic resonator: 0.5 %, common practice
			s.Modules[i].PowerOn = time.Duration(rapid.IntRange(0, latestMS*1000).Draw(t, "power-on us")) * us
		}
		s.Events = append(s.Events, drawFault(t, d.length)...)
		verdicts, err := proof.Judged(context.Background(), s, proof.Core)
		if err != nil {
			t.Fatal(err)
		}
		d.length -= latestMS * ms // for which a module may have no supply yet
		d.judge(t, verdicts)
	})
	l.few(t)
}

// drawFault draws a fault of the link wire that comes, and often goes again.
func drawFault(t *rapid.T, length time.Duration) []proof.Event {
	at := func(label string, from time.Duration) time.Duration {
		return from + time.Duration(rapid.Int64Range(0, int64((length-from)/us)).Draw(t, label))*us
	}
	from := at("fault from us", 0)
	to := at("fault to us", from)
	switch rapid.IntRange(0, 4).Draw(t, "fault") {
	case 0:
		return nil
	case 1:
		module := rapid.IntRange(0, 1).Draw(t, "open at")
		return []proof.Event{proof.LinkOpen(from, module, true), proof.LinkOpen(to, module, false)}
	case 2:
		return []proof.Event{proof.LinkWire(from, proof.WireLow), proof.LinkWire(to, proof.WireFree)}
	case 3:
		return []proof.Event{proof.LinkWire(from, proof.WireSupply), proof.LinkWire(to, proof.WireFree)}
	}
	return []proof.Event{proof.LinkWire(from, proof.WireLow)}
}

// Random jobs on the reference engine: nothing lights unasked, a steady stop is full within its latency, and no show holds an
// output of a signal that is on.
func TestRandomJobsPutSignalsFirst(t *testing.T) {
	var l limits
	draws(t, 1000, func(rt *rapid.T) {
		d := l.draw(rt, randomjob.Job, 300, 4000, nothing)
		var roads []*road
		for _, m := range d.compiled.Modules {
			one := newRoad(rt, d.kit, m, d.line)
			one.random = true
			one.allow(d.compiled.Wires)
			roads = append(roads, one)
		}
		onEngines(t, d.kit, d.compiled, d.line, d.length, func(i int, v seen) { roads[i].see(v) })
		if rt.Failed() {
			rt.Fatalf("presses: %s\n%s", d.presses, d.text)
		}
	})
	l.few(t)
}

// cut tells whether the script may take a module's supply; lives, whether every module has one throughout.
func (d *drawn) cut() bool {
	return slices.ContainsFunc([]script.What{script.Supply, script.Battery, script.Feed, script.Module}, func(what script.What) bool { return len(d.line.Conditions(what)) > 0 })
}

func (d *drawn) lives() bool {
	return !d.cut() && !slices.ContainsFunc(d.kit.Modules, func(m *kit.Module) bool { return m.Fed.Only != nil })
}

func (d *drawn) judge(t *rapid.T, verdicts []proof.Verdict) {
	if len(verdicts) != len(d.kit.Modules) {
		t.Fatalf("%d verdicts on %d modules", len(verdicts), len(d.kit.Modules))
	}
	for _, v := range verdicts {
		want := int(d.length / refresh)
		if m, _ := d.kit.Module(v.Module); m.Fed.Only != nil {
			want = int(400 * ms / refresh) // it is alive while its wire is on
			if len(d.line.Conditions(script.Tap)) > 0 {
				want = 0 // and not at all when that wire's tap is broken
			}
		}
		if asleep := time.Duration(d.kit.Guard.SleepAfter) * us; asleep > 0 {
			want = min(want, int(asleep/refresh))
		}
		if d.cut() {
			want = 0
		}
		if v.Refreshes*100 < want*98 {
			t.Errorf("%s: only %d refreshes of %d were compared", v.Module, v.Refreshes, want)
		}
		for _, p := range v.Problems() {
			t.Error(p)
		}
	}
	if t.Failed() {
		t.Fatalf("presses: %s\n%s", d.presses, d.text)
	}
}
