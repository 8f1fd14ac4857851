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

// getEvents tells a window what changes: the job, and how far tasks are.
func (s *Server) getEvents(w http.ResponseWriter, r *http.Request) {
	changed := make(<-chan struct{})
	revision := func() string { return "" }
	if d := s.desk.Load(); d != nil {
		var stop func()
		changed, stop = d.Watch()
		defer stop()
		revision = func() string { return d.State().Revision }
	}
	computed, stopComputed := s.results.watch()
	defer stopComputed()
	tasks, stopTasks := s.tasks.watch()
	defer stopTasks()
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	out := newStream(w)
	ok := out.send("job", revision())
	for ok {
		select {
		case <-r.Context().Done():
			return
		case <-s.tasks.closed:
			return
		case <-changed:
			ok = out.send("job", revision())
		case <-computed:
			ok = out.send("job", revision())
		case <-tasks:
			text, err := json.Marshal(s.tasks.news())
			ok = err == nil && out.send("tasks", string(text))
		case <-beat.C:
			ok = out.beat()
		}
	}
}
