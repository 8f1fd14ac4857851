package vector

import (
	"bytes"
	"fmt"

	"lampwright/program"
)

// imageBytesPerLine keeps lines short enough to read.
const imageBytesPerLine = 32

// Format gives the vector as text; Read reads it back.
func (v *Vector) Format() []byte {
	var b bytes.Buffer
	for _, n := range v.Notes {
		fmt.Fprintf(&b, "%s\n", bytes.TrimRight([]byte("# "+n), " "))
	}
	fmt.Fprintf(&b, "vector %s\nsafe-a %x\nsafe-b %x\n", version, v.SafeA, v.SafeB)
	if v.Strap != program.Centre {
		fmt.Fprintln(&b, "strap", straps[v.Strap])
	}
	if v.Memory != nil {
		fmt.Fprintf(&b, "memory %x\n", *v.Memory)
	}
	if v.Remnant != (program.Remnant{}) {
		fmt.Fprintf(&b, "remnant %x\n", v.Remnant)
	}
	for rest := v.Image; len(rest) > 0; {
		n := min(len(rest), imageBytesPerLine)
		fmt.Fprintf(&b, "image %x\n", rest[:n])
		rest = rest[n:]
	}
	if v.Refusal == "" {
		fmt.Fprintln(&b, "decoder accept")
	} else {
		fmt.Fprintln(&b, "decoder refuse", v.Refusal)
	}
	for _, r := range v.Runs {
		if r.Codes != nil {
			fmt.Fprintf(&b, "supply %02x\nheat %02x\n", r.Codes.Supply, r.Codes.Heat)
		}
		if r.Live != nil {
			fmt.Fprintf(&b, "live %x\n", r.Live)
		}
		fmt.Fprintf(&b, "run %d %02x %d\n", r.Refreshes, r.In, bit(r.Link))
	}
	if v.Kept != nil {
		fmt.Fprintf(&b, "kept %x\n", *v.Kept)
	}
	if v.Left != nil {
		fmt.Fprintf(&b, "left %x\n", *v.Left)
	}
	fmt.Fprintf(&b, "registers %d\n", v.Registers)
	for i := range v.Shows {
		s := &v.Shows[i]
		n := v.Registers
		fmt.Fprintf(&b, "show %d %d %x %x %x %x", s.Refresh, bit(s.Pull), s.Force[:n], s.Sub[2][:n], s.Sub[1][:n], s.Sub[0][:n])
		for k := range s.Planes {
			fmt.Fprintf(&b, " %x", s.Planes[k][:n])
		}
		fmt.Fprintf(&b, " %x\n", s.Levels[:8*n])
	}
	return b.Bytes()
}

func bit(set bool) int {
	if set {
		return 1
	}
	return 0
}
