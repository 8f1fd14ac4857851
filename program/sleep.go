package program

// sleeper counts how long there has been nothing to do; docs/engine.md, section 10.
type sleeper struct {
	idle  uint16 // frames
	quiet bool   // the last job counted
}

// wokenLeft is after how many idle frames a module sleeps again when it was woken by nothing.
const wokenLeft = 2

// count counts a job in which there was nothing to do, or begins anew.
func (s *sleeper) count(quiet bool) {
	if s.quiet = quiet; !quiet {
		s.idle = 0
	} else if s.idle < 65535 {
		s.idle++
	}
}

// isQuiet tells whether a job of a running image finds nothing to do, after all else of it.
func (e *Engine) isQuiet(s *snapshot) bool {
	if e.image.sleep == 0 || e.image.walk || s.raw != 0 || s.counting || s.heard || e.stream.running || e.pending.pull || e.keeper.waits() {
		return false
	}
	for i := range e.image.layers {
		if e.states[i].Phase != Off || e.timers[i].window != 0 {
			return false
		}
	}
	return true
}

// rested tells whether the last job leaves the module free to sleep.
func (e *Engine) rested() bool {
	return e.live && e.image.sleep != 0 && e.sleeper.idle >= e.image.sleep
}

// MaySleep reports whether the module may sleep instead of showing the refresh now shown: all is dark, and has been idle for
// long enough. The engine does not know of the pause.
func (e *Engine) MaySleep() bool {
	return e.shown.rested && e.rested() && e.state|e.counting == 0 && !e.stream.heard
}

// Woke tells that the module slept before the refresh now shown, and was woken: it counts as idle for two frames less than
// it takes to sleep.
func (e *Engine) Woke() {
	if !e.rested() {
		return
	}
	// The job that the engine has done already came after the pause.
	e.sleeper.idle = e.image.sleep - wokenLeft
	e.sleeper.count(e.sleeper.quiet)
	e.pending.rested = e.rested()
}
