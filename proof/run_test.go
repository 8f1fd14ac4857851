package proof_test

import (
	"context"
	"errors"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"lampwright/proof"
)

// chainModel is what testdata/chain.c must do, written down from its source.
type chainModel struct {
	flash byte // at 0x2000
	count byte
}

func (m *chainModel) Restart(proof.Boot) { m.count = 0 }
func (m *chainModel) Step(s proof.Sample) []proof.Slot {
	m.count++
	var out []proof.Slot
	for i, lit := range []int{80, 800, 6634} { // cbi to sbi: the delay and two cycles; the rest is checked against the period below
		out = append(out, proof.Slot{Word: [8]byte{s.Inputs, m.count, m.flash, 1 << i}, LitCycles: lit})
	}
	return out
}

func TestChainWordsAndWidths(t *testing.T) {
	log := mustRun(t, setup(50*ms, list(chain(t)), proof.Input(1*ms, 0, 1, true), proof.Input(2200*us, 0, 8, true), proof.Input(3*ms, 0, 7, true),
		proof.Input(4*ms, 0, 1, false)))
	if d := proof.Compare(log, 0, &chainModel{flash: 0xFF}, proof.Tolerance{}); len(d) > 0 {
		t.Fatalf("differs: %v", d)
	}
	m := log.Modules[0]
	if n := len(m.Refreshes); n < 98 || n > 100 { // 50 ms of 0.5 ms, less the start
		t.Fatalf("%d refreshes", n)
	}
	for i, r := range m.Refreshes[1:] {
		if d := r.Cycle - m.Refreshes[i].Cycle; d != 8000 && i > 0 { // the first interrupt shows nothing and is shorter
			t.Fatalf("refresh %d comes after %d cycles", i+1, d)
		}
		at := m.Since(r)
		var want uint8
		for _, s := range []struct {
			from, to time.Duration
			mask     uint8
		}{{1 * ms, 4 * ms, 0x01}, {2200 * us, 50 * ms, 0x80}, {3 * ms, 50 * ms, 0x40}} {
			if at >= s.from && at < s.to {
				want |= s.mask
			}
		}
		if r.Inputs != want {
			t.Fatalf("at %v inputs are %02x, want %02x", at, r.Inputs, want)
		}
		if !r.Link {
			t.Fatalf("at %v the idle link is low", at)
		}
	}
	if len(m.Misdeeds) > 0 || m.Load.Resets != 0 || m.Load.Samples != uint64(len(m.Refreshes)) {
		t.Fatalf("faults %v, load %+v", m.Misdeeds, m.Load)
	}
	if b := m.Load.Busy(); b < 0.18 || b > 0.2 { // 1474 of 8000 cycles in the interrupt, a few in the loop
		t.Errorf("busy share %.3f", b)
	}
	if s := m.Load.LowestStack; s < 0x0880 || s >= 0x08FF {
		t.Errorf("lowest stack pointer %04x of a RAM that ends at 08ff", s)
	}
}

func TestFlashPatch(t *testing.T) {
	log := mustRun(t, setup(10*ms, list(chain(t)), proof.FlashXor(0, 0, 0x2000, 0x10), proof.FlashWord(5*ms, 0, 0x2000, 0xBB44)))
	m := log.Modules[0]
	for _, r := range m.Refreshes {
		at := m.Since(r)
		if !r.Whole || at > 4400*us && at < 5*ms { // a word is sent half a millisecond after its sample
			continue
		}
		want := byte(0xEF)
		if at >= 5*ms {
			want = 0x44
		}
		if got := r.Slots[2].Word[2]; got != want {
			t.Fatalf("at %v the flash byte reads %02x, want %02x", at, got, want)
		}
	}
	if len(m.Done) != 2 || m.Done[1].Event != 1 || m.At(m.Done[1].Cycle) != 5*ms {
		t.Fatalf("events took effect as %v", m.Done)
	}
}

// The watchdog of chain.c is set to 60 ms nominal: 8192 cycles of a 128 kHz oscillator are 64 ms (ATmega328P data sheet,
// table "Watchdog Timer Prescale Select"). It must be 64 ms after a watchdog reset as well, not the 16 ms that the reset sets.
func TestWatchdogAndInputsOutliveResets(t *testing.T) {
	log := mustRun(t, setup(210*ms, list(chain(t)), proof.Input(10*ms, 0, 5, true), proof.Input(0, 0, 2, true)))
	m := log.Modules[0]
	var at []time.Duration
	for _, b := range m.Boots {
		at = append(at, m.At(b.Cycle))
	}
	if len(m.Boots) != 4 || m.Boots[0].Cause != proof.CausePower || m.Boots[3].Cause != proof.CauseWatchdog {
		t.Fatalf("boots %v at %v", m.Boots, at)
	}
	if d := at[1] - 10*ms; d < 63*ms || d > 65*ms {
		t.Errorf("first reset %v after the hang", d)
	}
	if d := at[2] - at[1]; d < 65*ms || d > 66*ms { // and 1 ms in which the crystal starts
		t.Errorf("second reset %v after the first", d)
	}
	last := m.Refreshes[len(m.Refreshes)-1]
	if last.Inputs != 0x12 || last.Boot != 3 {
		t.Errorf("after the resets the inputs read %02x in boot %d", last.Inputs, last.Boot)
	}
	// An interrupt out of sleep takes four cycles longer (data sheet), and up to two later when an instruction must end first.
	if d := proof.Compare(log, 0, &chainModel{flash: 0xFF}, proof.Tolerance{WidthCycles: 6}); len(d) > 0 {
		t.Errorf("differs: %v", d)
	}
}

func TestResetAndPower(t *testing.T) {
	log := mustRun(t, setup(40*ms, list(chain(t)), proof.Reset(10*ms, 0), proof.Power(20*ms, 0, false), proof.Power(30*ms, 0, true)))
	m := log.Modules[0]
	var causes []proof.Cause
	for _, b := range m.Boots {
		causes = append(causes, b.Cause)
	}
	if want := []proof.Cause{proof.CausePower, proof.CauseExternal, proof.CausePower}; !slices.Equal(causes, want) {
		t.Fatalf("causes %v, want %v", causes, want)
	}
	for _, r := range m.Refreshes {
		if at := m.Since(r); at > 20*ms && at < 30*ms {
			t.Fatalf("a sample at %v, without supply", at)
		}
	}
	if at := m.At(m.Boots[2].Cycle); at != 30*ms {
		t.Fatalf("power came back at %v", at)
	}
	if d := proof.Compare(log, 0, &chainModel{flash: 0xFF}, proof.Tolerance{}); len(d) > 0 {
		t.Errorf("differs: %v", d)
	}
}

func TestPinsPairPorts(t *testing.T) {
	log := mustRun(t, setup(20*ms, list(pins(t)), proof.Input(5*ms, 0, 3, true)))
	m := log.Modules[0]
	for i, r := range m.Refreshes {
		if !r.Whole {
			continue
		}
		if len(r.Slots) != 1 || r.Slots[0].LitCycles != 8000 {
			t.Fatalf("refresh %d shows %v", i, r.Slots)
		}
		want := uint16(r.Inputs) | uint16(i+1)&0x3F<<6
		if got := uint16(r.Slots[0].Word[0]) | uint16(r.Slots[0].Word[1])<<8; got != want {
			t.Fatalf("refresh %d shows %03x, want %03x", i, got, want)
		}
	}
	if len(m.Refreshes) < 38 || len(m.Misdeeds) > 0 {
		t.Fatalf("%d refreshes, faults %v", len(m.Refreshes), m.Misdeeds)
	}
}

// The length of the pins interrupt, counted by hand from its instructions: entry 4 cycles and 4 more out of sleep (ATmega328P
// data sheet, "Interrupt Response Time"), JMP in the vector table 3, then one, two or four a mnemonic (AVR Instruction Set Manual, ATmega columns).
func TestInterruptCycles(t *testing.T) {
	firmware(t, "pins")
	text := tool(t, "avr-objdump", "-d", "--no-show-raw-insn", sharedDir+"/pins[].elf")
	_, body, found := strings.Cut(text, "<__vector_11>:\n")
	if !found {
		t.Fatal("no interrupt in the listing")
	}
	body, _, _ = strings.Cut(body, "\n\n")
	cost := map[string]int{"push": 2, "pop": 2, "lds": 2, "sts": 2, "adiw": 2, "sbiw": 2, "ld": 2, "ldd": 2, "st": 2, "std": 2, "mul": 2, "reti": 4}
	for _, m := range strings.Fields("in out ldi mov andi add adc and or ori eor lsl subi sbci lsr com movw") {
		cost[m] = 1
	}
	want := 4 + 4 + 3
	for _, line := range regexp.MustCompile(`(?m)^\s*[0-9a-f]+:\s+(\w+)`).FindAllStringSubmatch(body, -1) {
		c, ok := cost[line[1]]
		if !ok {
			t.Fatalf("no cycle count for %s", line[1])
		}
		want += c
	}
	log := mustRun(t, setup(20*ms, list(pins(t))))
	in := log.Modules[0].Load.Interrupts
	if len(in) != 1 || in[0].Vector != 11 || int(in[0].Least) != want || int(in[0].Most) != want {
		t.Fatalf("interrupts %+v, want vector 11 with %d cycles", in, want)
	}
	if in[0].Runs != log.Modules[0].Load.Samples || in[0].Mean() != float64(want) {
		t.Fatalf("interrupts %+v", in)
	}
}

func TestFaultsAreNamed(t *testing.T) {
	for _, c := range []struct {
		name, brk string
		kind      proof.Kind
		want      proof.MisdeedKind
	}{
		{"collision", "1", proof.Chain, proof.FaultSPICollision},
		{"early latch", "2", proof.Chain, proof.FaultLatchInShift},
		{"spi off", "3", proof.Chain, proof.FaultSPIOff},
		{"link high", "4", proof.Chain, proof.FaultLinkDrivenHigh},
		{"lone port", "5", proof.Pins, proof.FaultLonePort},
		{"asleep", "6", proof.Chain, proof.FaultStuck},
		{"wild", "7", proof.Chain, proof.FaultStuck},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := proof.Module{Name: "faulty", HEX: firmware(t, "faulty", "-DBREAK="+c.brk), Kind: c.kind, Registers: 2}
			got := mustRun(t, setup(5*ms, list(m))).Modules[0].Misdeeds
			if len(got) == 0 {
				t.Fatal("no fault was noticed")
			}
			for _, f := range got {
				if f.Kind != c.want {
					t.Fatalf("%v, want only %v", f.Kind, c.want)
				}
			}
		})
	}
}

func TestNotProvenWithoutCompiler(t *testing.T) {
	s := setup(ms, list(chain(t)))
	s.Cache = t.TempDir()
	t.Setenv("PATH", t.TempDir())
	_, err := proof.Run(context.Background(), s)
	var n *proof.NotProven
	if !errors.As(err, &n) || !strings.Contains(n.Reason, "gcc") || !strings.Contains(n.Install, "apt-get install") {
		t.Fatalf("got %v", err)
	}
}

func TestBenchIsCompiledOnce(t *testing.T) {
	dir := t.TempDir()
	var seen []os.FileInfo
	for range 2 {
		path, err := proof.Prepare(context.Background(), dir)
		if err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		seen = append(seen, info)
	}
	if !os.SameFile(seen[0], seen[1]) {
		t.Fatal("compiled twice")
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Fatalf("the folder holds %v", left)
	}
}

func TestRunStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	s := setup(time.Hour, list(chain(t)))
	calls := 0
	s.Progress = func(done, of time.Duration) {
		calls++
		if done <= 0 || done > of || of != time.Hour {
			t.Errorf("progress %v of %v", done, of)
		}
		cancel()
	}
	if _, err := proof.Run(ctx, s); !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v", err)
	}
	if calls == 0 {
		t.Fatal("no progress was told")
	}
	enough := errors.New("enough")
	if _, err := proof.Watch(context.Background(), setup(time.Hour, list(chain(t))), func(int, proof.Boot, proof.Refresh) error { return enough }); !errors.Is(err, enough) {
		t.Fatalf("got %v", err)
	}
}

func TestSetupIsChecked(t *testing.T) {
	good := chain(t)
	bad := good
	bad.Registers = 9
	for name, s := range map[string]proof.Setup{
		"no module":        setup(ms, nil),
		"no length":        setup(0, list(good)),
		"registers":        setup(ms, list(bad)),
		"no HEX":           setup(ms, list(proof.Module{Registers: 1})),
		"event of another": setup(ms, list(good), proof.Reset(0, 1)),
		"input 9":          setup(ms, list(good), proof.Input(0, 0, 9, true)),
		"damaged HEX":      setup(ms, list(proof.Module{Registers: 1, HEX: []byte(":0100000001FF\n")})),
	} {
		if _, err := proof.Run(context.Background(), s); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
