package session

import (
	"encoding/json"
	"strings"
	"testing"
)

func TestCommandsOnAnyValue(t *testing.T) {
	for _, c := range []struct{ name, args, from, to string }{
		{"set", `{"path":["job","title"],"value":"A: b"}`, "title: Small lamp", `title: "A: b"`},
		{"set", `{"path":["lamps","lamp","leds","0","row","count"],"value":"12"}`, "count: 8", "count: 12"},
		{"set", `{"path":["lamps","lamp","leds","0","row","to"],"value":["35.5","0"]}`, "to: [70, 0]", "to: [35.5, 0]"},
		{"set", `{"path":["job","for"],"value":"Somebody"}`, "use: show-only}", "use: show-only, for: Somebody}"},
		{"remove", `{"path":["lamps","lamp","leds","0","row","part"]}`, ", part: red-622", ""},
		{"add", `{"path":["lamps","lamp","leds"],"value":{"led":{"name":"x","at":["1","2"],"part":"red-622"}}}`,
			"part: red-622}\n", "part: red-622}\n      - led: {name: x, at: [1, 2], part: red-622}\n"},
		{"edits", `{"label":"two","edits":[{"op":"set","path":["job","title"],"value":"One"},{"op":"set","path":["job","use"],"value":"road-us"}]}`,
			"title: Small lamp, use: show-only", "title: One, use: road-us"},
		{"edits", `{"label":"count","edits":[{"op":"set","path":["lamps","lamp","leds","0","row","count"],"value":"12"}]}`, "count: 8", "count: 12"},
	} {
		d, path := opened(t, plain, Options{})
		must(t, d.Do(d.State().Revision, c.name, json.RawMessage(c.args)))
		if got, want := onDisk(t, path), strings.Replace(plain, c.from, c.to, 1); got != want {
			t.Errorf("%s %s:\n%s", c.name, c.args, got)
		}
		must(t, d.Undo(d.State().Revision))
		if onDisk(t, path) != plain {
			t.Errorf("%s cannot be taken back", c.name)
		}
	}
}

func TestCommandsThatAreRefusedChangeNothing(t *testing.T) {
	for _, c := range []struct{ name, args, says string }{
		{"sett", `{}`, "no command"},
		{"set", `{"path":["job"`, "cannot be read"},
		{"set", `{"path":["job","title"],"worth":1}`, "cannot be read"},
		{"set", `{"path":[],"value":1}`, "needs a path"},
		{"set", `{"path":["job","title"],"value":null}`, "needs a path and a value"},
		{"set", `{"path":["nowhere","at","all"],"value":1}`, "leads nowhere"},
		{"remove", `{"path":["lamps","other"]}`, "leads nowhere"},
		{"add", `{"path":["job"],"value":1}`, "no list"},
		{"edits", `{"label":"x","edits":[]}`, "at least one"},
	} {
		d, path := opened(t, plain, Options{})
		list := d.Do(d.State().Revision, c.name, json.RawMessage(c.args))
		if !list.HasErrors() || !strings.Contains(list.Error(), c.says) || list[0].Next == "" {
			t.Errorf("%s %s: %v", c.name, c.args, list)
		}
		if onDisk(t, path) != plain || d.State().Undo != "" {
			t.Errorf("%s %s: something changed", c.name, c.args)
		}
	}
}

func TestACommandForAnOlderRevisionIsRefused(t *testing.T) {
	d, _ := opened(t, plain, Options{})
	base := d.State().Revision
	args := json.RawMessage(`{"path":["job","title"],"value":"One"}`)
	must(t, d.Do(base, "set", args))
	if list := d.Do(base, "set", args); len(list) != 1 || list[0].ID != Stale {
		t.Errorf("got %v", list)
	}
}

func TestEveryCommandSaysWhatItIs(t *testing.T) {
	for _, c := range Commands() {
		if c.Says == "" || len(c.Args) == 0 {
			t.Errorf("%s says %q, arguments %v", c.Name, c.Says, c.Args)
		}
	}
}

func FuzzDo(f *testing.F) {
	f.Add("set", `{"path":["job","title"],"value":{"a":["1",true]}}`)
	f.Add("add", `{"path":["lamps","lamp","leds"],"before":0,"value":"x"}`)
	f.Add("edits", `{"label":"x","edits":[{"op":"rename","path":["job"],"key":"jobs"}]}`)
	f.Fuzz(func(t *testing.T, name, args string) {
		d, path := opened(t, plain, Options{})
		list := d.Do(d.State().Revision, name, json.RawMessage(args))
		if list.HasErrors() && onDisk(t, path) != plain {
			t.Error("refused, and yet changed")
		}
		if s := d.State(); !s.Saved || s.Text != onDisk(t, path) {
			t.Error("the disk holds something else")
		}
	})
}
