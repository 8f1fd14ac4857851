package proof_test

import (
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"lampwright/kit"
)

// turnFedJob is a pair of turn lamps on two wires each, one on each core.
const turnFedJob = `lampwright: 1
job: {title: Turn lamps on two wires, use: show-only}
lamps:
  turn-lh:
    place: {end: rear, side: LH, at: [-700 mm, 900 mm]}
    leds: [{row: {name: arrow, from: [0, 0], to: [110, 0], count: 4, group: each, part: amber-590}}]
    functions: {turn: {zone: arrow, required: true}}
  turn-rh: {opposite-hand-of: turn-lh}
modules:
  left: {board: chain-8, lamp: turn-lh, wiring: {arrow: 1..4}, fed: {only: turn-lh}}
  right: {board: pins, lamp: turn-rh, wiring: {arrow: 1..4}, fed: {only: turn-rh}}
inputs:
  turn-lh: {wire: left.in3}
  turn-rh: {wire: right.in3}
routines:
  out: {length: 150 ms, strokes: [{sweep: {on: arrow, direction: outboard, for: 150 ms, edge: 10 mm}}]}
signals:
  - turn-lh: {input: turn-lh, takes: turn-lh.arrow, arrive: out, pace: flasher}
  - turn-rh: {input: turn-rh, takes: turn-rh.arrow, arrive: out, pace: flasher}
`

// A module that is fed by its turn wire alone starts anew with every flash. It learns the flasher's pace through its EEPROM: the first flash
// is plain or quick, and from the third on the sweep ends with the click. At 9.3 V what the board bridges is just enough to store it.
func TestTurnFedModuleKeepsItsPace(t *testing.T) {
	t.Parallel()
	k, faults := kit.Parse("turnfed.yaml", []byte(turnFedJob), kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	r := compiled(t, k)
	for _, flasher := range []string{"~60/min:50%", "~90/min:50%", "~120/min:40%", "~75/min:66%", "~90/min:50% supply=9300mV"} {
		presses := "turn-rh@500ms..12s" + strings.Fields(flasher)[0] + " turn-lh@500ms..12s" + flasher
		line := conditions(t, presses)
		spans := line.Spans("turn-lh")
		driven(t, func(t *testing.T, drive drive) {
			full := make([][2]time.Duration, len(spans)) // when the arrow first was full in each flash
			lit := make([][2]time.Duration, len(spans))  // and lit at all
			n := [2]int{}
			drive(t, k, r, presses, func(i int, v seen) {
				for n[i]+1 < len(spans) && v.at >= time.Duration(spans[n[i]+1].From)*us {
					n[i]++
				}
				if f := &full[n[i]][i]; *f == 0 && v.full&carArrow == carArrow {
					*f = v.at + refresh
				}
				if l := &lit[n[i]][i]; *l == 0 && v.lit&carArrow != 0 {
					*l = v.at + refresh
				}
			})
			for f, s := range spans {
				from, to := time.Duration(s.From)*us, time.Duration(s.To)*us
				for i := range 2 {
					if f == len(spans)-1 {
						continue // cut short by the end
					}
					if l := lit[f][i] - from; l < 0 || l > 120*ms {
						t.Errorf("%s flash %d of module %d: first light after %v", flasher, f, i, l)
					}
					if f < 2 {
						continue
					}
					if early := to - full[f][i]; full[f][i] == 0 || early < 0 || early > 15*ms {
						t.Errorf("%s flash %d of module %d: full %v before the click", flasher, f, i, early)
					}
				}
			}
			if len(spans) < 10 {
				t.Errorf("only %d flashes", len(spans))
			}
		})
	}
}

// lever is a drive's uses of the lever, as presses of a turn wire: flashes that scatter by a share of their on-time, and at times a last one
// in which the lever is let go. It gives when it ends.
func lever(random *rand.Rand, input string, uses int, scatter float64) (presses string, end time.Duration) {
	const on, pause = 333 * ms, 333 * ms
	at := 500 * ms
	var words strings.Builder
	press := func(long time.Duration) {
		fmt.Fprintf(&words, " %s@%dus..%dus", input, at/us, (at+long)/us)
		at += long + pause
	}
	for range uses {
		for range 2 + random.IntN(8) {
			press(on + time.Duration((2*random.Float64()-1)*scatter*float64(on)))
		}
		if random.IntN(2) == 0 {
			press(50*ms + time.Duration(random.IntN(int((on-50*ms)/ms)))*ms)
		}
		at += 2*time.Second + time.Duration(random.IntN(8000))*ms
	}
	return words.String(), at
}

// A steady flasher is written once, whoever lets go of the lever within a flash and however often; one that scatters as widely as it may, at
// most once in a use of the lever, and no more once its least on-times are known.
func TestTurnFedModuleIsWrittenSparingly(t *testing.T) {
	t.Parallel()
	k, faults := kit.Parse("turnfed.yaml", []byte(turnFedJob), kit.NoFiles)
	if k == nil {
		t.Fatal(faults)
	}
	r := compiled(t, k)
	random := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct {
		scatter float64
		uses    int
		most    uint16 // writes
	}{{0, 60, 1}, {0.03, 60, 3}, {0.05, 60, 4}} {
		for range 5 {
			presses, end := lever(random, "turn-lh", c.uses, c.scatter)
			line := conditions(t, presses)
			var writes uint16
			onEngines(t, k, r, line, end, func(i int, v seen) {
				if kept := v.engine.Memory(); i == 0 && kept[8] != 0xFF {
					writes = binary.LittleEndian.Uint16(kept[8:])
				}
			})
			t.Logf("scatter %v: %d writes in %d uses", c.scatter, writes, c.uses)
			if writes < 1 || writes > c.most {
				t.Errorf("scatter %v: %d writes in %d uses of the lever, want 1 to %d", c.scatter, writes, c.uses, c.most)
			}
		}
	}
}

// What is learned outlives a supply that is gone: the first flash after it is swept at the stored pace, where one that was never stored is
// swept at the quick default. A turn that is held when the image begins to run goes straight to full.
func TestPaceAfterBrownOut(t *testing.T) {
	t.Parallel()
	k, r := aCar(t)
	const flasher = "~75/min:60%" // on for 480 ms
	for _, c := range []struct {
		what, presses string
		at            time.Duration // edge of the flash after the cut
		from, to      time.Duration // its arrow is first full so long after its edge
	}{
		{"learned", "turn-lh@500ms..8s" + flasher + " turn-rh@500ms..8s" + flasher + " battery=gone@9s..9200ms turn-lh@10s..10480ms turn-rh@10s..10480ms", 10 * time.Second, 465 * ms, 481 * ms},
		{"two flashes are too few", "turn-lh@500ms..1900ms" + flasher + " turn-rh@500ms..1900ms" + flasher + " battery=gone@3s..3200ms turn-lh@4s..4480ms turn-rh@4s..4480ms", 4 * time.Second, 120 * ms, 145 * ms},
		{"held while it starts", "turn-lh@500ms..8s" + flasher + " turn-rh@500ms..8s" + flasher + " battery=gone@9s..9200ms turn-lh@9100ms..9680ms turn-rh@9100ms..9680ms", 9200 * ms, 0, back},
	} {
		t.Run(c.what, func(t *testing.T) {
			driven(t, func(t *testing.T, drive drive) {
				var full [2]time.Duration
				drive(t, k, r, c.presses, func(i int, v seen) {
					if v.at > c.at && full[i] == 0 && v.full&carArrow == carArrow {
						full[i] = v.at + refresh - c.at
					}
				})
				for i, f := range full {
					if f == 0 || f < c.from || f > c.to {
						t.Errorf("module %d: full %v after the edge, want %v to %v", i, f, c.from, c.to)
					}
				}
			})
		})
	}
}
