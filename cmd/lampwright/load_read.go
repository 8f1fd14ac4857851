package main

import (
	"lampwright/loader"
)

// read tells what the module holds.
func (c loadCommand) read(e *env) error {
	var of *built
	if c.Job != "" {
		var err error
		if of, err = e.ready(c.Job, c.JSON); err != nil {
			return err
		}
		if c.Module != "" {
			if _, err := of.module(e, c.Module); err != nil {
				return err
			}
		}
	}
	result := loaded{Module: c.Module, Serial: c.Serial}
	o := c.options(e, "")
	if c.Serial == "" {
		result.ReadCommand = o.ReadCommand(heldName)
	}
	var held loader.Contents
	switch {
	case c.DryRun && c.JSON:
		return e.json(result)
	case c.DryRun && c.Serial == "":
		e.say("%s", loader.Line(result.ReadCommand))
		return nil
	case c.DryRun:
		e.say("over %s: read core, image and safe block of the module; its lamps go on", c.Serial)
		return nil
	case c.Serial != "":
		port, d := e.serial(c.Serial)
		if d == nil {
			defer port.Close()
			held, d = loader.NewSerial(port, c.Serial).Read(e.ctx, e.tenths())
		}
		result.Problem = d
	default:
		bytes, d := loader.Held(e.ctx, o, e.err)
		result.Problem = d
		held = loader.ContentsOf(bytes)
	}
	if result.Problem != nil {
		return c.tellResult(e, result, false)
	}
	if of != nil {
		for i := range held.Lamps {
			held.Lamps[i].NameInJob = of.lampNamed(held.Lamps[i].Kit, held.Lamps[i].Lamp)
		}
	}
	result.Contents = &held
	if c.JSON {
		return e.json(result)
	}
	for _, line := range held.Words() {
		e.say("%s", line)
	}
	if c.Module != "" {
		m, err := of.module(e, c.Module)
		if err != nil {
			return err
		}
		if held.ImageRight && held.ImageCheck == m.check() {
			e.say("that is %s as %s makes it now", c.Module, c.Job)
		} else {
			e.say("that is not %s as %s makes it now (check %s)", c.Module, c.Job, m.check())
		}
	}
	return nil
}
