package main

import (
	"fmt"
	"time"

	"lampwright/loader"
	"lampwright/report"
	"lampwright/units"
)

// stream plays one module's light on the real one, over the serial line of its plug, at the pace of life. The module's own road
// signals stay above it (docs/engine.md, section 9).
func (p *play) stream() error {
	index := -1
	var names []string
	for i, m := range p.built.kit.Modules {
		names = append(names, m.Name)
		if m.Name == p.Stream {
			index = i
		}
	}
	if index < 0 {
		p.noSuch("module", p.Stream, names)
		return badUsage
	}
	port, fault := p.serial(p.Serial)
	if fault != nil {
		return p.noStream(fault)
	}
	defer port.Close()
	line, fault := loader.NewSerial(port, p.Serial).Stream(p.ctx)
	if fault != nil {
		return p.noStream(fault)
	}
	player := p.player()
	outputs := p.built.kit.Modules[index].Board.Registers * 8
	step := line.Interval()
	p.tell("streaming to %s, a picture every %d ms; Ctrl-C ends it", p.Stream, step.Milliseconds())
	sent := 0
	for at := time.Duration(0); at <= time.Duration(p.until)*time.Microsecond && p.ctx.Err() == nil; at += step {
		player.To(units.Time(at / time.Microsecond))
		levels := player.Levels(index)
		if _, err := line.Frame(at, levels[:outputs]); err != nil {
			p.problem(fmt.Sprintf("the line to %s broke: %v", p.Stream, err), "plug the adapter in again and play again; the module has gone back to its own program")
			return lacking
		}
		sent++
		p.sleep(step)
	}
	p.say("streamed %s to %s", report.Count(sent, "picture"), p.Stream)
	return nil
}

// noStream tells why nothing can be streamed.
func (e *env) noStream(d *report.Diagnostic) error {
	e.problem(d.Text, d.Next)
	return lacking
}
