package job_test

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampwright/job"
	"lampwright/report"
	"lampwright/units"
)

// documents gives the paths of files that match, and fails when none does.
func documents(tb testing.TB, pattern string) []string {
	tb.Helper()
	paths, err := filepath.Glob(pattern)
	if err != nil || len(paths) == 0 {
		tb.Fatalf("nothing matches %s: %v", pattern, err)
	}
	return paths
}

// good reads a document without faults.
func good(t *testing.T, path string) *job.Document {
	t.Helper()
	document, list := job.Read(path)
	if len(list) > 0 {
		t.Fatalf("%s: %v", path, list)
	}
	return document
}

func TestPickupReadsAsWritten(t *testing.T) {
	d := good(t, "testdata/pickup.yaml")
	if got := d.Lamps.Keys(); !slices.Equal(got, []string{"tail-lh", "tail-rh"}) {
		t.Errorf("lamps %v", got)
	}
	if got := d.Signals.Keys(); !slices.Equal(got, []string{"turn-lh", "turn-rh", "stop", "tail"}) {
		t.Errorf("signals in the order %v", got)
	}
	lamp, _ := d.Lamps.Get("tail-lh")
	if at := lamp.Place.Centre.Value; at.X != -720 || at.Y != 900 || lamp.Place.Side != job.LH || lamp.Place.End != job.Rear {
		t.Errorf("place %+v", lamp.Place)
	}
	grid := lamp.LEDs[0].Grid
	if grid == nil || grid.Columns != 24 || grid.Group.By != job.ByColumns || grid.Group.N != 2 || grid.From.X != 6 {
		t.Errorf("grid %+v", grid)
	}
	if where := grid.Name.Where; where.Line != 9 || where.Column != 22 || where.Length != len("arrow") {
		t.Errorf("the grid's name stands at %v", where)
	}
	module, _ := d.Modules.Get("rear-rh")
	block, _ := module.Wiring.Get("block")
	if got := block.Numbers(); !slices.Equal(got, []int{19, 20, 21, 22, 23, 24, 13, 14, 15, 16, 17, 18}) {
		t.Errorf("block hangs on %v", got)
	}
	if arrow, _ := module.Wiring.Get("arrow"); arrow.Numbers()[0] != 12 || arrow.Numbers()[11] != 1 {
		t.Errorf("arrow hangs on %v", arrow.Numbers())
	}
	routine, _ := d.Routines.Get("arrow-out")
	sweep := routine.Strokes[0].Sweep
	if sweep == nil || sweep.For.Value != 120*units.Millisecond || sweep.Edge.Value != 10 || sweep.Direction.Value != job.Outboard {
		t.Errorf("sweep %+v", sweep)
	}
	if sweep.Light.Given() || sweep.Light.Or(1) != 1 {
		t.Error("a light was read that is not written")
	}
	if routine.Strokes[0].Gesture() != &sweep.Gesture || routine.Strokes[0].Travel() != &sweep.Travel {
		t.Error("the stroke's common parts are not its own")
	}
	show, _ := d.Shows.Get("tide")
	if show.Limit.Value != 10*units.Minute {
		t.Errorf("limit %v", show.Limit.Value)
	}
	if functions := lamp.Functions.All(); len(functions) != 3 || functions[0].Name != "turn" || !functions[0].Required {
		t.Errorf("functions %+v", functions)
	}
}

func TestEveryKeyIsRead(t *testing.T) {
	d := good(t, "testdata/everything.yaml")
	lamp, _ := d.Lamps.Get("tail-lh")
	if x := lamp.Place.Centre.Value.X; x != -723.9 {
		t.Errorf("28 1/2 in to the left read as %v", x)
	}
	if p := lamp.Outline[3]; p.Y != 317.5 {
		t.Errorf("12.5 in read as %v", p.Y)
	}
	if rest, _ := lamp.Zones.Get("rest"); rest.Without.Items[0].Text != "edge.2" || rest.Without.Items[0].Part.First != 2 || rest.Colour.Value != job.Amber {
		t.Errorf("zone %+v", rest)
	}
	if low, _ := lamp.Zones.Get("low"); len(low.With.Items) != 2 || low.With.Items[1].Part.Len() != 3 {
		t.Errorf("zone %+v", low)
	}
	module, _ := d.Modules.Get("rear-lh")
	if base, _ := module.Wiring.Get("base"); base.String() != "14..20, 22, 21" || len(base.Numbers()) != 9 {
		t.Errorf("base hangs on %v", base)
	}
	if d.Parts.Note != "bought loose" || d.Parts.Len() != 2 {
		t.Errorf("parts %+v", d.Parts)
	}
	if f := module.Fed; f == nil || f.Fuse.Text != "F3" || len(f.Also.Items) != 2 || !module.Strap || !module.Stream {
		t.Errorf("rear-lh is fed by %+v, strap %v, stream %v", f, module.Strap, module.Stream)
	}
	other, _ := d.Modules.Get("rear-rh")
	if other.SameImageAs.Text != "rear-lh" || other.Fed.Only.Text != "turn-rh" || other.Strap {
		t.Errorf("rear-rh: %+v", other)
	}
	if g := d.Guard; g.ShowsAbove.Value != 11.8 || g.HalveAbove.Value != 17 || g.SleepAfter.Value != 30*units.Second || g.ShowsOffAt.Value != 85 || g.HalveAt.Value != 105 {
		t.Errorf("guard %+v", g)
	}
	stop, _ := d.Inputs.Get("stop")
	lh, _ := d.Inputs.Get("turn-lh")
	rh, _ := d.Inputs.Get("turn-rh")
	if !stop.OneTap || stop.CarriesStop != nil || lh.CarriesStop.Reference.Text != "stop" || rh.CarriesStop == nil || rh.CarriesStop.Reference.Given() {
		t.Errorf("inputs %+v, %+v, %+v", stop, lh, rh)
	}
	wave, _ := d.Shows.Get("wave")
	if len(wave.NotWhile.Items) != 1 || len(wave.OnlyWhile.Items) != 2 || wave.OnlyWhile.Items[1].Text != "remote-1" {
		t.Errorf("the show is barred by %v, and runs only with %v", wave.NotWhile, wave.OnlyWhile)
	}
	outage, _ := d.Outages.Get("stop-check")
	if outage.On.String() != "rear-lh.31" || outage.Kind != job.Message || outage.Threshold != 0.06 || outage.Window.Value != 150*units.Millisecond ||
		outage.Load != 150 || outage.Rating.Value != 2 || outage.Sense.Text != "remote-1" {
		t.Errorf("outage %+v", outage)
	}
	if turn, _ := d.Outages.Get("turn-check"); turn.Window.Given() || turn.Rating.Given() || turn.Kind != job.FlashRate {
		t.Errorf("outage %+v", turn)
	}
	routine, _ := d.Routines.Get("all-strokes")
	var kinds []string
	for _, s := range routine.Strokes {
		kinds = append(kinds, s.Chosen)
		if (s.Gesture() == nil) != (s.Call != nil) {
			t.Errorf("%s has no common part", s.Chosen)
		}
	}
	if got := strings.Join(kinds, " "); got != "sweep clear pass swing fade-up fade-down beat hold scatter call" {
		t.Errorf("strokes %s", got)
	}
	if r := routine.Strokes[1].Clear.On.Items[1]; !slices.Equal(r.Names, []string{"tail-lh", "edge"}) || r.Part.Last != 4 {
		t.Errorf("region %+v", r)
	}
}

// TestFaultsReadWell compares whole reports, so that wording changes are seen.
func TestFaultsReadWell(t *testing.T) {
	for _, path := range documents(t, "testdata/faults/*.yaml") {
		t.Run(filepath.Base(path), func(t *testing.T) {
			_, list := job.Read(path)
			if !list.HasErrors() {
				t.Fatal("no fault was found")
			}
			var got bytes.Buffer
			if err := report.Render(&got, list); err != nil {
				t.Fatal(err)
			}
			golden := strings.TrimSuffix(path, ".yaml") + ".txt"
			if os.Getenv("UPDATE_GOLDEN") == "1" {
				if err := os.WriteFile(golden, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(golden)
			if err != nil {
				t.Fatal(err)
			}
			if got.String() != string(want) {
				t.Errorf("got:\n%s\nwant:\n%s", got.String(), want)
			}
		})
	}
}

// Messages speak the builder's language: none of the words of the program's
// own language or of its libraries.
func TestFaultsSpeakTheBuildersLanguage(t *testing.T) {
	for _, path := range documents(t, "testdata/faults/*.yaml") {
		_, list := job.Read(path)
		for _, d := range list {
			text := strings.Join([]string{d.Text, d.Why, d.Next, d.Expected}, " ")
			for _, word := range []string{"struct", "unmarshal", "nil", "int64", "float", "yaml:", "token", "node", "%!", "strconv", "parse"} {
				if strings.Contains(strings.ToLower(text), word) {
					t.Errorf("%s: %q says %q", path, text, word)
				}
			}
			if d.Place.Line > 0 && d.Line == "" && d.Place.Column > 0 && filepath.Base(path) != "empty.yaml" {
				t.Errorf("%s: %v shows no line", path, d)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"testdata/*.yaml", "testdata/faults/*.yaml"} {
		for _, path := range documents(f, pattern) {
			text, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text)
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		document, list := job.Parse("fuzz.yaml", text)
		if document == nil && !list.HasErrors() {
			t.Fatal("no document and no fault")
		}
		for _, d := range list {
			if d.ID == "" || d.Text == "" || d.Next == "" {
				t.Fatalf("incomplete diagnostic %+v", d)
			}
		}
		if document != nil && !list.HasErrors() {
			if document.Lamps.Len() == 0 || document.Job.Title == "" && !bytes.Contains(text, []byte("title")) {
				t.Fatal("a document without what every document needs")
			}
		}
	})
}
