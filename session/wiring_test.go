package session

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const wired = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [0 mm, 0 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [70, 0], count: 8, group: 1, part: red-622}
      - ring: {name: ring, centre: [35, 40], radius: 20 mm, count: 4, group: 1, part: amber-590}
modules:
  m: {board: chain-16, lamp: lamp, wiring: {bar: 1..8, ring: [10..12, 9]}}   # soldered on Monday
`

func wiringLine(text string) string {
	_, line, _ := strings.Cut(text, "wiring: ")
	line, _, _ = strings.Cut(line, "}   #")
	return strings.TrimSuffix(line, "}") + "}"
}

func TestWiringCommands(t *testing.T) {
	for _, c := range []struct{ name, args, want string }{
		{"wire", `{"module":"m","group":"bar.1","output":2}`, "{bar: [2..1, 3..8], ring: [10..12, 9]}"},
		{"wire", `{"module":"m","group":"bar.8","output":16}`, "{bar: [1..7, 16], ring: [10..12, 9]}"},
		{"swap", `{"module":"m","a":1,"b":12}`, "{bar: [12, 2..8], ring: [10..11, 1, 9]}"},
		{"swap", `{"module":"m","a":8,"b":13}`, "{bar: [1..7, 13], ring: [10..12, 9]}"},
		{"rotate", `{"module":"m","from":9,"to":12,"by":-1}`, "{bar: 1..8, ring: 9..12}"},
		{"rotate", `{"module":"m","from":1,"to":8,"by":1}`, "{bar: [2..8, 1], ring: [10..12, 9]}"},
		{"rewire", `{"module":"m","outputs":{"bar.1":3,"bar.2":1,"bar.3":2}}`, "{bar: [3, 1..2, 4..8], ring: [10..12, 9]}"},
		{"wire", `{"module":"m","group":"ring.4","output":0}`, "{bar: 1..8, ring: [10..12, none]}"},
		{"rewire", `{"module":"m","outputs":{"bar.1":2,"bar.2":0}}`, "{bar: [2, none, 3..8], ring: [10..12, 9]}"},
	} {
		d, path := opened(t, wired, Options{})
		must(t, d.Do(d.State().Revision, c.name, json.RawMessage(c.args)))
		if got := wiringLine(onDisk(t, path)); got != c.want {
			t.Errorf("%s %s: %s", c.name, c.args, got)
		}
		if text := onDisk(t, path); !strings.Contains(text, "# soldered on Monday") || strings.Count(text, "\n") != strings.Count(wired, "\n") {
			t.Errorf("%s: the rest changed:\n%s", c.name, text)
		}
	}
}

func TestAnUnwiredLampIsWiredGroupByGroup(t *testing.T) {
	d, path := opened(t, strings.Replace(wired, "{bar: 1..8, ring: [10..12, 9]}", "{}", 1), Options{})
	for i, want := range []string{"{ring: [3, none, none, none]}", "{ring: [3..4, none, none]}", "{ring: [3..5, none]}", "{ring: 3..6}"} {
		must(t, d.Do(d.State().Revision, "wire", json.RawMessage(fmt.Sprintf(`{"module":"m","group":"ring.%d","output":%d}`, i+1, i+3))))
		if got := wiringLine(onDisk(t, path)); got != want {
			t.Errorf("after ring.%d: %s", i+1, got)
		}
	}
}

func TestWiringRefusals(t *testing.T) {
	for _, c := range []struct{ name, args, says string }{
		{"wire", `{"module":"n","group":"bar.1","output":2}`, "no module"},
		{"wire", `{"module":"m","group":"bar.9","output":2}`, "no group"},
		{"wire", `{"module":"m","group":"bar.1","output":17}`, "no output 17"},
		{"swap", `{"module":"m","a":0,"b":1}`, "no output 0"},
		{"rotate", `{"module":"m","from":4,"to":4,"by":1}`, "nothing to move"},
		{"rewire", `{"module":"m","outputs":{"bar.1":3,"bar.2":3}}`, "both said"},
		{"rewire", `{"module":"m","also":"m","outputs":{}}`, "cannot be read"},
		{"swap", `{"module":"m","also":"n","a":1,"b":2}`, "no module"},
	} {
		d, path := opened(t, wired, Options{})
		if list := d.Do(d.State().Revision, c.name, json.RawMessage(c.args)); !strings.Contains(list.Error(), c.says) || onDisk(t, path) != wired {
			t.Errorf("%s %s: %v", c.name, c.args, list)
		}
	}
}

const handed = `lampwright: 1
job: {title: Two hands, use: show-only}
lamps:
  left:
    place: {end: rear, side: LH, at: [-600 mm, 0 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [70, 0], count: 8, group: 1, part: red-622}
    functions: {stop: {zone: [bar.1..2], required: false}, turn: {zone: [bar.3..8], required: false}}
  right: {opposite-hand-of: left}
modules:
  l: {board: chain-16, lamp: left, wiring: {bar: [1..7, none]}}
  r: {board: chain-16, lamp: right, wiring: {bar: [2..1, 7..3, none]}, same-image-as: l}
inputs:
  stop: {wire: [l.in1, r.in1]}
  turn-lh: {wire: l.in2}
  turn-rh: {wire: r.in2}
routines:
  full: {strokes: [{hold: {on: bar, light: 100 %}}]}
signals:
  - turn-lh: {input: turn-lh, takes: left.bar.3..8, stay: full}
  - turn-rh: {input: turn-rh, takes: right.bar.3..8, stay: full}
  - stop: {input: stop, takes: bar.1..2, stay: full}
outages:
  - load: {input: stop, on: l.16, kind: message, threshold: 90 mA, window: 150 ms, load: 120 Ω, rating: 2 W}
`

// wiringOf gives the outputs of a module's groups, 1-based.
func wiringOf(t *testing.T, d *Desk, module string) []int {
	t.Helper()
	m, known := d.State().Seen.Module(module)
	if !known {
		t.Fatalf("no module %s:\n%s", module, d.State().Text)
	}
	var outputs []int
	for _, o := range m.Output {
		outputs = append(outputs, o+1)
	}
	return outputs
}

func TestBothHandsAreChangedInOneStep(t *testing.T) {
	for _, c := range []struct {
		name, args  string
		left, right []int
	}{
		{"wire", `{"module":"l","also":"r","group":"bar.1","output":9}`, []int{9, 2, 3, 4, 5, 6, 7, 0}, []int{9, 1, 7, 6, 5, 4, 3, 0}},
		{"swap", `{"module":"l","also":"r","a":1,"b":8}`, []int{8, 2, 3, 4, 5, 6, 7, 0}, []int{2, 8, 7, 6, 5, 4, 3, 0}},
		{"rotate", `{"module":"l","also":"r","from":1,"to":8,"by":1}`, []int{2, 3, 4, 5, 6, 7, 8, 0}, []int{3, 2, 8, 7, 6, 5, 4, 0}},
		{"fill", `{"module":"l","also":"r"}`, []int{1, 2, 3, 4, 5, 6, 7, 8}, []int{2, 1, 7, 6, 5, 4, 3, 8}},
		{"fill", `{"module":"l","also":"l"}`, []int{1, 2, 3, 4, 5, 6, 7, 8}, []int{2, 1, 7, 6, 5, 4, 3, 0}},
	} {
		d, _ := opened(t, handed, Options{})
		must(t, d.Do(d.State().Revision, c.name, json.RawMessage(c.args)))
		if l, r := wiringOf(t, d, "l"), wiringOf(t, d, "r"); !slices.Equal(l, c.left) || !slices.Equal(r, c.right) {
			t.Errorf("%s %s: %v and %v", c.name, c.args, l, r)
		}
		must(t, d.Undo(d.State().Revision))
		if d.State().Text != handed {
			t.Errorf("%s %s is more than one step", c.name, c.args)
		}
	}
}

// No group is put on an output that switches a load for the car's lamp check, and none fills it.
func TestLoadsKeepTheirOutput(t *testing.T) {
	for _, c := range []struct{ name, args string }{
		{"wire", `{"module":"l","group":"bar.8","output":16}`},
		{"swap", `{"module":"l","a":1,"b":16}`},
		{"rotate", `{"module":"l","from":7,"to":16,"by":-1}`},
		{"rewire", `{"module":"l","outputs":{"bar.8":16}}`},
	} {
		d, path := opened(t, handed, Options{})
		if list := d.Do(d.State().Revision, c.name, json.RawMessage(c.args)); !strings.Contains(list.Error(), "switches the load") || onDisk(t, path) != handed {
			t.Errorf("%s %s: %v", c.name, c.args, list)
		}
	}
}

func TestFillKnowsWhenThereIsNoRoom(t *testing.T) {
	text := strings.Replace(strings.Replace(wired, "chain-16", "chain-8", 1), "{bar: 1..8, ring: [10..12, 9]}", "{}", 1)
	d, path := opened(t, text, Options{})
	list := d.Do(d.State().Revision, "fill", json.RawMessage(`{"module":"m"}`))
	if !strings.Contains(list.Error(), "12 groups of lamp hang nowhere, and 8 outputs of m are free") || onDisk(t, path) != text {
		t.Errorf("%v", list)
	}
}

// Hands that no longer fit each other stop the job, but not the change that mends them; a broken map stops it.
func TestWiringOfABrokenJob(t *testing.T) {
	apart := strings.Replace(handed, "[2..1, 7..3, none]", "[3..2, 8..4, none]", 1)
	d, _ := opened(t, apart, Options{})
	if d.State().Kit != nil {
		t.Fatal("the hands light different outputs, and nothing stops the job")
	}
	must(t, d.Do(d.State().Revision, "rotate", json.RawMessage(`{"module":"r","from":1,"to":8,"by":-1}`)))
	if got := wiringOf(t, d, "r"); !slices.Equal(got, []int{2, 1, 7, 6, 5, 4, 3, 0}) || d.State().Kit == nil {
		t.Errorf("mended: %v, %v", got, d.State().Problems)
	}
	for _, broken := range []string{
		strings.Replace(handed, "7..3, none]", "7..3, 3]", 1),
		strings.Replace(handed, "7..3, none]", "7..3]", 1),
		strings.Replace(handed, "board: chain-16, lamp: right", "board: chain-1, lamp: right", 1),
		strings.Replace(handed, "part: red-622", "part: none-such", 1),
		strings.Replace(handed, "count: 8", "count: eight", 1),
	} {
		d, path := opened(t, broken, Options{})
		if list := d.Do(d.State().Revision, "swap", json.RawMessage(`{"module":"r","a":2,"b":3}`)); !list.HasErrors() || onDisk(t, path) != broken {
			t.Errorf("changed, though broken: %v\n%s", list, onDisk(t, path))
		}
	}
}

// Whatever is done to the wiring, the document says exactly the outputs that the command means, and undo leads back.
func TestWiringSaysWhatIsMeant(t *testing.T) {
	folder := t.TempDir()
	rapid.Check(t, func(r *rapid.T) {
		path := filepath.Join(folder, "lamp.yaml")
		if err := os.WriteFile(path, []byte(wired), 0o644); err != nil {
			r.Fatal(err)
		}
		d, err := Open(path, Options{})
		if err != nil {
			r.Fatal(err)
		}
		want := slices.Clone(d.State().Kit.Modules[0].Output) // 0-based, -1: none
		groups := d.State().Kit.Lamps[0].Groups
		steps := rapid.IntRange(1, 8).Draw(r, "steps")
		for range steps {
			var name, args string
			switch rapid.IntRange(0, 2).Draw(r, "command") {
			case 0:
				g, o := rapid.IntRange(0, len(groups)-1).Draw(r, "group"), rapid.IntRange(0, 16).Draw(r, "output")
				name, args = "wire", fmt.Sprintf(`{"module":"m","group":%q,"output":%d}`, groups[g].Name, o)
				if other := slices.Index(want, o-1); o > 0 && other >= 0 {
					want[other] = want[g]
				}
				want[g] = o - 1
			case 1:
				a, b := rapid.IntRange(1, 16).Draw(r, "a"), rapid.IntRange(1, 16).Draw(r, "b")
				name, args = "swap", fmt.Sprintf(`{"module":"m","a":%d,"b":%d}`, a, b)
				i, k := slices.Index(want, a-1), slices.Index(want, b-1)
				if i >= 0 {
					want[i] = b - 1
				}
				if k >= 0 {
					want[k] = a - 1
				}
			case 2:
				from := rapid.IntRange(1, 15).Draw(r, "from")
				to, by := rapid.IntRange(from+1, 16).Draw(r, "to"), rapid.IntRange(-20, 20).Draw(r, "by")
				name, args = "rotate", fmt.Sprintf(`{"module":"m","from":%d,"to":%d,"by":%d}`, from, to, by)
				n := to - from + 1
				for g, o := range want {
					if o >= from-1 && o < to {
						want[g] = from - 1 + ((o-from+1+by)%n+n)%n
					}
				}
			}
			if list := d.Do(d.State().Revision, name, json.RawMessage(args)); list.HasErrors() {
				r.Fatalf("%s %s: %v", name, args, list)
			}
			k := d.State().Kit
			if k == nil || !slices.Equal(k.Modules[0].Output, want) {
				r.Fatalf("%s %s: want %v, the document says\n%s\n%v", name, args, want, d.State().Text, d.State().Problems)
			}
		}
		for d.State().Undo != "" {
			d.Undo(d.State().Revision)
		}
		if d.State().Text != wired {
			r.Fatal("undo does not lead back")
		}
	})
}
