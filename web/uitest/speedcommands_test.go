package uitest

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"
)

// Commands on the large job with undo and redo, from the request to the last byte of the answer; each begins when all is computed.
// Printed by go test -bench; no test holds a time.
func BenchmarkCommandOnTheLargeJob(b *testing.B) {
	for _, c := range largeCommands {
		b.Run(c.name, func(b *testing.B) {
			s, err := serve(largeJob())
			if err != nil {
				b.Fatal(err)
			}
			defer s.close()
			base := struct{ Revision string }{}
			request(b, s, "GET", "/api/job", nil, &base)
			post := func(path, name, args string) time.Duration {
				body, err := json.Marshal(map[string]any{"base": base.Revision})
				if name != "" {
					body, err = json.Marshal(map[string]any{"base": base.Revision, "name": name, "args": json.RawMessage(args)})
				}
				if err != nil {
					b.Fatal(err)
				}
				return request(b, s, "POST", path, body, &base)
			}
			calm := func() { request(b, s, "GET", "/api/memory", nil, nil) }
			var undo, redo time.Duration
			for b.Loop() {
				b.StopTimer()
				for _, one := range c.before {
					post("/api/do", one.name, one.args)
				}
				calm()
				b.StartTimer()
				post("/api/do", c.name, c.args)
				b.StopTimer()
				calm()
				undo += post("/api/undo", "", "")
				calm()
				redo += post("/api/redo", "", "")
				calm()
				for range len(c.before) + 1 {
					post("/api/undo", "", "")
				}
				calm()
				b.StartTimer()
			}
			b.ReportMetric(float64(undo.Microseconds())/1000/float64(b.N), "undo-ms/op")
			b.ReportMetric(float64(redo.Microseconds())/1000/float64(b.N), "redo-ms/op")
		})
	}
}

// request sends a request to a workbench, reads the answer, and gives the time between.
func request(b *testing.B, s *served, method, path string, body []byte, into any) time.Duration {
	b.Helper()
	r, err := http.NewRequest(method, s.address+path, bytes.NewReader(body))
	if err != nil {
		b.Fatal(err)
	}
	_, port, _ := strings.Cut(strings.TrimPrefix(s.address, "http://"), ":")
	r.AddCookie(&http.Cookie{Name: "lampwright-" + port, Value: screenKey})
	begun := time.Now()
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		b.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	took := time.Since(begun)
	if err != nil || answer.StatusCode != http.StatusOK {
		b.Fatalf("%s: %s %s %v", path, answer.Status, text, err)
	}
	if into != nil {
		if err := json.Unmarshal(text, into); err != nil {
			b.Fatal(err)
		}
	}
	return took
}
