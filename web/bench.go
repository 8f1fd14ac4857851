package web

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"regexp"
	"sync"
	"time"

	"lampwright/figures"
	"lampwright/lamp"
	"lampwright/report"
	"lampwright/script"
	"lampwright/units"
)

const (
	benchStep = filmStepMS * units.Millisecond // from one picture to the next

	// benchBehind is how many pictures a slow machine makes up for; what is more is skipped, so that it never falls behind for good.
	benchBehind = 6

	// benchLingers is how long the bench goes on without a window that looks: a page that is loaded again finds its switches.
	benchLingers = 3 * units.Second
)

// bench is the modules running in real time, with one set of switches for all windows. It starts with the first look at its light and
// stops some time after the last; an edit of the job starts the modules anew, with the switches as they are.
type bench struct {
	server *Server

	mu       sync.Mutex
	switches switches
	recorder recorder
	recorded *string // what was written down last
	lookers  map[*looker]bool
	at       units.Time // of the bench; its switches count by it
	lonely   units.Time // when the last window went
	running  bool

	made    *made // what runs; nil: nothing yet
	tried   string
	trouble report.List // why the latest revision does not run
	player  *figures.Player
	began   units.Time // of the bench, when the player began
	held    *holders
	lamps   []*lamp.Lamp

	levels, owners []byte
	state          []byte // JSON
	wire           wire

	closed chan struct{}
	run    sync.WaitGroup
}

// looker is a window that looks.
type looker struct {
	window string
	news   chan struct{} // there is something new to be fetched
}

func (b *bench) begin(s *Server) {
	b.server, b.lookers, b.closed = s, map[*looker]bool{}, make(chan struct{})
	b.switches.held = map[string]map[string]bool{}
	b.switches.rest()
}

func (b *bench) close() {
	close(b.closed)
	b.run.Wait()
}

// windowName is what a window may call itself.
var windowName = regexp.MustCompile(`^[a-z0-9]{1,32}$`)

// postBench does something to the switches.
func (s *Server) postBench(w http.ResponseWriter, r *http.Request) {
	var q turn
	if !read(w, r, &q) {
		return
	}
	b := &s.bench
	k := s.desk.Load().State().Seen
	faults := q.check(func(input string) bool {
		if k == nil {
			return false
		}
		_, known := k.Input(input)
		return known
	})
	b.mu.Lock()
	defer b.mu.Unlock()
	if q.Held != nil && len(*q.Held) > 0 && !b.looks(q.Window) {
		faults = append(faults, one("look at the bench's light first", "only a window that looks can hold a switch, so that it lets go when it is closed")...)
	}
	if faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	b.take(q)
	answer(w, r, http.StatusOK, struct {
		Recorded *string `json:"recorded"`
	}{b.recorded})
}

// looks tells whether a window looks. The bench is locked.
func (b *bench) looks(window string) bool {
	for l := range b.lookers {
		if l.window == window {
			return true
		}
	}
	return false
}

// take does what a window does, and writes it down. The bench is locked.
func (b *bench) take(q turn) {
	b.switches.take(q, b.at)
	if q.Crank {
		b.recorder.cranked(b.at)
	}
	if q.Record != nil {
		if *q.Record {
			b.recorder.begin(&b.switches, b.at)
			b.recorded = nil
		} else {
			b.stopRecording()
		}
	}
	b.recorder.see(&b.switches, b.at)
}

// stopRecording keeps what was written down. The bench is locked.
func (b *bench) stopRecording() {
	if b.recorder.on {
		text := script.Format(b.recorder.finish(b.at))
		b.recorded = &text
	}
}

// getBenchLight streams the light, as docs/workbench.md has it.
func (s *Server) getBenchLight(w http.ResponseWriter, r *http.Request) {
	b := &s.bench
	l := &looker{window: r.URL.Query().Get("window"), news: make(chan struct{}, 1)}
	if l.window != "" && !windowName.MatchString(l.window) {
		refuse(w, r, one("use small letters and digits", "a window cannot be called that"))
		return
	}
	if !b.enter(l) {
		return
	}
	defer b.leave(l)
	out := newStream(w)
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	var levels, owners, state []byte // what the window has
	for ok := true; ok; {
		select {
		case <-r.Context().Done():
			return
		case <-b.closed:
			return
		case <-beat.C:
			ok = out.beat()
		case <-l.news:
			b.mu.Lock()
			nowLevels, nowOwners, nowState := b.levels, b.owners, b.state
			b.mu.Unlock()
			if !bytes.Equal(state, nowState) {
				state = nowState
				ok = out.send("bench", string(state))
			}
			if ok && !bytes.Equal(owners, nowOwners) {
				owners = nowOwners
				ok = out.send("owners", base64.StdEncoding.EncodeToString(owners))
			}
			if ok && !bytes.Equal(levels, nowLevels) {
				levels = nowLevels
				ok = out.send("", base64.StdEncoding.EncodeToString(levels))
			}
		}
	}
}

// enter lets a window look; the first one starts the bench. False when the server ends.
func (b *bench) enter(l *looker) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	select {
	case <-b.closed:
		return false
	default:
	}
	b.lookers[l] = true
	if !b.running {
		b.running = true
		b.run.Add(1)
		go b.play()
	} else if b.state != nil {
		l.news <- struct{}{}
	}
	return true
}

// leave lets a window go, and what it held.
func (b *bench) leave(l *looker) {
	b.mu.Lock()
	defer b.mu.Unlock()
	delete(b.lookers, l)
	if !b.looks(l.window) {
		delete(b.switches.held, l.window)
		b.recorder.see(&b.switches, b.at)
	}
	if len(b.lookers) == 0 {
		b.lonely = b.at
	}
}

// play makes pictures by the wall clock until nobody looks any more.
func (b *bench) play() {
	defer b.run.Done()
	defer b.unplug()
	tick := time.NewTicker(filmStepMS * time.Millisecond)
	defer tick.Stop()
	began, made := time.Now(), 0
	for {
		select {
		case <-b.closed:
			return
		case <-tick.C:
		}
		due := int(time.Since(began)/(filmStepMS*time.Millisecond)) - made
		made += due
		b.mu.Lock()
		for range min(due, benchBehind) {
			b.picture()
		}
		if len(b.lookers) == 0 && b.at-b.lonely > benchLingers {
			b.end()
			b.mu.Unlock()
			return
		}
		b.tell()
		b.mu.Unlock()
	}
}

// end puts everything to rest. The bench is locked.
func (b *bench) end() {
	b.stopRecording()
	b.running, b.player, b.made, b.tried, b.levels, b.owners, b.state = false, nil, nil, "", nil, nil, nil
	b.switches.rest()
}

// picture goes on by one picture. The bench is locked.
func (b *bench) picture() {
	b.load()
	end := b.at + benchStep
	for b.at < end {
		next := b.switches.next(b.at, end)
		if b.player != nil {
			b.player.Hold(b.switches.hands(b.at))
			b.player.To(next - b.began)
		}
		b.at = next
	}
	if b.recorder.on && b.at-b.recorder.from >= recordLongest {
		b.stopRecording()
	}
}

// load takes the latest revision that can run. The bench is locked.
func (b *bench) load() {
	m := b.server.results.now()
	if m == nil || m.state.Revision == b.tried {
		return
	}
	b.tried, b.trouble = m.state.Revision, nil
	if m.state.Kit == nil || m.result == nil {
		until := "no module runs"
		if b.player != nil {
			until = "the bench shows the job as it was"
		}
		b.trouble = one("mend what stops work; until then "+until, "the job is broken")
		return
	}
	player, err := play(m, script.Script{}.Timeline(0), benchStep)
	if err != nil {
		b.trouble = faultsOf(err)
		return
	}
	b.made, b.player, b.began, b.lamps, b.held = m, player, b.at, drawn(m.state.Kit), holdersOf(m)
	known := func(input string) bool { _, known := m.state.Kit.Input(input); return known }
	for name := range b.switches.latched {
		if !known(name) {
			delete(b.switches.latched, name)
		}
	}
	b.recorder.see(&b.switches, b.at)
}

// tell makes ready what windows are shown, and wakes them. The bench is locked.
func (b *bench) tell() {
	if b.player != nil {
		b.levels = appendLevels(nil, b.player.Frame(b.lamps))
		b.owners = b.held.append(nil, b.player.Rig())
	}
	state, err := json.Marshal(b.view())
	if err == nil {
		b.state = state
	}
	for l := range b.lookers {
		select {
		case l.news <- struct{}{}:
		default: // it has not fetched the last one yet
		}
	}
}

// postBenchWhy tells why a group is as it is now.
func (s *Server) postBenchWhy(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Lamp  string `json:"lamp"`
		Group int    `json:"group"`
	}
	if !read(w, r, &q) {
		return
	}
	b := &s.bench
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.player == nil {
		refuse(w, r, one("look at the bench's light first", "the bench does not run"))
		return
	}
	pressed := func(input string) bool { how, _ := b.switches.pressed(input); return how != "" }
	answerWhy(w, r, moment{b.made, b.player.Rig(), pressed}, q.Lamp, q.Group)
}
