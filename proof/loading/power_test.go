package loading

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"lampwright/flash"
	"lampwright/loader"
	"lampwright/program"
)

// lights checks that a stop lights the stop outputs and nothing else, whatever program the module runs.
func lights(t *testing.T, b *bench) {
	t.Helper()
	b.press(stopIn, true)
	b.run(40 * time.Millisecond)
	for o, share := range b.light(40 * time.Millisecond) {
		stop := mask(stopOut)>>o&1 != 0
		if stop && share < 0.9 || !stop && share > 0.001 {
			t.Errorf("stop pressed: output %d shines %.1f %% of the time", o+1, 100*share)
		}
	}
	b.press(stopIn, false)
	b.run(40 * time.Millisecond)
}

// The supply goes away at the start, in the middle and at the end of every erasing and writing of a load. Then the module runs the
// old image, or the new one, or the safe program of a block that is right; and loading it again makes it whole.
func TestPowerLostAnywhere(t *testing.T) {
	for _, k := range []kind{kinds[1], kinds[2]} {
		old, oldBlock := k.safe(t, 40, nil)
		_, safe := k.safe(t, 60, nil)
		oldImage, image := k.image(t, 400, nil), k.image(t, 500, nil)
		w := k.wanted(safe, image)
		operations := 2 * (1 + (len(image)+flash.PageBytes-1)/flash.PageBytes + 2)
		shares := []int{1, 500, 999}
		if k == kinds[2] {
			shares = []int{700}
		}
		for operation := 1; operation <= operations; operation++ {
			for _, permille := range shares {
				t.Run(fmt.Sprintf("%v operation %d at %d permille", k, operation, permille), func(t *testing.T) {
					b := k.module(t, old, oldImage)
					before := b.dump(0, flash.TotalBytes)
					b.do("cut %d %d", operation, permille)
					d := load(b, w)
					if d == nil || d.ID != loader.IDSilent || b.state().powered {
						t.Fatalf("the load went on without supply: %+v", d)
					}
					standing := b.dump(0, flash.TotalBytes)
					a, c := standing[flash.SafeAStart:][:program.SafeBytes], standing[flash.SafeBStart:][:program.SafeBytes]
					right := func(block []byte) bool { return bytes.Equal(block, oldBlock) || bytes.Equal(block, safe) }
					if !right(a) && !right(c) {
						t.Fatalf("no copy of the safe block is right:\n%x\n%x", a, c)
					}
					if got := standing[flash.ImageStart:]; operation > 2 && operation < operations &&
						(bytes.HasPrefix(got, oldImage[:flash.PageBytes]) || bytes.HasPrefix(got, image[:flash.PageBytes])) {
						t.Fatal("an image counts while its pages are being written")
					}
					b.power(true)
					b.run(600 * time.Millisecond)
					lights(t, b)
					if d := load(b, w); d != nil {
						t.Fatalf("again: %v", d)
					}
					holds(t, b, w, before)
					b.sound()
				})
			}
		}
	}
}

// A copy of the safe block that was damaged before is written first: the other one must stay right as long as it is needed.
func TestPowerLostWithOneCopyDamaged(t *testing.T) {
	k := kinds[2]
	old, oldBlock := k.safe(t, 40, nil)
	_, safe := k.safe(t, 60, nil)
	image := k.image(t, 0, nil)
	w := k.wanted(safe, image)
	for _, damaged := range []int{flash.SafeAStart, flash.SafeBStart} {
		// 1, 2: the page that takes the old image away; from 3 on the copies: this image is one page long.
		for operation := 3; operation <= 6; operation++ {
			t.Run(fmt.Sprintf("copy %04x, operation %d", damaged, operation), func(t *testing.T) {
				b := k.module(t, old, k.image(t, 400, nil))
				b.power(false)
				b.do("flash %x 00", damaged+20)
				b.power(true)
				b.run(600 * time.Millisecond)
				b.do("cut %d 500", operation+(len(image)-1)/flash.PageBytes*2)
				if d := load(b, w); d == nil {
					t.Fatal("the load went on without supply")
				}
				right := 0
				for _, at := range []int{flash.SafeAStart, flash.SafeBStart} {
					if block := b.dump(at, program.SafeBytes); bytes.Equal(block, oldBlock) || bytes.Equal(block, safe) {
						right++
					}
				}
				if right == 0 {
					t.Fatal("no copy of the safe block is right")
				}
				b.power(true)
				if d := load(b, w); d != nil {
					t.Fatalf("again: %v", d)
				}
				runs(t, b)
				b.sound()
			})
		}
	}
}
