package loading

import (
	"bufio"
	"context"
	"encoding/binary"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"lampwright/board"
	"lampwright/flash"
	"lampwright/loader"
	"lampwright/program"
	"lampwright/report"
)

// compiled builds the bench once. A machine that cannot is no reason to skip: without it nothing is proven.
var compiled = sync.OnceValues(func() (string, error) {
	folder, err := os.MkdirTemp("", "lampwright-loading-")
	if err != nil {
		return "", err
	}
	sources, err := filepath.Glob("bench/*.c")
	if err != nil || len(sources) == 0 {
		return "", errors.New("the bench's source is missing")
	}
	made := filepath.Join(folder, "bench")
	out, err := exec.Command("gcc", append(append([]string{"-O2", "-std=gnu11", "-Wall", "-Wno-parentheses", "-Werror", "-I/usr/include/simavr"}, sources...),
		"-o", made, "-lsimavr", "-lm")...).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("the bench does not compile (it needs gcc and libsimavr-dev): %w\n%s", err, out)
	}
	return made, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if made, err := compiled(); err == nil {
		os.RemoveAll(filepath.Dir(made))
	}
	os.Exit(code)
}

// bench is one simulated module. It is also the serial port that leads to it: time passes only in its calls.
type bench struct {
	t       testing.TB
	in      io.WriteCloser
	out     *bufio.Reader
	timeout time.Duration
	watch   func() // called once a Read, with the module standing still; may be nil
}

// newBench starts one. The supply is off.
func newBench(t testing.TB, core board.Core) *bench {
	t.Helper()
	made, err := compiled()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(made, string(core))
	cmd.Stderr = os.Stderr
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		in.Close()
		cmd.Wait()
	})
	return &bench{t: t, in: in, out: bufio.NewReaderSize(out, 1<<18)}
}

// do gives one command and returns its answer.
func (b *bench) do(format string, args ...any) string {
	b.t.Helper()
	if _, err := fmt.Fprintf(b.in, format+"\n", args...); err != nil {
		b.t.Fatal(err)
	}
	line, err := b.out.ReadString('\n')
	if err != nil {
		b.t.Fatalf("%s: %v", fmt.Sprintf(format, args...), err)
	}
	return strings.TrimSpace(line)
}

func (b *bench) SetReadTimeout(d time.Duration) error {
	b.timeout = d
	return nil
}

func (b *bench) Write(p []byte) (int, error) {
	b.do("send %x", p)
	return len(p), nil
}

func (b *bench) Read(p []byte) (int, error) {
	if b.watch != nil {
		b.watch()
	}
	got, err := hex.DecodeString(b.do("get %d", b.timeout.Microseconds()))
	if err != nil || len(got) > len(p) {
		b.t.Fatalf("%d bytes from the bench: %v", len(got), err)
	}
	return copy(p, got), nil
}

func (b *bench) run(d time.Duration) { b.do("run %d", d.Microseconds()) }

func (b *bench) power(on bool) { b.do("power %d", number(on)) }

func (b *bench) press(input int, on bool) { b.do("in %d %d", input-1, number(on)) }

func number(on bool) int {
	if on {
		return 1
	}
	return 0
}

func (b *bench) dump(at, n int) []byte {
	out, err := hex.DecodeString(b.do("dump %x %d", at, n))
	if err != nil || len(out) != n {
		b.t.Fatalf("dump of %d bytes at %x: %v", n, at, err)
	}
	return out
}

// state is how the module stands.
type state struct {
	powered, asleep                bool
	time                           time.Duration
	operations, restarts, overruns int
	touchedLow, touchedHigh        int
	faults                         int
	lit                            time.Duration // for which the watched outputs have been lit; negative: they are not
	presses                        int           // that were timed
	latency                        time.Duration // the longest from one of them to the watched outputs
	firstFault                     string
}

func (b *bench) state() (s state) {
	b.t.Helper()
	var powered int
	var us, lit, latency float64
	line := b.do("state")
	if _, err := fmt.Sscanf(line, "%d %g %d %d %d %x %x %d %g %d %g", &powered, &us, &s.operations, &s.restarts, &s.overruns, &s.touchedLow, &s.touchedHigh, &s.faults, &lit, &s.presses, &latency); err != nil {
		b.t.Fatalf("%q: %v", line, err)
	}
	if parts := strings.SplitN(line, " ", 12); len(parts) == 12 {
		s.firstFault = parts[11]
	}
	s.powered, s.asleep, s.time, s.lit, s.latency = powered > 0, powered == 2, microseconds(us), microseconds(lit), microseconds(latency)
	return s
}

func microseconds(us float64) time.Duration { return time.Duration(us * float64(time.Microsecond)) }

// sound checks that nothing happened on the bench that must not happen.
func (b *bench) sound() state {
	b.t.Helper()
	s := b.state()
	if s.faults > 0 {
		b.t.Errorf("%d faults, the first: %s", s.faults, s.firstFault)
	}
	return s
}

// light lets time pass and gives the share of it that each output shone.
func (b *bench) light(d time.Duration) []float64 {
	b.t.Helper()
	fields := strings.Fields(b.do("light %d", d.Microseconds()))
	shares := make([]float64, len(fields))
	for o, f := range fields {
		if _, err := fmt.Sscan(f, &shares[o]); err != nil {
			b.t.Fatal(err)
		}
		shares[o] /= 1e6
	}
	return shares
}

// put places a HEX file in the flash.
func (b *bench) put(text []byte) {
	b.t.Helper()
	memory, err := flash.ReadHEX(text)
	if err != nil {
		b.t.Fatal(err)
	}
	for _, s := range memory {
		b.do("flash %x %x", s.Addr, s.Data)
	}
}

// kind is one kind of board as these tests use it: registers, and the outputs of its groups.
type kind struct {
	core      board.Core
	registers int
}

var kinds = []kind{{board.CoreChain, 8}, {board.CoreChain, 1}, {board.CorePins, 2}}

func (k kind) String() string { return fmt.Sprintf("%s-%d", k.core, k.registers) }

// Inputs of the test lamp, 1-based, and its outputs, 0-based.
const (
	tailIn, stopIn, turnIn = 1, 2, 3
)

var stopOut, tailOut, turnOut = []int{0, 1}, []int{2, 3}, []int{4, 5}

func mask(outputs []int) (m uint64) {
	for _, o := range outputs {
		m |= 1 << o
	}
	return m
}

// safe is the safe block of the test lamp.
func (k kind) safe(t testing.TB, level uint8, change func(*program.Safe)) (*program.Safe, []byte) {
	t.Helper()
	s := &program.Safe{Registers: k.registers, TailLevel: level, Tail: 1 << (tailIn - 1), Stop: 1 << (stopIn - 1), TurnA: 1 << (turnIn - 1)}
	for i := range s.On {
		s.On[i], s.Off[i] = 7, 16
	}
	s.StopOut[0], s.TailOut[0], s.TurnAOut[0] = uint8(mask(stopOut)), uint8(mask(tailOut)), uint8(mask(turnOut))
	if change != nil {
		change(s)
	}
	block, err := program.EncodeSafe(s)
	if err != nil {
		t.Fatal(err)
	}
	return s, block[:]
}

const kitNumber, lampNumber = 0x00C0FFEE, 3

// image makes an image of the test lamp, about so many bytes long: a stop, and a routine that fills the rest.
func (k kind) image(t testing.TB, bytes int, change func(*program.Program)) []byte {
	t.Helper()
	p := &program.Program{Kit: kitNumber, Lamp: lampNumber, Side: program.LH, Registers: k.registers, Live: true, Layers: []program.Layer{{
		Name: "stop", Fast: true, InputMask: 1 << (stopIn - 1), Slots: []uint8{0, 1}, Still: []uint8{255, 255}, Pace: -1,
	}}}
	code := []byte{0x80}
	ticks := 0
	for ; len(code) < bytes-200; ticks++ {
		code = append(code, byte(ticks%2), byte(ticks*37), 0x41)
	}
	if ticks > 0 {
		p.Layers = append(p.Layers, program.Layer{Name: "tail", InputMask: 1 << (tailIn - 1), Slots: []uint8{2, 3}, Pace: -1,
			Stay: &program.Routine{Ticks: ticks, Code: append(code, 0xC0)}})
	}
	if change != nil {
		change(p)
	}
	p.Arrange()
	out, err := program.Encode(p)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// module starts a bench with the core that ships, both copies of a safe block and an image, switched on and checked.
func (k kind) module(t testing.TB, safe *program.Safe, image []byte) *bench {
	t.Helper()
	b := newBench(t, k.core)
	text, err := flash.Ship(k.core, safe, image)
	if err != nil {
		t.Fatal(err)
	}
	b.put(text)
	b.power(true)
	b.run(600 * time.Millisecond)
	return b
}

// wanted is what the tool is to write.
func (k kind) wanted(safe, image []byte) loader.Wanted {
	return loader.Wanted{Board: k.core, Safe: safe, Image: image, Belongs: image, Name: "rear-lh"}
}

func load(b *bench, w loader.Wanted) *report.Diagnostic {
	return loader.NewSerial(b, "bench").Load(context.Background(), w, func(string, int, int) {})
}

// Packets as docs/loading.md says, written once more.
func packet(command byte, payload ...byte) []byte {
	p := append([]byte{0xA5, command, byte(len(payload))}, payload...)
	return binary.BigEndian.AppendUint16(p, program.CRC(p[1:]))
}

func readPacket(at, n int) []byte { return packet(1, byte(at), byte(at>>8), byte(n)) }

func key(kit uint32, lamp uint16) []byte {
	return binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint32(nil, kit), lamp)
}

// ask sends bytes and gives what comes within half a second.
func (b *bench) ask(p []byte) []byte {
	b.t.Helper()
	b.do("send %x", p)
	out, err := hex.DecodeString(b.do("get 500000"))
	if err != nil {
		b.t.Fatal(err)
	}
	return out
}
