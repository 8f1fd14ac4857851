package proof

import (
	"fmt"
	"slices"
	"time"

	"lampwright/program"
)

// Model is the reference that a module is judged against, refresh by refresh.
type Model interface {
	// Restart is called when the controller comes out of a reset, before its first sample.
	Restart(b Boot)
	// Step takes one sample and gives the words that the outputs must show until the next sample, with their nominal widths.
	Step(s Sample) []Slot
}

// Puller is a Model that also knows the link wire: after Step, Pull tells whether the module must hold it low.
type Puller interface{ Pull() bool }

// Sleeper is a Model that also knows sleep: after Step, MaySleep tells whether the module may put its controller into power-down
// before the next sample; Woke tells the model that it did.
type Sleeper interface {
	MaySleep() bool
	Woke()
}

// Keeper is a Model that also knows the EEPROM: after Step, what it holds once all that was begun is written.
type Keeper interface {
	Memory() [program.MemoryBytes]byte
}

// Rememberer is a Model that also knows what RAM that lives on holds: after Step.
type Rememberer interface{ Remnant() program.Remnant }

// Doubter is a Model that does not always know every output: after Step, those that it does not.
type Doubter interface {
	Doubt() [program.MaxRegisters]byte
}

// keptAfter is how many refreshes a module may take to write what its model holds: two bytes a frame job apart, each 3.4 ms.
const keptAfter = 4 * program.RefreshesPerFrame

// notedAfter is how many refreshes a module may take to note in RAM what its model notes: the rest of a frame job, and one more.
const notedAfter = 2 * program.RefreshesPerFrame

// Tolerance is what a comparison lets pass. Words never have any.
type Tolerance struct {
	WidthCycles int // difference of a slot's lit width from its nominal width, cycles
	Exact       int // the first so many slots of each refresh must have their nominal width
	Listed      int // differences reported before the comparison stops; 0 means 20
}

// Difference is one place where a module does not do what the model says.
type Difference struct {
	At             time.Duration // from the start of the run
	Module         string
	Refresh        int // counted from 0 after the last reset
	Slot           int // counted from 0 within the refresh
	Output         int // counted from 1; 0: the slot as a whole
	Expected, Seen string
}

func (d Difference) String() string {
	where := fmt.Sprintf("slot %d", d.Slot)
	if d.Output > 0 {
		where += fmt.Sprintf(", output %d", d.Output)
	}
	return fmt.Sprintf("%.4f ms, module %s, refresh %d, %s: expected %s, seen %s",
		float64(d.At.Nanoseconds())/1e6, d.Module, d.Refresh, where, d.Expected, d.Seen)
}

const listedDefault = 20

// Compare judges one module of a log against its model and gives the first differences in the order of time; none means that
// every latched word of every whole refresh was the model's, lit for its nominal width within the tolerance. Nothing may be
// lit before a boot's first sample. The slots of a refresh that was cut short are judged as far as they go, the last one not.
func Compare(log *Log, module int, model Model, tol Tolerance) []Difference {
	m := log.Modules[module]
	j := NewJudge(m.Module, model, tol)
	next := 0
	for _, r := range m.Refreshes {
		for ; next < r.Boot; next++ { // starts that were over before their first sample
			j.restart(m.Boots[next])
		}
		next = r.Boot + 1
		if !j.Take(m.Boots[r.Boot], r) {
			break
		}
	}
	for ; next < len(m.Boots); next++ {
		j.restart(m.Boots[next])
	}
	j.Finish()
	return j.Differences
}

// darkLong is for how many refreshes all must have been dark before number and widths of dark words are passed over: less than the least
// time after which a module sleeps.
const darkLong = 32 * program.RefreshesPerFrame

// Judge compares refreshes as they come, for use with Watch.
type Judge struct {
	Differences []Difference
	Refreshes   int // judged
	module      Module
	model       Model
	tol         Tolerance
	boot        int                       // index of the boot under way, -1 before the first
	count       int                       // refreshes since then
	memory      [program.MemoryBytes]byte // of the module
	meant       [program.MemoryBytes]byte // of the model
	still       int                       // refreshes for which the model's has not changed
	left        program.Remnant           // what the model's RAM holds on
	leftStill   int                       // refreshes for which that has not changed
	dark        int                       // refreshes for which all has been dark
	cycle       uint64                    // of the last refresh
}

// NewJudge makes a judge for one module.
func NewJudge(m Module, model Model, tol Tolerance) *Judge {
	if tol.Listed <= 0 {
		tol.Listed = listedDefault
	}
	return &Judge{module: m, model: model, tol: tol, boot: -1}
}

// restart begins anew after a reset.
func (j *Judge) restart(b Boot) {
	j.Finish()
	if _, ok := j.model.(Rememberer); ok && b.Lived && j.leftStill >= notedAfter && b.Left != j.left {
		j.add(b.Cycle, 0, 0, fmt.Sprintf("RAM holds %x", j.left), fmt.Sprintf("%x", b.Left))
	}
	j.model.Restart(b)
	j.left, j.leftStill = b.Left, 0
	j.count, j.still, j.dark = 0, 0, 0
	j.memory, j.meant = b.Memory, b.Memory
	for i, s := range b.Slots {
		if s.LitCycles > 0 && s.Word != [8]byte{} {
			j.add(b.Cycle, i, 0, "dark before the first sample", describe(s, j.module))
		}
	}
}

// Take judges the next refresh, of the given boot; it tells whether the judge wants more.
func (j *Judge) Take(b Boot, r Refresh) bool {
	if r.Boot != j.boot {
		j.boot = r.Boot
		j.restart(b)
	}
	want := j.model.Step(r.Sample)
	j.slept(r, want)
	j.wrote(r)
	if m, ok := j.model.(Rememberer); ok {
		if j.leftStill++; m.Remnant() != j.left {
			j.left, j.leftStill = m.Remnant(), 0
		}
	}
	n := len(r.Slots)
	if j.dark++; !dark(want) || !dark(r.Slots) {
		j.dark = 0
	}
	if j.dark > darkLong {
		n, want = 0, nil // perhaps about to sleep, or woken: words are then cut and stretched, and nothing is to be seen of it
	} else if !r.Whole {
		n-- // the last word was cut short
	} else if n != len(want) {
		j.add(r.Cycle, min(n, len(want)), 0, fmt.Sprintf("%d words", len(want)), fmt.Sprintf("%d words", n))
	}
	for i := 0; i < min(n, len(want)); i++ {
		j.slot(r, i, want[i])
	}
	if p, ok := j.model.(Puller); ok && r.Whole && p.Pull() != r.Pull {
		j.add(r.Cycle, 0, 0, pulls[p.Pull()], pulls[r.Pull])
	}
	j.count++
	j.Refreshes++
	j.cycle = r.Cycle
	return len(j.Differences) < j.tol.Listed
}

func dark(slots []Slot) bool {
	return !slices.ContainsFunc(slots, func(s Slot) bool { return s.LitCycles > 0 && s.Word != Slot{}.Word })
}

// slept judges power-down: only when the model says so, and with everything dark.
func (j *Judge) slept(r Refresh, want []Slot) {
	s, knows := j.model.(Sleeper)
	for range r.Sleeps {
		if !knows || !s.MaySleep() {
			j.add(r.Cycle, 0, 0, "awake", "asleep")
			continue
		}
		for _, w := range want {
			if w.Word != [program.MaxRegisters]byte{} {
				j.add(r.Cycle, 0, 0, "dark before it sleeps", fmt.Sprintf("%x", w.Word[:j.module.wordBytes()]))
			}
		}
		s.Woke()
	}
}

// wrote judges what was written to the EEPROM.
func (j *Judge) wrote(r Refresh) {
	k, ok := j.model.(Keeper)
	if !ok {
		return
	}
	j.still++
	if m := k.Memory(); m != j.meant {
		j.meant, j.still = m, 0
	}
	for _, w := range r.Kept {
		if int(w.Address) >= len(j.meant) {
			j.add(r.Cycle, 0, 0, fmt.Sprintf("EEPROM written below %d", len(j.meant)), fmt.Sprintf("at %d", w.Address))
			continue
		}
		if j.memory[w.Address] = w.Value; j.meant[w.Address] != w.Value {
			j.add(r.Cycle, 0, 0, fmt.Sprintf("EEPROM byte %d: %02x", w.Address, j.meant[w.Address]), fmt.Sprintf("%02x", w.Value))
		}
	}
}

// Finish ends a boot, or the run: what the EEPROM holds must be what the model holds, if there was time to write it.
func (j *Judge) Finish() {
	if _, ok := j.model.(Keeper); ok && j.still >= keptAfter && j.memory != j.meant {
		j.add(j.cycle, 0, 0, fmt.Sprintf("EEPROM %x", j.meant), fmt.Sprintf("%x", j.memory))
	}
	j.still = 0
}

func (j *Judge) slot(r Refresh, i int, want Slot) {
	seen := r.Slots[i]
	var doubt [program.MaxRegisters]byte
	if d, ok := j.model.(Doubter); ok {
		doubt = d.Doubt()
	}
	for o := range j.module.Outputs() {
		w, s := (want.Word[o/8]&^doubt[o/8])>>(o%8)&1, (seen.Word[o/8]&^doubt[o/8])>>(o%8)&1
		if w != s {
			j.add(r.Cycle, i, o+1, onOff(w), onOff(s))
		}
	}
	most := j.tol.WidthCycles
	if i < j.tol.Exact {
		most = 0
	}
	if d := seen.LitCycles - want.LitCycles; d > most || -d > most {
		j.add(r.Cycle, i, 0, fmt.Sprintf("lit for %d cycles, %d either way", want.LitCycles, most), fmt.Sprintf("%d cycles", seen.LitCycles))
	}
}

func (j *Judge) add(cycle uint64, slot, output int, expected, seen string) {
	if len(j.Differences) < j.tol.Listed {
		j.Differences = append(j.Differences, Difference{j.module.At(cycle), j.module.Name, j.count, slot, output, expected, seen})
	}
}

func describe(s Slot, m Module) string {
	return fmt.Sprintf("%x lit for %d cycles", s.Word[:m.wordBytes()], s.LitCycles)
}

var pulls = map[bool]string{true: "link wire held low", false: "link wire let go"}

func onOff(b byte) string {
	if b == 1 {
		return "on"
	}
	return "off"
}
