package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/kit"
)

// A record of a dimmed tail wire becomes a line that stands in a job as it is printed, and the job checks.
func TestScopeRecordBecomesAFeed(t *testing.T) {
	var csv strings.Builder
	csv.WriteString("time (s),volts (V)\n")
	for i := range 20_000 { // 2 s in steps of 0.1 ms; on from 1.2 s to 1.8 s, 20 % at 200 Hz
		volts := 0.1
		if i >= 12_000 && i < 18_000 && (i-12_000)%50 < 10 {
			volts = 13.4
		}
		fmt.Fprintf(&csv, "%.4f,%.1f\n", float64(i)*1e-4, volts)
	}
	path := filepath.Join(t.TempDir(), "tail.csv")
	if err := os.WriteFile(path, []byte(csv.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	code, out, errors := call(nil, "scope", path, "--road", "tail")
	const want = "feed: {kind: dimmed, duty: 20 %, at: 200 Hz}"
	if code != 0 || !strings.Contains(out, want) || !strings.Contains(out, "later on") {
		t.Fatalf("status %d\n%s%s", code, out, errors)
	}
	const wire = "wire: [rear-lh.in1, rear-rh.in1]"
	job := strings.Replace(string(starter), wire, wire+", "+want, 1)
	if k, list := kit.Parse("job.yaml", []byte(job), kit.NoFiles); k == nil || !strings.Contains(job, want) {
		t.Errorf("the feed as printed does not stand in a job: %v", list)
	}
}

// A record of a tail wire that goes high for the stop gives both inputs as they stand in a job.
func TestScopeRecordOfTailAndStop(t *testing.T) {
	var csv strings.Builder
	csv.WriteString("time (s),volts (V)\n")
	for i := range 20_000 { // 2 s in steps of 0.1 ms; tail from 0.4 s to 1.8 s, 20 % at 200 Hz; stop from 0.8 s to 1.3 s
		volts := 0.1
		if i >= 8000 && i < 13_000 || i >= 4000 && i < 18_000 && i%50 < 10 {
			volts = 13.4
		}
		fmt.Fprintf(&csv, "%.4f,%.1f\n", float64(i)*1e-4, volts)
	}
	path := filepath.Join(t.TempDir(), "tail.csv")
	if err := os.WriteFile(path, []byte(csv.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	code, out, errors := call(nil, "scope", path, "--road", "stop")
	const first, second = "{kind: dimmed, duty: 20 %, at: 200 Hz}", "{shares: tail, feed: {kind: steady}}"
	if code != 0 || !strings.Contains(out, "feed: "+first) || !strings.Contains(out, second) {
		t.Fatalf("status %d\n%s%s", code, out, errors)
	}
	job := strings.NewReplacer("wire: [rear-lh.in1, rear-rh.in1]", "wire: [rear-lh.in1, rear-rh.in1], feed: "+first,
		"{wire: [rear-lh.in2, rear-rh.in2]}", second, "also: [stop, ", "also: [").Replace(string(starter))
	if k, list := kit.Parse("job.yaml", []byte(job), kit.NoFiles); k == nil || !strings.Contains(job, second) {
		t.Errorf("what is printed does not stand in a job: %v", list)
	}
}

// steadyRecord is a wire that goes on for half of two seconds.
func steadyRecord() string {
	var csv strings.Builder
	csv.WriteString("time (s),volts (V)\n")
	for i := range 20_000 {
		fmt.Fprintf(&csv, "%.4f,%.1f\n", float64(i)*1e-4, float64(i/5000%2)*13.4)
	}
	return csv.String()
}

func TestScopeFaults(t *testing.T) {
	dir := t.TempDir()
	broken := filepath.Join(dir, "broken.csv")
	if err := os.WriteFile(broken, []byte("time,volts\n0,1\n1,two\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"scope", filepath.Join(dir, "none.csv")}, 1, "no such file"},
		{[]string{"scope", broken}, 1, "broken.csv:"},
		{[]string{"scope", broken, "--board", "chain-33"}, 2, "did you mean chain-32"},
		{[]string{"scope", broken, "--road", "tial"}, 2, "did you mean tail"},
	} {
		code, out, errors := call(nil, c.args...)
		if code != c.code || out != "" || !strings.Contains(errors, c.says) || !strings.Contains(errors, "next:") {
			t.Errorf("%v: status %d\n%s%s", c.args, code, out, errors)
		}
	}
}

// A wire that a module could not read is told with its feed, and stops work.
func TestScopeOfAWireThatIsRefused(t *testing.T) {
	var csv strings.Builder
	csv.WriteString("time (s),volts (V)\n")
	for i := range 40_000 { // 4 s; off with test pulses of 4.5 ms every 100 ms, which a stop wire must not have
		volts := 0.1
		if i >= 30_000 || i%1000 < 45 {
			volts = 13.4
		}
		fmt.Fprintf(&csv, "%.4f,%.1f\n", float64(i)*1e-4, volts)
	}
	path := filepath.Join(t.TempDir(), "stop.csv")
	if err := os.WriteFile(path, []byte(csv.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	code, out, errors := call(nil, "scope", path, "--road", "stop")
	if code != 1 || !strings.Contains(out, "feed: ") || strings.Contains(out, "later on") || !strings.Contains(out, "next:") {
		t.Errorf("status %d\n%s%s", code, out, errors)
	}
}
