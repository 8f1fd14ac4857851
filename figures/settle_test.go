package figures

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/lamp"
)

// reversed reads the rows of a picture from right to left, the lamps' names left out.
func reversed(picture string) []string {
	var rows []string
	for _, row := range rowsOf(picture) {
		letters := []rune(row)
		slices.Reverse(letters)
		rows = append(rows, strings.TrimSpace(string(letters)))
	}
	return rows
}

// rowsOf are the rows of a picture that hold lights alone, without the room beside them.
func rowsOf(picture string) []string {
	var rows []string
	for _, row := range strings.Split(picture, "\n") {
		if row = strings.TrimSpace(row); row != "" && !strings.ContainsAny(row, "abcdefghijklmnopqrstuvwxyz") {
			rows = append(rows, row)
		}
	}
	return rows
}

// A pair of dark lamps, one the opposite hand of the other, looks the same from right to left, whatever the width of the screen.
func TestAPairLooksLikeItsReflection(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		left := &lamp.Lamp{Name: "l"}
		left.Place.Side = lamp.LH
		left.Place.At = lamp.Point{X: rapid.Float64Range(-1100, -400).Draw(t, "x"), Y: 900}
		y := 0.0
		for i := range rapid.IntRange(1, 4).Draw(t, "rows") {
			from := lamp.Point{X: rapid.Float64Range(0, 60).Draw(t, "from"), Y: y}
			row := lamp.Row{From: from, Count: rapid.IntRange(1, 24).Draw(t, "count"), PitchMM: rapid.Float64Range(4, 25).Draw(t, "pitch")}
			block, wrong := lamp.Unroll(string(rune('a'+i)), row, lamp.Grouping{By: lamp.ByEach}, "p", "red")
			if len(wrong) > 0 {
				t.Fatal(wrong)
			}
			left.Add(block)
			y += rapid.Float64Range(8, 30).Draw(t, "apart")
		}
		right := left.Opposite("r")
		columns := rapid.IntRange(40, 140).Draw(t, "columns")
		picture := NewTerminal([]*lamp.Lamp{left, right}, TerminalOptions{Columns: columns}).Picture(Frame{})
		if got := reversed(picture); !slices.Equal(got, rowsOf(picture)) {
			t.Fatalf("%d columns:\n%s", columns, picture)
		}
	})
}

// Strips one over the other stay over one another, and LH beside RH: the names' room does not tear a car apart.
func TestStripsOverOneAnotherKeepTheirSides(t *testing.T) {
	var lamps []*lamp.Lamp
	for _, strip := range []struct {
		name string
		y    float64
	}{{"red", 700}, {"amber", 720}} {
		l := &lamp.Lamp{Name: strip.name + "-lh"}
		l.Place.Side, l.Place.At = lamp.LH, lamp.Point{X: -700, Y: strip.y}
		unroll(t, l, "row", lamp.Row{Count: 16, PitchMM: 20}, lamp.Grouping{By: lamp.ByEach}, "red")
		r := l.Opposite(strip.name + "-rh")
		lamps = append(lamps, l, r)
	}
	for _, columns := range []int{40, 60, 80, 120} {
		picture := NewTerminal(lamps, TerminalOptions{Columns: columns}).Picture(Frame{})
		amber, red := strings.Index(picture, "amber-lh"), strings.Index(picture, "red-lh")
		for _, pair := range []string{"amber", "red"} {
			at := strings.Index(picture, pair+"-lh")
			if line, _, _ := strings.Cut(picture[at:], "\n"); !strings.Contains(line, pair+"-rh") {
				t.Errorf("%d columns: %s-lh and %s-rh do not stand side by side\n%s", columns, pair, pair, picture)
			}
		}
		if amber > red || len(rowsOf(picture)) != 2 {
			t.Errorf("%d columns: amber stands above red on the car\n%s", columns, picture)
		}
	}
}

// Two rows of LEDs nearer than a cell is high are told apart, and no name is written over a light.
func TestRowsCloseTogether(t *testing.T) {
	l := &lamp.Lamp{Name: "front"}
	unroll(t, l, "white", lamp.Row{From: lamp.Point{Y: 14}, Count: 24, PitchMM: 25}, lamp.Grouping{By: lamp.ByEach}, "white")
	unroll(t, l, "amber", lamp.Row{Count: 24, PitchMM: 25}, lamp.Grouping{By: lamp.ByEach}, "amber")
	for columns := 40; columns <= 120; columns++ {
		picture := NewTerminal([]*lamp.Lamp{l}, TerminalOptions{Columns: columns}).Picture(Frame{})
		if rows := rowsOf(picture); len(rows) != 2 || len(rows[0]) != len(rows[1]) {
			t.Fatalf("%d columns:\n%s", columns, picture)
		}
	}
}
