package rules

import (
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/report"
)

// wires compares what each factory wire does while it is off with the thresholds of the boards that read it.
func wires(k *kit.Kit) (list report.List) {
	for _, in := range k.Inputs {
		if in.Shares != nil {
			continue // its wire is another's
		}
		told := map[string]bool{}
		for _, pin := range in.Pins {
			_, _, found := feed.Electrical(in.Feed, pin.Module.Board.Input)
			for _, d := range found {
				if told[d.ID+d.Text] {
					continue // the same board again
				}
				told[d.ID+d.Text] = true
				d.Place = in.FeedAt
				list.Add(d.See(pin.At, "a module that reads it"))
			}
		}
	}
	return list
}
