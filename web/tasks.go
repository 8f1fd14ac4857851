package web

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"sync"
	"time"

	"lampwright/report"
)

// task is long work: it tells how far it is and can be stopped.
type task struct {
	ID       string      `json:"id"`
	What     string      `json:"what"`
	Revision string      `json:"revision"`
	Share    float64     `json:"share"` // done, 0..1
	Ended    bool        `json:"ended"`
	Stopped  bool        `json:"stopped"`
	Problems report.List `json:"problems"`
	Proof    *Proof      `json:"proof,omitempty"`

	stop context.CancelFunc
}

// mostTasks bounds how many ended tasks are remembered.
const mostTasks = 8

// tasks is the long work of a server: one piece at a time, the newest last.
type tasks struct {
	mu     sync.Mutex
	all    []*task
	last   int
	tell   map[chan struct{}]bool
	closed chan struct{}
	run    sync.WaitGroup
}

func (t *tasks) begin() {
	t.tell, t.closed = map[chan struct{}]bool{}, make(chan struct{})
}

func (t *tasks) close() {
	t.mu.Lock()
	for _, one := range t.all {
		one.stop()
	}
	close(t.closed)
	t.mu.Unlock()
	t.run.Wait()
}

func (t *tasks) watch() (chan struct{}, func()) {
	c := make(chan struct{}, 1)
	t.mu.Lock()
	t.tell[c] = true
	if len(t.all) > 0 {
		c <- struct{}{}
	}
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

// start begins work in the background; false when other work still runs.
func (t *tasks) start(what, revision string, work func(ctx context.Context, one *task)) (task, bool) {
	t.mu.Lock()
	for _, other := range t.all {
		if !other.Ended {
			t.mu.Unlock()
			return task{}, false
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	t.last++
	one := &task{ID: strconv.Itoa(t.last), What: what, Revision: revision, stop: stop, Problems: report.List{}}
	t.all = append(t.all, one)
	if len(t.all) > mostTasks {
		t.all = t.all[1:]
	}
	t.run.Add(1)
	t.mu.Unlock()
	started := t.change(one, func(*task) {})
	go func() {
		defer t.run.Done()
		defer stop()
		work(ctx, one)
		t.change(one, func(one *task) { one.Ended, one.Stopped = true, ctx.Err() != nil && one.Proof == nil })
	}()
	return started, true
}

func (s *Server) stopTask(w http.ResponseWriter, r *http.Request) {
	s.tasks.mu.Lock()
	var found *task
	for _, one := range s.tasks.all {
		if one.ID == r.PathValue("id") {
			found = one
		}
	}
	s.tasks.mu.Unlock()
	if found == nil {
		refuse(w, r, one("load the page again", "there is no such work"))
		return
	}
	found.stop()
	answer(w, r, http.StatusOK, s.tasks.change(found, func(*task) {}))
}

// postProve starts a proof of the latest revision under a script.
func (s *Server) postProve(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Script string `json:"script"`
	}
	if !read(w, r, &q) {
		return
	}
	st := s.desk.Load().State()
	switch {
	case s.Prove == nil:
		refuse(w, r, one("prove on a Linux machine with gcc and libsimavr", "this machine cannot simulate the controller"))
		return
	case st.Kit == nil:
		refuse(w, r, one("mend what stops work first", "a broken job cannot be proven"))
		return
	}
	line, faults := presses(st.Kit, q.Script)
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	started, free := s.tasks.start("proof", st.Revision, func(ctx context.Context, one *task) {
		var told time.Time
		p, err := s.Prove(ctx, st, line, func(share float64) {
			if now := time.Now(); now.Sub(told) > 100*time.Millisecond {
				told = now
				s.tasks.change(one, func(one *task) { one.Share = share })
			}
		})
		s.tasks.change(one, func(one *task) {
			switch {
			case err == nil:
				one.Proof, one.Share = &p, 1
			case ctx.Err() == nil:
				one.Problems = faultsOf(err)
			}
		})
	})
	if !free {
		refuse(w, r, one("wait for it, or stop it", "other work is still under way"))
		return
	}
	answer(w, r, http.StatusOK, started)
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

// postMake sends all files of the kit as one ZIP.
func (s *Server) postMake(w http.ResponseWriter, r *http.Request) {
	st := s.desk.Load().State()
	files, faults := s.Make(st)
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		to, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate}) // no time: same job, same bytes
		if err == nil {
			_, err = to.Write(f.Data)
		}
		if err != nil {
			refuse(w, r, faultsOf(err))
			return
		}
	}
	if err := z.Close(); err != nil {
		refuse(w, r, faultsOf(err))
		return
	}
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", "kit-"+st.Revision+".zip"))
	w.Write(out.Bytes())
}
