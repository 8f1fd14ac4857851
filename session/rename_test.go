package session

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
)

// Renaming a thing to and fro leaves every line as it was, and in between the job still builds.
func TestRenameReachesEveryUse(t *testing.T) {
	demo, err := os.ReadFile("../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ kind, name string }{
		{"lamp", "tail-lh"}, {"lamp", "bar"}, {"module", "rear-rh"}, {"input", "remote-1"}, {"routine", "arrow-out"}, {"routine", "tide"},
		{"zone", "arrow"}, {"zone", "white"}, {"path", "hook"}, {"signal", "gate-stop"}, {"show", "hearth"},
	} {
		d, _ := opened(t, string(demo), Options{})
		rename := func(from, to string) {
			t.Helper()
			args, _ := json.Marshal(map[string]string{"kind": c.kind, "from": from, "to": to})
			if list := d.Do(d.State().Revision, "rename", args); list.HasErrors() {
				t.Fatalf("%s %s: %v", c.kind, from, list)
			}
		}
		rename(c.name, "new-name")
		if s := d.State(); s.Kit == nil {
			t.Errorf("%s %s: a use was not renamed: %v", c.kind, c.name, s.Problems)
		}
		if text := d.State().Text; strings.Count(text, "\n") != strings.Count(string(demo), "\n") {
			t.Errorf("%s %s: lines came or went", c.kind, c.name)
		}
		rename("new-name", c.name)
		if d.State().Text != string(demo) {
			t.Errorf("%s %s: to and fro is not the same text", c.kind, c.name)
		}
	}
}

func TestRenameRefusals(t *testing.T) {
	for _, c := range []struct{ kind, from, to, says string }{
		{"lamp", "lump", "other", "no lamp called"}, {"lamp", "lamp", "lamp", "already"}, {"zone", "bar", "ring", "already"}, {"lamp", "lamp", "A lamp", "cannot be a name"},
		{"horn", "a", "b", "no kind of thing"},
	} {
		d, path := opened(t, wired, Options{})
		list := d.Do(d.State().Revision, "rename", json.RawMessage(fmt.Sprintf(`{"kind":%q,"from":%q,"to":%q}`, c.kind, c.from, c.to)))
		if !strings.Contains(list.Error(), c.says) || onDisk(t, path) != wired {
			t.Errorf("%+v: %v", c, list)
		}
	}
}

// A lamp's name alone is the whole lamp, and is renamed too; where a zone is called so it means the zone, and stays.
func TestALampNamedAloneIsRenamed(t *testing.T) {
	d, path := opened(t, looseJob, Options{})
	must(t, do(d, "rename", `{"kind":"lamp","from":"lamp","to":"tail-lh"}`))
	says(t, d.State().Text, "takes: [tail-lh.low, tail-lh.half, tail-lh]")
	if d.State().Kit == nil {
		t.Error(d.State().Problems)
	}
	undone(t, d, path, looseJob)
	d, _ = opened(t, strings.Replace(looseJob, "      most: [bar, low]\n", "      most: [bar, low]\n      lamp: bar\n", 1), Options{})
	must(t, do(d, "rename", `{"kind":"lamp","from":"lamp","to":"tail-lh"}`))
	says(t, d.State().Text, "takes: [tail-lh.low, tail-lh.half, lamp]")
	// a name that a zone has would turn the whole lamp into the zone
	refusals(t, looseJob, [][3]string{{"rename", `{"kind":"lamp","from":"lamp","to":"low"}`, "something on a lamp is called"}})
}
