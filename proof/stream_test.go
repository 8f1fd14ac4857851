package proof

import (
	"bytes"
	"testing"

	"lampwright/program"
)

var streamModules = []Module{{Name: "a", Kind: Chain, Registers: 4}, {Name: "b", Kind: Pins}}

func decodeAll(b []byte) (*Log, int, error) {
	n := 0
	log, err := decode(bytes.NewReader(b), streamModules, map[int]int{5: 0}, func(int, Boot, Refresh) error { n++; return nil }, func(int, uint64) {})
	return log, n, err
}

// byHand is a stream written by hand from the description in harness/record.c.
func byHand() []byte {
	le := func(v uint64, n int) (b []byte) {
		for range n {
			b = append(b, byte(v))
			v >>= 8
		}
		return b
	}
	end := func(cycle uint64) []byte {
		return bytes.Join([][]byte{le(cycle, 8), le(60, 8), le(1500, 8), le(7, 4), le(2, 8), le(1, 4), le(1, 4), le(0x8E0, 2), {1, 11}, le(2, 8), le(30, 4), le(50, 4), le(80, 8)}, nil)
	}
	return bytes.Join([][]byte{
		[]byte("LWTR\x03\x02\x00\x04\x01\x02"),
		{7, 0, 5, 0, 0, 0},                                       // event of line 5
		{5, 0, 0, 2, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 1, 17, 18},   // module 0 starts in a plug of RH
		{5 + 32, 0, 0, 3, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}, // module 1 starts, both strap pins low
		{11, 9, 0, 0x55},                                         // its converter gave 55 at the sense pin
		{1, 91, 0x81, 1},                                         // sample at 100
		{2, 10, 1, 2, 3, 4},                                      // word at 110
		{3, 5, 0},                                                // lit from 115
		{3, 0x80, 0x02, 1},                                       // dark at 115 + 256
		{4, 1, 1},                                                // pulls the link at 372
		{6, 1, 2},                                                // fault at 373
		{15, 1},                                                  // power-down from 374 on
		{16, 6},                                                  // to 380
		{14, 1, 3, 0, 9},                                         // EEPROM byte 3 is 9
		{1, 19, 0x01, 0},                                         // sample at 400
		{11, 0, 1, 0x66},                                         // and 66 at the heat pin
		{12, 0, 1, 0xA5},                                         // heard
		{13, 0, 0x5A},                                            // sent
		{2, 10, 5, 6, 7, 8},                                      // word at 410
		{8, 0},                                                   // tick
		{9, 90}, end(500),                                        // module 0 ends at 500
		{9 + 32, 5}, end(5),
	}, nil)
}

func TestDecodeByHand(t *testing.T) {
	s := byHand()
	log, n, err := decodeAll(s)
	if err != nil || n != 2 {
		t.Fatal(n, err)
	}
	m := log.Modules[0]
	if len(m.Boots) != 1 || len(m.Pulls) != 1 || m.Pulls[0] != (Pull{372, true}) || len(m.Misdeeds) != 1 || m.Misdeeds[0] != (Misdeed{373, FaultLatchInShift}) || len(m.Done) != 1 {
		t.Fatalf("%+v", m)
	}
	l := m.Load
	if l.Cycles != 500 || l.Asleep != 60 || l.Down != 1500 || l.DownShare() != 0.75 || l.WorstFrameBusy != 7 || l.Samples != 2 || l.Resets != 1 || l.Misdeeds != 1 || l.LowestStack != 0x8E0 ||
		len(l.Interrupts) != 1 || l.Interrupts[0] != (Interrupt{11, 2, 30, 50, 80}) || l.Busy() != 0.88 {
		t.Fatalf("%+v", l)
	}
	var got []Refresh
	if _, err := decode(bytes.NewReader(s), streamModules, nil, func(i int, _ Boot, r Refresh) error {
		if i == 0 {
			got = append(got, r)
		}
		return nil
	}, func(int, uint64) {}); err != nil {
		t.Fatal(err)
	}
	if b := m.Boots[0]; b.Strap != program.RH || b.Memory != [10]byte{1, 2, 3, 4, 5, 6, 7, 8, 9, 10} || !b.Lived || b.Left != [2]byte{17, 18} || log.Modules[1].Boots[0].Lived || b.Codes != (program.Codes{Supply: 0x55, Heat: 0xFF}) ||
		log.Modules[1].Boots[0].Strap != program.Centre || len(m.Sent) != 1 || m.Sent[0] != (Sent{400, 0x5A}) {
		t.Fatalf("%+v", m)
	}
	if r := got[0]; r.Sleeps != 1 || r.Slept != 6 || len(r.Kept) != 1 || r.Kept[0] != (Keeps{3, 9}) || len(r.Heard) > 0 || r.Codes.Heat != 0xFF ||
		len(got[1].Heard) != 1 || got[1].Heard[0] != (Heard{0xA5, true}) || got[1].Codes != (program.Codes{Supply: 0x55, Heat: 0x66}) {
		t.Fatalf("%+v", got)
	}
	want := Slot{[8]byte{1, 2, 3, 4}, 256}
	if len(got) != 2 || got[0].Cycle != 100 || got[0].Inputs != 0x81 || !got[0].Link || !got[0].Whole || len(got[0].Slots) != 1 || got[0].Slots[0] != want {
		t.Fatalf("%+v", got)
	}
	if r := got[1]; r.Whole || r.Link || len(r.Slots) != 1 || r.Slots[0].LitCycles != 0 {
		t.Fatalf("%+v", r)
	}
	for i := range s {
		if _, _, err := decodeAll(s[:i]); err == nil {
			t.Fatalf("a stream cut to %d bytes passes", i)
		}
	}
}

// Words of the trail belong to the refresh that the sample closes.
func TestTrail(t *testing.T) {
	log := &Log{Modules: []ModuleLog{{Module: Module{Kind: Chain, Registers: 1, Trail: 1}, Boots: []Boot{{}}}}}
	var got []Refresh
	tr := tracker{log: &log.Modules[0], emit: func(r Refresh) error { got = append(got, r); return nil }}
	for i := range 4 {
		for _, step := range []func() error{
			func() error { return tr.onSample(uint8(i), 1) },
			func() error { return tr.onWord([]byte{byte(10*i + 1)}) },
			func() error { return tr.onWord([]byte{byte(10*i + 2)}) },
		} {
			tr.cycle += 10
			if err := step(); err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(got) != 3 || got[1].Inputs != 1 || len(got[1].Slots) != 2 || got[1].Slots[0].Word[0] != 12 || got[1].Slots[1].Word[0] != 21 {
		t.Fatalf("%+v", got)
	}
}

func FuzzDecode(f *testing.F) {
	s := byHand()
	if _, _, err := decodeAll(s); err != nil {
		f.Fatal(err) // a seed that is refused teaches little
	}
	f.Add(s)
	f.Add(s[:20])
	f.Fuzz(func(t *testing.T, b []byte) {
		log, n, err := decodeAll(b)
		if err != nil {
			return
		}
		samples := 0
		for _, m := range log.Modules {
			for _, boot := range m.Boots {
				for _, s := range boot.Slots {
					if s.LitCycles < 0 {
						t.Fatal("a slot is lit for less than nothing")
					}
				}
			}
			samples += len(m.Boots)
		}
		if n > 0 && samples == 0 {
			t.Fatal("refreshes without a start")
		}
	})
}
