package main

import (
	"bytes"
	"testing"

	"lampwright/kit"
)

// Whatever is given as a list: it is refused with a message, or every group has an output of its own.
func FuzzWalkList(f *testing.F) {
	for _, text := range []string{
		"1=turn.1 2=turn.2 3=turn.3 4=turn.4 5=turn.5 6=turn.6 7=stop.1 8=stop.2 9=stop.3 10=stop.4 11=tail.1 12=tail.2 13=tail.3 14=tail.4",
		"1=turn.1,1=turn.2 turn.3=3 99=turn.4 -1=turn.5 =", "1=turn.1 2=turn.1", "٣=turn.1 0x1=turn.2\n\t1==",
	} {
		f.Add(text)
	}
	k, list := kit.Parse("starter.yaml", starter, kit.NoFiles)
	if k == nil {
		f.Fatal(list)
	}
	m := k.Modules[0]
	f.Fuzz(func(t *testing.T, text string) {
		var said bytes.Buffer
		w := &walk{env: &env{err: &said}, module: m, outputOf: make([]int, len(m.Lamp.Groups))}
		if w.list(text) != nil {
			if said.Len() == 0 {
				t.Error("refused without a word")
			}
			return
		}
		used := map[int]bool{}
		for g, o := range w.outputOf {
			if o < 1 || o > m.Board.Outputs || used[o] {
				t.Errorf("group %s has output %d", m.Lamp.Groups[g].Name, o)
			}
			used[o] = true
		}
	})
}
