package main

import (
	"context"

	"lampwright/proof/measure"
	"lampwright/web/uitest"
)

// workbench measures the page in a browser.
func workbench(ctx context.Context, _ measure.Rig) ([]measure.Figure, error) {
	return uitest.Speed(ctx)
}
