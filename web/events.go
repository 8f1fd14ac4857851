package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"
)

// heartbeat keeps a silent line open.
const heartbeat = 15 * time.Second

// stream is one line of server-sent events.
type stream struct {
	w    http.ResponseWriter
	line *http.ResponseController
}

func newStream(w http.ResponseWriter) *stream {
	w.Header().Set("Content-Type", "text/event-stream")
	w.WriteHeader(http.StatusOK)
	s := &stream{w, http.NewResponseController(w)}
	s.line.Flush()
	return s
}

// send sends one event; data must have no line ends, as JSON has none.
func (s *stream) send(event, data string) bool {
	if event != "" {
		fmt.Fprintf(s.w, "event: %s\n", event)
	}
	_, err := fmt.Fprintf(s.w, "data: %s\n\n", data)
	return err == nil && s.line.Flush() == nil
}

func (s *stream) beat() bool {
	_, err := fmt.Fprint(s.w, ": \n\n")
	return err == nil && s.line.Flush() == nil
}

// jobNews is what a window is told of the job, so that it fetches it when it has another one.
func (s *Server) jobNews() string {
	d := s.desk.Load()
	if d == nil {
		return `{"state":0,"computed":false}`
	}
	st := d.State()
	return fmt.Sprintf(`{"state":%d,"computed":%t}`, st.Number, s.results.of(st) != nil)
}

// getEvents tells a window what changes: the job, how far tasks are, and what is noted of walks.
func (s *Server) getEvents(w http.ResponseWriter, r *http.Request) {
	var changed <-chan struct{}
	stopChanged := func() {}
	defer func() { stopChanged() }()
	desk := s.desk.Load()
	if desk != nil {
		changed, stopChanged = desk.Watch()
	}
	computed, stopComputed := s.results.watch()
	defer stopComputed()
	tasks, stopTasks := s.tasks.watch()
	defer stopTasks()
	noted, stopNoted := s.walks.watch()
	defer stopNoted()
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	out := newStream(w)
	ok := out.send("job", s.jobNews())
	for ok {
		select {
		case <-r.Context().Done():
			return
		case <-s.tasks.closed:
			return
		case <-changed:
			ok = out.send("job", s.jobNews())
		case <-computed:
			if d := s.desk.Load(); desk == nil && d != nil { // begun since
				desk = d
				changed, stopChanged = d.Watch()
				ok = out.send("walks", s.walksNews())
			}
			ok = ok && out.send("job", s.jobNews())
		case <-noted:
			ok = out.send("walks", s.walksNews())
		case <-tasks:
			text, err := json.Marshal(s.tasks.news())
			ok = err == nil && out.send("tasks", string(text))
		case <-beat.C:
			ok = out.beat()
		}
	}
}
