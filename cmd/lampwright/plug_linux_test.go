package main

import (
	"os"
	"sync"

	"github.com/rogpeppe/go-internal/testscript"

	"lampwright/flash"
	"lampwright/proof/loading/model"
)

// plug puts a module with a serial line on a port, whose name $SERIAL then holds: "plug HEX" one that holds a HEX file, "plug nothing" one
// that does not answer. "plug out" takes it off and writes its flash as HEX into the file held.hex.
func plug(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: plug HEX|nothing|out")
	}
	plugs.Lock()
	defer plugs.Unlock()
	if take := plugs.off[ts]; take != nil {
		take()
		delete(plugs.off, ts)
	}
	if args[0] == "out" {
		return
	}
	m := model.New(1, nil, nil)
	if args[0] == "nothing" {
		m.Off = true
	} else {
		copy(m.Flash[:], bytesOf(ts.MkAbs(args[0])))
		m.PowerOn()
	}
	port, unplug, err := m.Plug()
	ts.Check(err)
	plugs.off[ts] = func() {
		unplug()
		hex, err := flash.HEX(0, m.Flash[:])
		ts.Check(err)
		ts.Check(os.WriteFile(ts.MkAbs("held.hex"), hex, 0o644))
	}
	ts.Defer(func() {
		plugs.Lock()
		defer plugs.Unlock()
		if take := plugs.off[ts]; take != nil {
			unplug()
			delete(plugs.off, ts)
		}
	})
	ts.Setenv("SERIAL", port)
}

// plugs holds what takes off the module of a story.
var plugs = struct {
	sync.Mutex
	off map[*testscript.TestScript]func()
}{off: map[*testscript.TestScript]func(){}}
