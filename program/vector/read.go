package vector

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"lampwright/program"
)

// version of the format.
const version = "1"

// Read reads a vector. It fails with every faulty line, each with its number.
func Read(text []byte) (*Vector, error) {
	r := reader{v: &Vector{}, codes: program.CodesAtStart}
	for i, line := range strings.Split(string(text), "\n") {
		r.line = i + 1
		line = strings.TrimSuffix(line, "\r")
		switch {
		case strings.HasPrefix(line, "#"):
			if !r.begun {
				r.v.Notes = append(r.v.Notes, strings.TrimPrefix(strings.TrimPrefix(line, "#"), " "))
			}
		case line != "":
			r.statement(strings.Split(line, " "))
		}
	}
	if !r.begun {
		r.fail("a file without a statement", "begin with: vector "+version)
	} else if len(r.errs) == 0 {
		r.whole()
	}
	if len(r.errs) > 0 {
		return nil, errors.Join(r.errs...)
	}
	return r.v, nil
}

type reader struct {
	v       *Vector
	line    int
	begun   bool
	decoder bool
	codes   program.Codes // at the pins, as the lines so far say
	next    Run           // what has been said of the next run
	errs    []error
}

// straps are the words for what the side strap says.
var straps = map[program.Side]string{program.Centre: "missing", program.LH: "LH", program.RH: "RH"}

func (r *reader) fail(what, next string) {
	r.errs = append(r.errs, fmt.Errorf("line %d: %s; %s", r.line, what, next))
}

func (r *reader) statement(f []string) {
	if !r.begun {
		r.begun = true
		if len(f) != 2 || f[0] != "vector" || f[1] != version {
			r.fail("the first statement is not the version", "begin with: vector "+version)
		}
		return
	}
	arguments := map[string]int{"safe-a": 1, "safe-b": 1, "strap": 1, "memory": 1, "image": 1, "run": 3, "supply": 1, "heat": 1, "live": 1, "kept": 1, "remnant": 1, "left": 1, "registers": 1, "show": 15}
	if want, known := arguments[f[0]]; known && len(f)-1 != want {
		r.fail(fmt.Sprintf("%q with %d fields", f[0], len(f)-1), fmt.Sprintf("give %d", want))
		return
	}
	switch f[0] {
	case "safe-a":
		r.v.SafeA = r.bytes(f[1], -1)
	case "safe-b":
		r.v.SafeB = r.bytes(f[1], -1)
	case "strap":
		r.strap(f[1])
	case "memory":
		r.v.Memory = r.memory(f[1])
	case "kept":
		r.v.Kept = r.memory(f[1])
	case "remnant":
		r.v.Remnant = program.Remnant(r.bytes(f[1], len(r.v.Remnant)))
	case "left":
		left := program.Remnant(r.bytes(f[1], len(r.v.Remnant)))
		r.v.Left = &left
	case "image":
		r.v.Image = append(r.v.Image, r.bytes(f[1], -1)...)
	case "decoder":
		r.judgement(f[1:])
	case "run":
		r.next.Refreshes, r.next.In, r.next.Link = r.number(f[1], 1, 1<<30), r.bytes(f[2], 1)[0], r.number(f[3], 0, 1) == 1
		r.v.Runs = append(r.v.Runs, r.next)
		r.next = Run{}
	case "supply":
		r.codes.Supply = r.bytes(f[1], 1)[0]
		r.sense()
	case "heat":
		r.codes.Heat = r.bytes(f[1], 1)[0]
		r.sense()
	case "live":
		if r.next.Live != nil {
			r.fail("two live frames before one run", "put a run between them")
		}
		r.next.Live = r.bytes(f[1], -1)
	case "registers":
		r.v.Registers = r.number(f[1], 1, program.MaxRegisters)
	case "show":
		r.show(f[1:])
	default:
		r.fail(fmt.Sprintf("unknown statement %q", f[0]), "see docs/image-format.md, section 5")
	}
}

// sense notes the codes for the next run.
func (r *reader) sense() {
	codes := r.codes
	r.next.Codes = &codes
}

func (r *reader) strap(word string) {
	for side, w := range straps {
		if w == word {
			r.v.Strap = side
			return
		}
	}
	r.fail(fmt.Sprintf("the side strap says %q", word), "write missing, LH or RH")
}

func (r *reader) memory(s string) *[program.MemoryBytes]byte {
	m := [program.MemoryBytes]byte(r.bytes(s, program.MemoryBytes))
	return &m
}

func (r *reader) judgement(f []string) {
	r.decoder = true
	switch {
	case len(f) == 1 && f[0] == "accept":
	case len(f) > 1 && f[0] == "refuse":
		r.v.Refusal = strings.Join(f[1:], " ")
	default:
		r.fail("the decoder's judgement is unclear", "write: decoder accept, or: decoder refuse and a part of the reason")
	}
}

func (r *reader) show(f []string) {
	if r.v.Registers == 0 {
		r.fail("show before registers", "state registers first")
		return
	}
	s := Show{Refresh: r.number(f[0], 0, 1<<30), Pull: r.number(f[1], 0, 1) == 1}
	if n := len(r.v.Shows); n > 0 && s.Refresh <= r.v.Shows[n-1].Refresh || n == 0 && s.Refresh != 0 {
		r.fail(fmt.Sprintf("show at refresh %d is out of order", s.Refresh), "begin with 0 and count up")
	}
	words := []*[program.MaxRegisters]uint8{&s.Force, &s.Sub[2], &s.Sub[1], &s.Sub[0]}
	for k := range s.Planes {
		words = append(words, &s.Planes[k])
	}
	for k, w := range words {
		copy(w[:], r.bytes(f[2+k], r.v.Registers))
	}
	copy(s.Levels[:], r.bytes(f[2+len(words)], 8*r.v.Registers))
	r.v.Shows = append(r.v.Shows, s)
}

// whole says what a vector lacks.
func (r *reader) whole() {
	v := r.v
	if len(v.SafeA) != program.SafeBytes || len(v.SafeB) != program.SafeBytes {
		r.fail(fmt.Sprintf("safe blocks that are not of %d bytes", program.SafeBytes), "give safe-a and safe-b")
	}
	if !r.decoder {
		r.fail("no word of the decoder", "write: decoder accept, or: decoder refuse and a part of the reason")
	}
	if len(v.Runs) == 0 || len(v.Shows) == 0 {
		r.fail("no samples or nothing shown", "give run and show")
	}
	for _, run := range v.Runs {
		if run.Live != nil && len(run.Live) != 8*v.Registers {
			r.fail(fmt.Sprintf("a live frame of %d levels", len(run.Live)), "give one for each output of the registers")
			break
		}
	}
	if r.next.Codes != nil || r.next.Live != nil {
		r.fail("a code or a live frame after the last run", "put it before a run")
	}
}

func (r *reader) number(s string, low, high int) int {
	n, err := strconv.Atoi(s)
	if err != nil || n < low || n > high {
		r.fail(fmt.Sprintf("%q is no number from %d to %d", s, low, high), "write a decimal number")
		return low
	}
	return n
}

// bytes reads hex; n of −1 is any number of bytes. It always gives n bytes.
func (r *reader) bytes(s string, n int) []byte {
	b, err := hex.DecodeString(s)
	if err != nil || n >= 0 && len(b) != n || s != strings.ToLower(s) {
		r.fail(fmt.Sprintf("%q is not what it should be: bytes as pairs of hex digits, lower case", s), "give the right number of pairs")
		return make([]byte, max(n, 0))
	}
	return b
}
