package web

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"image"
	"image/color"
	"image/png"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"lampwright/report"
	"lampwright/session"
)

const jobText = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [0 mm, 0 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [70, 0], count: 8, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: lamp, wiring: {bar: 1..8}}
inputs:
  stop: {wire: m.in2, feed: {kind: steady}}
  button: {wire: m.in5, feed: {kind: relay}}
routines:
  full: {strokes: [{hold: {on: bar, light: 100 %}}]}
  run: {length: 1 s, strokes: [{sweep: {on: bar, direction: right, for: 1 s}}]}
signals:
  - stop: {input: stop, takes: bar, stay: full}
shows:
  - run: {input: button, stay: run, only-while: stop}
`

const testKey, testHost = "the-key-of-this-test", "127.0.0.1:4711"

// served gives a server on a job of its own, and the job's path.
func served(t testing.TB, text string) (*Server, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "lamp.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	desk, err := session.Open(path, session.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s := New(Config{
		Desk: desk, Key: testKey, Host: testHost, Page: fstest.MapFS{"index.html": {Data: []byte("<p>page")}},
		Make: func(s *session.State) ([]File, report.List) {
			if s.Kit == nil {
				return nil, s.Problems
			}
			return []File{{"m.hex", []byte(":00000001FF\n")}}, nil
		},
		LoadCommand: func(_, m string) string { return "load " + m },
	})
	t.Cleanup(s.Close)
	return s, path
}

// Jobs are begun in three ways; what is there is never written over.
func TestAJobIsBegunInThreeWays(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "mine.yaml"), []byte(jobText), 0o644); err != nil {
		t.Fatal(err)
	}
	fresh := func() *Server {
		s := New(Config{Key: testKey, Host: testHost, Page: fstest.MapFS{}, Folder: folder, LoadCommand: func(_, m string) string { return m },
			Open: func(path string) (*session.Desk, error) { return session.Open(path, session.Options{}) }})
		t.Cleanup(s.Close)
		return s
	}
	for _, c := range []struct {
		body, says string
		lamps      int
	}{
		{`{"way":"file","name":"mine.yaml"}`, "", 1},
		{`{"way":"demo","name":"try-it"}`, "", 5},
		{`{"way":"lamp","name":"new-one","title":"My: first","use":"road-us","side":"LH","end":"rear","columns":24,"rows":3,"spacingMm":7.5,"part":"amber-590"}`, "", 1},
		{`{"way":"lamp","name":"wide","use":"show-only","side":"centre","end":"front","columns":64,"rows":1,"spacingMm":10,"part":"red-622"}`, "", 1},
		{`{"way":"lamp","name":"one","use":"show-only","side":"RH","end":"front","columns":1,"rows":1,"spacingMm":10,"part":"red-622"}`, "", 1},
		{`{"way":"demo","name":"mine"}`, "already", 0},
		{`{"way":"demo","name":"../out"}`, "cannot be the name", 0},
		{`{"way":"file","name":"../mine.yaml"}`, "cannot be the name", 0},
		{`{"way":"file","name":"none.yaml"}`, "no such file", 0},
		{`{"way":"lamp","name":"bad","columns":0,"rows":1,"spacingMm":7,"side":"LH","end":"rear","use":"road-us","part":"amber-590"}`, "1 to 64", 0},
		{`{"way":"lamp","name":"bad","columns":1,"rows":1,"spacingMm":-7,"side":"LH","end":"rear","use":"road-us","part":"amber-590"}`, "mm apart", 0},
		{`{"way":"lamp","name":"bad","columns":1,"rows":1,"spacingMm":7,"side":"LH","end":"rear","use":"road-us","part":"a: b"}`, "no LED", 0},
		{`{"way":"magic","name":"bad"}`, "no way", 0},
	} {
		s := fresh()
		if w := ask(s, "GET", "/api/job", ""); !strings.Contains(w.Body.String(), `"none":true`) || !strings.Contains(w.Body.String(), "mine.yaml") {
			t.Fatalf("before: %s", w.Body)
		}
		if w := ask(s, "POST", "/api/undo", `{}`); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("undo without a job: status %d", w.Code)
		}
		w := ask(s, "POST", "/api/start", c.body)
		if c.says != "" {
			if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), c.says) {
				t.Errorf("%s: status %d: %s", c.body, w.Code, w.Body)
			}
			continue
		}
		if v := seen(t, w); len(v.Lamps) != c.lamps || len(v.Problems) > 0 {
			t.Errorf("%s: %d lamps, problems %v\n%s", c.body, len(v.Lamps), v.Problems, v.Text)
		}
		if w := ask(s, "POST", "/api/start", c.body); w.Code != http.StatusUnprocessableEntity {
			t.Errorf("begun twice: status %d", w.Code)
		}
	}
	if text, _ := os.ReadFile(filepath.Join(folder, "mine.yaml")); string(text) != jobText {
		t.Error("a file that was there was written over")
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "bad*")); left != nil {
		t.Errorf("left behind: %v", left)
	}
}

// ask sends a request as the page does.
func ask(s *Server, method, path, body string, change ...func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://"+testHost+path, strings.NewReader(body))
	r.AddCookie(&http.Cookie{Name: s.cookie(), Value: testKey})
	r.Header.Set("Origin", "http://"+testHost)
	for _, c := range change {
		c(r)
	}
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

func seen(t *testing.T, w *httptest.ResponseRecorder) (v view) {
	t.Helper()
	if w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestStrangersAreTurnedAway(t *testing.T) {
	s, path := served(t, jobText)
	for name, change := range map[string]func(*http.Request){
		"no cookie":             func(r *http.Request) { r.Header.Del("Cookie") },
		"wrong key":             func(r *http.Request) { r.Header.Set("Cookie", s.cookie()+"=guess") },
		"empty key":             func(r *http.Request) { r.Header.Set("Cookie", s.cookie()+"=") },
		"another host":          func(r *http.Request) { r.Host = "rebound.example:4711" },
		"another port":          func(r *http.Request) { r.Host = "127.0.0.1:4712" },
		"localhost by name":     func(r *http.Request) { r.Host = "localhost:4711" },
		"another origin":        func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") },
		"no origin to speak of": func(r *http.Request) { r.Header.Set("Origin", "null") },
		"https of this":         func(r *http.Request) { r.Header.Set("Origin", "https://"+testHost) },
		"cross-site":            func(r *http.Request) { r.Header.Del("Origin"); r.Header.Set("Sec-Fetch-Site", "cross-site") },
		"same site, other port": func(r *http.Request) { r.Header.Del("Origin"); r.Header.Set("Sec-Fetch-Site", "same-site") },
	} {
		for _, q := range [][3]string{{"GET", "/api/job"}, {"POST", "/api/do", `{"base":"` + s.desk.Load().State().Revision + `","name":"set","args":{"path":["job","title"],"value":"x"}}`}, {"GET", "/api/events"}, {"POST", "/api/make", "{}"}} {
			if w := ask(s, q[0], q[1], q[2], change); w.Code != http.StatusForbidden || strings.Contains(w.Body.String(), "Small lamp") {
				t.Errorf("%s, %s: status %d", name, q[1], w.Code)
			}
		}
	}
	if text, _ := os.ReadFile(path); string(text) != jobText {
		t.Error("a stranger changed the job")
	}
}

func TestTheAddressLetsInOnce(t *testing.T) {
	s, _ := served(t, jobText)
	noCookie := func(r *http.Request) { r.Header.Del("Cookie"); r.Header.Del("Origin") }
	w := ask(s, "GET", "/?key="+testKey, "", noCookie)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" {
		t.Fatalf("status %d", w.Code)
	}
	cookie := w.Result().Cookies()[0]
	if !cookie.HttpOnly || cookie.SameSite != http.SameSiteStrictMode || cookie.Value != testKey {
		t.Errorf("cookie %v", cookie)
	}
	if w := ask(s, "GET", "/?key=wrong", "", noCookie); w.Code != http.StatusForbidden {
		t.Errorf("a wrong key: status %d", w.Code)
	}
	page := ask(s, "GET", "/", "")
	packed := ask(s, "GET", "/", "", func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip") })
	if zip, err := gzip.NewReader(packed.Body); err != nil || packed.Header().Get("Content-Encoding") != "gzip" {
		t.Errorf("not packed: %v", err)
	} else if text, _ := io.ReadAll(zip); string(text) != page.Body.String() {
		t.Errorf("packed it is %q", text)
	}
	if page.Code != http.StatusOK || !strings.Contains(page.Header().Get("Content-Security-Policy"), "default-src 'self'") {
		t.Errorf("page: status %d, policy %q", page.Code, page.Header().Get("Content-Security-Policy"))
	}
}

func TestNothingOutsideThePageIsServed(t *testing.T) {
	s, _ := served(t, jobText)
	for _, path := range []string{"/../lamp.yaml", "/..%2flamp.yaml", "/%2e%2e/%2e%2e/etc/passwd", "//etc/passwd", "/lamp.yaml", "/api/photo/../lamp.yaml"} {
		if w := ask(s, "GET", path, ""); w.Code == http.StatusOK && strings.Contains(w.Body.String(), "lampwright: 1") || strings.Contains(w.Body.String(), "root:") {
			t.Errorf("%s gives %s", path, w.Body)
		}
	}
}

func TestAChangeComesBackAndIsSaved(t *testing.T) {
	s, path := served(t, jobText)
	v := seen(t, ask(s, "GET", "/api/job", ""))
	if v.Title != "Small lamp" || len(v.Lamps) != 1 || len(v.Lamps[0].LEDs) != 8 || v.Lamps[0].Groups[3].Colour != "red" || v.Modules[0].Output[7] != 8 || v.Layers[0].Input != "stop" {
		t.Fatalf("the job is seen as %+v", v)
	}
	if same := seen(t, ask(s, "GET", "/api/job?of="+v.Revision, "")); !same.Same || same.Text != "" || same.Lamps != nil || same.Revision != v.Revision || len(same.Modules) != 1 {
		t.Errorf("of the revision that the window has comes %+v", same)
	}
	if other := seen(t, ask(s, "GET", "/api/job?of=other", "")); other.Same || other.Text == "" || len(other.Lamps) != 1 {
		t.Errorf("of another revision comes %+v", other)
	}
	v = seen(t, ask(s, "POST", "/api/do", `{"base":"`+v.Revision+`","name":"set","args":{"path":["job","title"],"value":"Other"}}`))
	if v.Title != "Other" || !v.Saved || v.Undo == "" {
		t.Errorf("after the change: %q, saved %v, undo %q", v.Title, v.Saved, v.Undo)
	}
	if text, _ := os.ReadFile(path); string(text) != strings.Replace(jobText, "Small lamp", "Other", 1) {
		t.Errorf("on disk:\n%s", text)
	}
	v = seen(t, ask(s, "POST", "/api/undo", `{"base":"`+v.Revision+`"}`))
	v = seen(t, ask(s, "POST", "/api/redo", `{"base":"`+v.Revision+`"}`))
	if v.Title != "Other" || v.Redo != "" {
		t.Errorf("after undo and redo: %q", v.Title)
	}
}

func TestRefusalsSayWhy(t *testing.T) {
	s, _ := served(t, jobText)
	for name, q := range map[string]struct {
		path, body string
		status     int
		says       string
	}{
		"stale":          {"/api/do", `{"base":"old","name":"set","args":{"path":["job","title"],"value":"x"}}`, http.StatusConflict, "changed meanwhile"},
		"no command":     {"/api/do", `{"base":"` + s.desk.Load().State().Revision + `","name":"paint"}`, http.StatusUnprocessableEntity, "no command"},
		"no JSON":        {"/api/do", `{"base":`, http.StatusUnprocessableEntity, "cannot be read"},
		"broken text":    {"/api/text", `{"base":"` + s.desk.Load().State().Revision + `","text":"a: ["}`, http.StatusUnprocessableEntity, "next"},
		"no routine":     {"/api/film", `{"routine":"none"}`, http.StatusUnprocessableEntity, "no routine"},
		"broken script":  {"/api/film", `{"script":"stop@"}`, http.StatusUnprocessableEntity, "problems"},
		"endless script": {"/api/film", `{"script":"stop@1s..3600s"}`, http.StatusUnprocessableEntity, "two minutes"},
		"unknown input":  {"/api/bench", `{"switches":{"horn":"on"}}`, http.StatusUnprocessableEntity, "no input"},
		"cannot prove":   {"/api/prove", `{"script":""}`, http.StatusUnprocessableEntity, "without a simulated processor"},
		"no such task":   {"/api/task/99/stop", `{}`, http.StatusUnprocessableEntity, "no such work"},
		"too large":      {"/api/text", `{"text":"` + strings.Repeat("x", mostBody) + `"}`, http.StatusUnprocessableEntity, "4 MiB"},
	} {
		w := ask(s, "POST", q.path, q.body)
		if w.Code != q.status || !strings.Contains(w.Body.String(), q.says) {
			t.Errorf("%s: status %d: %.300s", name, w.Code, w.Body)
		}
	}
}

func TestABrokenJobIsShownWithItsProblems(t *testing.T) {
	s, _ := served(t, strings.Replace(jobText, "takes: bar", "takes: car", 1))
	v := seen(t, ask(s, "GET", "/api/job", ""))
	if len(v.Problems) == 0 || v.Problems[0].Place.Line != 17 || strings.Join(v.Problems[0].Place.Path, ".") != "signals.0.stop.takes" || len(v.Lamps) != 1 || v.Tree == nil || v.Title != "Small lamp" {
		t.Errorf("problems %v", v.Problems)
	}
	if w := ask(s, "POST", "/api/make", "{}"); w.Code != http.StatusUnprocessableEntity {
		t.Errorf("made from a broken job: status %d", w.Code)
	}
}

func filmed(t *testing.T, s *Server, body string) (f film, levels []byte) {
	t.Helper()
	w := ask(s, "POST", "/api/film", body)
	if w.Code != http.StatusOK {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if err := json.Unmarshal(w.Body.Bytes(), &f); err != nil {
		t.Fatal(err)
	}
	levels, err := base64.StdEncoding.DecodeString(f.Levels)
	if err != nil || len(levels) != f.Frames*f.Lamps[0].Groups {
		t.Fatalf("%d levels for %d frames: %v", len(levels), f.Frames, err)
	}
	return f, levels
}

func TestFilmsShowTheLight(t *testing.T) {
	s, _ := served(t, jobText)
	f, levels := filmed(t, s, `{"routine":"run"}`)
	if first, last := levels[:8], levels[len(levels)-8:]; f.Frames != 64 || first[7] != 0 || last[0] != 255 || last[7] != 255 {
		t.Errorf("%d frames, from %v to %v", f.Frames, first, last)
	}
	f, levels = filmed(t, s, `{"script":"stop@1s..2s"}`)
	at := func(ms int) byte { return levels[ms/filmStepMS*8] }
	if at(980) != 0 || at(1056) != 255 || at(1984) != 255 || at(2096) != 0 {
		t.Errorf("stop at 0.98, 1.06, 1.98, 2.10 s: %d %d %d %d", at(980), at(1056), at(1984), at(2096))
	}
}

func TestMakeGivesAZIP(t *testing.T) {
	s, _ := served(t, jobText)
	one, two := ask(s, "POST", "/api/make", "{}"), ask(s, "POST", "/api/make", "{}")
	if !bytes.Equal(one.Body.Bytes(), two.Body.Bytes()) {
		t.Error("twice made, two kinds of bytes")
	}
	z, err := zip.NewReader(bytes.NewReader(one.Body.Bytes()), int64(one.Body.Len()))
	if err != nil || len(z.File) != 1 || z.File[0].Name != "m.hex" {
		t.Fatalf("%v", err)
	}
}

func TestPhotosAreKeptBesideTheJob(t *testing.T) {
	s, path := served(t, jobText)
	var lit bytes.Buffer
	m := image.NewGray(image.Rect(0, 0, 60, 40))
	for _, at := range []image.Point{{10, 10}, {40, 12}} {
		for i := range 9 {
			m.SetGray(at.X+i%3, at.Y+i/3, color.Gray{255})
		}
	}
	if err := png.Encode(&lit, m); err != nil {
		t.Fatal(err)
	}
	w := ask(s, "POST", "/api/photo?lamp=lamp", lit.String())
	var p photoView
	if w.Code != http.StatusOK || json.Unmarshal(w.Body.Bytes(), &p) != nil || p.Width != 60 || p.Height != 40 {
		t.Fatalf("status %d: %s", w.Code, w.Body)
	}
	if kept, err := os.ReadFile(filepath.Join(filepath.Dir(path), p.Name)); err != nil || !bytes.Equal(kept, lit.Bytes()) {
		t.Fatalf("not kept: %v", err)
	}
	if w := ask(s, "GET", "/api/photo/"+p.Name, ""); w.Code != http.StatusOK || w.Header().Get("Content-Type") != "image/png" {
		t.Errorf("given back: status %d", w.Code)
	}
	w = ask(s, "POST", "/api/spots", `{"photo":"`+p.Name+`","atLeast":0.5}`)
	if got := strings.TrimSpace(w.Body.String()); w.Code != http.StatusOK || strings.Count(got, `"x"`) != 2 || !strings.Contains(got, `"x":11.5,"y":11.5`) {
		t.Errorf("spots: %s", got)
	}
	for name, c := range map[string]struct{ method, path, body string }{
		"no picture":      {"POST", "/api/photo?lamp=lamp", "<svg onload=alert(1)>"},
		"no lamp":         {"POST", "/api/photo?lamp=../x", lit.String()},
		"the job itself":  {"GET", "/api/photo/lamp.yaml", ""},
		"another file":    {"GET", "/api/photo/..%2f..%2fetc%2fpasswd", ""},
		"one not there":   {"GET", "/api/photo/photo-lamp-00000000.png", ""},
		"spots of a text": {"POST", "/api/spots", `{"photo":"lamp.yaml","atLeast":0.5}`},
	} {
		if w := ask(s, c.method, c.path, c.body); w.Code < 400 || w.Code >= 500 {
			t.Errorf("%s: status %d: %.200s", name, w.Code, w.Body)
		}
	}
}

// Each request that is served is explained where other programs look it up.
func TestEveryRequestIsExplained(t *testing.T) {
	explained, err := os.ReadFile("../docs/workbench.md")
	if err != nil {
		t.Fatal(err)
	}
	served, err := os.ReadFile("server.go")
	if err != nil {
		t.Fatal(err)
	}
	says := strings.NewReplacer("/{id}", "/ID", "/{name}", "/NAME").Replace
	all := regexp.MustCompile(`"(GET|POST|DELETE) (/api/[^"]*)"`).FindAllStringSubmatch(string(served), -1)
	if len(all) < 30 {
		t.Fatalf("only %d requests", len(all))
	}
	for _, r := range all {
		method, path := r[1], says(r[2])
		if !regexp.MustCompile("`" + method + " [^|`]*" + path + "[`?]|`" + method + " [^|]*`" + path + "`").Match(explained) {
			t.Errorf("%s %s is served and not explained", method, path)
		}
	}
}

func FuzzRequests(f *testing.F) {
	for _, path := range []string{"/api/do", "/api/text", "/api/film", "/api/bench", "/api/undo", "/api/prove"} {
		f.Add(path, `{"base":"x","name":"set","args":{}}`)
		f.Add(path, `{"script":"stop@1s..2s","seed":3}`)
		f.Add(path, `{"switches":{"stop":"on"},"supply":24}`)
		f.Add(path, `{"text":"lampwright: 1"}`)
	}
	f.Fuzz(func(t *testing.T, path, body string) {
		if !strings.HasPrefix(path, "/api/") || strings.ContainsAny(path, " \r\n%?#") {
			t.Skip()
		}
		s, job := served(t, jobText)
		w := ask(s, "POST", path, body)
		if w.Code >= 500 {
			t.Errorf("status %d", w.Code)
		}
		if text, err := os.ReadFile(job); err != nil || s.desk.Load().State().Saved && string(text) != s.desk.Load().State().Text {
			t.Error("the job file is not what the page shows")
		}
	})
}
