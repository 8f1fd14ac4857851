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
