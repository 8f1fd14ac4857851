package job_test

import (
	"slices"
	"strings"
	"testing"

	"lampwright/job"

	"pgregory.net/rapid"
)

func TestRegions(t *testing.T) {
	for text, want := range map[string]string{
		"arrow":             "arrow|",
		"tail-lh.arrow":     "tail-lh arrow|",
		"edge.3":            "edge|3",
		"edge.1..4":         "edge|1..4",
		"edge.4..1":         "edge|4..1",
		"tail-lh.edge.1..4": "tail-lh edge|1..4",
	} {
		r, problem := job.ParseRegion(text)
		got := strings.Join(r.Names, " ") + "|"
		if r.Part != nil {
			got += r.Part.String()
		}
		if problem != "" || got != want || r.String() != text {
			t.Errorf("%q read as %q (%s)", text, got, problem)
		}
	}
	for _, text := range []string{"", ".", "3", "a.", ".a", "a..b", "a.b.c", "a.0", "a.1..", "a.1.2", "a.01", "A", "a b", "a.-1", "a.99999", "note"} {
		if r, problem := job.ParseRegion(text); problem == "" {
			t.Errorf("%q was read as %+v", text, r)
		}
	}
}

func TestRunsCountEveryNumberOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := job.Run{First: rapid.IntRange(1, 512).Draw(t, "first"), Last: rapid.IntRange(1, 512).Draw(t, "last")}
		numbers := run.Numbers()
		if len(numbers) != run.Len() || numbers[0] != run.First || numbers[len(numbers)-1] != run.Last {
			t.Fatalf("%v gives %v", run, numbers)
		}
		slices.Sort(numbers)
		for i, n := range numbers {
			if n != numbers[0]+i {
				t.Fatalf("%v leaves a gap", run)
			}
		}
		r, problem := job.ParseRegion("edge." + run.String())
		if problem != "" || r.Part.First != run.First || r.Part.Last != run.Last {
			t.Fatalf("%v reads back as %v (%s)", run, r.Part, problem)
		}
	})
}

func TestGroupingsPrintAsWritten(t *testing.T) {
	for _, text := range []string{"each", "all", "6", "1 column", "2 columns", "1 row", "3 rows"} {
		document := "lampwright: 1\njob: {title: a, use: show-only}\nlamps:\n  a:\n    place: {end: rear, side: LH, at: [0 mm, 0 mm]}\n    leds:\n" +
			"      - grid: {name: g, from: [0, 0], to: [9, 9], columns: 4, rows: 6, part: red, group: " + text + "}\n"
		d, list := job.Parse("a.yaml", []byte(document))
		if len(list) > 0 {
			t.Fatal(list)
		}
		lamp, _ := d.Lamps.Get("a")
		if got := lamp.LEDs[0].Grid.Group.String(); got != text {
			t.Errorf("%q printed as %q", text, got)
		}
	}
}
