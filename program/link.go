package program

// The link wire's figures; docs/engine.md, section 6.
const (
	markStart      = 4   // frames of pull that mark the start of a loop
	markSecond     = 2   // frames of pull that mark a second
	markClearance  = 125 // ticks before the routine's end in which no second is marked
	secondTicks    = 250
	lowShortest    = 2  // refreshes of a second's mark
	lowStart       = 24 // refreshes of a start's mark
	lowLongest     = 64
	maxFreq        = 82  // 1/4096 tick a frame: 2 %
	maxCorr        = 400 // 1/4096 tick a frame: 10 %
	corrFrames     = 128
	maxAway        = 200 // 1/16 tick: 50 ms; further off, a start begins the loop anew
	catchUpLongest = 40  // ticks
)

// event is what was heard on the link wire before a snapshot.
type event struct {
	kind eventKind
	age  uint8 // refreshes from the first low sample to the snapshot's
}

type eventKind uint8

const (
	silence eventKind = iota
	heardSecond
	heardStart
)

// listener times the marks on the link wire.
type listener struct {
	on    bool // the module is a follower and live
	low   uint8
	heard event
}

// step takes one sample.
func (w *listener) step(high bool) {
	if w.heard.kind != silence {
		w.heard.age++
	}
	if !high {
		w.low = min(w.low, 254) + 1
		return
	}
	switch low := w.low; {
	case low < lowShortest || low > lowLongest:
	case low < lowStart:
		w.heard = event{heardSecond, low}
	default:
		w.heard = event{heardStart, low}
	}
	w.low = 0
}

// collect gives the event before a snapshot and forgets it.
func (w *listener) collect() event {
	h := w.heard
	w.heard = event{}
	return h
}

// follower keeps a show in step with the leader's.
type follower struct {
	freq     int16 // 1/4096 tick a frame
	heard    bool  // the last mark put the show in its place: what the next one finds is due to the clocks
	corr     int16 // 1/4096 tick a frame
	corrLeft uint16
	again    uint8 // 1 + the layer restarted in this frame, or 0
}

// rate gives the rate of every linked show in stay.
func (f *follower) rate() uint16 { return uint16(rateOne + f.freq + f.corr) }

// restarted reports whether a layer's player was restarted in this frame and so must not advance.
func (f *follower) restarted(layer int) bool { return int(f.again) == layer+1 }

// linkedShow gives the linked show of highest priority in stay, or −1.
func (e *Engine) linkedShow() int {
	for i := range e.image.layers {
		if e.image.layers[i].linked && e.states[i].Phase == Stay {
			return i
		}
	}
	return -1
}

// mark pulls the wire where the leader's show stands at a mark.
func (e *Engine) mark() {
	if i := e.linkedShow(); i >= 0 {
		l := &e.image.layers[i]
		switch pos := e.players[l.player].pos; {
		case pos == 0:
			e.pull = markStart
		case pos%secondTicks == 0 && int(pos)+markClearance <= int(l.stayTicks):
			e.pull = markSecond
		}
	}
	e.pending.pull = e.pull > 0
	if e.pull > 0 {
		e.pull--
	}
}

// follow sets the rate of the linked shows from what was heard.
func (e *Engine) follow(heard event, starts [MaxLayers]Phase) {
	f := &e.sync
	f.again = 0
	for i := range e.image.layers {
		if e.image.layers[i].linked && starts[i] == Stay {
			f.corr, f.corrLeft, f.heard = 0, 0, false
		}
	}
	i := e.linkedShow()
	if heard.kind == silence || i < 0 || starts[i] == Stay {
		if f.corrLeft > 0 {
			if f.corrLeft--; f.corrLeft == 0 {
				f.corr = 0
			}
		}
	} else {
		e.steer(i, heard)
	}
	for i := range e.image.layers {
		if l := &e.image.layers[i]; l.linked && e.states[i].Phase == Stay {
			e.players[l.player].rate = f.rate()
		}
	}
}

// steer answers a mark: it compares where the leader stands with where layer i would stand in this frame.
func (e *Engine) steer(i int, heard event) {
	f, l := &e.sync, &e.image.layers[i]
	p := &e.players[l.player]
	loop := int32(secondTicks)
	if heard.kind == heardStart {
		loop = int32(l.stayTicks)
	}
	past := int32(2*int(heard.age)+17)*256 + 2048 // 1/4096 tick: the leader's way past its mark
	own := int32(p.pos) % loop                    // ticks past the nearest mark
	if own > loop/2 {
		own -= loop
	}
	away := (past - (own*rateOne + int32(p.acc) + int32(p.rate))) >> 8 // 1/16 tick
	far := away > maxAway || away < -maxAway
	switch {
	case far && heard.kind == heardStart:
		e.restart(i, past)
		away = 0
		f.heard = true
	case far:
		f.heard = false
	case f.heard:
		f.freq = int16(min(max(int32(f.freq)+away, -maxFreq), maxFreq))
	default:
		f.heard = true
	}
	f.corr = int16(min(max(2*away, -maxCorr), maxCorr))
	f.corrLeft = corrFrames
}

// restart begins a linked show anew where the leader stands, in 1/4096 tick.
func (e *Engine) restart(i int, past int32) {
	l := &e.image.layers[i]
	p, fades := &e.players[l.player], e.fades[l.firstFade:][:len(l.outs)]
	p.start(e.image.code, fades, l.stay, p.rate)
	for range min(past/rateOne, catchUpLongest) {
		p.tick(e.image.code, fades)
	}
	p.acc = uint16(past % rateOne)
	e.sync.again = uint8(i + 1)
	e.dirty = true
}
