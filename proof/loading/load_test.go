package loading

import (
	"bytes"
	"context"
	"fmt"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/loader"
)

// holds checks that the flash holds what was wanted and nothing else changed against before.
func holds(t *testing.T, b *bench, w loader.Wanted, before []byte) {
	t.Helper()
	want := bytes.Clone(before)
	pages := (len(w.Image) + flash.PageBytes - 1) / flash.PageBytes * flash.PageBytes
	for at, part := range map[int][]byte{flash.SafeAStart: w.Safe, flash.SafeBStart: w.Safe, flash.ImageStart: w.Image} {
		size := flash.PageBytes
		if at == flash.ImageStart {
			size = pages
		}
		copy(want[at:], bytes.Repeat([]byte{flash.Blank}, size))
		copy(want[at:], part)
	}
	if got := b.dump(0, flash.TotalBytes); !bytes.Equal(got, want) {
		for i := range got {
			if got[i] != want[i] {
				t.Fatalf("flash at %04x holds %02x, not %02x", i, got[i], want[i])
			}
		}
	}
}

// runs checks that the module runs an image of the test lamp: only then does its key open it.
func runs(t *testing.T, b *bench) {
	t.Helper()
	b.run(600 * time.Millisecond)
	if got := b.ask(packet(2, key(kitNumber, lampNumber)...)); !bytes.Contains(got, packet(0x82)) {
		t.Errorf("the module does not run the image: %x", got)
	}
}

func TestLoad(t *testing.T) {
	for _, c := range []struct {
		kind  kind
		bytes int // about, of the image
		baud  float64
	}{
		{kinds[0], 22_000, 19_200}, {kinds[0], 500, 19_200 * 1.01}, {kinds[1], 900, 19_200 * 0.99}, {kinds[2], 1500, 19_200},
	} {
		t.Run(fmt.Sprintf("%v %d", c.kind, c.bytes), func(t *testing.T) {
			k := c.kind
			old, _ := k.safe(t, 40, nil)
			_, safe := k.safe(t, 60, nil)
			b := k.module(t, old, k.image(t, 700, nil))
			b.do("baud %g", c.baud)
			before := b.dump(0, flash.TotalBytes)
			w := k.wanted(safe, k.image(t, c.bytes, nil))
			if d := load(b, w); d != nil {
				t.Fatal(d)
			}
			holds(t, b, w, before)
			b.run(200 * time.Millisecond)
			s := b.sound()
			pages := 2 + 1 + (len(w.Image)+flash.PageBytes-1)/flash.PageBytes
			if s.operations != 2*pages || s.restarts != 1 || s.overruns != 0 || s.touchedLow != flash.SafeAStart || s.touchedHigh != flash.SafeBStart {
				t.Errorf("%d pages: %+v", pages, s)
			}
			t.Logf("%d bytes in %v", len(w.Image), s.time)
			runs(t, b)
		})
	}
}

// What the module tells of itself is what it holds, read while it runs.
func TestRead(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.String(), func(t *testing.T) {
			safe, block := k.safe(t, 40, nil)
			image := k.image(t, 600, nil)
			b := k.module(t, safe, image)
			if got, want := b.ask(readPacket(flash.ImageStart, 64)), packet(0x81, image[:64]...); !bytes.Contains(got, want) {
				t.Errorf("answer %x\nwant   %x", got, want)
			}
			c, d := loader.NewSerial(b, "bench").Read(context.Background(), func(string, int, int) {})
			if d != nil {
				t.Fatal(d)
			}
			if !c.ImageRight || c.ImageBytes != len(image) || c.Board != string(k.core) || c.CoreVersion != 2 || !c.SafeA || !c.SafeB ||
				c.SafeCheck != fmt.Sprintf("%x", block[70:]) || c.Lamps[0].Lamp != lampNumber || c.Lamps[0].Outputs != 8*k.registers {
				t.Errorf("%+v", c)
			}
			if s := b.sound(); s.operations != 0 || s.restarts != 0 || s.overruns != 0 {
				t.Errorf("%+v", s)
			}
		})
	}
}
