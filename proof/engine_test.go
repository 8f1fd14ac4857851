package proof

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"testing"

	"lampwright/flash"
	"lampwright/program"
)

// Order and widths are those with which the core was built: firmware/avr/widths.h is read line by line.
func TestWidthsAreThoseOfTheCore(t *testing.T) {
	text, err := os.ReadFile("../firmware/avr/widths.h")
	if err != nil {
		t.Fatal(err)
	}
	index := map[string]int{"S": 0, "P0": 1, "P1": 2, "P2": 3, "P3": 4, "P4": 5, "P5": 6, "P6": 7, "P7": 8}
	for name, board := range map[string]struct{ widths, order [program.Slots]int }{"CHAIN": {chainWidths, chainOrder}, "PINS": {pinsWidths, pinsOrder}} {
		found := regexp.MustCompile(`#define `+name+`_WIDTH_(\w+)\s+(\d+)`).FindAllSubmatch(text, -1)
		if len(found) != program.Slots {
			t.Fatalf("%s: %d widths in the header", name, len(found))
		}
		for _, m := range found {
			if n, _ := strconv.Atoi(string(m[2])); board.widths[index[string(m[1])]] != n {
				t.Errorf("%s: width of %s is %d in the header", name, m[1], n)
			}
		}
		lower := map[string]string{"CHAIN": "chain", "PINS": "pins"}[name]
		line := regexp.MustCompile(` \* ` + lower + `\s+Shown in the order ([SP0-9 ]+?)\.`).FindSubmatch(text)
		if line == nil {
			t.Fatalf("%s: the header does not state the order", name)
		}
		for i, s := range regexp.MustCompile(`[SP]\d?`).FindAllString(string(line[1]), -1) {
			if board.order[i] != index[s] {
				t.Errorf("%s: slot %d is %s in the header", name, i, s)
			}
		}
	}
}

// Every level comes out as its duty: the lit cycles of a frame, as a share of full light, against the formula of CIE 1976
// (ISO/CIE 11664-4) evaluated here. Half a duty step, and the rounding of the widths, are the doubt.
func TestEngineModelLightIsDuty(t *testing.T) {
	for _, kind := range []Kind{Chain, Pins} {
		for level := 0; level < 256; level += 5 {
			s := program.LastResort()
			s.Registers, s.Tail, s.TailLevel = 2, 0x01, uint8(level)
			s.StopOut = [8]uint8{0xFF, 0xFF}
			s.TailOut = [8]uint8{0x02, 0x02}
			block, err := program.EncodeSafe(&s)
			if err != nil {
				t.Fatal(err)
			}
			joined, err := flash.Join([]byte{0}, block, []byte{0}) // no image: the safe program runs
			if err != nil {
				t.Fatal(err)
			}
			hex, err := flash.HEX(0, joined)
			if err != nil {
				t.Fatal(err)
			}
			m, err := ModelOf(Module{Name: "m", Kind: kind, Registers: 2, HEX: hex})
			if err != nil {
				t.Fatal(err)
			}
			lit, full := 0, 0
			for r := range 8 * 20 {
				slots := m.Step(Sample{Inputs: 0x01, Link: true, Codes: program.CodesAtStart})
				if r < 8*19-1 {
					continue // filters and the first frames are past
				}
				for _, slot := range slots {
					full += slot.LitCycles
					if slot.Lit(9) {
						lit += slot.LitCycles
					}
					if slot.Lit(0) || slot.Lit(8) {
						t.Fatalf("level %d: an output outside the tail mask is lit", level)
					}
				}
			}
			l := float64(level) * 100 / 255
			want := l * 27 / 24389
			if l > 8 {
				want = math.Pow((l+16)/116, 3)
			}
			got := float64(lit) / float64(full) * 2048 / 2047 // full counts slot S of the dark phase too
			if math.Abs(got-want) > 0.5/2047+0.002*want+2e-4 {
				t.Errorf("%v level %d: share %.5f, want %.5f", kind, level, got, want)
			}
		}
	}
}
