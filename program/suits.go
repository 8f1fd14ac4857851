package program

import "slices"

// suits gives Faults when a safe block is not for the modules of a program.
func suits(p *Program, s *Safe) error {
	var fs Faults
	if s.Registers != p.Registers {
		fs.add(2, "safe block", nextLayout, "the program's number of registers", "%d registers for a program of %d", s.Registers, p.Registers)
	}
	for i := range p.Layers {
		l := &p.Layers[i]
		if l.Pace < 0 || l.InputMask == p.PacerInput[l.Pace] {
			continue
		}
		if !slices.ContainsFunc(s.StopTurn[:], func(w StopTurn) bool {
			return w.Used && l.InputMask == 1<<w.Turn && p.PacerInput[l.Pace] == 1<<w.Wire
		}) {
			fs.add(safeStopTurn, "safe block", nextLayout, "the input of the pacer, or the turn of a stop-and-turn wire that the pacer watches",
				"layer %d is asked for by inputs 0x%02x, while its pacer watches 0x%02x", i+1, l.InputMask, p.PacerInput[l.Pace])
		}
	}
	if p.Other != nil {
		if err := suits(p.Other, s); err != nil {
			fs = append(fs, err.(Faults)...)
		}
	}
	return fs.result()
}
