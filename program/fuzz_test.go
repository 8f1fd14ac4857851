package program_test

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// vectors reads the vectors, the seeds of every fuzz target here.
func vectors(tb testing.TB) (all []*vector.Vector) {
	tb.Helper()
	paths, err := filepath.Glob("testdata/vectors/*.txt")
	if err != nil || len(paths) == 0 {
		tb.Fatalf("no vectors to begin with: %v", err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			tb.Fatal(err)
		}
		v, err := vector.Read(text)
		if err != nil {
			tb.Fatalf("%s: %v", path, err)
		}
		all = append(all, v)
	}
	return all
}

// sealed gives the image its length and check, so that a fuzzer need not find them.
func sealed(image []byte) []byte {
	b := bytes.Clone(image)
	if len(b) < 34 || len(b) > program.MaxImageBytes {
		return b
	}
	b[0], b[1], b[2] = 'L', 'W', 2
	binary.LittleEndian.PutUint16(b[4:], uint16(len(b)))
	binary.BigEndian.PutUint16(b[len(b)-2:], program.CRC(b[:len(b)-2]))
	return b
}

func FuzzDecode(f *testing.F) {
	for _, v := range vectors(f) {
		f.Add(v.Image, true)
		f.Add(v.Image, false)
	}
	f.Fuzz(func(t *testing.T, image []byte, seal bool) {
		if seal {
			image = sealed(image)
		}
		p, err := program.Decode(image)
		if err != nil {
			if faults := err.(program.Faults); len(faults) == 0 {
				t.Fatal("refused without a reason")
			}
			return
		}
		again, err := program.Encode(p)
		if err != nil {
			t.Fatalf("what was accepted cannot be encoded: %v", err)
		}
		if len(again) > len(image) {
			t.Fatalf("%d bytes became %d", len(image), len(again))
		}
		q, err := program.Decode(again)
		if err != nil {
			t.Fatalf("what was encoded is refused: %v", err)
		}
		p.Arrange()
		if !reflect.DeepEqual(p, q) {
			t.Fatalf("decoded %+v, then %+v", p, q)
		}
		block := program.LastResort()
		block.Registers = p.Registers
		for r := p.Registers; r < program.MaxRegisters; r++ {
			block.StopOut[r] = 0
		}
		safe, err := program.EncodeSafe(&block)
		if err != nil {
			t.Fatal(err)
		}
		for hand := p; hand != nil; hand = hand.Other {
			e := program.NewEngine(program.Powering{SafeA: safe[:], SafeB: safe[:], Image: image, Strap: hand.Side})
			if e.Frames(100, 0, true); !e.Shown().Live {
				t.Fatal("a core refuses what the decoder accepts")
			}
		}
	})
}

func FuzzEngine(f *testing.F) {
	for _, v := range vectors(f) {
		var samples []byte
		for _, r := range v.Runs {
			what := byte(0)
			if r.Codes != nil {
				what = r.Codes.Supply | 1
			} else if r.Live != nil {
				what = r.Live[0]&^1 | 2
			}
			samples = append(samples, r.In, byte(min(r.Refreshes/4, 255)), what)
		}
		f.Add(v.SafeA, v.Image, samples, byte(v.Strap), byte(80))
	}
	f.Fuzz(func(t *testing.T, safe, image, samples []byte, strap, pace byte) {
		if len(safe) == program.SafeBytes {
			safe = bytes.Clone(safe)
			binary.BigEndian.PutUint16(safe[70:], program.CRC(safe[:70]))
		}
		memory := [program.MemoryBytes]byte{pace, ^pace, 4: pace, 5: ^pace + strap}
		e := program.NewEngine(program.Powering{SafeA: safe, Image: sealed(image), Strap: program.Side(strap), Memory: &memory})
		for i := 0; i+2 < min(len(samples), 120); i += 3 {
			switch what := samples[i+2]; {
			case what&1 == 1:
				e.Sense(what, ^what)
			case what != 0:
				e.Stream(bytes.Repeat([]byte{what}, 8*e.Registers()))
			}
			for range int(samples[i+1])*4 + 1 {
				e.Step(samples[i], samples[i+1]&1 == 1)
			}
			words := e.Words()
			for k := range words {
				for r := e.Registers(); r < program.MaxRegisters; r++ {
					if words[k][r] != 0 {
						t.Fatalf("register %d is lit, the module has %d", r+1, e.Registers())
					}
				}
			}
			e.Owner()
			if e.MaySleep() && words != [program.Slots][program.MaxRegisters]uint8{} {
				t.Fatal("it may sleep with a light on")
			}
		}
	})
}

func FuzzDecodeSafe(f *testing.F) {
	for _, v := range vectors(f) {
		f.Add(v.SafeA)
		f.Add(v.SafeB)
	}
	f.Fuzz(func(t *testing.T, block []byte) {
		if len(block) == program.SafeBytes {
			block = bytes.Clone(block)
			binary.BigEndian.PutUint16(block[70:], program.CRC(block[:70]))
		}
		s, err := program.DecodeSafe(block)
		if err != nil {
			return
		}
		again, err := program.EncodeSafe(s)
		if err != nil || !bytes.Equal(again[:], block) {
			t.Fatalf("%x became %x: %v", block, again, err)
		}
	})
}

func FuzzAssemble(f *testing.F) {
	f.Add("over 30\nloop 3 shift -1\n  slots 0 x 3 to 255 ; all\n 40 ms wait 10\nclose\nagain\n")
	f.Add("slot 5 to 1\nover 3 wide\nend")
	f.Fuzz(func(t *testing.T, text string) {
		r, err := program.Assemble(lines(text))
		if err != nil {
			return
		}
		back, err := program.Assemble(program.Disassemble(r, nil))
		if err != nil || !reflect.DeepEqual(r, back) {
			t.Fatalf("%+v became %+v: %v", r, back, err)
		}
		if r.Ticks < 5000 {
			program.PlayRoutine(r, program.MaxOutputs)
		}
	})
}

func lines(text string) (l []string) {
	for line := range bytes.Lines([]byte(text)) {
		l = append(l, string(bytes.TrimRight(line, "\r\n")))
	}
	return l
}
