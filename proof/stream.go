package proof

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"

	"lampwright/program"
)

// Kinds of record; harness/record.c describes the stream.
const (
	recSample = iota + 1
	recWord
	recGate
	recPull
	recReset
	recFault
	recEvent
	recTick
	recEnd
	recVariant
	recCode
	recHeard
	recSent
	recKept
	recDown
	recUp
	recOff
)

// cyclesMax is far above what the longest run counts (two hours at 20 MHz are 2^37 cycles).
const cyclesMax = 1 << 40

// decoder reads the primitives of the stream; the first error sticks.
type decoder struct {
	r   *bufio.Reader
	err error
	buf [8]byte
}

func (d *decoder) bytes(n int) []byte {
	b := d.buf[:n]
	clear(b)
	if d.err == nil {
		if _, err := io.ReadFull(d.r, b); err != nil {
			d.err = fmt.Errorf("the bench's stream breaks off: %w", err)
		}
	}
	return b
}
func (d *decoder) u8() uint8   { return d.bytes(1)[0] }
func (d *decoder) u16() uint16 { return binary.LittleEndian.Uint16(d.bytes(2)) }
func (d *decoder) u32() uint32 { return binary.LittleEndian.Uint32(d.bytes(4)) }
func (d *decoder) u64() uint64 { return binary.LittleEndian.Uint64(d.bytes(8)) }

func (d *decoder) varint() uint64 {
	if d.err != nil {
		return 0
	}
	v, err := binary.ReadUvarint(d.r)
	if err != nil {
		d.err = fmt.Errorf("the bench's stream breaks off: %w", err)
	}
	return v
}

// header checks the stream's head against the modules asked for.
func (d *decoder) header(modules []Module) {
	magic := string(d.bytes(4))
	version, n := d.u8(), d.u8()
	if d.err == nil && (magic != "LWTR" || version != 3 || int(n) != len(modules)) {
		d.err = fmt.Errorf("the bench's stream begins with %q, version %d, %d modules", magic, version, n)
	}
	for _, m := range modules {
		kind, word := d.u8(), d.u8()
		if d.err == nil && (Kind(kind) != m.Kind || int(word) != m.wordBytes()) {
			d.err = fmt.Errorf("the bench's stream holds kind %d with %d-byte words for module %s", kind, word, m.Name)
		}
	}
}

// tracker builds the refreshes of one module out of its records.
type tracker struct {
	log     *ModuleLog
	cycle   uint64
	dark    bool // level of /G
	since   uint64
	word    *Slot // the word in the registers
	current Refresh
	next    *Refresh // sampled, but words of the trail are still to come
	trail   int
	sampled bool
	codes   program.Codes
	down    bool
	fell    uint64 // cycle at which it last fell asleep
	ended   bool
	pulling bool
	emit    func(Refresh) error
	arena   []Slot
}

const arenaSlots = 4096

// slots gives an empty list with room for the usual number of words.
func (t *tracker) slots() []Slot {
	const room = 16
	if len(t.arena) < room {
		t.arena = make([]Slot, arenaSlots)
	}
	s := t.arena[:0:room]
	t.arena = t.arena[room:]
	return s
}

func (t *tracker) lightUp() { t.since = t.cycle }
func (t *tracker) lightDown() {
	if t.word != nil {
		t.word.LitCycles += int(t.cycle - t.since)
	}
}

func (t *tracker) onGate(level uint8) {
	if dark := level != 0; dark != t.dark {
		if dark {
			t.lightDown()
		} else {
			t.lightUp()
		}
		t.dark = dark
	}
}

func (t *tracker) onWord(word []byte) error {
	if !t.dark {
		t.lightDown()
		t.lightUp()
	}
	if t.next != nil && t.trail == 0 {
		if err := t.open(); err != nil {
			return err
		}
	} else if t.next != nil {
		t.trail--
	}
	slot := Slot{}
	copy(slot.Word[:], word)
	list := &t.current.Slots
	if !t.sampled {
		list = &t.log.Boots[len(t.log.Boots)-1].Slots
	}
	*list = append(*list, slot)
	t.word = &(*list)[len(*list)-1]
	return nil
}

func (t *tracker) onSample(inputs, link uint8) error {
	if t.next != nil { // two samples with no word between them
		if err := t.open(); err != nil {
			return err
		}
	}
	t.current.Pull, t.current.Codes = t.pulling, t.codes
	if b := len(t.log.Boots) - 1; !t.sampled {
		t.log.Boots[b].Codes = t.codes
	}
	t.next = &Refresh{Cycle: t.cycle, Boot: len(t.log.Boots) - 1, Sample: Sample{Inputs: inputs, Link: link != 0, Codes: t.codes}, Slots: t.slots()}
	t.trail = t.log.Trail
	return nil
}

// at is the refresh that the last sample began; nil before the first.
func (t *tracker) at() *Refresh {
	switch {
	case t.next != nil:
		return t.next
	case t.sampled:
		return &t.current
	}
	return nil
}

// onSleep begins or ends a power-down; the light's account stands still meanwhile.
func (t *tracker) onSleep(down bool) {
	if down == t.down {
		return
	}
	t.down = down
	r := t.at()
	switch {
	case down:
		if t.fell = t.cycle; !t.dark {
			t.lightDown()
		}
		if r != nil {
			r.Sleeps++
		}
	default:
		if !t.dark {
			t.lightUp()
		}
		if r != nil {
			r.Slept += t.cycle - t.fell
		}
	}
}

// open closes the running refresh and begins the one whose sample waits.
func (t *tracker) open() error {
	err := t.close(true)
	t.current, t.next, t.sampled = *t.next, nil, true
	return err
}

func (t *tracker) close(whole bool) error {
	if !t.sampled {
		return nil
	}
	if t.current.Whole = whole; !whole {
		t.current.Codes = t.codes
	}
	t.sampled = false
	return t.emit(t.current)
}

// cut ends everything that was under way: reset, loss of supply, end of the run.
func (t *tracker) cut() error {
	if !t.dark {
		t.lightDown()
	}
	err := t.close(false)
	if t.next != nil && err == nil { // sampled, but its first word never came
		t.current, t.next, t.sampled = *t.next, nil, true
		err = t.close(false)
	}
	t.word, t.dark, t.down = nil, t.log.Kind == Chain, false
	t.since = t.cycle
	return err
}

// record reads one record of this module after its tag and time.
func (t *tracker) record(d *decoder, kind int, eventLines map[int]int) error {
	log := t.log
	switch kind {
	case recSample:
		inputs, link := d.u8(), d.u8()
		if d.err == nil && len(log.Boots) == 0 {
			return errors.New("the bench's stream holds a sample before power-on")
		}
		if d.err == nil {
			return t.onSample(inputs, link)
		}
	case recWord:
		word := d.bytes(log.wordBytes())
		if d.err == nil && len(log.Boots) == 0 {
			return errors.New("the bench's stream shows a word before power-on")
		}
		if d.err == nil {
			return t.onWord(word)
		}
	case recGate:
		t.onGate(d.u8())
	case recPull:
		t.pulling = d.u8() != 0
		log.Pulls = append(log.Pulls, Pull{t.cycle, t.pulling})
	case recReset:
		err := t.cut()
		b := Boot{Cycle: t.cycle, Cause: Cause(min(d.u8(), uint8(CauseWatchdog)))}
		if strap := d.u8(); strap <= uint8(program.RH) {
			b.Strap = program.Side(strap)
		}
		for i := range b.Memory {
			b.Memory[i] = d.u8()
		}
		b.Lived = d.u8() != 0
		b.Left = program.Remnant{d.u8(), d.u8()}
		t.codes = program.CodesAtStart
		b.Codes = t.codes
		log.Boots = append(log.Boots, b)
		return err
	case recFault:
		log.Misdeeds = append(log.Misdeeds, Misdeed{t.cycle, MisdeedKind(d.u8())})
	case recEvent:
		if i, ok := eventLines[int(d.u32())]; ok {
			log.Done = append(log.Done, Occurrence{t.cycle, i})
		}
	case recTick:
	case recCode:
		if which, code := d.u8(), d.u8(); which == 0 {
			t.codes.Supply = code
		} else {
			t.codes.Heat = code
		}
	case recHeard:
		if broken, b, r := d.u8() != 0, d.u8(), t.at(); r != nil {
			r.Heard = append(r.Heard, Heard{b, broken})
		}
	case recSent:
		log.Sent = append(log.Sent, Sent{t.cycle, d.u8()})
	case recKept:
		if k, r := (Keeps{d.u16(), d.u8()}), t.at(); r != nil {
			r.Kept = append(r.Kept, k)
		}
	case recOff:
		return t.cut()
	case recDown, recUp:
		t.onSleep(kind == recDown)
	case recEnd:
		t.ended = true
		log.Load = readLoad(d)
		return t.cut()
	default:
		return fmt.Errorf("the bench's stream holds a record of unknown kind %d", kind)
	}
	return nil
}

func readLoad(d *decoder) Load {
	l := Load{Cycles: d.u64(), Asleep: d.u64(), Down: d.u64(), WorstFrameBusy: d.u32(), Samples: d.u64(), Resets: d.u32(), Misdeeds: d.u32(), LowestStack: d.u16()}
	for n := d.u8(); n > 0 && d.err == nil; n-- {
		l.Interrupts = append(l.Interrupts, Interrupt{int(d.u8()), d.u64(), d.u32(), d.u32(), d.u64()})
	}
	return l
}

// decode reads a whole stream. Each finished refresh goes to emit; progress is told the index of the module and its cycle.
func decode(r io.Reader, modules []Module, eventLines map[int]int, emit func(module int, b Boot, r Refresh) error, progress func(module int, cycle uint64)) (*Log, error) {
	d := &decoder{r: bufio.NewReaderSize(r, 1<<16)}
	d.header(modules)
	log := &Log{Modules: make([]ModuleLog, len(modules))}
	tracks := make([]tracker, len(modules))
	for i := range tracks {
		log.Modules[i].Module = modules[i]
		tracks[i] = tracker{log: &log.Modules[i], dark: modules[i].Kind == Chain, emit: func(r Refresh) error { return emit(i, log.Modules[i].Boots[r.Boot], r) }}
	}
	for left := len(modules); left > 0 && d.err == nil; {
		tag := d.u8()
		i, kind := int(tag>>5), int(tag&31)
		if d.err != nil {
			break
		}
		if i >= len(tracks) {
			return nil, fmt.Errorf("the bench's stream names module %d of %d", i, len(tracks))
		}
		t := &tracks[i]
		step := d.varint()
		if d.err != nil {
			break
		}
		if step > cyclesMax || t.cycle+step > cyclesMax {
			return nil, fmt.Errorf("the bench's stream leaps to cycle %d of module %d", t.cycle+step, i)
		}
		t.cycle += step
		if t.ended {
			return nil, fmt.Errorf("the bench's stream goes on after the end of module %d", i)
		}
		if err := t.record(d, kind, eventLines); err != nil {
			return nil, err
		}
		switch kind {
		case recTick:
			progress(i, t.cycle)
		case recEnd:
			left--
		}
	}
	if d.err != nil {
		return nil, d.err
	}
	return log, nil
}
