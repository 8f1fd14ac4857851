package web

import (
	"bytes"
	"net/http"
	"strings"
	"testing"
	"time"

	"lampwright/loader"
	"lampwright/program"
	"lampwright/proof/loading/model"
	"lampwright/report"
)

// plugged is the port of a modelled module; it tells of every frame that the module took.
type plugged struct {
	model.Port
	took chan []byte
}

func (p *plugged) Write(b []byte) (int, error) {
	n, err := p.Port.Write(b)
	if bytes.Contains(b, []byte{0xA5, 0x03}) {
		select {
		case p.took <- bytes.Clone(p.Module.Levels):
		default:
		}
	}
	return n, err
}

func (p *plugged) Close() error { return nil }

func noPort(name string) (loader.OpenPort, *report.Diagnostic) {
	d := report.Errorf("no-port", report.Place{}, "there is no port %s", name).Do("plug the adapter in")
	return nil, &d
}

// The light of the bench goes to a real module, as docs/loading.md has it; a line that breaks says so, and one that is cut is at rest.
func TestTheBenchSendsToAModule(t *testing.T) {
	s, _ := served(t, strings.Replace(jobText, "wiring: {bar: 1..8}", "wiring: {bar: 1..8}, stream: true", 1))
	m := s.results.wait().result.Modules[0]
	safe, err := program.EncodeSafe(m.Safe)
	if err != nil {
		t.Fatal(err)
	}
	port := &plugged{model.Port{Module: model.New(1, safe[:], m.Image)}, make(chan []byte, 64)}
	s.Ports = func() []string { return []string{"/dev/one", "/dev/two"} }
	s.OpenPort = func(name string) (loader.OpenPort, *report.Diagnostic) {
		if name == "/dev/two" {
			return noPort(name)
		}
		return port, nil
	}
	look := &looker{window: "w", news: make(chan struct{}, 1)}
	s.bench.enter(look)
	defer s.bench.leave(look)
	until := func(what string, done func() bool) {
		t.Helper()
		for end := time.Now().Add(20 * time.Second); !done(); time.Sleep(5 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("never: %s", what)
			}
		}
	}
	wired := func() wireView {
		s.bench.mu.Lock()
		defer s.bench.mu.Unlock()
		return s.bench.wire.view()
	}
	until("the bench runs", func() bool { s.bench.mu.Lock(); defer s.bench.mu.Unlock(); return s.bench.player != nil })
	if w := ask(s, "POST", "/api/live", `{"port":"/dev/one","module":"m"}`); w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if w := ask(s, "POST", "/api/bench", `{"switches":{"stop":"on"}}`); w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	until("the stop on the module", func() bool {
		select {
		case levels := <-port.took:
			return bytes.Equal(levels, bytes.Repeat([]byte{255}, 8))
		default:
			return false
		}
	})
	if v := wired(); v.State != wireSending || v.Port != "/dev/one" || v.Module != "m" {
		t.Errorf("while it sends: %+v", v)
	}
	if w := ask(s, "POST", "/api/live", `{"port":""}`); w.Code != http.StatusOK || wired().State != "" || wired().Port != "" {
		t.Errorf("cut: %+v", wired())
	}
	ask(s, "POST", "/api/live", `{"port":"/dev/two","module":"m"}`)
	until("why the port does not open", func() bool { v := wired(); return v.State == "" && len(v.Problems) == 1 && v.Problems[0].Next != "" })
}
