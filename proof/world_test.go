package proof_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"lampwright/program"
	"lampwright/proof"
)

func world(t testing.TB, bad ...string) proof.Module {
	return proof.Module{Name: "world", HEX: firmware(t, "world", bad...), Kind: proof.Chain, Registers: 4}
}

// words gives what the stand-in of testdata/world.c showed in a whole refresh.
func words(t *testing.T, r proof.Refresh) (now, found [4]byte) {
	t.Helper()
	if len(r.Slots) != 2 {
		t.Fatalf("a refresh of %d words", len(r.Slots))
	}
	return [4]byte(r.Slots[0].Word[:4]), [4]byte(r.Slots[1].Word[:4])
}

// at gives the first whole refresh that begins at or after a time.
func at(t *testing.T, m proof.ModuleLog, when time.Duration) proof.Refresh {
	t.Helper()
	for _, r := range m.Refreshes {
		if m.Since(r) >= when && r.Whole {
			return r
		}
	}
	t.Fatalf("no refresh after %v", when)
	return proof.Refresh{}
}

// Codes reach the core as its converter samples them, and are logged as sampled.
func TestConverter(t *testing.T) {
	m := mustRun(t, setup(30*ms, list(world(t)), proof.Supply(0, 0, 0x22), proof.Supply(10*ms, 0, 200), proof.Heat(15*ms, 0, 80))).Modules[0]
	for _, c := range []struct {
		at   time.Duration
		want program.Codes
	}{{3 * ms, program.Codes{Supply: 0x22, Heat: 0xFF}}, {12 * ms, program.Codes{Supply: 200, Heat: 0xFF}}, {20 * ms, program.Codes{Supply: 200, Heat: 80}}} {
		r := at(t, m, c.at)
		if now, _ := words(t, r); now[1] != c.want.Supply || now[2] != c.want.Heat || r.Codes != c.want {
			t.Errorf("at %v the core has read %x and the log holds %+v, want %+v", c.at, now, r.Codes, c.want)
		}
	}
	if m.Boots[0].Codes.Supply != 0x22 {
		t.Errorf("before the first sample the converter gave %02x", m.Boots[0].Codes.Supply)
	}
	// A conversion is logged with the sample after which it was started.
	for i, r := range m.Refreshes[1:] {
		if at := m.Since(r); at > 11*ms && r.Codes.Supply != 200 || at < 9*ms && r.Codes.Supply != 0x22 {
			t.Fatalf("refresh %d at %v holds %+v", i, at, r.Codes)
		}
	}
}

// The strap, the EEPROM and what a start finds: RAM is never what it was, the EEPROM is.
func TestStrapAndMemory(t *testing.T) {
	m := mustRun(t, setup(60*ms, list(world(t)), proof.Memory(0, 0, []byte{4, 0x77}), proof.Strap(0, 0, program.LH),
		proof.Power(20*ms, 0, false), proof.Strap(25*ms, 0, program.RH), proof.Power(30*ms, 0, true), proof.Strap(33*ms, 0, program.Centre), proof.Reset(45*ms, 0),
		proof.StrapBoth(50*ms, 0), proof.Reset(52*ms, 0))).Modules[0]
	if len(m.Boots) != 4 || len(m.Misdeeds) > 0 {
		t.Fatalf("%d starts, faults %v", len(m.Boots), m.Misdeeds)
	}
	for i, c := range []struct {
		at              time.Duration
		strap           byte
		starts          byte
		side            program.Side
		memory, elseTwo byte
	}{{10 * ms, 1, 5, program.LH, 4, 0x77}, {40 * ms, 2, 6, program.RH, 5, 0x77}, {48 * ms, 0, 7, program.Centre, 6, 0x77}, {58 * ms, 3, 8, program.Centre, 7, 0x77}} {
		if _, found := words(t, at(t, m, c.at)); found[0] != c.strap || found[1] != c.elseTwo || found[2] != c.starts {
			t.Errorf("start %d found %x", i, found)
		}
		if b := m.Boots[i]; b.Strap != c.side || b.Memory[0] != c.memory || b.Memory[1] != c.elseTwo || b.Memory[2] != 0xFF {
			t.Errorf("start %d is logged with %v, %x", i, b.Strap, b.Memory)
		}
	}
	// 16 384 cycles of the oscillator and 14 more pass from the reset to the first instruction (data sheet, full swing crystal
	// oscillator), and the stand-in samples first about 4000 cycles later.
	for _, b := range m.Boots {
		for _, r := range m.Refreshes {
			if r.Cycle > b.Cycle {
				if d := r.Cycle - b.Cycle; d < 16398+4000 || d > 16398+5600 {
					t.Errorf("the first sample comes %d cycles after the reset", d)
				}
				break
			}
		}
	}
	var kept []proof.Keeps
	for _, r := range m.Refreshes {
		kept = append(kept, r.Kept...)
	}
	if !slices.Equal(kept, []proof.Keeps{{0, 5}, {0, 6}, {0, 7}, {0, 8}}) {
		t.Errorf("kept %v", kept)
	}
}

// A byte that is being written when the supply goes is lost, and only that one.
func TestPowerLostWhileWriting(t *testing.T) {
	m := mustRun(t, setup(20*ms, list(world(t)), proof.Memory(0, 0, []byte{4, 0x77}), proof.Power(3*ms, 0, false), proof.Power(5*ms, 0, true))).Modules[0]
	if b := m.Boots[1].Memory; b[0] == 4 || b[0] == 5 || b[1] != 0x77 {
		t.Errorf("found %x", b)
	}
}

// Bytes reach the core over the serial line and are logged with the sample of the interrupt that took them; what the core sends is
// logged when it has gone out.
func TestSerialLine(t *testing.T) {
	sent := []byte{0x00, 0xFF, 0xA5, 0x3C, 0x01, 0x80}
	for phase := range 8 {
		start := 10*ms + time.Duration(phase)*63*us
		m := mustRun(t, setup(20*ms, list(world(t)), proof.Serial(start, 0, sent))).Modules[0]
		var heard []byte
		for _, r := range m.Refreshes {
			for _, b := range r.Heard {
				heard = append(heard, b.Byte)
				if early := start + time.Duration(len(heard))*proof.SerialByte - 60*us; m.Since(r) < early {
					t.Errorf("byte %d was taken at %v, before %v", len(heard), m.Since(r), early)
				}
				if now, _ := words(t, r); now[3] != b.Byte || b.Broken {
					t.Errorf("at %v the core shows %02x, heard %+v", m.Since(r), now[3], b)
				}
			}
		}
		if !slices.Equal(heard, sent) {
			t.Errorf("heard %x, sent %x", heard, sent)
		}
		if len(m.Sent) != 2 || m.Sent[0].Byte != 0x5A || m.Sent[1].Byte != 0 {
			t.Errorf("sent %v", m.Sent)
		}
	}
}

// Power-down: nothing runs until a pin changes, the time is told, and nothing of it counts as light or work.
func TestPowerDown(t *testing.T) {
	for _, c := range []struct {
		what string
		wake []proof.Event
	}{
		{"an input goes low", []proof.Event{proof.Input(150*ms, 0, 8, false)}},
		{"an input comes on", []proof.Event{proof.Input(120*ms, 0, 8, true), proof.Input(150*ms, 0, 1, true), proof.Input(150*ms, 0, 8, false)}},
		{"a byte comes", []proof.Event{proof.Serial(150*ms, 0, []byte{0x55}), proof.Input(150*ms, 0, 8, false)}},
	} {
		m := mustRun(t, setup(200*ms, list(world(t)), append(c.wake, proof.Input(20*ms, 0, 8, true))...)).Modules[0]
		var gap, slept uint64
		sleeps := 0
		for i, r := range m.Refreshes[1:] {
			if d := r.Cycle - m.Refreshes[i].Cycle; d > gap {
				gap = d
			}
			sleeps += r.Sleeps
			slept += r.Slept
			for _, s := range r.Slots {
				if s.LitCycles > 8200 {
					t.Errorf("%s: a word is lit for %d cycles", c.what, s.LitCycles)
				}
			}
		}
		if sleeps != 1 || len(m.Misdeeds) > 0 {
			t.Fatalf("%s: slept %d times, faults %v", c.what, sleeps, m.Misdeeds)
		}
		// From 20 ms and at most a refresh to 150 ms and the oscillator's start, 16 384 cycles.
		if most := uint64(130*16000 + 16384); slept > most || slept < most-8500 || gap < slept || gap > slept+8500 {
			t.Errorf("%s: slept %d cycles, samples %d apart, want about %d", c.what, slept, gap, most)
		}
		if l := m.Load; l.Down != slept || l.Cycles+l.Down+16398 < 200*16000-10 || l.Cycles+l.Down > 200*16000 {
			t.Errorf("%s: %+v for %d asleep", c.what, l, slept)
		}
	}
	// Asleep until the end of the run, and until a reset.
	m := mustRun(t, setup(200*ms, list(world(t)), proof.Input(20*ms, 0, 8, true))).Modules[0]
	if d := m.Load.DownShare(); d < 0.88 || d > 0.91 {
		t.Errorf("share asleep %.3f", d)
	}
	m = mustRun(t, setup(100*ms, list(world(t)), proof.Input(20*ms, 0, 8, true), proof.Reset(60*ms, 0), proof.Power(70*ms, 0, false), proof.Power(80*ms, 0, true))).Modules[0]
	if len(m.Boots) != 3 || m.At(m.Boots[1].Cycle) != 60*ms || m.At(m.Boots[2].Cycle) != 80*ms {
		t.Errorf("starts %+v", m.Boots)
	}
}

// What a core must not do with all that is named.
func TestWorldFaultsAreNamed(t *testing.T) {
	for bad, want := range []proof.MisdeedKind{1: proof.FaultLitAsleep, 2: proof.FaultAwakeAsleep, 3: proof.FaultAwakeAsleep, 4: proof.FaultConverter, 5: proof.FaultMemory} {
		if bad == 0 {
			continue
		}
		got := mustRun(t, setup(30*ms, list(world(t, fmt.Sprintf("-DBAD=%d", bad))), proof.Input(20*ms, 0, 8, true))).Modules[0].Misdeeds
		if len(got) == 0 {
			t.Errorf("%v: not noticed", want)
		}
		for _, f := range got {
			if f.Kind != want {
				t.Errorf("%v, want only %v", f.Kind, want)
			}
		}
	}
}
