package loading

import (
	"context"
	"testing"
	"time"

	"lampwright/loader"
	"lampwright/program"
)

// stream sends frames of those levels for so long, as the tool does.
func stream(t *testing.T, b *bench, s *loader.Stream, levels []byte, length time.Duration) {
	t.Helper()
	for at := time.Duration(0); at < length; at += s.Interval() {
		if _, err := s.Frame(streamClock+at, levels); err != nil {
			t.Fatal(err)
		}
		b.run(s.Interval())
	}
	streamClock += length + s.Interval()
}

var streamClock time.Duration

// shines checks the light of every output against levels, with a tolerance of half a step of duty beside the dark time of a refresh.
func shines(t *testing.T, what string, got []float64, levels []byte) {
	t.Helper()
	for o, level := range levels {
		want := float64(program.Duty(level)) / program.FullDuty
		if d := got[o] - want; d > 0.004 || d < -0.004-0.06*want {
			t.Errorf("%s: output %d at level %d shines %.2f %% of the time, not %.2f %%", what, o+1, level, 100*got[o], 100*want)
		}
	}
}

// Streamed light is shown as it is sent, under the signals; a quarter of a second after the last frame the module's own program is back.
func TestStreamIsShown(t *testing.T) {
	for _, k := range kinds {
		t.Run(k.String(), func(t *testing.T) {
			safe, _ := k.safe(t, 40, nil)
			b := k.module(t, safe, k.image(t, 500, nil))
			s, d := loader.NewSerial(b, "bench").Stream(context.Background())
			if d != nil {
				t.Fatal(d)
			}
			levels := make([]byte, 8*k.registers)
			usable := len(levels)
			if k.core == "pins" {
				usable = 12
			}
			for round := range 3 {
				for o := range levels[:usable] {
					levels[o] = byte(255 * ((o + round) % 8) / 7)
				}
				stream(t, b, s, levels, 100*time.Millisecond)
				shines(t, "streamed", b.light(40*time.Millisecond), levels)
			}
			b.press(stopIn, true)
			stream(t, b, s, levels, 100*time.Millisecond)
			with := append([]byte(nil), levels...)
			for _, o := range stopOut {
				with[o] = 255
			}
			shines(t, "with a stop", b.light(40*time.Millisecond), with)
			b.press(stopIn, false)
			stream(t, b, s, levels, 100*time.Millisecond)
			shines(t, "the stop released", b.light(40*time.Millisecond), levels)
			b.run(230 * time.Millisecond) // beside the 40 ms above: 252 ms are held, and 8 ms are on their way
			shines(t, "a quarter of a second later", b.light(100*time.Millisecond), make([]byte, len(levels)))
			if state := b.sound(); state.restarts != 0 || state.overruns != 0 {
				t.Errorf("%+v", state)
			}
		})
	}
}

// Frames that are not right, not whole, of the wrong length, or for an image that does not allow them, show nothing.
func TestStreamIsRefused(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*program.Program)
		frame  func(levels []byte) []byte
	}{
		"the image does not allow it": {func(p *program.Program) { p.Live = false }, func(l []byte) []byte { return packet(3, l...) }},
		"a wrong check": {nil, func(l []byte) []byte {
			p := packet(3, l...)
			p[len(p)-1] ^= 1
			return p
		}},
		"one level short":   {nil, func(l []byte) []byte { return packet(3, l[1:]...) }},
		"one register more": {nil, func(l []byte) []byte { return packet(3, append(l, l[:8]...)...) }},
		"cut short":         {nil, func(l []byte) []byte { return packet(3, l...)[:6] }},
	} {
		for _, k := range kinds[1:] {
			t.Run(name+", "+k.String(), func(t *testing.T) {
				safe, _ := k.safe(t, 40, nil)
				b := k.module(t, safe, k.image(t, 500, c.change))
				levels := make([]byte, 8*k.registers)
				for o := range levels {
					levels[o] = 255
				}
				for range 10 {
					b.do("send %x", c.frame(levels))
					b.run(30 * time.Millisecond)
				}
				shines(t, name, b.light(20*time.Millisecond), make([]byte, len(levels)))
				lights(t, b)
				b.sound()
			})
		}
	}
}

// An image whose every fade is in use keeps them all when a stranger streams to it: the levels go nowhere.
func TestStreamTouchesNoFade(t *testing.T) {
	k := kinds[1]
	safe, _ := k.safe(t, 40, nil)
	show := func(p *program.Program) {
		p.Live, p.Layers = false, p.Layers[:1]
		for i := range 3 {
			slots := []uint8{2, 3, 4, 5, 6, 7}
			p.Layers = append(p.Layers, program.Layer{Show: true, InputMask: 1, Slots: slots, Pace: -1, FirstFade: 0,
				Stay: &program.Routine{Ticks: 1, Code: []byte{0x80, 0xC2, 0, 6, byte(100 + 50*i), 0x41, 0xC0}}})
		}
	}
	image := k.image(t, 0, show)
	b := k.module(t, safe, image)
	b.press(1, true)
	b.run(100 * time.Millisecond)
	before := b.light(40 * time.Millisecond)
	for range 10 {
		b.do("send %x", packet(3, 9, 9, 9, 9, 9, 9, 9, 9))
		b.run(20 * time.Millisecond)
	}
	for o, share := range b.light(40 * time.Millisecond) {
		if d := share - before[o]; d > 0.001 || d < -0.001 {
			t.Errorf("output %d shone %.2f %% of the time and now %.2f %%", o+1, 100*before[o], 100*share)
		}
	}
	b.sound()
}
