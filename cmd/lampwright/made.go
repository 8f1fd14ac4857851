package main

import (
	"fmt"

	"lampwright/kit"
	"lampwright/program"
)

// madeModule is what summary and JSON tell of a module.
type madeModule struct {
	Module  string `json:"module"`
	Board   string `json:"board"`
	Lamp    string `json:"lamp"`
	Outputs int    `json:"outputs_used"` // by groups and loads
	Layers  int    `json:"layers"`
	Image   int    `json:"image_bytes"`
	Check   string `json:"check"` // CRC-16 at the end of the image, as a module's label carries it
	HEX     string `json:"hex"`

	Fuse      string      `json:"fuse,omitempty"`
	AlsoFed   []string    `json:"also_fed_by,omitempty"`
	OnlyFed   string      `json:"only_fed_by,omitempty"`
	Strap     string      `json:"strap,omitempty"` // what the strap must say
	Twin      string      `json:"same_image_as,omitempty"`
	Limits    []madeLimit `json:"limits,omitempty"`
	Sleep     float64     `json:"sleep_after_s,omitempty"`
	Stream    bool        `json:"stream,omitempty"`
	ToldApart []madeTurn  `json:"told_apart,omitempty"`
	Loads     []madeLoad  `json:"loads,omitempty"`
}

// madeLimit is a limit of the job's guard as a module keeps it.
type madeLimit struct {
	Limit   string `json:"limit"` // its word in the job
	Written string `json:"written"`
	Code    int    `json:"code"`
	At      string `json:"at"`
	Least   string `json:"least"`
	Most    string `json:"most"`
	Over    string `json:"over_at"`
}

// madeTurn is a wire on which the turn is told apart from the stop.
type madeTurn struct {
	Wire      string `json:"wire"`
	Reference string `json:"reference"`
	Turn      string `json:"turn"`
}

// madeLoad is an output that switches a load.
type madeLoad struct {
	Load   string  `json:"load"` // its name in the job
	Output int     `json:"output"`
	Input  string  `json:"input"`
	Kind   string  `json:"kind"`
	Ohm    float64 `json:"ohm"`
	Window float64 `json:"window_ms,omitempty"` // left out: as long as the input is on
	Sense  string  `json:"sense,omitempty"`
}

func (b *built) madeModules() []madeModule {
	out := []madeModule{}
	for _, m := range b.modules {
		out = append(out, m.made())
	}
	return out
}

func (m module) made() madeModule {
	one := madeModule{
		Module: m.Of.Name, Board: m.Of.Board.Name, Lamp: m.Of.Lamp.Name, Layers: len(m.Program.Layers), Image: len(m.Image), Check: m.check(), HEX: m.Of.Name + ".hex",
		Fuse: m.Of.Fed.Fuse, Sleep: m.SleepSeconds(), Stream: m.Program.Live,
	}
	for _, o := range m.Of.Output {
		if o >= 0 {
			one.Outputs++
		}
	}
	for _, in := range m.Of.Fed.Also {
		one.AlsoFed = append(one.AlsoFed, in.Name)
	}
	if only := m.Of.Fed.Only; only != nil {
		one.OnlyFed = only.Name
	}
	if m.Program.SideByStrap {
		one.Strap = m.Of.Lamp.Place.Side.String()
	}
	if m.Twin != nil {
		one.Twin = m.Twin.Of.Name
	}
	for _, l := range m.Limits {
		one.Limits = append(one.Limits, madeLimit{l.Word, l.Written, int(l.Code), l.At, l.Least, l.Most, l.Over})
	}
	pin := func(in uint8) string { return fmt.Sprintf("in%d", in+1) }
	for _, t := range m.Safe.StopTurn {
		if t.Used {
			one.ToldApart = append(one.ToldApart, madeTurn{pin(t.Wire), pin(t.Reference), pin(t.Turn)})
		}
	}
	for o := range program.MaxOutputs {
		if l := m.loadAt(o); l != nil {
			sense := ""
			if l.Sense != nil {
				sense = l.Sense.Name
			}
			one.Outputs++
			one.Loads = append(one.Loads, madeLoad{l.Name, o + 1, l.Input.Name, string(l.Kind), float64(l.Load), l.Window.Milliseconds(), sense})
		}
	}
	return one
}

// loadAt gives the load that an output (0-based) switches, or nil.
func (m module) loadAt(output int) *kit.Outage {
	for _, l := range m.Module.Layers {
		if l.Outage != nil && l.Outage.Output == output {
			return l.Outage
		}
	}
	return nil
}
