package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"lampwright/examples"
	"lampwright/report"
	"lampwright/session"
)

// A change holds the computing of the revision before it back, and the revision that it makes ends it: its results are never told.
func TestAChangeGoesBeforeTheComputing(t *testing.T) {
	s, _ := served(t, string(examples.Pickup))
	desk := s.desk.Load()
	s.results.wait()
	computed, stop := s.results.watch()
	defer stop()
	set := func(d *session.Desk, light string) report.List {
		return d.Do(d.State().Revision, "set", json.RawMessage(`{"path":["routines","tide","strokes","0","hold","light"],"value":"`+light+`"}`))
	}
	var between *session.State
	asked := make(chan bool)
	w := httptest.NewRecorder()
	s.change(w, httptest.NewRequest("POST", "/api/do", nil), func(d *session.Desk) report.List {
		if list := set(d, "71 %"); list.HasErrors() {
			t.Error(list)
		}
		between = d.State()
		go func() { asked <- s.results.wants(between) }()
		select {
		case <-asked:
			t.Error("the computing does not wait for the change")
		case <-computed:
			t.Error("a state was computed while the change was under way")
		case <-time.After(100 * time.Millisecond):
		}
		return set(d, "72 %")
	})
	if <-asked {
		t.Error("the revision between is wanted still")
	}
	if w.Code != http.StatusOK {
		t.Fatal(w.Body)
	}
	select {
	case <-computed:
	case <-time.After(patience):
		t.Fatal("the last revision was not computed")
	}
	if m := s.results.now(); m.state.Revision != desk.State().Revision || m.result == nil {
		t.Errorf("what is told is of revision %s, and the job is at %s, %s between", m.state.Revision, desk.State().Revision, between.Revision)
	}
}

// A change that is refused leaves what is computed of the revision as it is: it goes on.
func TestARefusedChangeLetsTheComputingGoOn(t *testing.T) {
	s, _ := served(t, string(examples.Pickup))
	w := httptest.NewRecorder()
	s.change(w, httptest.NewRequest("POST", "/api/do", nil), func(d *session.Desk) report.List { return one("nothing", "no") })
	if w.Code != http.StatusUnprocessableEntity {
		t.Fatal(w.Body)
	}
	if m := s.results.wait(); m.result == nil || m.state.Revision != s.desk.Load().State().Revision {
		t.Error("nothing was computed")
	}
}

// Who waits while the revision changes, and is told of the new one before it listens, does not wait for yet another.
func TestWaitingMissesNoRevision(t *testing.T) {
	s, _ := served(t, string(examples.Pickup))
	desk := s.desk.Load()
	r := results{desk: desk}
	r.begin()
	r.mu.Lock()
	got := make(chan *made)
	go func() { got <- r.wait() }()
	time.Sleep(20 * time.Millisecond) // it has come to the lock
	if list := desk.Do(desk.State().Revision, "set", json.RawMessage(`{"path":["job","title"],"value":"Another"}`)); list.HasErrors() {
		t.Fatal(list)
	}
	r.latest = &made{state: desk.State()}
	r.told.Broadcast()
	r.mu.Unlock()
	select {
	case m := <-got:
		if m.state != desk.State() {
			t.Error("it gives another revision")
		}
	case <-time.After(10 * time.Second):
		t.Error("it waits for ever")
	}
}

// Who waits when the workbench ends before anything was computed gets the state without results.
func TestWaitingEndsWithTheWorkbench(t *testing.T) {
	s, _ := served(t, string(examples.Pickup))
	r := results{desk: s.desk.Load()}
	r.begin()
	r.close()
	if m := r.wait(); m == nil || m.state == nil || m.result != nil {
		t.Errorf("it gives %v", m)
	}
}
