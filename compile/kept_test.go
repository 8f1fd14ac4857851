package compile

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"lampwright/examples"
	"lampwright/kit"
	"lampwright/light"
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
		wide, _ := Compile(k, Options{Error: 2.5, Kept: &kept})
		if n == 0 && bytes.Equal(wide.Modules[0].Image, fresh.Modules[0].Image) {
			t.Error("fits within a wider error are those within the default")
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
	if most == 0 || len(kept.tracks)+len(kept.lights) != 0 {
		t.Errorf("%d fits are kept of %d, and %d lights", len(kept.tracks), most, len(kept.lights))
	}
}

// A job that is compiled again is not sampled again: what is the same to the last bit is known by its content.
func TestKeptLightIsNotSampledAgain(t *testing.T) {
	var kept Fits
	asked := func() (n int) {
		k, faults := kit.Parse("demo.yaml", examples.Pickup, kit.NoFiles)
		if k == nil {
			t.Fatal(faults)
		}
		Compile(k, Options{Kept: &kept, Wanted: func() bool { n++; return true }})
		return n
	}
	first, again := asked(), asked()
	if first < 100 || again > first/4 {
		t.Errorf("the first compilation asks %d times, and the same once more %d times", first, again)
	}
}

// Every field of a routine and of a stroke counts in its name by content.
func TestLightIsNamedByAllOfIt(t *testing.T) {
	named := func(r *light.Routine) string {
		var all bytes.Buffer
		spell(&all, reflect.ValueOf(r))
		return all.String()
	}
	plain := func() *light.Routine {
		return &light.Routine{Strokes: []light.Stroke{{On: []int{1}, Units: []int{1}, From: new(float64), Called: &light.Routine{}}}}
	}
	base, seen := named(plain()), 0
	var change func(v reflect.Value, what string, of *light.Routine)
	change = func(v reflect.Value, what string, of *light.Routine) {
		old := reflect.New(v.Type()).Elem()
		old.Set(v)
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				change(v.Field(i), what+"."+v.Type().Field(i).Name, of)
			}
			return
		case reflect.String:
			v.SetString("x")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Float64:
			v.SetFloat(v.Float() + 1)
		case reflect.Pointer, reflect.Slice:
			v.SetZero()
			if old.IsZero() {
				v.Set(reflect.MakeSlice(v.Type(), 1, 1))
			}
		default:
			if v.CanInt() {
				v.SetInt(v.Int() + 1)
			} else {
				v.SetUint(v.Uint() + 1)
			}
		}
		if seen++; named(of) == base {
			t.Errorf("%s does not count", what)
		}
		v.Set(old)
	}
	r := plain()
	change(reflect.ValueOf(r).Elem(), "routine", r)
	change(reflect.ValueOf(&r.Strokes[0]).Elem(), "stroke", r)
	if named(r) != base || seen < 20 {
		t.Errorf("%d changes were tried", seen)
	}
}
