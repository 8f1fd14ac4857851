package web

import (
	"bufio"
	"encoding/base64"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/car"
	"lampwright/kit"
	"lampwright/script"
	"lampwright/units"
)

// hand works the bench of a server picture by picture, without a clock.
type hand struct {
	testing.TB
	*bench
}

func handOn(t testing.TB, text string) hand {
	t.Helper()
	s, _ := served(t, text)
	s.results.wait()
	return hand{t, &s.bench}
}

// do does something and lets some time pass.
func (h hand) do(q turn, ms int) hand {
	h.Helper()
	h.mu.Lock()
	defer h.mu.Unlock()
	h.load()
	if faults := q.check(func(string) bool { return true }); faults.HasErrors() {
		h.Fatal(faults)
	}
	h.take(q)
	for end := h.at + units.Time(ms)*units.Millisecond; h.at < end; {
		h.picture()
	}
	h.tell()
	return h
}

func (h hand) seen() (v benchView) {
	h.Helper()
	if err := json.Unmarshal(h.state, &v); err != nil {
		h.Fatal(err)
	}
	return v
}

func held(names ...string) *[]string { return &names }
func is[T any](v T) *T               { return &v }

func TestTheBenchFollowsItsSwitches(t *testing.T) {
	h := handOn(t, jobText)
	lit := func() bool { return slices.Equal(h.levels, []byte{255, 255, 255, 255, 255, 255, 255, 255}) }
	if h.do(turn{}, 1000); lit() || h.seen().Modules[0].State != car.Runs || h.seen().Phases["stop"] != "" {
		t.Errorf("at rest: %v, %s", h.levels, h.state)
	}
	if h.do(turn{Window: "a", Held: held("stop")}, 64); !lit() || h.seen().Inputs["stop"] != "held" || h.seen().Phases["stop"] != "stay" || h.owners[3] != 1 {
		t.Errorf("held: %v, %v, %s", h.levels, h.owners, h.state)
	}
	if h.do(turn{Window: "b", Held: held()}, 64); !lit() {
		t.Error("another window lets go what it does not hold")
	}
	if h.do(turn{Window: "a", Held: held()}, 64); lit() || h.owners[0] != ownerNobody {
		t.Error("lit when let go")
	}
	if h.do(turn{Switches: map[string]string{"stop": "on"}}, 64); !lit() || h.seen().Inputs["stop"] != "on" {
		t.Error("dark when switched on")
	}
	if h.do(turn{Supply: is(24.)}, 64); lit() || h.seen().Modules[0].State != car.Halved || h.levels[0] == 0 {
		t.Errorf("24 V: %v, %s", h.levels, h.state)
	}
	if h.do(turn{Battery: is(false)}, 200); h.levels[0] != 0 || h.seen().Modules[0].State != car.Off {
		t.Errorf("without a battery: %v, %s", h.levels, h.state)
	}
	if h.do(turn{Rest: true}, 1000); h.levels[0] != 0 || len(h.seen().Inputs) > 0 || h.seen().Supply != 13.5 || h.seen().Modules[0].State != car.Runs {
		t.Errorf("put to rest: %v, %s", h.levels, h.state)
	}
}

// A flasher flashes by the bench's clock, what is switched together flashes together, and a crank dips and comes back.
func TestTheBenchFlashesAndCranks(t *testing.T) {
	h := handOn(t, jobText)
	h.do(turn{Flasher: &flasher{Rate: 60, Share: 50}, Switches: map[string]string{"stop": "flash"}}, 0)
	on := 0
	for range 125 { // two seconds
		h.do(turn{}, 16)
		if h.levels[0] > 0 {
			on++
		}
	}
	if on < 55 || on > 65 {
		t.Errorf("lit in %d of 125 pictures, at 60 flashes a minute and half of each", on)
	}
	h.do(turn{Switches: map[string]string{"stop": "flash", "button": "flash"}}, 0)
	if _, one := h.switches.pressed("stop"); one != h.switches.latched["button"].since {
		t.Error("switched together, they flash apart")
	}
	h.do(turn{Rest: true}, 500)
	least := units.Voltage(99)
	h.do(turn{Crank: true}, 0)
	for range 125 {
		h.do(turn{}, 16)
		least = min(least, h.switches.volts(h.at))
	}
	if h.seen().Crank || least != 6 || h.switches.volts(h.at) != usualSupply {
		t.Errorf("cranked down to %s, and then %s", least, h.switches.volts(h.at))
	}
}

// Two windows have one car, an edit of the job while it runs starts the modules anew with the switches as they are, and a broken job leaves
// the last good one running.
func TestTheBenchOutlivesEdits(t *testing.T) {
	s, _ := served(t, jobText)
	s.results.wait()
	h := hand{t, &s.bench}
	h.do(turn{Switches: map[string]string{"stop": "on", "button": "on"}}, 1000)
	edit := func(old, now string) {
		t.Helper()
		st := s.desk.Load().State()
		if list := s.desk.Load().SetText(st.Revision, strings.Replace(st.Text, old, now, 1)); list.HasErrors() {
			t.Fatal(list)
		}
		s.results.wait()
	}
	edit("light: 100 %", "light: 30 %")
	before := h.levels[0]
	if h.do(turn{}, 1000); h.levels[0] >= before || h.levels[0] == 0 || h.seen().Revision != s.desk.Load().State().Revision {
		t.Errorf("after an edit: %d before, %d now", before, h.levels[0])
	}
	good := h.seen().Revision
	edit("takes: bar", "takes: car")
	if h.do(turn{}, 100); h.levels[0] == 0 || h.seen().Revision != good || len(h.seen().Problems) == 0 || h.seen().Problems[0].Next == "" {
		t.Errorf("of a broken job: %v, %s", h.levels, h.state)
	}
	edit("takes: car", "takes: bar")
	edit("  button: {wire: m.in5, feed: {kind: relay}}\n", "")
	edit("shows:\n  - run: {input: button, stay: run, only-while: stop}\n", "")
	if h.do(turn{}, 1000); len(h.seen().Problems) > 0 || h.seen().Inputs["button"] != "" || h.seen().Inputs["stop"] != "on" || h.levels[0] == 0 {
		t.Errorf("without its button: %v, %s", h.levels, h.state)
	}
}

// What is done on the bench is written down so that the script, played, asks for the same at the same times.
func TestTheBenchWritesDownWhatIsDone(t *testing.T) {
	h := handOn(t, jobText)
	h.do(turn{Switches: map[string]string{"button": "on"}}, 320)
	h.do(turn{Record: is(true)}, 160)
	h.do(turn{Window: "a", Held: held("stop")}, 480)
	h.do(turn{Window: "a", Held: held(), Supply: is(9.)}, 160)
	h.do(turn{Crank: true}, 160)
	h.do(turn{Flasher: &flasher{Rate: 120, Share: 40}, Switches: map[string]string{"stop": "flash", "button": "off"}}, 320)
	h.do(turn{Supply: is(13.5), Battery: is(false)}, 160)
	h.do(turn{Record: is(false)}, 0)
	const want = "supply=9V@640ms..1280ms battery=gone@1280ms..1440ms supply=crank@800ms..2800ms button@0ms..960ms stop@160ms..640ms stop@960ms..1440ms~120/min:40%"
	if h.recorded == nil || *h.recorded != want {
		t.Fatalf("%s\nwant\n%s", *h.recorded, want)
	}
	k := h.made.state.Kit
	if _, faults := presses(k, *h.recorded); faults.HasErrors() {
		t.Error(faults)
	}
	h.do(turn{Record: is(true)}, 0)
	if h.do(turn{}, int(recordLongest/units.Millisecond)+100); h.recorder.on || h.recorded == nil || !strings.Contains(*h.recorded, "stop@0ms..11500") {
		t.Errorf("it writes for ever: %q", *h.recorded)
	}
}

// Whatever is done, the script that is written down reads back and asks, at every picture, for what was asked on the bench.
func TestRecordsPlayBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var w switches
		w.held = map[string]map[string]bool{}
		w.rest()
		var c recorder
		c.begin(&w, 0)
		names := []string{"stop", "turn-lh", "turn-rh"}
		type shot struct {
			at     units.Time
			inputs map[string]bool
		}
		var shots []shot
		now := units.Time(0)
		for range rapid.IntRange(1, 12).Draw(t, "steps") {
			q := turn{Window: "w"}
			switch rapid.IntRange(0, 3).Draw(t, "kind") {
			case 0:
				all := rapid.SliceOfNDistinct(rapid.SampledFrom(names), 0, 3, rapid.ID[string]).Draw(t, "held")
				q.Held = &all
			case 1:
				q.Switches = map[string]string{rapid.SampledFrom(names).Draw(t, "input"): rapid.SampledFrom([]string{"on", "off", "flash"}).Draw(t, "how")}
			case 2:
				q.Switches = map[string]string{"turn-lh": "flash", "turn-rh": "flash"}
			default:
				q.Flasher = &flasher{Rate: rapid.Float64Range(rateLeast, rateMost).Draw(t, "rate"), Share: rapid.Float64Range(shareLeast, shareMost).Draw(t, "share")}
			}
			w.take(q, now)
			c.see(&w, now)
			for range rapid.IntRange(1, 40).Draw(t, "pictures") {
				shots = append(shots, shot{now, w.hands(now).Inputs})
				now += benchStep
			}
		}
		text := script.Format(c.finish(now))
		read, faults := script.Parse("x", []byte(text), names)
		if faults.HasErrors() {
			t.Fatalf("%s\n%v", text, faults)
		}
		line := read.Timeline(0)
		for _, s := range shots {
			for _, name := range names {
				if line.Level(name, s.at) != s.inputs[name] {
					t.Fatalf("%s\nat %s %s was %v", text, s.at, name, s.inputs[name])
				}
			}
		}
	})
}

// The windows' line: the state comes first, then owners and light; a window that goes lets go of what it held.
func TestTheBenchIsStreamed(t *testing.T) {
	s, _ := served(t, jobText)
	web := httptest.NewUnstartedServer(s)
	s.Host = web.Listener.Addr().String()
	web.Start()
	defer web.Close()
	send := func(method, path, body string) *http.Response {
		t.Helper()
		r, err := http.NewRequest(method, web.URL+path, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		r.AddCookie(&http.Cookie{Name: s.cookie(), Value: testKey})
		w, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	if w := send("POST", "/api/bench", `{"window":"one","held":["stop"]}`); w.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a window that does not look holds a switch: %d", w.StatusCode)
	}
	one, two := send("GET", "/api/bench/light?window=one", ""), send("GET", "/api/bench/light?window=two", "")
	defer two.Body.Close()
	lines := bufio.NewScanner(two.Body)
	var order []string
	wait := func(what string, seen func(event, data string) bool) {
		t.Helper()
		event := ""
		for n := 0; n < 5000 && lines.Scan(); n++ {
			switch text := lines.Text(); {
			case text == "":
				event = ""
			case strings.HasPrefix(text, "event: "):
				event = text[7:]
			case strings.HasPrefix(text, "data: "):
				if len(order) < 3 {
					order = append(order, event)
				}
				if seen(event, text[6:]) {
					return
				}
			}
		}
		t.Fatalf("never seen: %s", what)
	}
	levels := func(level byte) func(string, string) bool {
		return func(event, data string) bool {
			got, _ := base64.StdEncoding.DecodeString(data)
			return event == "" && len(got) == 8 && got[0] == level
		}
	}
	wait("the first light", levels(0))
	if !slices.Equal(order[:3], []string{"bench", "owners", ""}) && !slices.Equal(order[:3], []string{"bench", "bench", "owners"}) {
		t.Errorf("the order is %v", order)
	}
	if w := send("POST", "/api/bench", `{"window":"one","held":["stop"]}`); w.StatusCode != http.StatusOK {
		text, _ := io.ReadAll(w.Body)
		t.Fatalf("status %d: %s", w.StatusCode, text)
	}
	wait("the stop", levels(255))
	one.Body.Close()
	wait("dark, when the window went", levels(0))
	for path, status := range map[string]int{"/api/bench/light?window=%3Cb%3E": http.StatusUnprocessableEntity, "/api/bench/light?window=" + strings.Repeat("a", 33): http.StatusUnprocessableEntity} {
		if w := send("GET", path, ""); w.StatusCode != status {
			t.Errorf("%s: status %d", path, w.StatusCode)
		}
	}
}

func TestTheBenchIsRefused(t *testing.T) {
	s, _ := served(t, jobText)
	for body, says := range map[string]string{
		`{"switches":{"horn":"on"}}`:          "no input",
		`{"switches":{"stop":"maybe"}}`:       "cannot be",
		`{"window":"a","held":["horn"]}`:      "no input",
		`{"window":"a","held":["stop"]}`:      "only a window that looks",
		`{"flasher":{"rate":900,"share":50}}`: "does not go",
		`{"flasher":{"rate":90,"share":0}}`:   "does not go",
		`{"supply":-1}`:                       "no car",
		`{"supply":400}`:                      "no car",
		`{"heat":-273}`:                       "no lamp",
		`{"supply":"high"}`:                   "cannot be read",
		`{"magic":true}`:                      "cannot be read",
	} {
		w := ask(s, "POST", "/api/bench", body)
		if w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), says) || !strings.Contains(w.Body.String(), `"next"`) {
			t.Errorf("%s: status %d: %s", body, w.Code, w.Body)
		}
	}
	if len(s.bench.switches.latched) > 0 || s.bench.switches.supply != usualSupply {
		t.Error("what was refused was done")
	}
	for _, q := range [][2]string{{"/api/bench/why", `{"lamp":"lamp","group":0}`}, {"/api/live", `{"port":"/dev/x","module":"m"}`}} {
		if w := ask(s, "POST", q[0], q[1]); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), `"next"`) {
			t.Errorf("%s: status %d: %s", q[0], w.Code, w.Body)
		}
	}
}

// The demo job by hand: whose a group is, and why, as its builder would say it.
func TestWhyOnTheDemoJob(t *testing.T) {
	text, err := os.ReadFile("../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	h := handOn(t, string(text))
	group := func(lamp, name string) int {
		l, _ := h.made.state.Kit.Lamp(lamp)
		return slices.IndexFunc(groupNames(l), func(n string) bool { return n == name })
	}
	why := func(lamp, name string) why {
		t.Helper()
		pressed := func(input string) bool { how, _ := h.switches.pressed(input); return how != "" }
		out, faults := moment{h.made, h.player.Rig(), pressed}.of(lamp, group(lamp, name))
		if faults.HasErrors() {
			t.Fatal(faults)
		}
		return out
	}
	on := func(names ...string) turn {
		q := turn{Rest: true, Switches: map[string]string{}}
		for _, n := range names {
			q.Switches[n] = "on"
		}
		return q
	}
	for _, c := range []struct {
		turn        turn
		ms          int
		lamp, group string
		owner, says string
	}{
		{turn{}, 1000, "tail-lh", "block.1", "", "Dark: stop is off; tide is off; hearth is off."},
		{on("stop"), 500, "tail-lh", "block.1", "stop", "stop stays with full. Its input stop is on."},
		{on("remote-1"), 500, "tail-lh", "block.1", "tide", "tide stays with tide. Its input remote-1 is on. Above it: stop is off."},
		{on("remote-1", "stop"), 500, "tail-lh", "block.1", "stop", "stop stays with full. Its input stop is on."},
		{on("remote-1", "ignition"), 500, "tail-lh", "block.1", "", "Dark: stop is off; tide is barred: ignition is on; hearth is off."},
		{turn{Switches: map[string]string{"ignition": "off"}}, 100, "tail-lh", "block.1", "", "Dark: stop is off; tide has ended: let remote-1 go and ask anew; hearth is off."},
		{turn{Rest: true, Supply: is(11.), Switches: map[string]string{"remote-1": "on"}}, 500, "tail-lh", "block.1", "", "Dark: stop is off; tide is barred: the supply is below 11.8 V; hearth is off."},
		{turn{Rest: true, Supply: is(24.), Switches: map[string]string{"stop": "on"}}, 500, "tail-lh", "block.1", "stop", "stop stays with full. Its input stop is on. All light of this module is halved: the supply is at 17 V or more."},
		{turn{Rest: true, Supply: is(5.5), Switches: map[string]string{"stop": "on"}}, 500, "tail-lh", "block.1", "", "Dark: stop is off: stop is asked for, but rear-lh does not read it as on (its filter waits, a flash is dark, or the wire has too little voltage); tide is off; hearth is off."},
		{turn{Rest: true, Flasher: &flasher{60, 50}, Switches: map[string]string{"turn-lh": "flash"}}, 100, "tail-lh", "arrow.1", "turn-lh", "turn-lh arrives with arrow-out, at the flasher's pace. Its input turn-lh is on."},
		{turn{}, 300, "tail-lh", "arrow.1", "turn-lh", "turn-lh holds what arrow-out left. Its input turn-lh is on."},
		{turn{}, 200, "tail-lh", "arrow.1", "turn-lh", "turn-lh keeps it dark for 700 ms more, so that nothing shows between two flashes. Its input turn-lh went off."},
		{turn{Rest: true, Battery: is(false)}, 500, "tail-lh", "block.1", "", "Dark: rear-lh has no supply."},
		{turn{Rest: true}, 32, "tail-lh", "block.1", "", "rear-lh shows plain signals: it checks its program, which takes a moment after its supply came, or refuses it for a side strap that is missing or wrong."},
		{turn{}, 40_000, "tail-lh", "block.1", "", "Dark: rear-lh sleeps, for nothing was asked of it. Any input wakes it."},
	} {
		h.do(c.turn, c.ms)
		got := why(c.lamp, c.group)
		if c.owner == "turn-lh" && strings.Contains(c.says, "keeps it dark") { // how long is left is the frames' affair
			got.Says = leftOver.ReplaceAllString(got.Says, "700 ms more")
		}
		if got.Owner != c.owner || got.Says != c.says {
			t.Errorf("%+v, %s: %s: %s", c.turn, c.group, got.Owner, got.Says)
		}
		owner := h.owners[firstGroup(h.made.state.Kit, c.lamp)+group(c.lamp, c.group)]
		if named := owner > 0 && owner < ownerMost; named != (c.owner != "") || named && layerNames(h.made.state.Kit)[owner-1] != c.owner {
			t.Errorf("%+v, %s: the picture's owner is %d, want %q", c.turn, c.group, owner, c.owner)
		}
	}
	if got, faults := (moment{h.made, h.player.Rig(), nil}).of("nowhere", 0); !faults.HasErrors() {
		t.Errorf("of no lamp: %v", got)
	}
}

// leftOver is how long something still lasts.
var leftOver = regexp.MustCompile(`\d+ ms more`)

func firstGroup(k *kit.Kit, lamp string) (n int) {
	for _, l := range k.Lamps {
		if l.Name == lamp {
			break
		}
		n += len(l.Groups)
	}
	return n
}

func groupNames(l *kit.Lamp) (names []string) {
	for _, g := range l.Groups {
		names = append(names, g.Name)
	}
	return names
}

// On the wire to a real module: refusals, each with a next step.
func TestLiveIsRefused(t *testing.T) {
	s, _ := served(t, strings.Replace(jobText, "wiring: {bar: 1..8}", "wiring: {bar: 1..8}, stream: true", 1))
	if w := ask(s, "POST", "/api/live", `{"port":"x","module":"m"}`); !strings.Contains(w.Body.String(), "no serial ports") {
		t.Errorf("without ports: %s", w.Body)
	}
	s.Ports = func() []string { return []string{"/dev/here"} }
	s.OpenPort = noPort
	if w := ask(s, "GET", "/api/live", ""); !strings.Contains(w.Body.String(), `"can":true,"ports":["/dev/here"]`) {
		t.Errorf("ports: %s", w.Body)
	}
	for body, says := range map[string]string{
		`{"port":"/dev/gone","module":"m"}`: "no port",
		`{"port":"/dev/here","module":"x"}`: "no module",
		`{"port":"/dev/here","module":"m"}`: "does not run",
	} {
		if w := ask(s, "POST", "/api/live", body); w.Code != http.StatusUnprocessableEntity || !strings.Contains(w.Body.String(), says) {
			t.Errorf("%s: status %d: %s", body, w.Code, w.Body)
		}
	}
	if w := ask(s, "POST", "/api/live", `{"port":""}`); w.Code != http.StatusOK {
		t.Errorf("cut without a wire: %d", w.Code)
	}
	plain, _ := served(t, jobText)
	plain.Ports, plain.OpenPort = s.Ports, s.OpenPort
	if w := ask(plain, "POST", "/api/live", `{"port":"/dev/here","module":"m"}`); !strings.Contains(w.Body.String(), "stream: true") {
		t.Errorf("of a module that takes none: %s", w.Body)
	}
}

func decoded(t *testing.T, text string) []byte {
	t.Helper()
	b, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func FuzzBench(f *testing.F) {
	f.Add(`{"switches":{"stop":"on"},"record":true}`, `{"rest":true,"record":false}`)
	f.Add(`{"flasher":{"rate":60,"share":50},"switches":{"stop":"flash","button":"flash"}}`, `{"supply":6.5,"crank":true,"battery":false,"heat":-40}`)
	f.Add(`{"window":"x","held":["stop","stop"]}`, `{"lamp":"lamp","group":3}`)
	f.Fuzz(func(t *testing.T, one, two string) {
		s, _ := served(t, jobText)
		s.results.wait()
		b := &s.bench
		for _, body := range []string{one, two} {
			for _, path := range []string{"/api/bench", "/api/bench/why", "/api/why", "/api/scripts", "/api/live"} {
				if w := ask(s, "POST", path, body); w.Code >= 500 {
					t.Errorf("%s: status %d", path, w.Code)
				}
			}
			b.mu.Lock()
			for range 20 {
				b.picture()
			}
			b.tell()
			if len(b.levels) != 8 || len(b.owners) != 8 || !json.Valid(b.state) {
				t.Errorf("%d levels, %d owners: %s", len(b.levels), len(b.owners), b.state)
			}
			b.mu.Unlock()
		}
	})
}
