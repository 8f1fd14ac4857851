package kit

import "lampwright/report"

// Fed is where a module's supply comes from: the battery through a fuse, or one signal wire alone.
type Fed struct {
	Fuse string   // name of the fuse; "": no battery feed
	Also []*Input // wires that feed it beside the battery, through diodes
	Only *Input   // the wire that alone feeds it; nil: none
	At   report.Place
}

// Said tells whether the job says how the module is fed.
func (f Fed) Said() bool { return f.Fuse != "" || f.Only != nil }
