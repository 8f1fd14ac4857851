package program

// Shown is what the module shows in one refresh.
type Shown struct {
	Phase  uint8               // of the refresh in its frame, 0..7
	Levels [MaxOutputs]uint8   // by output
	Force  [MaxRegisters]uint8 // outputs held on by the stop override
	Pull   bool                // the module pulls the link wire low
	Live   bool                // the image runs; false: the safe program
	Halved bool                // every light is halved: half the duty of its level
}

// Shown gives what is shown in the refresh that the next Step ends.
func (e *Engine) Shown() Shown {
	mask := e.registersMask()
	s := Shown{Phase: e.phase, Levels: e.shown.levels, Force: bytesOf(e.force & mask), Pull: e.shown.pull, Live: e.shown.live, Halved: e.shown.halved}
	clear(s.Levels[8*e.safe.Registers:])
	return s
}

// Slots is the number of words in which a refresh leaves the module: S, then P0..P7.
const Slots = 9

// subBit says which bit of a duty's fraction slot S carries in each phase.
var subBit = [RefreshesPerFrame]uint8{2, 1, 2, 0, 2, 1, 2, 3}

// Words gives the bytes of every slot of this refresh: S, then P0..P7, register 0 first; docs/engine.md, section 2. The
// bytes of registers that the module does not have are 0.
func (s *Shown) Words(registers int) (words [Slots][MaxRegisters]uint8) {
	shift := 0
	if s.Halved {
		shift = 1
	}
	for o, level := range s.Levels[:8*registers] {
		duty := dutyTable[level] >> shift
		if duty == 0 {
			continue
		}
		bit := uint8(1) << (o % 8)
		if sub := duty & 7; sub>>subBit[s.Phase]&1 != 0 {
			words[0][o/8] |= bit
		}
		for k, hi := 1, duty>>3; hi != 0; k, hi = k+1, hi>>1 {
			if hi&1 != 0 {
				words[k][o/8] |= bit
			}
		}
	}
	for k := range words {
		for r := range registers {
			words[k][r] |= s.Force[r]
		}
	}
	return words
}

// Words gives the slot words of the refresh now shown.
func (e *Engine) Words() [Slots][MaxRegisters]uint8 {
	s := e.Shown()
	return s.Words(e.safe.Registers)
}

// Halved reports whether every light has half its duty in the refresh now shown.
func (e *Engine) Halved() bool { return e.shown.halved }

// Registers gives the number of registers that the safe block states.
func (e *Engine) Registers() int { return e.safe.Registers }

// Phase gives the phase of the refresh now shown, 0..7.
func (e *Engine) Phase() int { return int(e.phase) }

// Inputs gives the filtered inputs; bit 0 is in1.
func (e *Engine) Inputs() uint8 { return e.state }

// Holder is who holds an output.
type Holder struct {
	Layer int   // index of the layer, or −1: nobody, or the safe or walk program
	Phase Phase // of that layer
}

// Owner gives the holder of each output in the frame now shown.
func (e *Engine) Owner() (owners [MaxOutputs]Holder) {
	for o := range owners {
		owners[o].Layer = -1
	}
	if !e.shown.live {
		return owners
	}
	for i := len(e.image.layers) - 1; i >= 0; i-- {
		if phase := e.shown.phases[i]; phase != Off {
			for _, o := range e.image.layers[i].outs {
				owners[o] = Holder{Layer: i, Phase: phase}
			}
		}
	}
	return owners
}

// Phases gives the phase of each layer in the frame now shown, highest priority first; all Off in the safe program.
func (e *Engine) Phases() [MaxLayers]Phase { return e.shown.phases }
