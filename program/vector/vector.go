// Package vector reads and writes the test vectors of a module: samples in, words out, as text. Three judges use the same
// files: the reference engine, the portable core and the shipped HEX. The format is docs/image-format.md, section 5.
//
// Not promised: that a vector makes sense as a lamp; some hold damaged images on purpose.
package vector

import "lampwright/program"

// Run is a run of equal samples.
type Run struct {
	Refreshes int            // at least 1
	In        uint8          // input byte; bit 0 is in1
	Link      bool           // true: the link wire is high
	Codes     *program.Codes // at the pins from here on; nil: as before
	Live      []uint8        // levels of a streamed frame that arrives within the first refresh; nil: none
}

// Begin brings an engine what comes before the first sample of the run.
func (r *Run) Begin(e *program.Engine) {
	if r.Codes != nil {
		e.Sense(r.Codes.Supply, r.Codes.Heat)
	}
	if r.Live != nil {
		e.Stream(r.Live)
	}
}

// Show is what leaves the module from a refresh on, until the next Show.
type Show struct {
	Refresh int
	Pull    bool                                                   // the module pulls the link wire low
	Force   [program.MaxRegisters]uint8                            // outputs that the stop override holds on
	Sub     [3][program.MaxRegisters]uint8                         // word of slot S for bit 0, 1, 2 of the duty
	Planes  [program.RefreshesPerFrame][program.MaxRegisters]uint8 // words of slots P0..P7
	Levels  [program.MaxOutputs]uint8                              // by output
}

// Vector is one test vector.
type Vector struct {
	Notes     []string // comment lines at its head, without their marks
	SafeA     []byte
	SafeB     []byte
	Strap     program.Side               // what the side strap says; Centre: it is missing
	Memory    *[program.MemoryBytes]byte // EEPROM at power-up; nil: erased
	Remnant   program.Remnant            // in RAM at power-up
	Image     []byte                     // flash from the image's start; what follows is erased
	Refusal   string                     // a part of the decoder's reason; empty: it accepts
	Runs      []Run
	Registers int                        // of the safe block in force
	Kept      *[program.MemoryBytes]byte // EEPROM at the end, when all writes are done; nil: not stated
	Left      *program.Remnant           // in RAM at the end; nil: not stated
	Shows     []Show
}

// subBit says which bit of the duty slot S carries in each phase; −1: none.
var subBit = [program.RefreshesPerFrame]int{2, 1, 2, 0, 2, 1, 2, -1}

// Words gives the words of a refresh of some phase: S, then P0..P7.
func (s *Show) Words(phase int) (words [program.Slots][program.MaxRegisters]uint8) {
	words[0] = s.Force
	if b := subBit[phase%program.RefreshesPerFrame]; b >= 0 {
		words[0] = s.Sub[b]
	}
	copy(words[1:], s.Planes[:])
	return words
}

// Refreshes gives the number of refreshes that the vector describes: one for each sample.
func (v *Vector) Refreshes() (n int) {
	for _, r := range v.Runs {
		n += r.Refreshes
	}
	return n
}

// Powering gives what the module finds at power-up.
func (v *Vector) Powering() program.Powering {
	return program.Powering{SafeA: v.SafeA, SafeB: v.SafeB, Image: v.Image, Strap: v.Strap, Memory: v.Memory, Remnant: v.Remnant}
}

// Play runs the vector's samples through the reference engine, from power-up, and gives what it shows, and what its EEPROM, when all
// writes are done, and its RAM hold at the end.
func (v *Vector) Play() (registers int, shows []Show, kept [program.MemoryBytes]byte, left program.Remnant) {
	e := program.NewEngine(v.Powering())
	refresh, last := 0, program.Shown{}
	for _, r := range v.Runs {
		r.Begin(e)
		for range r.Refreshes {
			now := e.Shown()
			now.Phase, now.Live = 0, false // of no concern to a judge
			if refresh == 0 || now != last {
				show := showOf(refresh, now, e.Registers())
				if n := len(shows); n == 0 || !shows[n-1].same(show) {
					shows = append(shows, show)
				}
				last = now
			}
			e.Step(r.In, r.Link)
			refresh++
		}
	}
	return e.Registers(), shows, e.Kept(), e.Remnant()
}

// same tells whether two show the same, whenever.
func (s Show) same(other Show) bool {
	s.Refresh = other.Refresh
	return s == other
}

// showOf finds all words of what is shown.
func showOf(refresh int, now program.Shown, registers int) Show {
	s := Show{Refresh: refresh, Pull: now.Pull, Force: now.Force, Levels: now.Levels}
	for phase, bit := range subBit {
		if bit >= 0 {
			now.Phase = uint8(phase)
			s.Sub[bit] = now.Words(registers)[0]
		}
	}
	words := now.Words(registers)
	copy(s.Planes[:], words[1:])
	return s
}
