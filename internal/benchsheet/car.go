package main

import (
	"context"

	"lampwright/proof/measure"
)

// car is what factory wires, the battery and sleep do to a module.
func car(ctx context.Context, r measure.Rig) (list []measure.Figure, err error) {
	for _, part := range []func(context.Context) ([]measure.Course, error){r.FactoryWires, r.ToldApart, r.Returns} {
		all, err := part(ctx)
		for _, one := range all {
			list = append(list, one.Figures()...)
		}
		if err != nil {
			return list, err
		}
	}
	asleep, err := r.Sleeper(ctx)
	if err != nil {
		return list, err
	}
	fed, err := r.TurnFed(ctx)
	if err != nil {
		return list, err
	}
	return append(append(append(list, asleep.Figures()...), fed.TurnFedFigures()...), measure.Drains()...), nil
}
