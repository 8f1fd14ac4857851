package main

// status is what the command leaves with, for scripts and chores. It is an error so that a command can return it; by then
// everything has been said.
type status int

// The table of statuses; statusTable says the same for help.
const (
	ok       status = 0
	found    status = 1 // the job or a file has faults or stop-work findings
	badUsage status = 2
	lacking  status = 3 // this machine lacks something
	unproven status = 4 // the proof found a difference, or a fault that takes more than it may
	unloaded status = 5 // a module was not written
)

const statusTable = `  0  done, nothing stops work
  1  the job has errors or stop-work findings, or a file could not be read or written
  2  the command line cannot be read
  3  this machine lacks something: a program, a right, a port
  4  the proof found a difference, or a single fault that takes more than it may
  5  the module was not written, or not as it should be`

func (s status) Error() string { return "leave with a status" }

// orNil makes a status an error only when it is one.
func (s status) orNil() error {
	if s == ok {
		return nil
	}
	return s
}
