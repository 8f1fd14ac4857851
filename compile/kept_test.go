package compile

import (
	"bytes"
	"strings"
	"testing"

	"lampwright/examples"
	"lampwright/kit"
)

// With fits that were kept every module comes out to the byte as without, whatever was compiled before; and what nobody uses any more
// is forgotten.
func TestKeptFitsChangeNothing(t *testing.T) {
	demo := string(examples.Pickup)
	var kept Fits
	most := 0
	for n, text := range []string{
		demo,
		strings.Replace(demo, "light: 4 %}", "light: 7 %}", 1),
		demo,
		strings.Replace(demo, "band: 420 mm", "band: 300 mm", 1),
		strings.Replace(demo, "seed: 7", "seed: 8", 1),
	} {
		if n%2 == 1 && text == demo {
			t.Fatalf("text %d is not another one", n)
		}
		k, faults := kit.Parse("demo.yaml", []byte(text), kit.NoFiles)
		if k == nil {
			t.Fatal(faults)
		}
		fresh, _ := Compile(k, Options{})
		again, _ := Compile(k, Options{Kept: &kept})
		for i, m := range fresh.Modules {
			if !bytes.Equal(m.Image, again.Modules[i].Image) {
				t.Errorf("text %d: module %s differs", n, m.Of.Name)
			}
		}
		strict, _ := Compile(k, Options{Strict: true, Kept: &kept})
		if n == 0 && bytes.Equal(strict.Modules[0].Image, fresh.Modules[0].Image) {
			t.Error("strict fits are those that are not strict")
		}
		most = max(most, len(kept.tracks))
	}
	empty, faults := kit.Parse("small.yaml", []byte("lampwright: 1\njob: {title: Small, use: show-only}\nlamps: {l: {place: {end: rear, side: LH, at: [0 mm, 0 mm]}, leds: [{row: {name: bar, from: [0, 0], to: [10, 0], count: 2, group: 1, part: red-622}}]}}\n"), kit.NoFiles)
	if empty == nil {
		t.Fatal(faults)
	}
	for range keptRuns + 1 {
		Compile(empty, Options{Kept: &kept})
	}
	if most == 0 || len(kept.tracks) != 0 {
		t.Errorf("%d fits are kept of %d", len(kept.tracks), most)
	}
}
