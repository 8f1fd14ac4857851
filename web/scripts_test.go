package web

import (
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// A pipe called like a script is passed over, for nobody may ever write to it.
func TestNobodyWaitsForAPipe(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there are no named pipes in folders")
	}
	s, path := served(t, jobText)
	folder := filepath.Dir(path)
	if out, err := exec.Command("mkfifo", filepath.Join(folder, "drain.script")).CombinedOutput(); err != nil {
		t.Fatalf("%v %s", err, out)
	}
	if err := os.WriteFile(filepath.Join(folder, "brake.script"), []byte("stop@1s..2s\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	done := make(chan string, 1)
	go func() { done <- ask(s, "GET", "/api/scripts", "").Body.String() }()
	select {
	case body := <-done:
		if !strings.Contains(body, "brake") || strings.Contains(body, "drain") {
			t.Errorf("the scripts are %s", body)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("it waits for the pipe")
	}
}

// A script that is too long to be shown goes when the window knows how long it is, and no other does by its length.
func TestALongScriptIsDeletedByItsLength(t *testing.T) {
	s, path := served(t, jobText)
	file := func(name string) string { return filepath.Join(filepath.Dir(path), name+".script") }
	for name, text := range map[string]string{"long": strings.Repeat("# ", mostScriptBytes), "short": "stop@1s..2s\n"} {
		if err := os.WriteFile(file(name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if says := ask(s, "GET", "/api/scripts", "").Body.String(); strings.Count(says, `"bytes":131072`) != 1 || strings.Count(says, `"bytes"`) != 1 {
		t.Errorf("the scripts are %s", says)
	}
	for _, no := range []string{`{"name":"long","text":""}`, `{"name":"long","bytes":131071}`, `{"name":"short","bytes":12}`, `{"name":"short","text":"stop@1s..2s\n","bytes":12}`} {
		if w := ask(s, "DELETE", "/api/scripts", no); w.Code != 422 || !strings.Contains(w.Body.String(), "says something else") {
			t.Errorf("%s: %d %s", no, w.Code, w.Body.String())
		}
	}
	if w := ask(s, "DELETE", "/api/scripts", `{"name":"long","bytes":131072}`); w.Code != 200 {
		t.Errorf("%d %s", w.Code, w.Body.String())
	}
	if _, err := os.Stat(file("long")); err == nil {
		t.Error("the long one is still there")
	}
	if _, err := os.Stat(file("short")); err != nil {
		t.Error("the short one is gone")
	}
}
