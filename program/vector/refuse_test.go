package vector_test

import (
	"encoding/binary"
	"fmt"
	"slices"
	"testing"

	"lampwright/program"
	"lampwright/program/vector"
)

// raw lays out an image by hand, from the words of docs/image-format.md alone: so that the encoder is not its own judge.
type raw struct {
	registers, layers, fades int
	entries                  [][]byte
	data                     []byte // what the layers point to, other headers included
}

// base is a module of two registers with stop (still, fast) and a show that moves over two slots by the given code.
func base(code ...byte) *raw {
	r := &raw{registers: 2, layers: 2, fades: 2}
	r.entry(0b0000110, stop, 3, 0, 96, 0, 99, 0, 0, 0, 0x0E)
	r.entry(0b0000001, show, 2, 0, 102, 0, 104, 0, 0, 12, 0x30)
	r.data = append([]byte{1, 2, 3, 255, 255, 255, 4, 5}, code...)
	return r
}

func (r *raw) entry(flags, inputs, n, fade, slots, arrive, stay, leave, arriveTicks, stayTicks int, takes uint64) {
	e := make([]byte, 32)
	e[0], e[1], e[2], e[3] = byte(flags), byte(inputs), byte(n), byte(fade)
	for i, v := range []int{slots, arrive, stay, leave, 0, 0, 0, arriveTicks, stayTicks} {
		binary.LittleEndian.PutUint16(e[4+2*i:], uint16(v))
	}
	binary.LittleEndian.PutUint64(e[22:], takes)
	r.entries = append(r.entries, e)
}

// bytes joins the image and sets its check.
func (r *raw) bytes(change ...func(b []byte)) []byte {
	b := make([]byte, 32)
	b[0], b[1], b[2], b[6], b[7], b[17] = 'L', 'W', 2, byte(r.registers), byte(r.layers), byte(r.fades)
	b = append(b, slices.Concat(r.entries...)...)
	b = append(b, r.data...)
	binary.LittleEndian.PutUint16(b[4:], uint16(len(b)+2))
	for _, f := range change {
		f(b)
	}
	return binary.BigEndian.AppendUint16(b, program.CRC(b))
}

// The code of the show that base is made for: 12 ticks.
var plain = []byte{0x80 + 5, 0x00, 200, 0x01, 90, 0x40 + 12, 0xC1}

// refusals holds one vector for each thing that the decoder refuses.
func refusals(t *testing.T) (all []fixture) {
	add := func(name, reason string, image []byte) {
		all = append(all, fixture{
			name: "refuse-" + name, notes: "what the decoder refuses; a core that is given it all the same must not lose the stop lamp's safe program.", refusal: reason, image: image, safe: refusalSafe(),
			runs: []vector.Run{frames(4, 0), frames(16, show), frames(4, stop|show), frames(3, 0)},
		})
	}
	set := func(at int, v byte) func([]byte) { return func(b []byte) { b[at] = v } }
	patched := func(name, reason string, at int, v byte) { add(name, reason, base(plain...).bytes(set(at, v))) }
	code := func(name, reason string, ops ...byte) { add(name, reason, base(ops...).bytes()) }
	const one, two = 32, 64 // the entries of stop and show

	good := base(plain...).bytes()
	if _, err := program.Decode(good); err != nil {
		t.Fatalf("the image laid out by hand is refused: %v", err)
	}
	all = append(all, fixture{name: "by-hand", notes: "an image laid out by hand.", image: good, safe: refusalSafe(), runs: []vector.Run{frames(4, 0), frames(30, show)},
		want: []want{{frame(9), frame(16) - 1, span(4, 4), 200, false}}})

	add("short", "33 bytes", good[:33])
	patched("mark", "mark", 1, 'X')
	patched("version", "version 1", 2, 1)
	patched("length", "stated length", 4, byte(len(good)+1))
	patched("role-bits", "role 0x20", 3, 0x20)
	patched("link", "link role 3", 3, 6)
	patched("registers-0", "0 registers", 6, 0)
	patched("registers-9", "9 registers", 6, 9)
	patched("layers-13", "13 layers", 7, 13)
	patched("layers-too-long", "layers in an image of", 7, 5)
	patched("side", "side 3", 14, 3)
	patched("strap-centre", "side 0 with a side strap", 3, 8)
	patched("live-bits", "live mode 0x02", 24, 2)
	patched("other-place", "another hand at byte 95", 18, 95)
	patched("other-end", "another hand at byte 255", 18, 255)
	add("other-begins", "begins 01 02 03 ff ff ff", base(append(slices.Repeat([]byte{0x00, 7}, 12), plain...)...).bytes(set(18, 96)))
	patched("pacer", "pacer 0 watches inputs 0x0c", 15, turn|show)
	patched("fades", "7 fades", 17, 7)
	patched("header-unused", "unused byte", 25, 1)
	patched("flags", "flags 0x86", one, 0x86)
	patched("pacer-number", "a pacer number", two, 0x41)
	add("signal-after-show", "a signal after a show", base(plain...).bytes(set(one, 0x03), set(two, 0)))
	patched("fast", "a fast layer that is something else", 100, 254)
	patched("fast-moving", "a fast layer that is something else", two, 0x05)
	patched("ends", "a signal that ends when interrupted", one, 0x0E)
	patched("linked", "a linked layer that is something else", two, 0x11)
	patched("paced-show", "a show at the flasher's pace", two, 0x21)
	patched("no-input", "no input", one+1, 0)
	patched("slots-0", "0 slots", one+2, 0)
	patched("slots-65", "65 slots", two+2, 65)
	patched("still-fade", "first fade 1", one+3, 1)
	patched("fade-range", "fades 191..192", two+3, 191)
	patched("map-place", "3 bytes from byte 95", one+4, 95)
	patched("map-end", "3 bytes from byte 250", one+4, 250)
	patched("fast-not-while", "a fast layer that other inputs keep off", one+30, 1)
	patched("fast-only-while", "a fast layer that other inputs keep off", one+31, 1)
	add("live-fades", "fades 180..181", base(plain...).bytes(set(24, 1), set(two+3, 180), set(17, 182)))
	patched("output-high", "output 17", 96, 16)
	patched("output-twice", "output 3 twice", 96, 2)
	patched("still-arrives", "a still layer with a routine", one+6, 104)
	patched("still-table", "3 bytes from byte 250", one+8, 250)
	patched("no-stay", "nothing to show in stay", two+8, 0)
	patched("routine-place", "a routine at byte 255", two+8, 255)
	patched("signal-limit", "a signal with a limit", one+16, 1)
	patched("arrive-ticks", "ticks of arrive", two+18, 1)
	patched("still-ticks", "ticks of stay", one+20, 1)
	patched("stay-ticks", "stated 13 ticks", two+20, 13)
	patched("takes", "takes", one+22, 0x0F)
	add("walk-with-layers", "2 layers", base(plain...).bytes(set(3, 1)))
	add("walk-sleeps", "sleep after 3 units", (&raw{registers: 2}).bytes(set(3, 1), set(23, 3)))
	add("walk-live", "live mode", (&raw{registers: 2}).bytes(set(3, 1), set(24, 1)))
	all = append(all, handRefusals()...)
	add("no-layers", "nothing would ever light", (&raw{registers: 2}).bytes())
	add("gap", "1 bytes that belong to nothing", base(append(slices.Clone(plain), 0)...).bytes())
	add("overlap", "overlaps another", base(plain...).bytes(set(two+4, 98), set(two+22, 0x08), set(two+25, 0x80)))
	add("paced-input", "inputs 0x0c, while pacer 0 watches 0x04", pacedWrong(turn, turn|show))
	add("paced-unwatched", "inputs 0x08, while pacer 0 watches 0x00", pacedWrong(0, show))
	add("paced-without-arrive", "pace without one", pacedWrong(turn, turn))
	add("fades-shared", "belongs to another layer too", movingLayers(2, func(int) int { return 0 }))
	add("ninth-moving", "a ninth layer that moves", movingLayers(9, func(i int) int { return 2 * i }))

	code("operation", "unknown operation 0xc5", 0xC5)
	code("no-end", "without an end", 0x00, 200, 0x40+12)
	code("operand-missing", "without an end", 0x40+12, 0xC2, 0, 1)
	code("slot", "code for slot 2", 0x02, 200, 0x40+12, 0xC1)
	code("span-slot", "code for slot 2", 0xC2, 1, 2, 200, 0x40+12, 0xC1)
	code("span-0", "a span of 0", 0xC2, 0, 0, 200, 0x40+12, 0xC1)
	code("span-65", "a span of 65", 0xC2, 0, 65, 200, 0x40+12, 0xC1)
	code("loop-1", "a loop of 1", 0xC3, 1, 0, 0x40+12, 0xC4, 0xC1)
	code("loop-third", "a loop within two loops", 0xC3, 2, 0, 0xC3, 2, 0, 0xC3, 2, 0, 0x41, 0xC4, 0xC4, 0xC4, 0xC1)
	code("close", "not begun", 0x40+12, 0xC4, 0xC1)
	code("end-in-loop", "ends inside a loop", 0xC3, 2, 0, 0x40+12, 0xC0, 0xC4, 0xC1)
	code("again-in-loop", "ends inside a loop", 0xC3, 2, 0, 0x40+12, 0xC1, 0xC4, 0xC1)
	code("again-at-once", "without a wait", 0x00, 200, 0xC1)
	code("operations-256", "more than 255 operations", append(slices.Repeat([]byte{0x00, 7}, 255), 0x40+12, 0xC1)...)
	code("operations-loop", "more than 255 operations", 0x40+12, 0xC3, 255, 0, 0x00, 9, 0xC4, 0xC1)
	code("operations-span", "more than 255 operations", append(slices.Repeat([]byte{0xC2, 0, 2, 7}, 128), 0x40+12, 0xC1)...)
	code("operations-again", "in which the routine begins again", append(append(slices.Repeat([]byte{0x00, 7}, 127), 0x40+12), append(slices.Repeat([]byte{0x01, 8}, 127), 0xC1)...)...)
	code("too-long", "too long", 0xC3, 255, 0, 0xC3, 2, 0, 0x40, 80, 0xC4, 0xC4, 0xC1)
	add("budget", "more operations than the check allows", hostile())
	return all
}

// handRefusals are of images for both hands; the second header of bothHands is at byte 64.
func handRefusals() (all []fixture) {
	const second, table = 64, 64 + 32
	for _, c := range []struct {
		name, reason string
		at           int
		v            byte
	}{
		{"hands-no-strap", "two hands in one image that no strap tells apart", 3, 0},
		{"hands-other-no-strap", "two hands in one image that no strap tells apart", second + 3, 0},
		{"hands-one-side", "two hands of sides 1 and 1", second + 14, 1},
		{"hands-centre", "side 0 with a side strap", 14, 0},
		{"hands-registers", "2 registers, the other hand has 3", second + 6, 3},
		{"hands-kit", "kit 00000000, the other hand has 00000009", second + 8, 9},
		{"hands-mark", "begins 4c 58 02", second + 1, 'X'},
		{"hands-version", "begins 4c 57 01", second + 2, 1},
		{"hands-length", "header of the other hand: begins", second + 4, 1},
		{"hands-third", "header of the other hand: begins", second + 18, second},
		{"hands-unused", "header of the other hand: unused byte 0x01", second + 25, 1},
		{"hands-layers", "header of the other hand: 9 layers in an image of", second + 7, 9},
		{"hands-fades", "header of the other hand: 7 fades", second + 17, 7},
		{"hands-no-input", "layer 1 of the other hand: no input", table + 1, 0},
		{"hands-overlap", "overlaps another", table + 4, second},
		{"hands-gap", "belong to nothing", 18, 0},
	} {
		all = append(all, fixture{
			name: "refuse-" + c.name, notes: "an image for both hands that the decoder refuses.", refusal: c.reason, safe: refusalSafe(), strap: program.RH,
			image: bothHands(func(b []byte) { b[c.at] = c.v }), runs: []vector.Run{frames(4, 0), frames(16, show), frames(4, stop|show), frames(3, 0)},
		})
	}
	return all
}

// bothHands is an image for both hands, laid out by hand: stop, and only at the LH lamp nothing else, at the RH lamp a show
// that moves. Both have the map of stop and its table. Header LH 0, its layer 32, header RH 64, its layers 96 and 128, map of
// stop 160, levels 163, map of the show 166, its routine 168.
func bothHands(change ...func(b []byte)) []byte {
	left, right := &raw{registers: 2, layers: 1}, &raw{registers: 2, layers: 2, fades: 2}
	left.entry(0b0000110, stop, 3, 0, 160, 0, 163, 0, 0, 0, 0x0E)
	right.entry(0b0000110, stop, 3, 0, 160, 0, 163, 0, 0, 0, 0x0E)
	right.entry(0b0000001, show, 2, 0, 166, 0, 168, 0, 0, 12, 0x30)
	right.data = append([]byte{1, 2, 3, 255, 255, 255, 4, 5}, plain...)
	left.data = right.bytes()
	left.data = left.data[:len(left.data)-2]
	head := func(b []byte) {
		length := b[4:6]
		b[3], b[14], b[18] = 8, 1, 64
		b[64+3], b[64+14] = 8, 2
		copy(b[64+4:], length)
	}
	return left.bytes(append([]func([]byte){head}, change...)...)
}

func refusalSafe() *program.Safe {
	s := evenSafe()
	s.StopOut, s.TailOut, s.TurnAOut = [8]uint8{0x0E}, [8]uint8{0x10}, [8]uint8{0x20}
	return s
}

// pacedWrong has a signal at the flasher's pace, on an input, with pacer 0 on another or without an arrive routine.
func pacedWrong(pacer, input int) []byte {
	r := base(plain...)
	r.entries[1][0], r.entries[1][1] = 0x20, byte(input)
	if input != pacer {
		binary.LittleEndian.PutUint16(r.entries[1][6:], 104)
		binary.LittleEndian.PutUint16(r.entries[1][18:], 12)
	}
	return r.bytes(func(b []byte) { b[15] = byte(pacer) })
}

// movingLayers has n shows that share map and routine, each with its first fade.
func movingLayers(n int, fade func(i int) int) []byte {
	r := &raw{registers: 2, layers: n}
	at := 32 + 32*n
	for i := range n {
		r.entry(1, show, 2, fade(i), at, 0, at+2, 0, 0, 12, 0x30)
		r.fades = max(r.fades, fade(i)+2)
	}
	r.data = append([]byte{4, 5}, plain...)
	return r.bytes()
}

// hostile has eight shows, each with a routine of 65 025 ticks that does much in every tick.
func hostile() []byte {
	const n = 8
	r := &raw{registers: 2, layers: n, fades: 2 * n}
	body := append(append([]byte{0xC3, 255, 0, 0xC3, 255, 0}, slices.Repeat([]byte{0xC2, 0, 2, 9}, 60)...), 0x41, 0xC4, 0xC4, 0xC1)
	at := 32 + 32*n
	for i := range n {
		r.entry(1, show, 2, 2*i, at, 0, at+2+i*len(body), 0, 0, 65025, 0x30)
	}
	r.data = append([]byte{4, 5}, slices.Repeat(body, n)...)
	return r.bytes()
}

// Every reason of the decoder that a vector names must be told with a place, a limit and a next step.
func TestReasonsAreWhole(t *testing.T) {
	for _, f := range refusals(t) {
		_, err := program.Decode(f.image)
		if err == nil {
			continue
		}
		for _, r := range err.(program.Faults) {
			if r.Where == "" || r.What == "" || r.Limit == "" || r.Next == "" || r.Offset < 0 || r.Offset > len(f.image) {
				t.Errorf("%s: %s", f.name, fmt.Sprintf("%+v", r))
			}
		}
	}
}
