package lamp

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestPatternPlaces(t *testing.T) {
	half := math.Sqrt2 / 2 * 10
	tests := []struct {
		name    string
		pattern Pattern
		by      Grouping
		want    []Point
	}{
		{"single", Single{Point{3, 4}}, Grouping{By: ByEach}, []Point{{3, 4}}},
		{"list", List{[]Point{{3, 4}, {1, 2}}}, Grouping{By: ByEach}, []Point{{3, 4}, {1, 2}}},
		{"row to the right", Row{Point{1, 2}, 3, 5}, Grouping{By: ByEach}, []Point{{1, 2}, {6, 2}, {11, 2}}},
		{"row to the left", Row{Point{1, 2}, 2, -5}, Grouping{By: ByEach}, []Point{{1, 2}, {-4, 2}}},
		{"column", Column{Point{1, 2}, 3, 5}, Grouping{By: ByEach}, []Point{{1, 2}, {1, 7}, {1, 12}}},
		{"grid by columns", Grid{Point{0, 0}, Point{20, 5}, 3, 2}, Grouping{ByColumns, 1}, []Point{{0, 0}, {0, 5}, {10, 0}, {10, 5}, {20, 0}, {20, 5}}},
		{"grid by rows", Grid{Point{0, 0}, Point{20, 5}, 3, 2}, Grouping{ByRows, 1}, []Point{{0, 0}, {10, 0}, {20, 0}, {0, 5}, {10, 5}, {20, 5}}},
		{"grid by LEDs goes by columns", Grid{Point{0, 0}, Point{20, 5}, 2, 2}, Grouping{ByLEDs, 2}, []Point{{0, 0}, {0, 5}, {20, 0}, {20, 5}}},
		{"grid from the upper right", Grid{Point{20, 5}, Point{0, 0}, 2, 2}, Grouping{By: ByEach}, []Point{{20, 5}, {20, 0}, {0, 5}, {0, 0}}},
		{"grid of one row", Grid{Point{0, 7}, Point{20, 7}, 2, 1}, Grouping{By: ByEach}, []Point{{0, 7}, {20, 7}}},
		{"ring", Ring{Centre: Point{1, 1}, RadiusMM: 10, Count: 4}, Grouping{By: ByEach}, []Point{{1, 11}, {11, 1}, {1, -9}, {-9, 1}}},
		{"ring anticlockwise from 3 o'clock", Ring{Centre: Point{1, 1}, RadiusMM: 10, Count: 4, StartDeg: 90, Anticlockwise: true}, Grouping{By: ByEach}, []Point{{11, 1}, {1, 11}, {-9, 1}, {1, -9}}},
		{"arc", Arc{RadiusMM: 10, Count: 3, StartDeg: 0, SweepDeg: 90}, Grouping{By: ByEach}, []Point{{0, 10}, {half, half}, {10, 0}}},
		{"arc anticlockwise", Arc{RadiusMM: 10, Count: 2, StartDeg: 45, SweepDeg: 90, Anticlockwise: true}, Grouping{By: ByEach}, []Point{{half, half}, {-half, half}}},
		{"line by count", Line{Through: []Point{{0, 0}, {10, 0}, {10, 20}}, Count: 4}, Grouping{By: ByEach}, []Point{{0, 0}, {10, 0}, {10, 10}, {10, 20}}},
		{"line by spacing", Line{Through: []Point{{0, 0}, {30, 0}}, SpacingMM: 10.2}, Grouping{By: ByEach}, []Point{{0, 0}, {10, 0}, {20, 0}, {30, 0}}},
		{"line closed", Line{Through: []Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, Closed: true, Count: 8}, Grouping{By: ByEach},
			[]Point{{0, 0}, {5, 0}, {10, 0}, {10, 5}, {10, 10}, {5, 10}, {0, 10}, {0, 5}}},
		{"line closed by spacing", Line{Through: []Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}}, Closed: true, SpacingMM: 20}, Grouping{By: ByEach}, []Point{{0, 0}, {10, 10}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			b := mustUnroll(t, "x", test.pattern, test.by)
			if len(b.LEDs) != len(test.want) {
				t.Fatalf("%d LEDs, want %d", len(b.LEDs), len(test.want))
			}
			for i, led := range b.LEDs {
				if distance(led.At, test.want[i]) > 1e-12 {
					t.Errorf("LED %d at %v, want %v", i, led.At, test.want[i])
				}
			}
		})
	}
}

func TestUnrollGroups(t *testing.T) {
	l := tail(t)
	for _, test := range []struct {
		zone   string
		groups int
		leds   int // in each group
		first  string
		last   string
	}{
		{"arrow", 12, 6, "arrow.1", "arrow.12"},
		{"block", 12, 6, "block.1", "block.12"},
		{"edge", 6, 6, "edge.1", "edge.6"},
	} {
		zone, ok := l.Zone(test.zone)
		if !ok || len(zone.Groups) != test.groups {
			t.Fatalf("zone %s: %v", test.zone, zone)
		}
		if name := l.Groups[zone.Groups[0]].Name; name != test.first {
			t.Errorf("first group %s, want %s", name, test.first)
		}
		if name := l.Groups[zone.Groups[test.groups-1]].Name; name != test.last {
			t.Errorf("last group %s, want %s", name, test.last)
		}
		for _, g := range zone.Groups {
			if n := len(l.Groups[g].LEDs); n != test.leds {
				t.Errorf("group %s has %d LEDs, want %d", l.Groups[g].Name, n, test.leds)
			}
			for _, led := range l.Groups[g].LEDs {
				if l.LEDs[led].Group != g {
					t.Errorf("LED %s says group %d, its group is %d", l.LEDs[led].ID, l.LEDs[led].Group, g)
				}
			}
		}
	}
	if first := l.LEDs[72+72]; first.ID != "edge/1" || first.At != (Point{6, 60}) {
		t.Errorf("first LED of the edge: %+v", first)
	}
	// A row of the block is one group: six LEDs at one height.
	block, _ := l.Zone("block")
	box, _ := l.BoundsOf(l.Groups[block.Groups[3]].LEDs)
	if box.Height() != 0 || box.Width() != 150 {
		t.Errorf("a row is %v wide and %v high", box.Width(), box.Height())
	}
	// 668 mm in 35 gaps.
	if path, ok := l.Path("edge"); !ok || path.LengthMM() != 668 {
		t.Errorf("edge path: %v", path)
	}
	if wrong := l.Check(); len(wrong) > 0 {
		t.Error(wrong)
	}
}

func TestRefusedPatterns(t *testing.T) {
	line := []Point{{0, 0}, {100, 0}}
	tests := []struct {
		name    string
		pattern Pattern
		by      Grouping
		text    string
		next    string
	}{
		{"part group of LEDs", Line{Through: line, Count: 36}, Grouping{ByLEDs, 5}, "x: 36 LEDs cannot be cut into groups of 5: 1 would be left over", "use 35 or 40 LEDs, or groups of 4 or 6"},
		{"part group of columns", Grid{Point{0, 0}, Point{1, 1}, 7, 3}, Grouping{ByColumns, 2}, "x: 7 columns cannot be cut into groups of 2: 1 would be left over", "use 6 or 8 columns, or groups of 1 or 7"},
		{"part group of rows", Grid{Point{0, 0}, Point{1, 1}, 3, 5}, Grouping{ByRows, 6}, "x: 5 rows cannot be cut into groups of 6: 5 would be left over", "use 6 rows, or groups of 5"},
		{"columns of a line", Line{Through: line, Count: 36}, Grouping{ByColumns, 2}, "x: groups of 2 columns need a grid, and this pattern is none", "say how many LEDs make a group, or use a grid"},
		{"groups of none", Row{Point{}, 4, 1}, Grouping{ByLEDs, 0}, "x: a group of 0 LEDs has no light", "use 1 or more"},
		{"no LED", List{}, Grouping{By: ByEach}, "x: 0 LEDs cannot be laid in this pattern", "correct the count"},
		{"too many LEDs", Grid{Point{0, 0}, Point{1, 1}, 1 << 30, 1 << 30}, Grouping{By: ByEach}, "x: 1073741824 LEDs cannot be laid in this pattern", "correct the count"},
		{"no columns", Grid{Point{0, 0}, Point{1, 1}, 0, 2}, Grouping{By: ByEach}, "x: a grid of 0 columns and 2 rows has no LED", "use at least 1 column and 1 row"},
		{"one column, two places", Grid{Point{0, 0}, Point{1, 1}, 1, 2}, Grouping{By: ByEach}, "x: 1 column cannot reach from x = 0 mm to 1 mm", "give both corners the same x, or use more columns"},
		{"two rows, one place", Grid{Point{0, 1}, Point{1, 1}, 2, 2}, Grouping{By: ByEach}, "x: 2 rows at the same y = 1 mm would stand on one spot", "move one corner, or use 1 row"},
		{"pitch 0", Row{Point{}, 3, 0}, Grouping{By: ByEach}, "x: 3 LEDs with a pitch of 0 mm would stand on one spot", "give the distance from LED to LED"},
		{"not a number", Single{Point{math.NaN(), 0}}, Grouping{By: ByEach}, "x: a position or length is not a number", "correct the value"},
		{"ring without radius", Ring{Count: 3}, Grouping{By: ByEach}, "x: a circle cannot have a radius of 0 mm", "give a radius above 0 mm"},
		{"arc of a full turn", Arc{RadiusMM: 1, Count: 3, SweepDeg: 360}, Grouping{By: ByEach}, "x: an arc cannot sweep 360 degrees", "use a ring for the full circle; anticlockwise instead of a minus sign"},
		{"line without corners", Line{Through: line[:1], Count: 3}, Grouping{By: ByEach}, "x: a line needs two or more different corners", "add a corner, or use a single LED"},
		{"line of one LED", Line{Through: line, Count: 1}, Grouping{By: ByEach}, "x: 1 LED cannot be laid in this pattern", "correct the count"},
		{"count and spacing", Line{Through: line, Count: 3, SpacingMM: 50}, Grouping{By: ByEach}, "x: a line has both a count and a spacing, and one follows from the other", "remove one of them"},
		{"neither", Line{Through: line}, Grouping{By: ByEach}, "x: a line has neither a count nor a spacing", "say how many LEDs stand on its 100 mm"},
		{"spacing that does not fit", Line{Through: line, SpacingMM: 40}, Grouping{By: ByEach}, "x: 100 mm cannot be cut into gaps of 40 mm", "use 3 LEDs (50 mm apart), or 4 LEDs (33.33 mm apart)"},
		{"spacing longer than the line", Line{Through: line, SpacingMM: 400}, Grouping{By: ByEach}, "x: 100 mm cannot be cut into gaps of 400 mm", "use 2 LEDs (100 mm apart), or 3 LEDs (50 mm apart)"},
		{"one gap all round", Line{Through: []Point{{0, 0}, {20, 0}}, Closed: true, SpacingMM: 40}, Grouping{By: ByEach}, "x: 40 mm cannot be cut into gaps of 40 mm", "use 2 LEDs (20 mm apart), or 3 LEDs (13.33 mm apart)"},
		{"minute spacing", Line{Through: line, SpacingMM: 1e-9}, Grouping{By: ByEach}, "x: a spacing of 0 mm cannot be laid on a line of 100 mm", "give a spacing that makes 2 to 20000 LEDs"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			b, wrong := Unroll("x", test.pattern, test.by, "", "")
			if len(wrong) != 1 {
				t.Fatalf("faults %v, block of %d LEDs", wrong, len(b.LEDs))
			}
			if wrong[0].Text != test.text || wrong[0].Next != test.next {
				t.Errorf("text %q, next %q", wrong[0].Text, wrong[0].Next)
			}
		})
	}
}

// The counts that a refusal names do fit, and none nearer does.
func TestRefusalNamesFittingCounts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		count, n := rapid.IntRange(1, 200).Draw(t, "count"), rapid.IntRange(2, 60).Draw(t, "n")
		_, wrong := Unroll("x", Row{Point{}, count, 1}, Grouping{ByLEDs, n}, "", "")
		if (count%n == 0) != (len(wrong) == 0) {
			t.Fatalf("%d in groups of %d: %v", count, n, wrong)
		}
		if len(wrong) == 0 {
			return
		}
		for _, better := range []int{count / n * n, (count/n + 1) * n} {
			if better == 0 {
				continue
			}
			if _, again := Unroll("x", Row{Point{}, better, 1}, Grouping{ByLEDs, n}, "", ""); len(again) > 0 {
				t.Fatalf("%d was offered: %v", better, again)
			}
		}
	})
}

func TestEqualArcLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		corners := rapid.SliceOfN(anyPoint(), 2, 6).Draw(t, "corners")
		closed := rapid.Bool().Draw(t, "closed")
		count := rapid.IntRange(2, 40).Draw(t, "count")
		b, wrong := Unroll("x", Line{Through: corners, Closed: closed, Count: count}, Grouping{By: ByAll}, "", "")
		if len(wrong) > 0 {
			t.Skip("corners on one spot")
		}
		for i, led := range b.LEDs {
			at := b.Path.At(b.PitchMM * float64(i))
			if distance(at, led.At) > 1e-9 {
				t.Fatalf("LED %d at %v, want %v", i, led.At, at)
			}
		}
		if b.LEDs[0].At != corners[0] || !closed && b.LEDs[count-1].At != corners[len(corners)-1] {
			t.Fatal("an end has no LED")
		}
	})
}

func TestGroupingWords(t *testing.T) {
	for want, g := range map[string]Grouping{
		"each": {By: ByEach}, "all": {By: ByAll}, "6 LEDs": {ByLEDs, 6}, "1 LED": {ByLEDs, 1},
		"2 columns": {ByColumns, 2}, "1 row": {ByRows, 1},
	} {
		if got := g.String(); got != want {
			t.Errorf("%+v is written %q, want %q", g, got, want)
		}
	}
}
