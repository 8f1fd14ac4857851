package loader

import (
	"bytes"
	"context"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lampwright/board"
	"lampwright/flash"
	"lampwright/program"
	"lampwright/proof/loading/model"
	"lampwright/report"
)

// The judge of the line is package model: a module written from the page alone.

const kitNumber = 0x1234ABCD

// image makes an image for a lamp whose routine is so long.
func image(t testing.TB, lamp uint16, side program.Side, routine int, change func(*program.Program)) []byte {
	t.Helper()
	code := []byte{0x80}
	for i := range routine {
		code = append(code, byte(i%8), byte(i), 0x41)
	}
	p := &program.Program{Kit: kitNumber, Lamp: lamp, Side: side, Registers: 2, Live: true, Layers: []program.Layer{{
		Name: "stop", InputMask: 2, Slots: []uint8{0, 1, 2, 3, 4, 5, 6, 7}, Pace: -1,
		Stay: &program.Routine{Ticks: routine, Code: append(code, 0xC0)},
	}}}
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

func safeBlock(t testing.TB, level byte) []byte {
	t.Helper()
	s := &program.Safe{Registers: 2, TailLevel: level, Stop: 2, Tail: 1}
	for i := range s.On {
		s.On[i], s.Off[i] = 7, 16
	}
	block, err := program.EncodeSafe(s)
	if err != nil {
		t.Fatal(err)
	}
	return block[:]
}

// rearLH is what is to be written in these tests; old is what the modules hold.
func rearLH(t testing.TB) Wanted {
	i := image(t, 1, program.LH, 400, nil)
	return Wanted{Board: board.CoreChain, Safe: safeBlock(t, 60), Image: i, Belongs: i, Name: "rear-lh",
		Known: func(h Hand) string {
			if h.Kit != kitNumber {
				return ""
			}
			return map[uint16]string{1: "tail-lh", 2: "tail-rh"}[h.Lamp]
		}}
}

func old(t testing.TB) *model.Module {
	return model.New(1, safeBlock(t, 40), image(t, 1, program.LH, 300, nil))
}

func load(m *model.Port, w Wanted) *report.Diagnostic {
	return NewSerial(m, "/dev/ttyUSB0").Load(context.Background(), w, nobody)
}

func nobody(string, int, int) {}

// holds checks that a module runs what was wanted.
func holds(t testing.TB, m *model.Module, w Wanted) {
	t.Helper()
	for _, p := range w.pages(true)[1:] {
		if !bytes.Equal(m.Flash[p.at:p.at+len(p.bytes)], p.bytes) {
			t.Fatalf("page %04x is not what was wanted", p.at)
		}
	}
	if !m.Accepted() {
		t.Fatal("the module does not run the image")
	}
}

func TestLoadWritesAndLeaves(t *testing.T) {
	w := rearLH(t)
	m := old(t)
	before := m.Flash
	var steps []string
	d := NewSerial(&model.Port{Module: m}, "COM3").Load(context.Background(), w, func(doing string, done, all int) {
		steps = append(steps, fmt.Sprintf("%s %d/%d", doing, done, all))
	})
	if d != nil {
		t.Fatal(d)
	}
	holds(t, m, w)
	pages := len(w.pages(true))
	if m.Writes != 2*pages || m.Restarts != 1 {
		t.Errorf("%d erasings and writings for %d pages, %d restarts", m.Writes, pages, m.Restarts)
	}
	if steps[0] != fmt.Sprintf("writing 0/%d", pages) || steps[len(steps)-1] != fmt.Sprintf("reading back %d/%d", pages-1, pages-1) {
		t.Errorf("progress from %q to %q", steps[0], steps[len(steps)-1])
	}
	if !bytes.Equal(before[:model.SafeA], m.Flash[:model.SafeA]) || !bytes.Equal(before[0x7800:], m.Flash[0x7800:]) {
		t.Error("core or loader were touched")
	}
}

// A wrong pair is refused with what was found, what was wanted and what to do; --replace loads anyway what can be loaded.
func TestWrongPairs(t *testing.T) {
	for name, c := range map[string]struct {
		board    byte
		image    []byte
		change   func(*model.Module)
		id       string
		says     string
		replaced bool
	}{
		"the other side": {image: image(t, 2, program.RH, 5, nil), id: IDWrongPair,
			says: "the module holds tail-rh (kit 1234abcd, lamp 2, RH, 16 outputs); rear-lh is tail-lh (kit 1234abcd, lamp 1, LH, 16 outputs)", replaced: true},
		"the same lamp, other side": {image: image(t, 1, program.RH, 5, nil), id: IDWrongPair, says: "lamp 1, RH", replaced: true},
		"another kit":               {image: image(t, 1, program.LH, 5, func(p *program.Program) { p.Kit = 7 }), id: IDWrongPair, says: "holds kit 00000007, lamp 1, LH", replaced: true},
		"a wiring walk of another size": {image: walk(t, 4), change: func(m *model.Module) { m.Flash[model.SafeA], m.Flash[model.SafeB] = 0, 0 },
			id: IDWrongPair, says: "holds the wiring walk of 32 outputs", replaced: true},
		"another kind of board": {board: 2, id: IDWrongCore, says: "kind pins, and rear-lh is for the kind chain"},
		"a kind not known":      {board: 9, id: IDWrongCore, says: "kind that this tool does not know"},
		"an older core":         {change: func(m *model.Module) { m.Flash[model.Mark+6] = 1 }, id: IDWrongCore, says: "core is of version 1, and rear-lh needs version 2"},
		"no mark": {change: func(m *model.Module) { copy(m.Flash[model.Mark:], bytes.Repeat([]byte{0xFF}, 16)) },
			id: IDWrongCore, says: "no mark of a core"},
	} {
		t.Run(name, func(t *testing.T) {
			make := func() *model.Module {
				if c.image == nil {
					c.image = image(t, 1, program.LH, 5, nil)
				}
				m := model.New(max(c.board, 1), safeBlock(t, 40), c.image)
				if c.change != nil {
					c.change(m)
				}
				return m
			}
			w, m := rearLH(t), make()
			before := m.Flash
			d := load(&model.Port{Module: m}, w)
			if d == nil || d.ID != c.id || !strings.Contains(d.Text, c.says) || d.Next == "" || m.Flash != before {
				t.Fatalf("%+v", d)
			}
			if strings.Contains(d.Next, "--replace") != c.replaced {
				t.Errorf("next: %s", d.Next)
			}
			w.Replace = true
			m = make()
			if d = load(&model.Port{Module: m}, w); (d == nil) != c.replaced {
				t.Fatalf("with --replace: %+v", d)
			}
			if c.replaced {
				holds(t, m, w)
			}
		})
	}
}

// What serves the wanted lamp, or no lamp, is no wrong pair.
func TestRightPairs(t *testing.T) {
	both := image(t, 1, program.LH, 20, func(p *program.Program) {
		p.SideByStrap = true
		q := *p
		q.Lamp, q.Side, q.Layers = 2, program.RH, append([]program.Layer(nil), p.Layers...)
		p.Other = &q
	})
	w := rearLH(t)
	for name, c := range map[string]struct {
		held   []byte
		wanted []byte
		strap  byte
	}{
		"an image for both hands on the one hand":   {both, w.Image, 1},
		"an image for both hands on the other hand": {both, w.Image, 2},
		"an image for both hands, no strap":         {both, both, 0},
		"both hands for one":                        {w.Image, both, 1},
		"an empty module":                           {nil, w.Image, 0},
		"a damaged image":                           {append(w.Image[:40:40], 0, 0, 0), w.Image, 0},
		"a wiring walk":                             {walk(t, 2), w.Image, 0},
	} {
		t.Run(name, func(t *testing.T) {
			m := model.New(1, safeBlock(t, 40), c.held)
			m.Strap = c.strap
			m.PowerOn()
			w := w
			w.Image, w.Belongs = c.wanted, c.wanted
			if d := load(&model.Port{Module: m}, w); d != nil {
				t.Fatal(d)
			}
		})
	}
}

func walk(t testing.TB, registers int) []byte {
	t.Helper()
	out, err := program.Encode(&program.Program{Registers: registers, Walk: true})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// The wiring walk goes only into the module that it was asked for.
func TestWalkBelongsToo(t *testing.T) {
	w := rearLH(t)
	w.Image = walk(t, 2)
	m := old(t)
	if d := load(&model.Port{Module: m}, w); d != nil {
		t.Fatal(d)
	}
	holds(t, m, w)
	if d := load(&model.Port{Module: model.New(1, safeBlock(t, 40), image(t, 2, program.RH, 5, nil))}, w); d == nil || d.ID != IDWrongPair {
		t.Fatalf("%+v", d)
	}
}

// Whenever the supply goes away, the module serves: with the old image, the new one, or the safe program of a block that is right;
// and loading it again makes it whole.
func TestPowerLostAnywhere(t *testing.T) {
	w := rearLH(t)
	last := 2 * len(w.pages(true))
	for _, damaged := range []int{0, model.SafeA, model.SafeB} {
		whole := old(t)
		if damaged != 0 {
			whole.Flash[damaged+5] ^= 0x10
		}
		was := whole.Flash
		for cut := 1; cut <= last; cut++ {
			m := old(t)
			m.Flash, m.CutAt = was, cut
			d := load(&model.Port{Module: m}, w)
			if d == nil || d.ID != IDSilent || !m.Off {
				t.Fatalf("cut %d: %+v", cut, d)
			}
			if !strings.Contains(d.Next, "load it again") {
				t.Errorf("cut %d: next: %s", cut, d.Next)
			}
			m.PowerOn()
			if !m.SafeRight(model.SafeA) && !m.SafeRight(model.SafeB) {
				t.Fatalf("cut %d, copy %04x damaged before: no copy of the safe block is right", cut, damaged)
			}
			if m.Accepted() && cut > 1 && cut < last {
				t.Fatalf("cut %d: half an image runs", cut)
			}
			if d := load(&model.Port{Module: m}, w); d != nil {
				t.Fatalf("cut %d, again: %+v", cut, d)
			}
			holds(t, m, w)
		}
	}
}

// A line that loses, changes and adds bytes costs time, never a wrong page.
func TestBadLine(t *testing.T) {
	w := rearLH(t)
	rapid.Check(t, func(t *rapid.T) {
		random := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		rate := rapid.Float64Range(0, 0.002).Draw(t, "spoilt bytes")
		spoil := func(p []byte) (out []byte) {
			for _, b := range p {
				switch x := random.Float64() / rate; {
				case x < 0.4:
				case x < 0.8:
					out = append(out, b^1<<random.IntN(8))
				case x < 1:
					out = append(out, b, byte(random.Uint32()))
				default:
					out = append(out, b)
				}
			}
			return out
		}
		m := model.New(1, w.Safe, w.Image[:40])
		if d := load(&model.Port{Module: m, Out: spoil, In: spoil}, w); d != nil {
			t.Fatalf("%+v", d)
		}
		holds(panics{}, m, w)
	})
}

// panics lets holds fail within rapid.
type panics struct{ testing.TB }

func (panics) Helper()                        {}
func (panics) Fatal(args ...any)              { panic(fmt.Sprint(args...)) }
func (panics) Fatalf(format string, a ...any) { panic(fmt.Sprintf(format, a...)) }

// A module that restarts in the middle is entered again, with the key of a module without an image.
func TestModuleRestartsMeanwhile(t *testing.T) {
	w := rearLH(t)
	m := old(t)
	p := &model.Port{Module: m}
	p.Before = func(packet int) {
		if packet == 20 || packet == 45 {
			m.PowerOn()
		}
	}
	if d := load(p, w); d != nil {
		t.Fatal(d)
	}
	holds(t, m, w)
}

func TestWhatGoesWrongOnTheLine(t *testing.T) {
	w := rearLH(t)
	for name, c := range map[string]struct {
		change         func(*model.Port)
		id, says, next string
	}{
		"nothing answers": {func(p *model.Port) { p.Off = true }, IDSilent, "no module answers on /dev/ttyUSB0", "ground"},
		"the module goes away": {func(p *model.Port) {
			p.Before = func(n int) { p.Off = p.Off || n == 30 }
		}, IDSilent, "no module answers", "then load it again"},
		"the adapter is pulled": {func(p *model.Port) {
			p.Before = func(n int) { p.Unplugged = n == 30 }
		}, IDPortLost, "went away: device not configured", "plug it in again"},
		"another speed": {func(p *model.Port) {
			p.In = func(b []byte) []byte { return bytes.Repeat([]byte{0xE6}, len(b)) }
		}, IDNoise, "is no answer", "5 V levels"},
		"a worn page":       {func(p *model.Port) { p.Worn = 0x2100 }, IDMismatch, "page 2100", "replace the controller"},
		"a worn safe block": {func(p *model.Port) { p.Worn = model.SafeB }, IDMismatch, "page 7780", "supply"},
		"it does not let us in": {func(p *model.Port) {
			p.Out = func(b []byte) []byte {
				if b[1] == commandEnter {
					return nil
				}
				return b
			}
		}, IDShut, "does not let itself be loaded", "programmer"},
		"its loader guards other pages": {func(p *model.Port) {
			p.In = func(b []byte) []byte {
				if len(b) == 6 && b[1] == commandPage|answerBit {
					return packet(commandPage|answerBit, 1)
				}
				return b
			}
		}, IDOldLoader, "does not take page 2000", "renews core and loader"},
	} {
		t.Run(name, func(t *testing.T) {
			p := &model.Port{Module: old(t)}
			c.change(p)
			d := load(p, w)
			if d == nil || d.ID != c.id || !strings.Contains(d.Text, c.says) || !strings.Contains(d.Next, c.next) {
				t.Errorf("%+v", d)
			}
		})
	}
}

func TestLoadIsStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	p := &model.Port{Module: old(t)}
	p.Before = func(n int) {
		if n == 40 {
			cancel()
		}
	}
	d := NewSerial(p, "COM3").Load(ctx, rearLH(t), nobody)
	if d == nil || d.ID != IDStopped || !strings.Contains(d.Why, "plain signals") || !strings.Contains(d.Next, "load it again") || p.Packets > 41 {
		t.Errorf("after %d packets: %+v", p.Packets, d)
	}
}

// An answer that comes too late is not taken for that to the next command.
func TestLateAnswers(t *testing.T) {
	m := old(t)
	p := &model.Port{Module: m}
	var late []byte
	seen := 0
	p.In = func(b []byte) []byte {
		if len(b) == 0 {
			return nil
		}
		if seen++; seen%7 == 3 {
			late = b
			return nil
		}
		out := append(late, b...)
		late = nil
		return out
	}
	got, err := NewSerial(p, "COM3").read(context.Background(), flash.ImageStart, 1000)
	if err != nil || !bytes.Equal(got, m.Flash[flash.ImageStart:flash.ImageStart+1000]) {
		t.Errorf("%v: not what the module holds", err)
	}
}

func TestReadTellsWhatIsThere(t *testing.T) {
	m := old(t)
	c, d := NewSerial(&model.Port{Module: m}, "COM3").Read(context.Background(), nobody)
	if d != nil {
		t.Fatal(d)
	}
	img := image(t, 1, program.LH, 300, nil)
	want := Contents{Board: "chain", CoreVersion: 2, CoreCheck: fmt.Sprintf("%04x", program.CRC(m.Flash[:flash.CoreBytes])),
		Lamps:        []Served{{Kit: "1234abcd", Lamp: 1, Side: "LH", Outputs: 16, Live: true}},
		ImageVersion: 2, ImageBytes: len(img), ImageCheck: fmt.Sprintf("%02x%02x", img[len(img)-2], img[len(img)-1]), ImageRight: true,
		SafeCheck: fmt.Sprintf("%x", safeBlock(t, 40)[70:]), SafeA: true, SafeB: true}
	if fmt.Sprint(c) != fmt.Sprint(want) {
		t.Errorf("got  %+v\nwant %+v", c, want)
	}
	m.Flash[model.Image+60] ^= 1
	m.Flash[model.SafeA] = 0
	if c, d = NewSerial(&model.Port{Module: m}, "COM3").Read(context.Background(), nobody); d != nil || c.ImageRight || c.SafeA || !c.SafeB || c.SafeCheck != want.SafeCheck {
		t.Errorf("%v: %+v", d, c)
	}
}

func TestPorts(t *testing.T) {
	for _, name := range []string{t.TempDir() + "/ttyUSB9", t.TempDir()} {
		if _, d := Open(name); d == nil || d.ID != IDNoPort || d.Next == "" || !Lacks(d.ID) {
			t.Errorf("%+v", d)
		}
	}
}

// Whatever comes over the line, reading it finds nothing that did not come, and a right packet behind it.
func FuzzFind(f *testing.F) {
	f.Add(packet(commandRead|answerBit, 1, 2, 3), byte(commandRead|answerBit))
	f.Add([]byte{packetMark, packetMark, 0x81, 200}, byte(0x81))
	f.Add(append([]byte{packetMark, 0x81, 3}, packet(0x81, 9)...), byte(0x81))
	f.Fuzz(func(t *testing.T, received []byte, command byte) {
		if payload, ok := find(received, command); ok && !bytes.Contains(received, packet(command, payload...)) {
			t.Errorf("found %x, which did not come", payload)
		}
		if _, ok := find(append(received, packet(command, 7, 8)...), command); !ok {
			t.Errorf("a right packet was not found behind %x", received)
		}
	})
}
