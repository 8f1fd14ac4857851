package vector_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

const folder = "../testdata/vectors"

// fixture is a vector with what its author expects of it, worked out by hand from docs/engine.md and independent of the
// engine.
type fixture struct {
	name    string
	notes   string
	p       *program.Program // nil: image is given
	image   []byte
	safe    *program.Safe
	safeA   []byte // instead of safe
	safeB   []byte
	strap   program.Side
	memory  *[program.MemoryBytes]byte // at power-up
	kept    *[program.MemoryBytes]byte // at the end; checked unless nil
	remnant program.Remnant            // at power-up
	left    *program.Remnant           // at the end; checked unless nil
	refusal string
	runs    []vector.Run
	want    []want
	pulls   [][2]int // when the wire is pulled: from a refresh on, until another; checked unless nil
	halved  [][2]int // when light is halved: from a refresh on, until another
}

// want is a level expected of some outputs in a range of refreshes.
type want struct {
	from, to int // refreshes, both shown so
	outs     []int
	level    uint8
	force    bool // the stop override holds them on; else nobody does
}

// frame gives the refresh that first shows the result of a job.
func frame(job int) int { return 8*job + 16 }

func span(from, to int) (outs []int) {
	for o := from; o <= to; o++ {
		outs = append(outs, o)
	}
	return outs
}

func (f *fixture) vector(t *testing.T) *vector.Vector {
	t.Helper()
	v := &vector.Vector{SafeA: f.safeA, SafeB: f.safeB, Image: f.image, Strap: f.strap, Memory: f.memory, Remnant: f.remnant, Refusal: f.refusal, Runs: f.runs}
	v.Notes = strings.Split(strings.TrimSpace(f.name+": "+f.notes), "\n")
	if f.safe != nil {
		block, err := program.EncodeSafe(f.safe)
		if err != nil {
			t.Fatal(err)
		}
		v.SafeA, v.SafeB = block[:], block[:]
	}
	if f.p != nil {
		image, err := program.Encode(f.p)
		if err != nil {
			t.Fatal(err)
		}
		v.Image = image
		v.Notes = append(v.Notes, listing(f.p)...)
	}
	var kept [program.MemoryBytes]byte
	var left program.Remnant
	if v.Registers, v.Shows, kept, left = v.Play(); f.kept != nil {
		if kept != *f.kept {
			t.Errorf("the memory holds % x at the end, expected % x", kept, *f.kept)
		}
		v.Kept = f.kept
	}
	if f.left != nil {
		if left != *f.left {
			t.Errorf("the RAM holds % x at the end, expected % x", left, *f.left)
		}
		v.Left = f.left
	}
	return v
}

// listing shows a reader what the program does.
func listing(p *program.Program) (lines []string) {
	for i := range p.Layers {
		l := &p.Layers[i]
		bars := ""
		if l.NotWhile != 0 {
			bars += fmt.Sprintf(", not while %02x", l.NotWhile)
		}
		if l.OnlyWhile != 0 {
			bars += fmt.Sprintf(", only while %02x", l.OnlyWhile)
		}
		lines = append(lines, "", fmt.Sprintf("layer %d: %s, inputs %02x%s, outputs %v", i+1, l.Name, l.InputMask, bars, numbers(l.Slots)))
		if l.Still != nil {
			lines = append(lines, fmt.Sprintf("  still, levels %v", numbers(l.Still)))
		}
		for _, r := range []struct {
			name string
			r    *program.Routine
		}{{"arrive", l.Arrive}, {"stay", l.Stay}, {"leave", l.Leave}} {
			if r.r != nil {
				lines = append(lines, fmt.Sprintf("  %s, %d ticks", r.name, r.r.Ticks))
				lines = append(lines, program.Disassemble(r.r, nil)...)
			}
		}
	}
	return lines
}

// numbers keeps bytes from being printed as text.
func numbers(b []uint8) []int {
	n := make([]int, len(b))
	for i, v := range b {
		n[i] = int(v)
	}
	return n
}

// at gives what is shown in a refresh.
func at(v *vector.Vector, refresh int) *vector.Show {
	i, found := slices.BinarySearchFunc(v.Shows, refresh, func(s vector.Show, r int) int { return s.Refresh - r })
	if !found {
		i--
	}
	return &v.Shows[i]
}

func (f *fixture) check(t *testing.T, v *vector.Vector) {
	t.Helper()
	if f.pulls != nil {
		for r := range v.Refreshes() {
			pulled := slices.ContainsFunc(f.pulls, func(p [2]int) bool { return r >= p[0] && r < p[1] })
			if at(v, r).Pull != pulled {
				t.Errorf("refresh %d: pull %t", r, !pulled)
				break
			}
		}
	}
	f.checkDuties(t, v)
	for _, w := range f.want {
		if w.to >= v.Refreshes() || w.from > w.to {
			t.Errorf("the expectation for refreshes %d..%d lies outside the vector", w.from, w.to)
			continue
		}
		for r := w.from; r <= w.to; r++ {
			s := at(v, r)
			for _, o := range w.outs {
				forced := s.Force[o/8]>>(o%8)&1 == 1
				if s.Levels[o] != w.level || forced != w.force {
					t.Errorf("refresh %d, output %d: level %d, forced %t; expected %d, %t", r, o, s.Levels[o], forced, w.level, w.force)
					r = w.to
					break
				}
			}
		}
	}
}

// checkDuties puts the duty of every output together from the words, as docs/engine.md, section 2, takes it apart.
func (f *fixture) checkDuties(t *testing.T, v *vector.Vector) {
	t.Helper()
	var last *vector.Show
	wasHalf := false
	for r := range v.Refreshes() {
		s := at(v, r)
		half := slices.ContainsFunc(f.halved, func(h [2]int) bool { return r >= h[0] && r < h[1] })
		if s == last && half == wasHalf {
			continue
		}
		last, wasHalf = s, half
		for o := range 8 * v.Registers {
			bit := func(word [program.MaxRegisters]uint8) uint16 { return uint16(word[o/8] >> (o % 8) & 1) }
			if bit(s.Force) == 1 {
				continue
			}
			duty := bit(s.Sub[2])<<2 | bit(s.Sub[1])<<1 | bit(s.Sub[0])
			for k, word := range s.Planes {
				duty += bit(word) << (3 + k)
			}
			want := program.Duty(s.Levels[o])
			if half {
				want /= 2
			}
			if duty != want {
				t.Errorf("refresh %d, output %d: duty %d at level %d, expected %d", r, o, duty, s.Levels[o], want)
				return
			}
		}
	}
}

// TestVectors makes every vector anew and compares it with its file. UPDATE_GOLDEN=1 writes the files.
func TestVectors(t *testing.T) {
	update := os.Getenv("UPDATE_GOLDEN") == "1"
	made := map[string]bool{}
	for _, f := range fixtures(t) {
		if made[f.name] {
			t.Fatalf("two vectors are named %s", f.name)
		}
		made[f.name] = true
		t.Run(f.name, func(t *testing.T) {
			v := f.vector(t)
			f.check(t, v)
			path := filepath.Join(folder, f.name+".txt")
			if update {
				if err := os.WriteFile(path, v.Format(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(text, v.Format()) {
				t.Errorf("%s is not what the engine shows now; if that is meant, run with UPDATE_GOLDEN=1 and read the difference", path)
			}
		})
	}
	for _, path := range files(t) {
		if !made[strings.TrimSuffix(filepath.Base(path), ".txt")] {
			t.Errorf("%s belongs to no test", path)
		}
	}
}

// files lists the vector files, of which there must be some.
func files(t testing.TB) []string {
	t.Helper()
	paths, err := filepath.Glob(folder + "/*.txt")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no vectors in %s: %v", folder, err)
	}
	return paths
}

// TestFiles judges every file as another implementation would: what is read back plays as written, and the decoder says
// what the file says.
func TestFiles(t *testing.T) {
	for _, path := range files(t) {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		v, err := vector.Read(text)
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		if registers, shows, kept, left := v.Play(); registers != v.Registers || !slices.Equal(shows, v.Shows) || v.Kept != nil && kept != *v.Kept ||
			v.Left != nil && left != *v.Left {
			t.Errorf("%s: the engine shows something else", path)
		}
		_, err = program.Decode(v.Image)
		switch {
		case v.Refusal == "" && err != nil:
			t.Errorf("%s: refused: %v", path, err)
		case v.Refusal != "" && (err == nil || !strings.Contains(err.Error(), v.Refusal)):
			t.Errorf("%s: expected a refusal with %q, got %v", path, v.Refusal, err)
		}
	}
}
