package web

import (
	"context"
	"fmt"
	"net/http"
	"time"

	"lampwright/loader"
	"lampwright/report"
)

// How a wire to a real module stands.
const (
	wireAsking  = "asking"  // the module is asked whether it takes light
	wireSending = "sending" // it gets the light of the bench
)

// wire is the bench's line to one real module.
type wire struct {
	port, module, state string
	problems            report.List // why it ended
	cut                 context.CancelFunc
}

type wireView struct {
	Port     string      `json:"port"`
	Module   string      `json:"module"`
	State    string      `json:"state"` // "", asking, sending
	Problems report.List `json:"problems"`
}

func (w *wire) view() wireView { return wireView{w.port, w.module, w.state, w.problems} }

// getLive lists the serial ports that are there.
func (s *Server) getLive(w http.ResponseWriter, r *http.Request) {
	out := struct {
		Can   bool     `json:"can"`
		Ports []string `json:"ports"`
	}{s.OpenPort != nil, []string{}}
	if s.Ports != nil {
		out.Ports = append(out.Ports, s.Ports()...)
	}
	answer(w, r, http.StatusOK, out)
}

// postLive sends the light of the bench to a real module from now on, or no more when no port is named.
func (s *Server) postLive(w http.ResponseWriter, r *http.Request) {
	var q struct {
		Port   string `json:"port"`
		Module string `json:"module"`
	}
	if !read(w, r, &q) {
		return
	}
	b := &s.bench
	if q.Port == "" {
		b.unplug()
		answer(w, r, http.StatusOK, struct{}{})
		return
	}
	if faults := s.mayStream(q.Port, q.Module); faults.HasErrors() {
		refuse(w, r, faults)
		return
	}
	b.unplug()
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.player == nil {
		refuse(w, r, one("look at the bench's light first", "the bench does not run"))
		return
	}
	ctx, cut := context.WithCancel(context.Background())
	b.wire = wire{port: q.Port, module: q.Module, state: wireAsking, cut: cut}
	b.run.Add(1)
	go func() {
		defer b.run.Done()
		b.ended(ctx, b.send(ctx, q.Port, q.Module))
	}()
	answer(w, r, http.StatusOK, struct{}{})
}

// mayStream refuses what cannot be sent.
func (s *Server) mayStream(port, module string) report.List {
	k := s.desk.Load().State().Kit
	switch {
	case s.OpenPort == nil:
		return one("use lampwright open on the machine that the lamp is plugged into", "this workbench has no serial ports")
	case k == nil:
		return one("mend what stops work first", "a broken job has no light to send")
	}
	m, known := k.Module(module)
	switch {
	case !known:
		return one("choose another", "there is no module %q", module)
	case !m.Stream:
		return one(fmt.Sprintf("write stream: true under module %s, then make and load it", m.Name), "module %q takes no streamed light", m.Name)
	}
	for _, there := range s.Ports() {
		if there == port {
			return nil
		}
	}
	return one("plug the adapter in, and choose one of the ports that are there", "there is no port %q", port)
}

// unplug ends the line to a real module. The module goes back to its own program.
func (b *bench) unplug() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.wire.cut != nil {
		b.wire.cut()
	}
	b.wire = wire{}
}

// ended notes why a line ended, unless it was cut.
func (b *bench) ended(ctx context.Context, d *report.Diagnostic) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if ctx.Err() != nil {
		return
	}
	b.wire.state, b.wire.cut = "", nil
	if d != nil {
		b.wire.problems = report.List{*d}
	}
}

// send feeds a module with the light of the bench, until that is cut or the line breaks.
func (b *bench) send(ctx context.Context, name, module string) *report.Diagnostic {
	port, fault := b.server.OpenPort(name)
	if fault != nil {
		return fault
	}
	defer port.Close()
	line, fault := loader.NewSerial(port, name).Stream(ctx)
	if fault != nil {
		return fault
	}
	tick := time.NewTicker(line.Interval())
	defer tick.Stop()
	for began := time.Now(); ; {
		levels, there := b.levelsOf(ctx, module)
		if !there {
			return nil
		}
		if _, err := line.Frame(time.Since(began), levels); err != nil {
			d := report.Errorf("wire", report.Place{}, "the line to %s on %s broke: %v", module, name, err).
				Because("the module has gone back to its own program").Do("look whether the module on the port is %s and the adapter is plugged in, then send again", module)
			return &d
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

// levelsOf gives the levels of a module's outputs as the bench shows them now; false when there is no such module any more.
func (b *bench) levelsOf(ctx context.Context, module string) ([]byte, bool) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if ctx.Err() != nil || b.player == nil {
		return nil, false
	}
	b.wire.state = wireSending
	for i, m := range b.made.state.Kit.Modules {
		if m.Name == module {
			levels := b.player.Levels(i)
			return levels[:8*m.Board.Registers], true
		}
	}
	return nil, false
}
