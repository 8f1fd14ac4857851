package web

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What is noted of a walk lies beside the job, is told to every window, and goes when it is dropped.
func TestWalksAreNotedBesideTheJob(t *testing.T) {
	s, path := served(t, jobText)
	file := filepath.Join(filepath.Dir(path), "lamp.walks.json")
	const none, two = `{"at":1,"notes":[]}`, `{"at":3,"notes":[{"output":1,"lit":"bar.2"},{"output":2,"more":true}]}`
	note := func(was, walk string) (int, string) {
		t.Helper()
		w := ask(s, "POST", "/api/walks", `{"module":"m","was":`+was+`,"walk":`+walk+`}`)
		return w.Code, w.Body.String()
	}
	heard, stop := s.walks.watch()
	defer stop()
	<-heard
	if code, says := note(none, two); code != http.StatusOK || says != `{"edition":1}` {
		t.Fatal(code, says)
	}
	<-heard
	if got := s.walksNews(); got != `{"edition":1,"walks":{"m":`+two+`}}` {
		t.Errorf("windows are told %s", got)
	}
	before := onFile(t, file)
	if !strings.Contains(before, "bar.2") {
		t.Errorf("the file says %s", before)
	}
	// Another window that had other notes is refused; one whose answer was lost is not.
	if code, says := note(none, `{"at":2,"notes":[{"output":1}]}`); code != http.StatusConflict || !strings.Contains(says, "another window") {
		t.Error(code, says)
	}
	if code, says := note(none, two); code != http.StatusOK || says != `{"edition":2}` {
		t.Error(code, says)
	}
	for _, wrong := range []string{`{"at":-1,"notes":[]}`, `{"at":1,"notes":[{"output":0}]}`, `{"at":1,"notes":[{"output":65}]}`, `{"at":1,"notes":[{"output":1,"lit":"bar.1","more":true}]}`,
		`{"at":1,"notes":[` + strings.Repeat(`{"output":1},`, 2000) + `{"output":1}]}`} {
		if code, says := note(two, wrong); code != http.StatusUnprocessableEntity {
			t.Errorf("%.60s: %d %s", wrong, code, says)
		}
	}
	if onFile(t, file) != before {
		t.Error("what was refused changed the file")
	}
	if code, says := note(two, none); code != http.StatusOK || s.walksNews() != `{"edition":3}` {
		t.Error(code, says)
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("the file of no walk is still there")
	}
	// An output that is asked for before anything is noted is kept as well.
	if code, says := note(none, `{"at":5,"notes":[]}`); code != http.StatusOK || !strings.Contains(s.walksNews(), `"at":5`) {
		t.Error(code, says)
	}
}

// Notes that cannot be read are never written over.
func TestWalksThatCannotBeReadStay(t *testing.T) {
	s, path := served(t, jobText)
	file := filepath.Join(filepath.Dir(path), "lamp.walks.json")
	for _, text := range []string{"by hand", "null", `{"m":{"at":1,"notes":[{"output":99}]}}`, `{"Wrong Name":{"at":1,"notes":[]}}`, strings.Repeat(" ", mostWalkBytes+1)} {
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if got := s.walksNews(); got != `{"edition":0}` {
			t.Errorf("%.30q: windows are told %s", text, got)
		}
		w := ask(s, "POST", "/api/walks", `{"module":"m","was":{"at":1,"notes":[]},"walk":{"at":2,"notes":[{"output":1}]}}`)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), "lamp.walks.json cannot be read") || onFile(t, file) != text {
			t.Errorf("%.30q: %d %s", text, w.Code, w.Body.String())
		}
	}
}

func onFile(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
