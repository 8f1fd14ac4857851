package program

import "fmt"

// Disassemble gives the code of a routine as lines to read, each with the time, in ms at rate 4096 and in the first pass
// of the loops around it, at which the operation is executed. slots names the output of each slot, and may be nil. Code
// that Decode refuses is listed up to the first byte that is no operation. Assemble reads the lines back.
func Disassemble(r *Routine, slots []uint8) []string {
	d := lister{slots: slots}
	for at := 0; at < len(r.Code); {
		n := opLength(r.Code[at])
		if n == 0 || at+n > len(r.Code) {
			return append(d.lines, fmt.Sprintf("%*s ; byte %d is no operation", timeColumn, "", at))
		}
		d.operation(r.Code[at : at+n])
		at += n
	}
	return d.lines
}

const timeColumn = 10 // characters

type lister struct {
	slots []uint8
	lines []string
	ticks int
	loops []openLoop
}

type openLoop struct{ passes, begun int }

// line adds an operation, with a remark when there is one.
func (d *lister) line(remark, text string, a ...any) {
	s := fmt.Sprintf("%*s  %*s%s", timeColumn, fmt.Sprint(d.ticks*FrameMS, " ms"), 2*len(d.loops), "", fmt.Sprintf(text, a...))
	if remark != "" {
		s = fmt.Sprintf("%-48s ; %s", s, remark)
	}
	d.lines = append(d.lines, s)
}

// output names the output of a slot.
func (d *lister) output(slot int) string {
	if slot >= len(d.slots) {
		return ""
	}
	return fmt.Sprintf("output %d", d.slots[slot]+1)
}

func (d *lister) operation(b []byte) {
	switch op := b[0]; {
	case op < opWait:
		d.line(d.output(int(op)), "slot %d to %d", op, b[1])
	case op == opWait:
		d.wait(longWaitBase + int(b[1]))
	case op < opOver:
		d.wait(int(op - opWait))
	case op < opOverLong:
		d.line(fmt.Sprint(int(op-opOver)*FrameMS, " ms"), "over %d", op-opOver)
	case op == opOverLong:
		wide := ""
		if b[1] <= maxShortOver {
			wide = " wide"
		}
		d.line(fmt.Sprint(int(b[1])*FrameMS, " ms"), "over %d%s", b[1], wide)
	case op == opEnd:
		d.line("", "end")
	case op == opAgain:
		d.line("", "again")
	case op == opSpan:
		first, last := d.output(int(b[1])), d.output(int(b[1])+int(b[2])-1)
		if first != "" && last != "" {
			first += " to " + last
		}
		d.line(first, "slots %d x %d to %d", b[1], b[2], b[3])
	case op == opLoop:
		d.line("", "loop %d shift %d", b[1], int8(b[2]))
		d.loops = append(d.loops, openLoop{int(b[1]), d.ticks})
	case op == opClose:
		d.close()
	}
}

func (d *lister) wait(ticks int) {
	d.line(fmt.Sprint(ticks*FrameMS, " ms"), "wait %d", ticks)
	d.ticks += ticks
}

func (d *lister) close() {
	if n := len(d.loops); n > 0 {
		l := d.loops[n-1]
		d.loops = d.loops[:n-1]
		d.ticks += (l.passes - 1) * (d.ticks - l.begun)
	}
	d.line("", "close")
}
