package program

// Player plays one routine by itself, a tick at a time, with the very stepper of the engine. It allocates nothing after
// NewPlayer.
type Player struct {
	code  []byte
	slots int
	run   player
	fades [MaxOutputs]fade
}

// NewPlayer starts a routine over a number of slots, 1..MaxOutputs, and plays tick 0.
func NewPlayer(r *Routine, slots int) *Player {
	p := &Player{}
	p.Start(r, slots)
	return p
}

// Start begins another routine and plays its tick 0. Slots past MaxOutputs do not exist.
func (p *Player) Start(r *Routine, slots int) {
	p.code, p.slots = r.Code, min(max(slots, 0), MaxOutputs)
	p.run.start(p.code, p.fades[:p.slots], 0, rateOne)
}

// Tick plays one more tick, 4 ms at rate 4096.
func (p *Player) Tick() { p.run.tick(p.code, p.fades[:p.slots]) }

// Level gives the level, 0..255, that a slot shows in this tick.
func (p *Player) Level(slot int) uint8 { return uint8(p.fades[slot].cur >> 8) }

// Position gives the ticks since the start, or since the routine last began again.
func (p *Player) Position() int { return int(p.run.pos) }

// Ended reports whether the routine has met its end (or a fault). Fades may still run.
func (p *Player) Ended() bool { return p.run.stopped }

// Settled reports that nothing will change any more.
func (p *Player) Settled() bool { return p.run.stopped && p.run.busy == 0 }

// PlayRoutine gives the levels of every slot in every tick of one pass: ticks 0 to Ticks of a routine that ends, ticks 0
// to Ticks − 1 of one that begins again. Row t, column s is the level of slot s in tick t.
func PlayRoutine(r *Routine, slots int) [][]uint8 {
	p := NewPlayer(r, slots)
	rows := r.Ticks
	if !r.Loops {
		rows++
	}
	cells := make([]uint8, rows*p.slots)
	levels := make([][]uint8, rows)
	for t := range levels {
		if t > 0 {
			p.Tick()
		}
		levels[t], cells = cells[:p.slots:p.slots], cells[p.slots:]
		for s := range levels[t] {
			levels[t][s] = p.Level(s)
		}
	}
	return levels
}
