package web

import (
	"sync"

	"lampwright/compile"
	"lampwright/report"
	"lampwright/rules"
	"lampwright/session"
)

// made is what was computed from one revision.
type made struct {
	state    *session.State
	result   *compile.Result // nil when the kit is broken
	findings report.List     // of the rules and of compiling
}

// results computes in the background what a revision comes to, the latest one only, and tells when it is there.
type results struct {
	desk *session.Desk
	stop func() // of the watch on the desk
	done chan struct{}

	fits compile.Fits // of compute
	calm calm         // while something is changed, computing waits

	mu     sync.Mutex
	latest *made
	told   sync.Cond // when latest changes, or at the end
	ended  bool
	tell   map[chan struct{}]bool
}

func (r *results) begin() {
	r.told.L = &r.mu
	r.done = make(chan struct{})
	r.tell = map[chan struct{}]bool{}
	r.stop = func() {}
}

// follow computes for a desk from now on. It is called once.
func (r *results) follow(d *session.Desk) {
	r.desk = d
	changed, stop := d.Watch()
	r.stop = stop
	go func() {
		r.compute()
		for {
			select {
			case <-r.done:
				return
			case <-changed:
				r.compute()
			}
		}
	}()
}

// compute makes the latest revision's results, unless they are there.
func (r *results) compute() {
	s := r.desk.State()
	r.mu.Lock()
	known := r.latest
	r.mu.Unlock()
	m := &made{state: s}
	switch {
	case known != nil && known.state.Revision == s.Revision:
		m.result, m.findings = known.result, known.findings
	case s.Kit != nil:
		if !r.wants(s) {
			return
		}
		m.findings = rules.Check(s.Kit)
		var more report.List
		m.result, more = compile.Compile(s.Kit, compile.Options{Kept: &r.fits, Wanted: func() bool { return r.wants(s) }})
		if m.result == nil {
			return // another revision is there, and what changed says so
		}
		m.findings = s.File.Finish(append(m.findings, more...))
		m.findings.Sort()
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.latest = m
	r.told.Broadcast()
	for c := range r.tell {
		select {
		case c <- struct{}{}:
		default:
		}
	}
}

// wants tells whether a state's results are still wanted; it waits while something is changed.
func (r *results) wants(s *session.State) bool {
	r.calm.wait()
	select {
	case <-r.done:
		return false
	default:
		return r.desk.State().Revision == s.Revision
	}
}

// of gives the results of a revision when they are there, else nil.
func (r *results) of(s *session.State) *made {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.latest != nil && r.latest.state.Revision == s.Revision {
		return r.latest
	}
	return nil
}

// now gives the latest results that are there, of whatever revision; nil before the first.
func (r *results) now() *made {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.latest
}

// wait gives the results of the latest revision. The revision is read anew after every wait, under the lock that results are told under:
// whatever is computed after it was read wakes this. At the end it gives what is there, if only the state.
func (r *results) wait() *made {
	r.mu.Lock()
	defer r.mu.Unlock()
	for !r.ended && (r.latest == nil || r.latest.state.Revision != r.desk.State().Revision) {
		r.told.Wait()
	}
	if r.latest == nil { // the end came before the first
		return &made{state: r.desk.State()}
	}
	return r.latest
}

// watch gives a channel that receives whenever results of another state are there.
func (r *results) watch() (chan struct{}, func()) {
	c := make(chan struct{}, 1)
	r.mu.Lock()
	r.tell[c] = true
	r.mu.Unlock()
	return c, func() {
		r.mu.Lock()
		delete(r.tell, c)
		r.mu.Unlock()
	}
}

func (r *results) close() {
	r.stop()
	close(r.done)
	r.mu.Lock()
	r.ended = true
	r.told.Broadcast()
	r.mu.Unlock()
}
