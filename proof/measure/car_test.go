package measure_test

import (
	"testing"
	"time"

	"lampwright/proof/measure"
)

// What factory wires, the battery and sleep do to stop, turn and tail, on both cores.
func TestCarIsAnsweredInTime(t *testing.T) {
	for name, one := range map[string]func() ([]measure.Course, error){
		"wires":      func() ([]measure.Course, error) { return rig.FactoryWires(bg) },
		"returns":    func() ([]measure.Course, error) { return rig.Returns(bg) },
		"told apart": func() ([]measure.Course, error) { return rig.ToldApart(bg) },
		"sleep":      func() ([]measure.Course, error) { c, err := rig.Sleeper(bg); return []measure.Course{c}, err },
	} {
		t.Run(name, func(t *testing.T) {
			for _, c := range must[[]measure.Course](t)(one()) {
				judge(t, c.Figures())
				if c.On.N == 0 && c.Name != "held stop and turn, 6.5 V for 20 ms, then 9 V for 1 s" || c.On.N > 0 && c.On.Max < time.Millisecond {
					t.Errorf("%s: seen %d times, %v at most", c.Name, c.On.N, c.On.Max)
				}
			}
		})
	}
}

// Modules that live on their turn wires alone: the sweep ends with the click, and one writing of the memory is enough for a drive.
func TestTurnFedWritesOnce(t *testing.T) {
	c := must[measure.Course](t)(rig.TurnFed(bg))
	judge(t, c.TurnFedFigures())
	if c.Writes != 1 || c.On.N < 50 {
		t.Errorf("written %d times in %d flashes", c.Writes, c.On.N)
	}
}

// The pages of the boards say where the highest figures of a data sheet pass the goal.
func TestDrainsAreThoseOfTheBoards(t *testing.T) {
	missed := 0
	for _, f := range measure.Drains() {
		if f.Verdict() == measure.NotMet {
			missed++
		}
	}
	if n := len(measure.Drains()); n != 5 || missed != 1 {
		t.Errorf("%d boards, %d above the goal", n, missed)
	}
}
