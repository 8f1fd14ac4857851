package web

import (
	"encoding/base64"
	"net/http"
	"sync"
	"time"

	"lampwright/car"
	"lampwright/figures"
	"lampwright/lamp"
	"lampwright/script"
	"lampwright/units"
)

// bench is the modules running in real time under the window's own switches. It starts with the first look at its light and
// stops with the last; an edit of the job starts it anew, with the switches as they are.
type bench struct {
	server *Server

	mu       sync.Mutex
	pressed  map[string]bool
	lookers  map[chan []byte]bool
	revision string
	player   *figures.Player
	lamps    []*lamp.Lamp
	running  bool
	closed   chan struct{}
	run      sync.WaitGroup
}

func (b *bench) begin(s *Server) {
	b.server, b.pressed, b.lookers, b.closed = s, map[string]bool{}, map[chan []byte]bool{}, make(chan struct{})
}

func (b *bench) close() {
	close(b.closed)
	b.run.Wait()
}

// postBench takes which inputs are on from now on; those that are not named are off.
func (s *Server) postBench(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Inputs map[string]bool `json:"inputs"`
	}
	if !read(w, r, &q) {
		return
	}
	if k := s.desk.Load().State().Kit; k != nil {
		for name := range q.Inputs {
			if _, known := k.Input(name); !known {
				refuse(w, r, one("choose another", "there is no input %q", name))
				return
			}
		}
	}
	s.bench.mu.Lock()
	s.bench.pressed = q.Inputs
	if s.bench.player != nil {
		s.bench.player.Hold(hands(q.Inputs))
	}
	s.bench.mu.Unlock()
	answer(w, r, http.StatusOK, struct{}{})
}

// getBenchLight streams the light, a picture every filmStepMS, base64 of the levels of all groups.
func (s *Server) getBenchLight(w http.ResponseWriter, r *http.Request) {
	b := &s.bench
	look := make(chan []byte, 4)
	b.mu.Lock()
	b.lookers[look] = true
	if !b.running {
		b.running = true
		b.run.Add(1)
		go b.play()
	}
	b.mu.Unlock()
	defer func() {
		b.mu.Lock()
		delete(b.lookers, look)
		b.mu.Unlock()
	}()
	out := newStream(w)
	for {
		select {
		case <-r.Context().Done():
			return
		case <-b.closed:
			return
		case levels := <-look:
			if !out.send("", base64.StdEncoding.EncodeToString(levels)) {
				return
			}
		}
	}
}

// play steps the modules by the wall clock until nobody looks.
func (b *bench) play() {
	defer b.run.Done()
	tick := time.NewTicker(filmStepMS * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-b.closed:
			return
		case <-tick.C:
		}
		m := b.server.results.wait()
		b.mu.Lock()
		if len(b.lookers) == 0 {
			b.running, b.player, b.revision = false, nil, ""
			b.mu.Unlock()
			return
		}
		if m.state.Kit != nil && m.result != nil {
			b.picture(m)
		}
		b.mu.Unlock()
	}
}

// picture goes on by one picture and gives it to all who look. The bench is locked.
func (b *bench) picture(m *made) {
	if b.player == nil || b.revision != m.state.Revision {
		player, err := play(m, script.Script{}.Timeline(0), filmStepMS*units.Millisecond)
		if err != nil {
			return
		}
		b.player, b.revision, b.lamps = player, m.state.Revision, drawn(m.state.Kit)
		b.player.Hold(hands(b.pressed))
	}
	b.player.To(b.player.At() + filmStepMS*units.Millisecond)
	levels := appendLevels(nil, b.player.Frame(b.lamps))
	for look := range b.lookers {
		select {
		case look <- levels:
		default: // a window that is slow misses a picture
		}
	}
}

// hands is a car with its engine running.
func hands(pressed map[string]bool) car.Hands {
	return car.Hands{Inputs: pressed, Supply: usualSupply, Heat: car.RoomDegrees}
}
