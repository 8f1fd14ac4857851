package compile

import (
	"bytes"
	"encoding/binary"
	"slices"
	"testing"

	"lampwright/kit"
	"lampwright/program"
)

// presses is a minute's driving in short: input bytes and frames.
var presses = []struct {
	in     uint8
	frames int
}{{0, 30}, {1, 40}, {3, 50}, {1, 30}, {4, 90}, {0, 60}, {4, 90}, {0, 250}, {16, 700}, {18, 100}, {20, 80}, {16, 300}, {0, 20}}

// lightByGroup runs a module through presses and gives, for every frame, the level of every group, stop override included.
func lightByGroup(t *testing.T, m *Module) (frames [][]uint8) {
	t.Helper()
	e, err := program.NewEngineFor(m.Program, m.Safe)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range presses {
		for range p.frames {
			e.Frames(1, p.in^m.Safe.Invert, true)
			shown := e.Shown()
			levels := make([]uint8, len(m.Of.Output))
			for g, o := range m.Of.Output {
				if levels[g] = shown.Levels[o]; shown.Force[o/8]>>(o%8)&1 == 1 {
					levels[g] = program.FullLevel
				}
			}
			frames = append(frames, levels)
		}
	}
	return frames
}

func TestSwappingTwoOutputsLeavesTheLightUnchangedAndAltersOnlyTheSlotMaps(t *testing.T) {
	for _, c := range []struct{ name, from, to string }{
		{"two neighbours of the turn signal", "wiring: {arrow: 1..6,", "wiring: {arrow: [2, 1, 3..6],"},
		{"the ends of the stop signal", "block: 7..10", "block: [10, 8, 9, 7]"},
		{"a ring soldered one position round", "edge: 11..18", "edge: [12..18, 11]"},
	} {
		_, before := compiled(t, base)
		_, after := compiled(t, change(t, c.from, c.to))
		a, b := before.Modules[0], after.Modules[0]
		if slices.Equal(a.Of.Output, b.Of.Output) {
			t.Fatalf("%s: nothing swapped", c.name)
		}
		lightA, lightB := lightByGroup(t, a), lightByGroup(t, b)
		dark := true
		for k := range lightA {
			if !bytes.Equal(lightA[k], lightB[k]) {
				t.Fatalf("%s: frame %d: %v before, %v after", c.name, k, lightA[k], lightB[k])
			}
			dark = dark && slices.Max(lightA[k]) == 0
		}
		if dark {
			t.Fatalf("%s: nothing lit", c.name)
		}
		onlySlotMaps(t, c.name, a.Image, b.Image)
		if !bytes.Equal(before.Modules[1].Image, after.Modules[1].Image) {
			t.Errorf("%s: the other module changed", c.name)
		}
	}
}

// onlySlotMaps fails if two images of one length differ outside their slot maps and their check (docs/image-format.md,
// section 3).
func onlySlotMaps(t *testing.T, name string, a, b []byte) {
	t.Helper()
	if len(a) != len(b) {
		t.Fatalf("%s: %d bytes before, %d after", name, len(a), len(b))
	}
	inMap := make([]bool, len(a))
	headers := []int{0}
	if other := int(binary.LittleEndian.Uint16(a[18:])); other > 0 {
		headers = append(headers, other)
	}
	for _, header := range headers {
		for i := range int(a[header+7]) {
			entry := header + 32 + 32*i
			at := int(binary.LittleEndian.Uint16(a[entry+4:]))
			for s := range int(a[entry+2]) {
				inMap[at+s] = true
			}
		}
	}
	differ := 0
	for i := range len(a) - 2 {
		if a[i] == b[i] {
			continue
		}
		if differ++; !inMap[i] {
			t.Errorf("%s: byte %d differs outside the slot maps: %02x, %02x", name, i, a[i], b[i])
		}
	}
	if differ == 0 {
		t.Errorf("%s: no slot map differs", name)
	}
}

func TestEditingARoutineChangesBothHandsAsExactReflections(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range []struct{ from, to string }{
		{"edge: 20 mm", "edge: 20 mm"},
		{"edge: 20 mm", "edge: 3 mm"},
		{"direction: outboard", "direction: inboard"},
		{"direction: outboard", "direction: up"},
		{"sweep: {on: arrow, direction: outboard, edge: 20 mm}", "pass: {on: arrow, direction: outboard, band: 15 mm, edge: 10 mm, easing: gentle}"},
		{"sweep: {on: arrow, direction: outboard, edge: 20 mm}", "scatter: {on: arrow, each: 60 ms}"},
	} {
		k, r := compiled(t, change(t, c.from, c.to))
		left, right := k.Lamps[0], k.Lamps[1]
		reflected(t, left, right)
		leftLayer, leftFacts := layerOf(t, r.Modules[0], "turn-lh")
		rightLayer, rightFacts := layerOf(t, r.Modules[1], "turn-rh")
		if !slices.Equal(leftFacts.Groups, rightFacts.Groups) {
			t.Fatalf("%s: slots stand for other groups: %v, %v", c.to, leftFacts.Groups, rightFacts.Groups)
		}
		a, b := program.PlayRoutine(leftLayer.Arrive, 6), program.PlayRoutine(rightLayer.Arrive, 6)
		for tick := range a {
			if !bytes.Equal(a[tick], b[tick]) {
				t.Fatalf("%s: tick %d: LH %v, RH %v", c.to, tick, a[tick], b[tick])
			}
		}
		seen[string(leftLayer.Arrive.Code)] = true
	}
	if len(seen) < 5 {
		t.Errorf("the edits gave only %d different routines", len(seen))
	}
}

// reflected fails unless group by group and LED by LED one lamp is the mirror image of the other.
func reflected(t *testing.T, a, b *kit.Lamp) {
	t.Helper()
	for g := range a.Groups {
		if !slices.Equal(a.Groups[g].LEDs, b.Groups[g].LEDs) {
			t.Fatalf("group %d holds other LEDs", g)
		}
	}
	for i := range a.LEDs {
		p, q := a.LEDs[i].At, b.LEDs[i].At
		if p.X != -q.X || p.Y != q.Y {
			t.Fatalf("LED %d at %v and %v", i, p, q)
		}
	}
}
