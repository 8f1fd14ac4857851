package compile

import (
	"fmt"

	"lampwright/kit"
	"lampwright/program"
	"lampwright/report"
)

// A module that lives on its turn wire alone comes to life with every flash. Its turn waits for the check of the image, so that
// the sweep is seen, and not full light first; no longer than this, ms: target of this program. The shortest legal on-time is
// 150 ms, and the sweep needs the rest.
const (
	turnWaitsMS    = 60
	checkedBytes   = 256 // of the image in a frame (docs/engine.md, section 7)
	turnWaitFrames = turnWaitsMS / program.FrameMS
	turnFedMost    = turnWaitFrames * checkedBytes
	turnFedSource  = "target of this program: the shortest legal flash is 150 ms"
)

// turnFed tells whether a module lives on its turn wire alone, and may wait with it. On a wire that lights for the brake as
// well nothing waits: what comes may be the brake.
func turnFed(m *kit.Module) bool { return m.TurnFed() && !m.Fed.Only.CarriesStop }

// checkMS is how long the check of an image of so many bytes takes, ms.
func checkMS(bytes int) int {
	return (bytes + checkedBytes - 1) / checkedBytes * program.FrameMS
}

// waits refuses a module whose turn would wait too long for the check of its image.
func (c *compiler) waits(out *Module) {
	bytes := out.imageBytes()
	if !out.Program.TurnFed || bytes <= turnFedMost || out.first() != out {
		return
	}
	m := out.Of
	why := ""
	if out.Twin != nil {
		why = fmt.Sprintf("; it holds both hands, that of %s as well", out.Twin.Of.Name)
	}
	c.list.Add(report.Errorf("turn-fed", m.At, "the turn of module %q would come late", m.Name).
		Because("it is fed by its turn wire alone, and with every flash its image of %d bytes is checked before the turn is shown%s", bytes, why).
		Against(fmt.Sprintf("%d ms", checkMS(bytes)), fmt.Sprintf("%d ms, %d bytes", turnWaitsMS, turnFedMost), turnFedSource).
		See(m.Fed.Only.At, "the wire that feeds it").Do("take shows from lamp %s, shorten its routines, or feed the module from the battery", m.Lamp.Name))
}
