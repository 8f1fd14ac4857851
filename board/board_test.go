package board

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestEveryBoard(t *testing.T) {
	want := []string{"chain-8", "chain-16", "chain-24", "chain-32", "chain-40", "chain-48", "chain-56", "chain-64",
		"chain-high-8", "chain-high-16", "chain-high-24", "chain-high-32", "chain-high-40", "chain-high-48", "chain-high-56", "chain-high-64", "pins"}
	if got := Names(); strings.Join(got, " ") != strings.Join(want, " ") {
		t.Fatalf("boards %v", got)
	}
	for _, b := range All() {
		t.Run(b.Name, func(t *testing.T) {
			inputs, outputs := 8, 8*b.Registers
			if b.Core == CorePins {
				inputs, outputs = 6, 12
			} else if b.Name != fmt.Sprintf("%s-%d", b.Family, b.Outputs) {
				t.Error("the name does not tell the outputs")
			}
			if len(b.Inputs) != inputs || b.Outputs != outputs {
				t.Errorf("%d inputs, %d outputs", len(b.Inputs), b.Outputs)
			}
			for i, p := range b.Inputs {
				if p.Name != fmt.Sprintf("in%d", i+1) {
					t.Errorf("input %d is called %s", i+1, p.Name)
				}
			}
			for i, p := range b.OutputPins {
				if p.Name != fmt.Sprintf("out%d", i+1) {
					t.Errorf("output %d is called %s", i+1, p.Name)
				}
			}
			l := b.Limits
			if l.Output.Is <= 0 || l.Board.Is < l.Output.Is || l.LowestSupply.Is >= l.HighestSupply.Is || l.HighestSupply.Is >= l.Survives.Is {
				t.Errorf("limits %+v", l)
			}
			for _, s := range []string{l.Output.Source, l.Board.Source, l.LowestSupply.Source, l.HighestSupply.Source, l.Survives.Source, b.Clock.Source, b.ShortestPulseCycles.Source} {
				if s == "" {
					t.Error("a limit has no source")
				}
			}
			if b.Core == CoreChain && (l.Register.Source == "" || l.Register.Is < l.Output.Is) {
				t.Errorf("limit of a register: %+v", l.Register)
			}
			if m := b.Memory; m != (Memory{22400, 12, 8, 192}) { // docs/image-format.md, sections 1 and 3
				t.Errorf("memory %+v", m)
			}
			if b.Side == HighSide != strings.Contains(b.About, "high-side") || b.On != High {
				t.Errorf("side %s, on %s", b.Side, b.On)
			}
		})
	}
}

// The pins of the board files are those that the core's C header was compiled with.
func TestPinsAreThoseOfTheCore(t *testing.T) {
	text, err := os.ReadFile("../firmware/avr/board.h")
	if err != nil {
		t.Fatal(err)
	}
	for core, want := range map[Core]map[string]string{
		CoreChain: {"BLANK_BIT": "blank PB", "LATCH_BIT": "latch PB", "DATA_BIT": "data PB", "CLOCK_BIT": "shift PB", "LINK_BIT": "link PD", "IN7_BIT": "in7 PD", "IN8_BIT": "in8 PD", "STRAP_LH_BIT": "strap-lh PD", "STRAP_RH_BIT": "strap-rh PD"},
		CorePins:  {"LINK_BIT": "link PD"},
	} {
		block := regexp.MustCompile(`(?s)#ifdef BOARD_` + strings.ToUpper(string(core)) + `\n(.*?)#endif`).FindSubmatch(text)
		if block == nil {
			t.Fatalf("the header has no block for %s", core)
		}
		for name, pin := range want {
			bit := regexp.MustCompile(`#define ` + name + `\s+(\d)`).FindSubmatch(block[1])
			if bit == nil {
				t.Fatalf("the header does not define %s for %s", name, core)
			}
			what, port, _ := strings.Cut(pin, " ")
			for _, b := range All() {
				if b.Core == core && b.port(what) != port+string(bit[1]) {
					t.Errorf("%s: %s is %s, the core has %s%s", b.Name, what, b.port(what), port, bit[1])
				}
			}
		}
	}
}

// The shortest pulse is the shortest width of the core's timing contract.
func TestShortestPulse(t *testing.T) {
	text, err := os.ReadFile("../firmware/avr/widths.h")
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range All() {
		least := 0
		for _, m := range regexp.MustCompile(`#define `+strings.ToUpper(string(b.Core))+`_WIDTH_\w+\s+(\d+)`).FindAllSubmatch(text, -1) {
			if n, _ := strconv.Atoi(string(m[1])); least == 0 || n < least {
				least = n
			}
		}
		if least == 0 || b.ShortestPulseCycles.Is != least {
			t.Errorf("%s: shortest pulse %d cycles, the core has %d", b.Name, b.ShortestPulseCycles.Is, least)
		}
	}
	if b, _ := Find("chain-8"); b.ShortestPulse().Nanoseconds() != 1875 {
		t.Errorf("30 cycles of 16 MHz are %v", b.ShortestPulse())
	}
}

func TestFind(t *testing.T) {
	if b, err := Find("chain-32"); err != nil || b.Registers != 4 || b.Outputs != 32 || b.Common() != "the supply" {
		t.Fatal(b, err)
	}
	if b, err := Find("chain-high-64"); err != nil || b.Common() != "ground" {
		t.Fatal(b, err)
	}
	for name, words := range map[string]string{
		"chain-23": "did you mean chain-24?", "chain32": "did you mean chain-32?", "pin": "did you mean pins?", "quite another": "the boards are chain-8, ",
	} {
		var u *Unknown
		if _, err := Find(name); !errors.As(err, &u) || !strings.Contains(err.Error(), words) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestBrokenFilesAreRefused(t *testing.T) {
	good, err := data.ReadFile("data/chain.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if _, faults := read("chain.yaml", good); faults.HasErrors() {
		t.Fatal(faults)
	}
	for name, c := range map[string]struct{ old, new, words string }{
		"pin twice": {"in2: PC1", "in2: PC0", "already used for in1"},
		"no link":   {"  link: PD2\n", "", "needs a pin for link"},
		"no size":   {"registers: [1, 2, 3, 4, 5, 6, 7, 8]\n", "", "needs its sizes"},
		"size 9":    {"7, 8]", "7, 9]", "item 8"},
		"side":      {"side: low", "side: lower", "lower"},
		"unit":      {"is: 150 mA", "is: 150", "150"},
		"key":       {"about:", "abuot:", "about"},
		"name":      {"family: chain", "family: Chain", "Chain"},
	} {
		text := strings.Replace(string(good), c.old, c.new, 1)
		if text == string(good) {
			t.Fatalf("%s: nothing replaced", name)
		}
		_, faults := read("chain.yaml", []byte(text))
		told := ""
		for _, d := range faults {
			told += d.Text + "; did you mean " + d.Suggestion + "\n"
		}
		if !faults.HasErrors() || !strings.Contains(told, c.words) {
			t.Errorf("%s: %v", name, faults)
		}
	}
}

func FuzzRead(f *testing.F) {
	names, err := filepath.Glob("data/*.yaml")
	if err != nil || len(names) == 0 {
		f.Fatalf("no seeds (%v)", err)
	}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		boards, faults := read("fuzz.yaml", text)
		if !faults.HasErrors() && len(boards) == 0 {
			t.Fatal("neither a board nor a fault")
		}
	})
}
