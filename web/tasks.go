package web

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"sync"
	"time"

	"lampwright/report"
)

// task is long work: it tells how far it is and can be stopped. Every window hears of it; what it found is asked for by its id.
type task struct {
	ID       string      `json:"id"`
	What     string      `json:"what"` // proof or faults
	Revision string      `json:"revision"`
	Name     string      `json:"name"`   // of what is pressed: tour, typed, or the file
	Script   string      `json:"script"` // what is pressed
	Quick    bool        `json:"quick"`  // faults on the engine alone
	At       progress    `json:"at"`
	Stopping bool        `json:"stopping"` // it was told to stop and has not ended yet
	Ended    bool        `json:"ended"`
	Stopped  bool        `json:"stopped"` // it ended before it found anything, because it was told to
	Good     bool        `json:"good"`    // it ended, and what it found is as it should be
	Problems report.List `json:"problems"`

	stop   context.CancelFunc
	proof  *Proof
	faults *Faults
}

// progress is how far a task is.
type progress struct {
	Share    float64  `json:"share"`    // done, 0..1
	MS       int      `json:"ms"`       // simulated in this run
	LengthMS int      `json:"lengthMs"` // of every run
	Run      int      `json:"run"`      // runs of the simulated processor that are over
	Runs     int      `json:"runs"`
	Modules  []string `json:"modules"` // in this run
	Tried    int      `json:"tried"`   // faults tried on the engine
	Faults   int      `json:"faults"`
}

// mostTasks bounds how many ended tasks are remembered.
const mostTasks = 8

// tellEvery is how often a task's progress is told.
const tellEvery = 100 * time.Millisecond

// tasks is the long work of a server: one piece at a time, the newest last.
type tasks struct {
	mu     sync.Mutex
	all    []*task
	last   int
	tell   map[chan struct{}]bool
	over   bool // the server ends: nothing begins any more
	closed chan struct{}
	run    sync.WaitGroup
}

func (t *tasks) begin() {
	t.tell, t.closed = map[chan struct{}]bool{}, make(chan struct{})
}

// close stops what runs and waits for it.
func (t *tasks) close() {
	t.mu.Lock()
	t.over = true
	for _, one := range t.all {
		one.stop()
	}
	close(t.closed)
	t.mu.Unlock()
	t.run.Wait()
}

// watch gives a channel that receives whenever tasks have changed, and at once.
func (t *tasks) watch() (chan struct{}, func()) {
	c := make(chan struct{}, 1)
	c <- struct{}{}
	t.mu.Lock()
	t.tell[c] = true
	t.mu.Unlock()
	return c, func() {
		t.mu.Lock()
		delete(t.tell, c)
		t.mu.Unlock()
	}
}

// news gives all tasks as they stand.
func (t *tasks) news() []task {
	t.mu.Lock()
	defer t.mu.Unlock()
	out := make([]task, len(t.all))
	for i, one := range t.all {
		out[i] = *one
	}
	return out
}

// find gives a task as it stands.
func (t *tasks) find(id string) (found task, known bool) {
	for _, one := range t.news() {
		if one.ID == id {
			return one, true
		}
	}
	return task{}, false
}

// change changes a task and tells every window.
func (t *tasks) change(one *task, how func(*task)) task {
	t.mu.Lock()
	defer t.mu.Unlock()
	how(one)
	for c := range t.tell {
		select {
		case c <- struct{}{}:
		default:
		}
	}
	return *one
}

// advance gives what tells a task's progress, now and then.
func (t *tasks) advance(one *task) func(progress) {
	var mu sync.Mutex
	var told time.Time
	return func(p progress) {
		mu.Lock()
		defer mu.Unlock()
		if now := time.Now(); now.Sub(told) > tellEvery {
			told = now
			p.Modules = append([]string{}, p.Modules...)
			t.change(one, func(one *task) { one.At = p })
		}
	}
}

// start begins work in the background, unless other work still runs. The work gives what it found by change.
func (t *tasks) start(one task, work func(ctx context.Context, one *task) error) (task, report.List) {
	ctx, stop := context.WithCancel(context.Background())
	t.mu.Lock()
	free := !t.over
	for _, other := range t.all {
		free = free && other.Ended
	}
	if !free {
		t.mu.Unlock()
		stop()
		return task{}, report.List{report.Errorf("request", report.Place{}, "other work is still under way").Do("wait for it, or stop it")}
	}
	t.last++
	one.ID, one.stop, one.Problems = strconv.Itoa(t.last), stop, report.List{}
	one.At.Modules = []string{}
	begun := &one
	t.all = append(t.all, begun)
	if len(t.all) > mostTasks {
		t.all = t.all[1:]
	}
	t.run.Add(1)
	t.mu.Unlock()
	started := t.change(begun, func(*task) {})
	go func() {
		defer t.run.Done()
		defer stop()
		err := work(ctx, begun)
		t.change(begun, func(one *task) {
			one.Ended = true
			switch {
			case one.proof != nil || one.faults != nil:
				one.At.Share = 1
			case ctx.Err() != nil:
				one.Stopped = true
			default:
				one.Problems = faultsOf(err)
			}
		})
	}()
	return started, nil
}

// found is a task with what it found.
type found struct {
	task
	Proof  *Proof  `json:"proof,omitempty"`
	Faults *Faults `json:"faults,omitempty"`
}

func (s *Server) getTask(w http.ResponseWriter, r *http.Request) {
	one, known := s.tasks.find(r.PathValue("id"))
	if !known {
		refuseNoTask(w, r)
		return
	}
	answer(w, r, http.StatusOK, found{one, one.proof, one.faults})
}

func (s *Server) stopTask(w http.ResponseWriter, r *http.Request) {
	s.tasks.mu.Lock()
	var stopped *task
	for _, one := range s.tasks.all {
		if one.ID == r.PathValue("id") {
			stopped = one
		}
	}
	s.tasks.mu.Unlock()
	if stopped == nil {
		refuseNoTask(w, r)
		return
	}
	stopped.stop()
	answer(w, r, http.StatusOK, s.tasks.change(stopped, func(one *task) { one.Stopping = !one.Ended }))
}

func refuseNoTask(w http.ResponseWriter, r *http.Request) {
	refuse(w, r, one("run it again: what was found is kept for the last eight alone, and until the program ends", "there is no such work"))
}

// faultsOf gives an error as diagnostics.
func faultsOf(err error) report.List {
	var list report.List
	var single report.Diagnostic
	switch {
	case errors.As(err, &list):
		return list
	case errors.As(err, &single):
		return report.List{single}
	}
	return report.List{report.Errorf("failed", report.Place{}, "%v", err).Do("try again; lampwright check tells more")}
}
