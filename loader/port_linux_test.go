package loader

import (
	"context"
	"testing"
)

// The same over a port of the operating system, opened as the tool opens it.
func TestRealPort(t *testing.T) {
	w := rearLH(t)
	m := old(t)
	name, unplug, err := m.Plug()
	if err != nil {
		t.Fatal(err)
	}
	port, d := Open(name)
	if d != nil {
		t.Fatal(d)
	}
	d = NewSerial(port, name).Load(context.Background(), w, nobody)
	port.Close()
	unplug()
	if d != nil {
		t.Fatal(d)
	}
	holds(t, m, w)
}
