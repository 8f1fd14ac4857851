package kit

import (
	"strings"

	"lampwright/job"
	"lampwright/lamp"
	"lampwright/light"
)

// scene is a stage with what strokes have named on it so far: routines on the same lamps mostly name the same. What it gives is shared
// and stays as it is.
type scene struct {
	*light.Stage
	regions map[string][]int // by regionsText
	axes    map[way]lamp.Axis
}

// way is a direction over a region.
type way struct {
	region    string
	direction lamp.Direction
	by        job.By
}

func newScene(lamps []*Lamp) *scene {
	plain := make([]*lamp.Lamp, len(lamps))
	for i, l := range lamps {
		plain[i] = l.Lamp
	}
	return &scene{light.NewStage(plain...), map[string][]int{}, map[way]lamp.Axis{}}
}

// axis measures LEDs along a way over them.
func (s *scene) axis(on []int, w way) (lamp.Axis, error) {
	if known, ok := s.axes[w]; ok {
		return known, nil
	}
	axis, err := s.Axis(on, w.direction)
	if err != nil {
		return axis, err
	}
	if w.by == job.ByWhole {
		axis = s.WholeGroups(on, axis)
	}
	s.axes[w] = axis
	return axis, nil
}

// regionsText tells regions apart by what they mean.
func regionsText(regions []job.Region) string {
	texts := make([]string, len(regions))
	for i, r := range regions {
		texts[i] = r.Text
	}
	return strings.Join(texts, " ")
}
