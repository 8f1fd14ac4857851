package program

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault says why an image, a safe block or a program is refused.
type Fault struct {
	Offset int    // byte it was found at, from the first byte of the image or safe block
	Where  string // "header", "layer 2", "layer 2, stay routine"
	What   string // what is wrong
	Limit  string // what is allowed
	Next   string // what to do about it
}

func (f Fault) String() string {
	return fmt.Sprintf("byte %d, %s: %s (allowed: %s); %s", f.Offset, f.Where, f.What, f.Limit, f.Next)
}

// Faults is a refusal with all its reasons, in order of offset.
type Faults []Fault

func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.String()
	}
	return strings.Join(lines, "\n")
}

// The next steps of a refusal.
const (
	nextReread  = "read or load the image again; if it stays, make it anew from its job"
	nextCompile = "make the image anew from its job with this version"
	nextShorten = "shorten or simplify a routine, or share one"
	nextLayout  = "correct the wiring map or the layer"
)

// add records a fault.
func (fs *Faults) add(offset int, where, next, limit, what string, a ...any) {
	*fs = append(*fs, Fault{Offset: offset, Where: where, What: fmt.Sprintf(what, a...), Limit: limit, Next: next})
}

// result gives the sorted faults as an error, or nil when there is none.
func (fs Faults) result() error {
	if len(fs) == 0 {
		return nil
	}
	slices.SortStableFunc(fs, func(a, b Fault) int { return cmp.Compare(a.Offset, b.Offset) })
	return fs
}
