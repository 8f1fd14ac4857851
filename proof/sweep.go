package proof

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"time"
)

// Window is a stretch of time over which light is summed up.
type Window struct{ From, To time.Duration }

// Variants is one setup run many times, each time with further events of its own: one damaged flash byte, one broken wire.
// What comes before the earliest of these events is run only once.
type Variants struct {
	Setup
	Windows []Window  // 1..16
	Extra   [][]Event // one list a variant
	Jobs    int       // variants run at the same time; 0 means 1
}

// Outcome sums up one variant, modules in the order of Setup.Modules.
type Outcome struct{ Modules []ModuleOutcome }

// ModuleOutcome sums up one module of a variant.
type ModuleOutcome struct {
	Samples          uint64 // refreshes
	Resets, Misdeeds uint32
	Stuck            uint32  // times the controller ran wild
	StuckAtEnd       bool    // and was never freed by the watchdog
	Windows          []Light // as Variants.Windows
}

// Light is the light of every output, counted from 0, within one window.
type Light struct {
	Cycles uint64   // length of the window, module cycles
	Lit    []uint32 // cycles lit
	Dark   []uint32 // longest dark stretch, cycles
}

// An output at full light is dark for up to a tenth of each refresh, while words are shifted; and it is lit in every refresh.
const (
	whollyShare      = 0.9
	whollyDarkCycles = CyclesARefresh
)

// Wholly tells whether an output was at full light during the whole window.
func (l Light) Wholly(output int) bool {
	return float64(l.Lit[output]) >= whollyShare*float64(l.Cycles) && l.Dark[output] <= whollyDarkCycles
}

// Never tells whether an output was dark during the whole window.
func (l Light) Never(output int) bool { return l.Lit[output] == 0 }

// Sweep runs all variants and hands out their outcomes in order. An error of each stops the sweep and is given back; ctx and
// *NotProven as in Run. Setup.Progress is not used: each is the progress.
func Sweep(ctx context.Context, v Variants, each func(n int, o Outcome) error) error {
	if err := v.check(); err != nil {
		return err
	}
	text, _ := v.text(v.Windows, v.Extra)
	return bench(ctx, v.Setup, text, jobsArg(v.Jobs), func(r io.Reader) error {
		d := &decoder{r: bufio.NewReaderSize(r, 1<<16)}
		d.header(v.Modules)
		for n := range v.Extra {
			o := readOutcome(d, v, n)
			if d.err != nil {
				return d.err
			}
			if err := each(n, o); err != nil {
				return err
			}
		}
		return d.err
	})
}

func (v Variants) check() error {
	bad := []error{v.Setup.check()}
	if len(v.Windows) < 1 || len(v.Windows) > windowsMax {
		bad = append(bad, fmt.Errorf("a sweep has 1 to %d windows, this one has %d", windowsMax, len(v.Windows)))
	}
	for _, w := range v.Windows {
		if w.From < 0 || w.To <= w.From || w.To > v.Length {
			bad = append(bad, fmt.Errorf("the window from %v to %v does not lie in a run of %v", w.From, w.To, v.Length))
		}
	}
	if len(v.Extra) == 0 {
		bad = append(bad, errors.New("the sweep has no variant"))
	}
	for _, list := range v.Extra {
		bad = append(bad, Setup{Modules: v.Modules, Events: list, Length: v.Length, Cache: v.Cache}.check())
	}
	return errors.Join(bad...)
}

func readOutcome(d *decoder, v Variants, want int) Outcome {
	kind, n := d.u8(), d.u32()
	if d.err == nil && (kind != recVariant || int(n) != want) {
		d.err = fmt.Errorf("the bench's stream holds variant %d (kind %d) where %d should be", n, kind, want)
	}
	var o Outcome
	for _, m := range v.Modules {
		x := ModuleOutcome{Samples: d.u64(), Resets: d.u32(), Misdeeds: d.u32(), Stuck: d.u32(), StuckAtEnd: d.u8() != 0}
		for range v.Windows {
			l := Light{Cycles: d.u64()}
			for range 8 * m.wordBytes() {
				l.Lit = append(l.Lit, d.u32())
				l.Dark = append(l.Dark, d.u32())
			}
			l.Lit, l.Dark = l.Lit[:m.Outputs()], l.Dark[:m.Outputs()]
			x.Windows = append(x.Windows, l)
		}
		o.Modules = append(o.Modules, x)
	}
	return o
}
