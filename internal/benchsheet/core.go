package main

import (
	"context"
	"fmt"
	"os"

	"lampwright/program"
	"lampwright/proof"
	"lampwright/proof/measure"
)

// boards are the two that every figure of the core is measured on.
var boards = []string{"chain-64", "pins"}

func load(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	lowest := uint16(0)
	for _, one := range []func() (measure.Load, error){
		func() (measure.Load, error) { return r.Load(ctx, 0, false) },
		func() (measure.Load, error) { return r.Load(ctx, 2, false) },
		func() (measure.Load, error) { return r.Load(ctx, 2, true) },
		func() (measure.Load, error) { return r.Load(ctx, 3, false) },
		func() (measure.Load, error) { return r.Load(ctx, 3, true) },
		func() (measure.Load, error) { return r.Fullest(ctx, program.MaxFades) },
	} {
		l, err := one()
		if err != nil {
			return list, err
		}
		list = append(list, l.Figures()...)
		if lowest == 0 || l.LowestStack < lowest {
			lowest = l.LowestStack
		}
	}
	for _, b := range boards {
		d, err := r.Dark(ctx, b)
		if err != nil {
			return list, err
		}
		list = append(list, d.Figures()...)
	}
	folder, err := os.MkdirTemp(r.Cache, "core-")
	if err != nil {
		return list, err
	}
	sizes, err := measure.Sizes(root, folder)
	if err != nil {
		return list, err
	}
	for i, s := range sizes {
		if i > 0 {
			lowest = 0 // the loads above are the chain's
		}
		list = append(list, s.Figures(lowest)...)
	}
	return list, nil
}

func stop(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	for _, b := range boards {
		for _, when := range []measure.StopCase{measure.StopIdle, measure.StopShow, measure.StopHung} {
			s, err := r.Stop(ctx, b, when)
			if err != nil {
				return list, err
			}
			list = append(list, s.Figures()...)
		}
	}
	return list, nil
}

func reset(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	for _, b := range boards {
		one, err := r.Reset(ctx, b)
		if err != nil {
			return list, err
		}
		list = append(list, one.Figures()...)
	}
	return list, nil
}

func turn(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	for _, of := range []struct{ module, signal string }{{"rear-lh", "turn-lh"}, {"nose-rh", "nose-rh"}} {
		all, err := r.Turn(ctx, root, of.module, of.signal)
		if err != nil {
			return list, err
		}
		for _, one := range all {
			list = append(list, one.Figures()...)
		}
	}
	return list, nil
}

func pace(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	for _, part := range []func(context.Context, string) ([]measure.Pace, error){r.PaceSteady, r.PaceJitter, r.PaceOdd} {
		all, err := part(ctx, root)
		if err != nil {
			return list, err
		}
		for _, one := range all {
			list = append(list, one.Figures()...)
		}
	}
	return list, nil
}

func link(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	const ppm = 5000 // half a per cent
	for _, c := range []struct {
		ticks int
		ppm   float64
		wire  bool
	}{{375, ppm, true}, {500, ppm, true}, {500, -ppm, true}, {1000, -ppm, true}, {500, ppm, false}} {
		s, err := r.Skew(ctx, c.ticks, c.ppm, c.wire)
		if err != nil {
			return list, err
		}
		list = append(list, s.Figures()...)
	}
	faults, err := r.Wires(ctx)
	for _, w := range faults {
		list = append(list, w.Figures()...)
	}
	return list, err
}

func routines(context.Context, measure.Rig) (list []measure.Figure, err error) {
	_, compiled, err := measure.Demo(root)
	if err != nil {
		return nil, err
	}
	held, err := measure.HeldLevels(compiled)
	if err != nil {
		return nil, err
	}
	level, err := measure.LevelErrors(compiled)
	return append(held.Figures("demo job"), level.Figures("demo job")...), err
}

// faster says what a higher rate of refresh would need, reckoned from the figures of the one that ships.
func faster(ctx context.Context, r measure.Rig) ([]measure.Figure, error) {
	const hz, wished, darkCycles = proof.ClockHz / proof.CyclesARefresh, 3000, 350 // dark: firmware/avr/widths.h
	l, err := r.Load(ctx, 3, false)
	if err != nil {
		return nil, err
	}
	const period = proof.ClockHz / wished
	rise := float64(wished) / hz
	return []measure.Figure{
		{Name: "refresh rate", Value: hz, Unit: fmt.Sprintf("Hz (%d Hz is not built)", wished)},
		{Name: "3000 Hz would need: shortest word lit, chain", Value: (period - darkCycles) / 255.0, Unit: "cycles (30 now)"},
		{Name: "3000 Hz would need: dark share of a refresh, chain", Value: 100 * darkCycles / float64(period), Unit: "% (4.4 now)"},
		{Name: "3000 Hz would need: interrupt load, 3 routines on 64 outputs", Value: 100 * l.Interrupt * rise, Unit: "%"},
		{Name: "3000 Hz would need: busy, worst frame of 12 refreshes, 3 routines on 64 outputs", Value: 100 * (l.WorstFrame + l.Interrupt*(rise-1)), Unit: "%"},
	}, nil
}
