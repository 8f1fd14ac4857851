package car

import (
	"fmt"

	"lampwright/compile"
	"lampwright/kit"
	"lampwright/program"
	"lampwright/units"
)

// Refresh is the step of a rig: what the engines step by.
const Refresh = units.Second / program.RefreshHz

// Unit is what ships in a module's flash.
type Unit struct {
	Of    *kit.Module
	Safe  [program.SafeBytes]byte
	Image []byte
}

// Units gives the compiled modules of a kit as they ship, in the order of the kit. It fails when one has no image.
func Units(r *compile.Result) ([]Unit, error) {
	var all []Unit
	for _, m := range r.Modules {
		if m.Image == nil {
			return nil, fmt.Errorf("module %s was refused and has no image", m.Of.Name)
		}
		safe, err := program.EncodeSafe(m.Safe)
		if err != nil {
			return nil, fmt.Errorf("module %s: %w", m.Of.Name, err)
		}
		all = append(all, Unit{Of: m.Of, Safe: safe, Image: m.Image})
	}
	return all, nil
}

// Start powers an engine up on the unit, with what its memories hold.
func (u *Unit) Start(strap program.Side, memory *[program.MemoryBytes]byte, remnant program.Remnant) *program.Engine {
	return program.NewEngine(program.Powering{SafeA: u.Safe[:], SafeB: u.Safe[:], Image: u.Image, Strap: strap, Memory: memory, Remnant: remnant})
}

// startRefreshes is the time from the supply to the first refresh: 16 384 cycles of the crystal and a little more (ATmega328P data
// sheet, start-up times of the full-swing oscillator with brown-out detection).
const startRefreshes = 2

// Rig runs the engines of all modules together on a course, refresh by refresh. It is not safe for use by several goroutines at once.
type Rig struct {
	course  *Course
	modules []running
	wire    int // change of the wire that holds
	at      units.Time
	live    *live // nil: the script has the car
	pulled  bool  // some module pulled the link wire
}

// running is one module of a rig.
type running struct {
	unit    *Unit
	changes []Change
	next    int
	now     Pins
	waits   int // refreshes until the controller runs
	engine  *program.Engine
	memory  *[program.MemoryBytes]byte
	remnant program.Remnant
	left    bool // out of the rig
	asleep  bool
	slept   levels // when it fell asleep
}

// levels is what a sleeping module watches.
type levels struct {
	in   uint8
	link bool
}

// NewRig starts a rig at time 0. Units are those of the course's kit, in its order.
func NewRig(all []Unit, c *Course) *Rig {
	r := &Rig{course: c, modules: make([]running, len(all))}
	for i := range all {
		r.modules[i] = running{unit: &all[i], changes: c.Modules[i], waits: startRefreshes}
	}
	r.changes()
	for i := range r.modules {
		if m := &r.modules[i]; m.now.Powered { // a supply that is there when play begins was there before
			m.start()
		}
	}
	return r
}

// Leave takes a module out of the rig: it shows nothing from now on, and pulls nothing.
func (r *Rig) Leave(module int) {
	m := &r.modules[module]
	m.left, m.engine = true, nil
}

// Pulled tells whether a module has pulled the link wire low so far.
func (r *Rig) Pulled() bool { return r.pulled }

// At is the time of what is shown.
func (r *Rig) At() units.Time { return r.at }

// changes takes what changes up to now.
func (r *Rig) changes() {
	for i := range r.modules {
		m := &r.modules[i]
		for r.live == nil && m.next < len(m.changes) && m.changes[m.next].At <= r.at {
			m.now = m.changes[m.next].Pins
			m.next++
			if !m.now.Powered {
				m.stop()
			}
		}
	}
	for r.wire+1 < len(r.course.Wire) && r.course.Wire[r.wire+1].At <= r.at {
		r.wire++
	}
	if r.live != nil {
		r.live.pins(r)
	}
}

func (m *running) start() {
	if !m.now.Lived {
		m.remnant = program.Remnant{}
	}
	m.engine = m.unit.Start(m.now.Strap, m.memory, m.remnant)
	m.engine.Sense(m.now.Codes.Supply, m.now.Codes.Heat)
}

// stop takes the supply away. What the EEPROM holds stays, and for a while what the RAM holds.
func (m *running) stop() {
	if m.engine != nil {
		kept := m.engine.Memory()
		m.memory, m.remnant = &kept, m.engine.Remnant()
	}
	m.engine, m.waits, m.asleep = nil, startRefreshes, false
}

// Step goes on by one refresh.
func (r *Rig) Step() {
	pull := false
	for i := range r.modules {
		m := &r.modules[i]
		pull = pull || m.linked() && m.engine != nil && !m.asleep && m.engine.Shown().Pull
	}
	r.pulled = r.pulled || pull
	state := r.course.Wire[r.wire].State
	link := state == AtSupply || state == Free && !pull
	for i := range r.modules {
		m := &r.modules[i]
		if m.left {
			continue
		}
		m.step(levels{m.now.In, link || !m.linked()})
	}
	r.at += Refresh
	r.changes()
}

// linked tells whether the module's end of the link wire is joined.
func (m *running) linked() bool { return m.unit.Of.Link != "" && !m.now.LinkOpen }

func (m *running) step(now levels) {
	switch {
	case m.engine == nil && !m.now.Powered:
	case m.engine == nil:
		if m.waits--; m.waits <= 0 {
			m.start()
		}
	case m.asleep && m.slept == now:
	default:
		if m.asleep {
			m.asleep = false
			m.engine.Woke()
		}
		m.engine.Sense(m.now.Codes.Supply, m.now.Codes.Heat)
		m.engine.Step(now.in, now.link)
		if m.engine.MaySleep() {
			m.asleep, m.slept = true, now
		}
	}
}

// To goes on until a time. It does nothing when that has passed.
func (r *Rig) To(at units.Time) {
	for r.at < at {
		r.Step()
	}
}

// Engine gives a module's engine; nil while its controller does not run.
func (r *Rig) Engine(module int) *program.Engine { return r.modules[module].engine }

// Pins gives what stands at a module's pins now.
func (r *Rig) Pins(module int) Pins { return r.modules[module].now }
