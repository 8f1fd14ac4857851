package program

import "encoding/binary"

// checkBytesPerJob is how much of the image one frame job takes into the check.
const checkBytesPerJob = 256

// bootWindow is the repeat window, in frames, with which signals begin: a signal that is wanted in the first live frame
// goes straight to stay.
const bootWindow = 2

// Engine is the reference for what a module does, refresh by refresh; docs/engine.md. It is a value: Clone copies it
// whole, and it allocates nothing after NewEngine. It is not safe for use by several goroutines at once.
type Engine struct {
	safe     Safe
	image    *plan // nil when the image is refused
	checked  int   // job in which the image's check ends
	judged   bool  // it has ended
	live     bool  // the image runs
	accepted bool  // the last job accepted the image

	// The refresh side.
	phase    uint8 // of the refresh now shown
	state    uint8 // filtered inputs
	counting uint8 // inputs whose count is not 0
	counts   [MaxInputs]uint8
	lows     [MaxInputs]uint8 // refreshes since the input was last high, while it is counted on
	share    sharer
	force    uint64 // outputs forced on in the refresh now shown
	clocks   [MaxPacers]clock
	pacing   bool // one of the clocks is used
	wire     listener
	sensing  sensing
	stream   stream

	// The frame side.
	frame    uint16 // number of the next job
	lastIn   uint8  // inputs of the last job
	parters  [2]parter
	parting  bool // one of them is used
	memories [MaxPacers]memory
	timers   [MaxLayers]timers
	states   [MaxLayers]State
	players  [MaxMoving]player
	fades    [MaxFades]fade
	sync     follower
	pull     uint8 // frames for which the leader still pulls
	keeper   keeper
	sleeper  sleeper
	presses  uint8  // walk: 1 + the output that is lit, 0 before the first press
	walking  bool   // walk: a job has been done
	forceSet uint64 // what the stop override may hold on
	dirty    bool   // the levels must be painted anew

	pending picture // what the last job published
	shown   picture // what is shown in this frame
}

// timers of a layer, in frames; limit in LimitUnitFrames.
type timers struct{ window, keep, limit uint16 }

// picture is what one frame shows.
type picture struct {
	levels   [MaxOutputs]uint8
	forceSet uint64
	phases   [MaxLayers]Phase
	pull     bool
	live     bool
	halved   bool // every light has half its duty
	rested   bool // the module may sleep when this is shown
}

// Powering is what a core finds when its power comes, whatever that holds.
type Powering struct {
	SafeA, SafeB []byte             // the two copies of the safe block
	Image        []byte             // flash from the image's start; what follows is erased
	Strap        Side               // what the side strap says; Centre: it is missing
	Memory       *[MemoryBytes]byte // EEPROM; nil: erased
	Remnant      Remnant            // in RAM
}

// Codes are what the converter gives at the sense pin and at the heat pin; docs/engine.md, section 3.1.
type Codes struct{ Supply, Heat uint8 }

// CodesAtStart are the codes until Sense is called: 13.5 V, and a cold sensor or none.
var CodesAtStart = Codes{Supply: 0x79, Heat: 0xFF}

// NewEngine starts a module as its core finds it. The engine shows refresh 0.
func NewEngine(power Powering) *Engine {
	e := &Engine{safe: chooseSafe(power.SafeA, power.SafeB), dirty: true}
	if sh := e.safe.Shared; sh.Used {
		e.share = sharer{used: true, from: sh.From, as: sh.As}
	}
	for i, w := range e.safe.StopTurn {
		e.parters[i] = parterOf(w)
		e.parting = e.parting || w.Used
	}
	e.image, e.checked = accept(power.Image, e.safe.Registers, power.Strap)
	var held [MaxPacers]uint8
	e.keeper, held = keeperOf(power.Memory)
	e.keeper.note = power.Remnant
	for p := range held {
		e.memories[p].held = held[p]
	}
	e.sensing.set(CodesAtStart)
	e.forceSet = binary.LittleEndian.Uint64(e.safe.StopOut[:])
	e.pending.forceSet, e.shown.forceSet = e.forceSet, e.forceSet
	return e
}

// NewEngineFor starts a module that holds a program, in the plug of the program's side and with an erased memory. It fails with Faults when the program has no image, or the safe block
// does not suit.
func NewEngineFor(p *Program, s *Safe) (*Engine, error) {
	image, err := Encode(p)
	if err != nil {
		return nil, err
	}
	block, err := EncodeSafe(s)
	if err != nil {
		return nil, err
	}
	if err := suits(p, s); err != nil {
		return nil, err
	}
	return NewEngine(Powering{SafeA: block[:], SafeB: block[:], Image: image, Strap: p.Side}), nil
}

// Clone copies the engine, to look ahead or to come back to.
func (e *Engine) Clone() *Engine {
	c := *e
	return &c
}

// Sense sets the codes at the pins, from the refresh now shown on.
func (e *Engine) Sense(supply, heat uint8) { e.sensing.set(Codes{Supply: supply, Heat: heat}) }

// Step ends the refresh now shown with its sample of the inputs (bit 0 is in1) and of the link wire (true is high), and
// shows the next refresh: docs/engine.md, section 3.
func (e *Engine) Step(in uint8, link bool) {
	var flipped uint8
	raw := in ^ e.safe.Invert
	if e.share.used {
		raw = e.share.step(raw)
	}
	if differ := raw ^ e.state; differ|e.counting != 0 {
		flipped = e.filter(differ)
	}
	if e.pacing {
		for p := range e.clocks {
			e.clocks[p].step(e.state, flipped)
		}
	}
	if flipped != 0 {
		e.force = e.forceNow()
	}
	if e.wire.on {
		e.wire.step(link)
	}
	if e.phase++; e.phase == RefreshesPerFrame {
		e.phase = 0
		e.newFrame()
	}
}

// Frames runs n whole frames, or what is left of this one and n − 1 more, with held inputs.
func (e *Engine) Frames(n int, in uint8, link bool) {
	for range n {
		if e.phase == 0 && in^e.safe.Invert == e.state && e.counting == 0 && !e.wire.on && !e.share.used {
			for p := range e.clocks { // nothing else moves within this frame
				e.clocks[p].hold(RefreshesPerFrame)
			}
			e.newFrame()
			continue
		}
		for {
			e.Step(in, link)
			if e.phase == 0 {
				break
			}
		}
	}
}

// filter steps the inputs that differ from their filtered state or are being counted, and gives those that flipped.
func (e *Engine) filter(differ uint8) (flipped uint8) {
	for moving, i := differ|e.counting, 0; moving != 0; moving, i = moving>>1, i+1 {
		bit := uint8(1) << i
		switch {
		case moving&1 == 0:
			continue
		case differ&bit != 0:
			limit := e.safe.On[i]
			if e.state&bit != 0 {
				limit = e.safe.Off[i]
			}
			e.lows[i] = 0
			if e.counts[i]++; e.counts[i] >= limit {
				flipped |= bit
				e.counts[i] = 0
			}
		case e.state&bit == 0 && e.lows[i] < e.safe.Gap[i]:
			e.lows[i]++
		default:
			e.counts[i] = 0
		}
		if e.counts[i] != 0 {
			e.counting |= bit
		} else {
			e.counting &^= bit
		}
	}
	e.state ^= flipped
	return flipped
}

// forceNow gives the outputs that the stop override holds on.
func (e *Engine) forceNow() uint64 {
	if e.state&e.safe.Stop == 0 {
		return 0
	}
	return e.shown.forceSet
}

// newFrame shows what the last job published, takes the snapshot and does the next job.
func (e *Engine) newFrame() {
	e.shown = e.pending
	e.force = e.forceNow()
	if e.accepted {
		e.accepted = false
		e.goLive()
	}
	s := snapshot{
		raw: e.state, counting: e.counting != 0, event: e.wire.collect(),
		code: e.sensing.convert(e.frame), streamed: e.stream.came, heard: e.stream.heard,
	}
	e.stream.came, e.stream.heard = false, false
	for p := range e.clocks {
		c := &e.clocks[p]
		s.age[p], s.done[p], s.fresh[p] = c.age, c.done, c.fresh
		c.fresh = false
	}
	e.job(&s)
}

// goLive begins the image's program, with the samples after this moment.
func (e *Engine) goLive() {
	e.live, e.dirty = true, true
	for p, mask := range e.image.pacers {
		if mask == 0 {
			continue
		}
		input := 0
		for mask>>input&1 == 0 {
			input++
		}
		e.pacing = true
		e.clocks[p] = clock{mask: mask, on: e.safe.On[input], off: e.safe.Off[input]}
		if e.image.turnFed && e.state&mask != 0 { // it brought the supply: it has been on since then
			e.clocks[p].age, e.clocks[p].running = RefreshesPerFrame*e.frame, true
		}
	}
	for i := range e.image.layers {
		if l := &e.image.layers[i]; !l.traits.Show && !(e.image.turnFed && l.paced) {
			e.timers[i].window = bootWindow
		}
	}
	e.wire.on = e.image.role == Follower
}
