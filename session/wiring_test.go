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
	} {
		d, path := opened(t, wired, Options{})
		if list := d.Do(d.State().Revision, c.name, json.RawMessage(c.args)); !strings.Contains(list.Error(), c.says) || onDisk(t, path) != wired {
			t.Errorf("%s %s: %v", c.name, c.args, list)
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
