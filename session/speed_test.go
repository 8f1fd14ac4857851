package session

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// largeJob has 2000 LEDs in ten lamps, each with a module, and 50 routines.
func largeJob() string {
	var b strings.Builder
	b.WriteString("lampwright: 1\njob: {title: Large, use: show-only}\nlamps:\n")
	for i := range 10 {
		fmt.Fprintf(&b, "  lamp-%d:\n    place: {end: rear, side: centre, at: [0 mm, %d mm]}\n    leds:\n", i, 100+100*i)
		for k := range 100 {
			fmt.Fprintf(&b, "      - led: {name: a-%d, at: [%d, 0], part: red-622, group: g-%d}\n", k, 5*k, k/5)
		}
		b.WriteString("      - grid: {name: field, from: [0, 10], to: [190, 60], columns: 20, rows: 5, group: 1 column, part: red-622}\n")
	}
	b.WriteString("modules:\n")
	for i := range 10 {
		fmt.Fprintf(&b, "  m-%d: {board: chain-64, lamp: lamp-%d, wiring: {field: 1..20", i, i)
		for k := range 20 {
			fmt.Fprintf(&b, ", g-%d: %d", k, 21+k)
		}
		b.WriteString("}}\n")
	}
	b.WriteString("inputs:\n  button: {wire: [m-0.in5")
	for i := range 9 {
		fmt.Fprintf(&b, ", m-%d.in5", i+1)
	}
	b.WriteString("], feed: {kind: relay}}\nroutines:\n")
	for i := range 50 {
		fmt.Fprintf(&b, "  r-%d: {length: 1 s, strokes: [{sweep: {on: field, direction: right, for: 1 s}}]}\n", i)
	}
	b.WriteString("shows:\n  - r-0: {input: button, stay: r-0}\n")
	return b.String()
}

// Commands of a drawing on a large job. Printed by go test -bench; no test holds a time.
func BenchmarkDrawingOfALargeJob(b *testing.B) {
	for _, c := range []struct{ name, args string }{
		{"pattern", `{"lamp":"lamp-3","index":100,"values":{"columns":"10"}}`},
		{"erase", `{"paths":[["lamps","lamp-3","leds","7"],["lamps","lamp-3","leds","100"]]}`},
		{"join", `{"lamp":"lamp-3","leds":["a-1","a-2","a-9"],"group":"new"}`},
		{"shift", `{"paths":[["lamps","lamp-3","leds","100"]],"by":[1,1]}`},
	} {
		b.Run(c.name, func(b *testing.B) {
			d, _ := opened(b, largeJob(), Options{})
			if d.State().Kit == nil {
				b.Fatal(d.State().Problems)
			}
			for b.Loop() {
				if list := d.Do(d.State().Revision, c.name, json.RawMessage(c.args)); list.HasErrors() {
					b.Fatal(list)
				}
				d.Undo(d.State().Revision)
			}
		})
	}
}
