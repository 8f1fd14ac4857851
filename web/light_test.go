package web

import (
	"encoding/base64"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
)

// shownLight asks for light and gives the answer with its levels.
func shownLight(t *testing.T, s *Server, body string) (lightAnswer, []byte) {
	t.Helper()
	w := ask(s, "POST", "/api/light", body)
	var a lightAnswer
	if w.Code != http.StatusOK || json.Unmarshal(w.Body.Bytes(), &a) != nil {
		t.Fatalf("%s: status %d: %s", body, w.Code, w.Body)
	}
	levels, err := base64.StdEncoding.DecodeString(a.Levels)
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for _, l := range a.Lamps {
		total += l.Groups
	}
	if len(levels) != a.Frames*total {
		t.Fatalf("%s: %d levels for %d pictures of %d groups", body, len(levels), a.Frames, total)
	}
	return a, levels
}

func TestLightIsShownAsWrittenAsTriedAndAsPlayed(t *testing.T) {
	s, _ := served(t, jobText)
	written, light := shownLight(t, s, `{"routine":"run"}`)
	if written.MS != 1000 || light[len(light)-1] != 255 || light[7] != 0 {
		t.Errorf("as written: %v ms, ends with %v", written.MS, light[len(light)-8:])
	}
	// Half the light, tried and not made.
	tried, dim := shownLight(t, s, `{"routine":"run","edits":[{"op":"set","path":["routines","run","strokes","0","sweep","light"],"value":"18.418 %"}]}`)
	if tried.MS != 1000 || dim[len(dim)-1] != 127 { // 18.418 % of light is a little below L* 50, CIE 15
		t.Errorf("tried: ends with %d, want 127", dim[len(dim)-1])
	}
	if _, again := shownLight(t, s, `{"routine":"run"}`); string(again) != string(light) {
		t.Error("what was tried has changed the job")
	}
	// The module plays the same within two levels, a picture earlier or later.
	played, module := shownLight(t, s, `{"routine":"run","modules":true}`)
	if len(played.Plays) != 1 || played.Plays[0].Layer != "run" || played.Plays[0].Bytes == 0 {
		t.Errorf("played by %+v", played.Plays)
	}
	for i := 8; i < len(module)-16 && i < len(light)-16; i++ {
		least, most := min(light[i-8], light[i], light[i+8]), max(light[i-8], light[i], light[i+8])
		if int(module[i]) < int(least)-2 || int(module[i]) > int(most)+2 {
			t.Fatalf("group %d in picture %d: the module shows %d, written are %d to %d", i%8, i/8, module[i], least, most)
		}
	}
	if _, still := shownLight(t, s, `{"routine":"full","modules":true}`); still[0] != 255 {
		t.Error("a still layer does not show its light")
	}
	for body, says := range map[string]string{
		`{"routine":"none"}`:                  "no routine",
		`{"routine":"run","onMs":10}`:         "120 ms to 900 ms",
		`{"routine":"run","revision":"0123"}`: "not kept",
		`{"routine":"run","edits":[{"op":"set","path":["routines","run","strokes","0","sweep","for"],"value":"soon"}]}`: "soon",
	} {
		if w := ask(s, "POST", "/api/light", body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), says) {
			t.Errorf("%s: status %d: %s", body, w.Code, w.Body)
		}
	}
}

// A routine at the flasher's pace ends with the on-time that is chosen.
func TestPacedLightFollowsTheOnTime(t *testing.T) {
	text := strings.Replace(jobText, "  stop: {wire", "  turn-lh: {wire: m.in3, feed: {kind: flasher}}\n  stop: {wire", 1)
	text = strings.Replace(text, "signals:\n", "signals:\n  - turn-lh: {input: turn-lh, takes: bar, arrive: run, pace: flasher}\n", 1)
	s, _ := served(t, text)
	for _, on := range []string{"200", "600"} {
		a, levels := shownLight(t, s, `{"routine":"run","modules":true,"onMs":`+on+`}`)
		if want := map[string]float64{"200": 192, "600": 592}[on]; a.MS != want || levels[len(levels)-1] != 255 || !a.Plays[0].Paced {
			t.Errorf("on for %s ms: lasts %v ms, ends with %d, %+v", on, a.MS, levels[len(levels)-1], a.Plays)
		}
	}
}

func TestEarlierStepsCanBeLookedAt(t *testing.T) {
	s, _ := served(t, jobText)
	before := s.desk.Load().State().Revision
	if w := ask(s, "GET", "/api/earlier", ""); strings.TrimSpace(w.Body.String()) != "[]" {
		t.Errorf("before any step: %s", w.Body)
	}
	w := ask(s, "POST", "/api/do", `{"base":"`+before+`","name":"set","args":{"path":["routines","run","length"],"value":"2 s"}}`)
	if w.Code != http.StatusOK {
		t.Fatal(w.Body)
	}
	if w := ask(s, "GET", "/api/earlier", ""); !strings.Contains(w.Body.String(), before) || !strings.Contains(w.Body.String(), "length") {
		t.Errorf("after a step: %s", w.Body)
	}
	was, _ := shownLight(t, s, `{"routine":"run","revision":"`+before+`"}`)
	is, _ := shownLight(t, s, `{"routine":"run"}`)
	if was.MS != 1000 || is.MS != 2000 {
		t.Errorf("the step before lasts %v ms and the latest %v ms", was.MS, is.MS)
	}
}

func TestMemoryTellsWhatFillsIt(t *testing.T) {
	s, _ := served(t, jobText)
	var all []memoryView
	w := ask(s, "GET", "/api/memory", "")
	if json.Unmarshal(w.Body.Bytes(), &all) != nil || len(all) != 1 || len(all[0].Parts) != 1 || all[0].Parts[0].Routine != "run" || all[0].Bytes <= all[0].Parts[0].Bytes {
		t.Errorf("%s", w.Body)
	}
}

func FuzzLight(f *testing.F) {
	f.Add(`{"routine":"run","modules":true,"onMs":333}`)
	f.Add(`{"routine":"run","edits":[{"op":"set","path":["routines","run","length"],"value":"2 s"}]}`)
	s, _ := served(f, jobText)
	f.Fuzz(func(t *testing.T, body string) {
		if w := ask(s, "POST", "/api/light", body); w.Code >= 500 {
			t.Errorf("status %d", w.Code)
		}
	})
}
