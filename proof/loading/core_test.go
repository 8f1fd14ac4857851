package loading

import (
	"bytes"
	"context"
	"fmt"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/loader"
	"lampwright/program"
)

// A core that does not find its own loader lets the line be and serves as ever: a module written through a loader of another make has
// other bytes there, or none.
func TestCoreWithoutItsLoader(t *testing.T) {
	for _, k := range kinds[1:] {
		for name, there := range map[string][]byte{
			"nothing":             bytes.Repeat([]byte{0xFF}, flash.LoaderBytes),
			"another make":        bytes.Repeat([]byte{0x0C, 0x94, 0x00, 0x3C}, flash.LoaderBytes/4),
			"our mark, version 1": append(bytes.Repeat([]byte{0xFF}, flash.LoaderBytes-16), "LWcore\x01\x00\x01\x00\x00\x00\x00\x00\x00\x00"...),
		} {
			t.Run(name+", "+k.String(), func(t *testing.T) {
				safe, _ := k.safe(t, 40, nil)
				b := k.module(t, safe, k.image(t, 500, nil))
				b.power(false)
				b.do("flash %x %x", flash.LoaderStart, there)
				b.power(true)
				b.run(600 * time.Millisecond)
				if got := b.ask(readPacket(0, 1)); len(got) != 0 {
					t.Errorf("answer %x", got)
				}
				lights(t, b)
				if s := b.sound(); s.restarts != 0 {
					t.Errorf("%+v", s)
				}
			})
		}
	}
}

// A module that sleeps is woken by the tool.
func TestToolWakesModule(t *testing.T) {
	for _, k := range kinds[1:] {
		safe, block := k.safe(t, 40, nil)
		image := k.image(t, 500, func(p *program.Program) { p.SleepAfter = 1 })
		b := k.module(t, safe, image)
		b.run(time.Second)
		if !b.state().asleep {
			t.Errorf("%v: the module does not sleep", k)
		}
		if d := load(b, k.wanted(block, image)); d != nil {
			t.Errorf("%v: %v", k, d)
		}
		b.run(200 * time.Millisecond)
		b.sound()
	}
}

// A line that is held low, as by a plug with water in it or by the link wire of another module, neither wakes strange things nor
// keeps the tool out afterwards.
func TestLineHeldLow(t *testing.T) {
	for _, k := range kinds[1:] {
		safe, _ := k.safe(t, 40, nil)
		b := k.module(t, safe, k.image(t, 500, nil))
		b.do("break 1000000")
		b.run(900 * time.Millisecond)
		lights(t, b)
		b.run(100 * time.Millisecond)
		if c, d := loader.NewSerial(b, "bench").Read(context.Background(), func(string, int, int) {}); d != nil || !c.ImageRight {
			t.Errorf("%v: %v %+v", k, d, c)
		}
		b.sound()
	}
}

// The line takes little of the interrupt, whatever comes: firmware/loader/loader.h promises 190 cycles.
func TestLineCostsLittle(t *testing.T) {
	const promised = 190
	for _, k := range kinds {
		safe, _ := k.safe(t, 40, nil)
		b := k.module(t, safe, k.image(t, 500, nil))
		longest := func() (cycles int) {
			if _, err := fmt.Sscan(b.do("longest"), &cycles); err != nil {
				t.Fatal(err)
			}
			return cycles
		}
		longest()
		b.run(100 * time.Millisecond)
		idle := longest()
		for _, p := range [][]byte{readPacket(0, 64), packet(2, key(kitNumber, lampNumber+1)...), packet(3, make([]byte, 8*k.registers)...), packet(4, make([]byte, 130)...)} {
			b.do("send %x", append(p, p...))
			b.run(300 * time.Millisecond)
			if cost := longest() - idle; cost < 50 || cost > promised {
				t.Errorf("%v: packet %x makes the interrupt %d cycles longer than %d", k, p[:3], cost, idle)
			}
		}
	}
}
