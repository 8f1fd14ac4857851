package proof_test

import (
	"slices"
	"testing"
	"time"

	"lampwright/compile"
	"lampwright/feed"
	"lampwright/internal/randomjob"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/script"
	"lampwright/units"

	"pgregory.net/rapid"
)

// What must hold on every module whatever is pressed in whatever order. Times run from the edge at the wire to the end of the
// refresh that shows the light; none comes from a regulation.
const (
	stopLatency = 5 * ms   // a steady stop, at full light
	turnLatency = 12 * ms  // a turn, its first light
	turnFull    = 700 * ms // a held turn, all of it: its sweep is at most as long as the longest flash of the scripts,
	// or as the longest press of the wire so far that a flasher could make: up to flashMost
	flashMost = 900 * ms
	turnDark  = 20 * ms  // between two flashes, filter included
	flashGap  = 700 * ms // the longest pause between two flashes
	aftermath = 30 * ms  // filters and frames, after which only leaving and keeping dark go on
	settled   = 25 * ms  // any input, to its first frame
)

// road holds one module to all that.
type road struct {
	t       rapid.TB
	random  bool // a routine may begin dark, or leave brightly: only what holds for any job is judged
	module  *compile.Module
	signals int
	takes   []outputs       // of each layer
	ends    []outputs       // what the arrive routine leaves at full
	after   []time.Duration // for how long a layer goes on after its input went off and was seen to
	checked time.Duration   // by then the image is checked and runs
	judged  map[string]int  // refreshes that a rule spoke of
	wires   []wire
	told    int
}

// wire follows the input of a layer.
type wire struct {
	spans []script.Span
	next  int
	on    bool
	since time.Duration // of its last change, or long ago
	never bool          // it was never on
	acted time.Duration // when it was last on for long enough to be acted on, or long ago
	press time.Duration // the longest so far, up to flashMost
	lit   outputs       // lit at any time since it last changed
	read  feed.Delay    // how long the module may take to see a change, at worst; zero where it answers as usual
	brake *wire         // of a turn wire that lights for the brake too: the brake
	late  time.Duration // which takes so long to tell from a turn
	alone bool          // and nothing tells the two apart
	long  time.Duration // when it was last on for so long that it is taken for a brake
	stops []*wire       // of a stop that tells turns from brakes: their wires
	with  []*wire       // what comes on the same wire, and this one with it
}

// aBrake is after what time a wire that stands high without its reference is a brake whose reference broke; a little less than a second.
const aBrake = 950 * ms

// told tells whether what is on is known for certain: on a wire that the brake holds high a flash is not seen at once.
func (w *wire) told(at time.Duration) bool {
	return w.brake == nil || !w.alone && w.on && at-w.since < aBrake && w.brake.gone(at, at-w.since+over)
}

// asks tells whether the wire may ask for its layer, or did less than so long ago.
func (w *wire) asks(at, ago time.Duration) bool {
	if w.brake != nil && w.alone && !w.brake.gone(at, ago) {
		return true
	}
	if w.brake != nil && !w.alone {
		ago += over // while the brake holds the wire
	}
	for _, stop := range w.stops {
		if at-stop.long < ago {
			return true
		}
	}
	for _, other := range w.with {
		if !other.gone(at, ago) {
			return true
		}
	}
	return !w.gone(at, ago)
}

// within is how long a module has for what it does once it sees a change: so long, or as long as its wire makes it wait, and then
// so much more.
func within(usual time.Duration, wire units.Time, then time.Duration) time.Duration {
	return max(usual, time.Duration(wire)*us+then)
}

func newRoad(t rapid.TB, k *kit.Kit, m *compile.Module, line *script.Timeline) *road {
	r := &road{t: t, module: m, judged: map[string]int{}}
	r.checked = time.Duration(len(m.Image)/256+8) * program.FrameMS * ms
	for i, l := range m.Layers {
		p := m.Program.Layers[i]
		r.takes = append(r.takes, setOf(p.Slots))
		r.ends = append(r.ends, 0)
		after := int(p.Keep)
		if p.Leave != nil {
			after += p.Leave.Ticks
		}
		r.after = append(r.after, time.Duration(after)*program.FrameMS*ms)
		if p.Arrive != nil {
			for slot, level := range program.PlayRoutine(p.Arrive, len(p.Slots))[p.Arrive.Ticks] {
				if level == program.FullLevel {
					r.ends[i] |= 1 << p.Slots[slot]
				}
			}
		}
		w := wire{spans: line.Spans(l.Of.Input.Name), never: true, acted: -time.Hour}
		if in := l.Of.Input; in.CarriesStop {
			w.brake = &wire{spans: line.Spans("stop"), never: true}
			w.late = apart - turnLatency
			w.alone = in.Reference == nil || l.Outage != nil // a load follows the wire, not the turn
		}
		for _, in := range k.Inputs {
			if in.Reference == l.Of.Input {
				w.stops = append(w.stops, &wire{spans: line.Spans(in.Name), never: true, long: -time.Hour})
			}
			if in.Shares == l.Of.Input {
				w.with = append(w.with, &wire{spans: line.Spans(in.Name), never: true})
			}
		}
		r.wires = append(r.wires, w)
		if !l.Of.Show {
			r.signals++
		}
	}
	return r
}

// allow gives a module the time that odd wires make it wait.
func (r *road) allow(wires []compile.Wire) {
	for i, l := range r.module.Layers {
		for _, w := range wires {
			if w.Of == l.Of.Input {
				r.wires[i].read = w.Delay
			}
			if here := &r.wires[i]; here.brake != nil && !here.alone && w.Of == l.Of.Input.Reference {
				here.with = append(here.with, &wire{spans: taps(here.brake.spans, w.Delay.On), never: true})
			}
		}
	}
}

// taps gives the presses, each with its chatter, in which a wire never stays on for long enough to be believed. A brake so short may
// be lost on its own wire and show on a turn wire that holds each pulse for longer: there it looks like the flash of a turn.
func taps(touches []script.Span, believed units.Time) (short []script.Span) {
	const apart = 10_000 // µs: more than contacts chatter
	for i := 0; i < len(touches); {
		press, longest := touches[i], units.Time(0)
		for ; i < len(touches) && touches[i].From <= press.To+apart; i++ {
			press.To, longest = touches[i].To, max(longest, touches[i].To-touches[i].From)
		}
		if longest < believed {
			short = append(short, press)
		}
	}
	return short
}

func (w *wire) to(at time.Duration) {
	if w.brake != nil {
		w.brake.to(at)
	}
	for _, other := range slices.Concat(w.stops, w.with) {
		other.to(at)
	}
	defer func() {
		if w.held(at, aBrake) {
			w.long = at
		}
	}()
	for w.next < len(w.spans) {
		s := w.spans[w.next]
		from, to := time.Duration(s.From)*us, time.Duration(s.To)*us
		if !w.on && from <= at {
			w.on, w.since, w.never, w.lit = true, from, false, 0
		}
		if !w.on || to > at {
			return
		}
		if long := to - from; long <= flashMost+turnLatency {
			w.press = max(w.press, long)
		}
		w.on, w.since, w.lit = false, to, 0
		w.next++
	}
}

// held tells whether the input has been on for so long; gone, whether off.
func (w *wire) held(at, least time.Duration) bool { return w.on && at-w.since >= least }
func (w *wire) gone(at, least time.Duration) bool { return w.never || !w.on && at-w.since >= least }

// see judges one refresh.
func (r *road) see(v seen) {
	if r.told > 5 {
		return
	}
	end := v.at + refresh
	var asked, above outputs // what any layer may light or keep now; what signals of higher priority may have taken
	for i := range r.wires {
		w := &r.wires[i]
		w.to(v.at)
		w.lit |= v.lit
		if w.held(v.at, turnLatency+w.late) && v.at > r.checked {
			w.acted = v.at
		}
		if w.asks(v.at, r.after[i]+within(aftermath, w.read.Off, 20*ms)) {
			asked |= r.takes[i]
		}
	}
	r.hold(v, "nothing is asked: dark", v.lit&^asked == 0)
	for i, l := range r.module.Program.Layers[:r.signals] {
		of, w := r.module.Layers[i].Of, &r.wires[i]
		if r.module.Layers[i].Outage != nil {
			continue // a load of a lamp check, no light
		}
		told := w.told(v.at)
		free := r.takes[i] &^ above
		isTurn := !r.random && told && (of.Input.Road == "turn-lh" || of.Input.Road == "turn-rh")
		if of.Input.Road == "stop" && steadyFull(l) && w.held(end, within(stopLatency, w.read.On, 2*refresh)) {
			r.hold(v, of.Name+" is on: full", free&^v.full == 0)
		}
		if isTurn && l.Arrive != nil && free == r.takes[i] {
			if w.held(end, turnLatency+w.late) {
				r.hold(v, of.Name+" is on: its first light", free&w.lit != 0)
			}
			if w.held(end, max(turnFull, w.press)+w.late) {
				r.hold(v, of.Name+" is held: full", free&r.ends[i]&^v.full == 0)
			}
		}
		if isTurn && l.Keep >= 200 && v.at-w.acted < flashGap && w.gone(v.at, turnDark) {
			r.hold(v, of.Name+" is between two flashes: dark", free&v.lit == 0)
		}
		if v.engine != nil && told && v.engine.Shown().Live && w.held(end, w.late+within(settled, w.read.On, 15*ms)) {
			owners := v.engine.Owner()
			for o := range owners {
				if r.takes[i]>>o&1 != 0 {
					r.hold(v, of.Name+" is on: no show may hold its outputs", owners[o].Layer >= 0 && owners[o].Layer < r.signals)
				}
			}
		}
		if w.asks(v.at, r.after[i]+within(aftermath, w.read.Off, 20*ms)) {
			above |= r.takes[i]
		}
	}
}

// steadyFull tells whether a layer never moves and is all at full light; a module may make such a stop faster than its frames.
func steadyFull(l program.Layer) bool {
	return l.Still != nil && !slices.ContainsFunc(l.Still, func(level uint8) bool { return level != program.FullLevel })
}

func (r *road) hold(v seen, what string, so bool) {
	r.judged[what]++
	if !so {
		r.told++
		r.t.Errorf("%v, module %s: not so: %s (lit %x, full %x)", v.at, r.module.Of.Name, what, v.lit, v.full)
	}
}

// watched plays a script and holds every module of the kit to the road.
func watched(t *testing.T, k *kit.Kit, r *compile.Result, presses string,
	play func(testing.TB, *kit.Kit, *compile.Result, *script.Timeline, time.Duration, witness)) []*road {
	t.Helper()
	line := timeline(t, presses)
	var roads []*road
	for _, m := range r.Modules {
		roads = append(roads, newRoad(t, k, m, line))
	}
	n := 0
	play(t, k, r, line, time.Duration(line.End())*us+200*ms, func(i int, v seen) { n++; roads[i].see(v) })
	if n < 100 {
		t.Fatalf("only %d refreshes were seen", n)
	}
	if t.Failed() {
		t.Fatalf("presses: %s", presses)
	}
	return roads
}

// Every example, all inputs in several orders while every show's switch is held, on the HEX that ships.
func TestSignalsFollowTheirInputsOnHEX(t *testing.T) {
	t.Parallel()
	for _, path := range examples(t) {
		k, r := job(t, path)
		if sharesAWire(k) {
			continue
		}
		watched(t, k, r, tours(k)[2]+heldShows(k), onHEX)
	}
}

// sharesAWire tells whether two functions of a job come on one wire. There the tail comes with the stop, whatever is pressed, and stop
// takes two pulses more: TestStopOnTheTailWire holds what is promised instead.
func sharesAWire(k *kit.Kit) bool {
	return slices.ContainsFunc(k.Inputs, func(in *kit.Input) bool { return in.Shares != nil })
}

// heldShows holds every show's switch for the whole time.
func heldShows(k *kit.Kit) (presses string) {
	for _, in := range k.Inputs {
		if in.Road == "" {
			presses += " " + in.Name + "@0s..6s"
		}
	}
	return presses
}

// Every example under many random scripts, every other time with all shows held.
func TestSignalsFollowTheirInputs(t *testing.T) {
	for _, path := range examples(t) {
		k, r := job(t, path)
		if sharesAWire(k) {
			continue
		}
		var names []string
		for _, in := range k.Inputs {
			names = append(names, in.Name)
		}
		t.Run(k.Title, func(t *testing.T) {
			for seed := range 100 * soak(t) {
				presses := rapid.Custom(func(t *rapid.T) string { return randomjob.Script(t, names, 8000) }).Example(seed)
				if seed%2 == 1 {
					presses += heldShows(k)
				}
				watched(t, k, r, presses, onEngines)
			}
		})
	}
}
