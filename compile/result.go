package compile

import (
	"lampwright/feed"
	"lampwright/kit"
	"lampwright/program"
)

// DefaultError is the level error that fades may have unless another is asked for, in levels of 255.
const DefaultError = 1.0

// Options of a compilation. The zero value gives the defaults.
type Options struct {
	// Error is the most that a shown level may differ, in any frame, from the light wanted at that frame's very instant, in levels
	// of 255; 0 means DefaultError; less than 1 counts as 1. Dark rests that would flicker are moved before (Layer.Moved).
	Error float64
	// Kept brings the fits of the compilations before; nil: there are none.
	Kept *Fits
	// Wanted is asked every few milliseconds, and may take its time; where it says no, compiling ends at once. nil: always.
	Wanted func() bool
}

// Result is a compiled kit.
type Result struct {
	Modules []*Module // in the order of the kit
	Wires   []Wire    // the kit's inputs, in its order
}

// Wire is how the modules read one input.
type Wire struct {
	Of     *kit.Input
	Filter feed.Filter
	Delay  feed.Delay // how much later the input counts as on or off, at worst; of a turn that is told apart from the stop: the turn
}

// Module finds the result of a module of the kit, or nil.
func (r *Result) Module(m *kit.Module) *Module {
	for _, c := range r.Modules {
		if c.Of == m {
			return c
		}
	}
	return nil
}

// Module is what one module of the kit will run. When the list of diagnostics that came with it refuses the module, Image is
// nil and the rest is as far as it got.
type Module struct {
	Of      *kit.Module
	Program *program.Program // of two hands that share an image, this one; the first names the other
	Safe    *program.Safe    // the same for both hands of an image
	Image   []byte           // at most program.MaxImageBytes; the same for both hands
	Twin    *Module          // the other hand in the same image; nil: the image is the module's own
	Limits  []Limit          // of the job's guard, as the module keeps them
	Layers  []*Layer         // in the order of Program.Layers
	Fades   int              // fades of all moving layers, which may all be live at once; at most MostFades
	Moving  int              // layers that move; at most program.MaxMoving

	refused bool
	over    uint8 // supply code from which every light is halved
}

// ImageCheck is the image's own check, two bytes. The module must have an image.
func (m *Module) ImageCheck() []byte { return m.Image[len(m.Image)-2:] }

// Layer is what one signal or show does on one module, or the load that an output switches for the car's lamp check.
type Layer struct {
	Of       *kit.Layer  // of a load: a signal of its name on its input, which is not in the kit and takes no group
	Outage   *kit.Outage // the load; nil: a signal or a show. It is no light
	Groups   []int       // for each slot, the group of the module's lamp
	Routines []*Routine  // arrive, stay, leave, those that there are; none of a still layer
	Moved    float64     // how far a rest was moved at most to a level that may rest, levels of 255
}

// Routine tells what became of one routine on one module.
type Routine struct {
	Part       string       // arrive, stay or leave
	Of         *kit.Routine // nil: a stay that holds what arrive left
	Code       *program.Routine
	Fades      int     // started in one run
	WorstError float64 // found by playing the code: the most that a shown level differs from what is wanted, levels of 255
	FrameBytes int     // the same light as a table: one byte for each output every 10 ms
	TrackBytes int     // the same fades as a track for each output

	begins []int // the tick of every fade, in order
}

// LengthMS is how long the routine takes at its own pace, ms.
func (r *Routine) LengthMS() int { return r.Code.Ticks * program.FrameMS }

// FrameRatio tells how many times smaller the code is than the table of full frames.
func (r *Routine) FrameRatio() float64 { return float64(r.FrameBytes) / float64(len(r.Code.Code)) }

// TrackRatio tells how many times smaller the code is than tracks.
func (r *Routine) TrackRatio() float64 { return float64(r.TrackBytes) / float64(len(r.Code.Code)) }

// frameTableMS is the time between the frames of the table that code is compared with, ms.
const frameTableMS = 10

// frameBytes is the size of such a table.
func frameBytes(ticks, slots int) int {
	return (ticks*program.FrameMS + frameTableMS - 1) / frameTableMS * slots
}

// trackBytes is the size of fades as one track for each output: wait, level and length for each fade, and an end.
func trackBytes(fades, slots int) int { return 3*fades + slots }
