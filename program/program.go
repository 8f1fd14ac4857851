// Package program is what a module runs, free of hardware: the compiled program, its image, and the reference engine that
// says, refresh by refresh, what the module's outputs do. Rules: docs/engine.md; bytes: docs/image-format.md.
//
// The engine is the promise, the image is the proof: the portable C core and the shipped HEX must give the same output
// words for the same samples. Not promised: anything about volts, wires or the vehicle; those belong to other rooms.
package program

// Limits of one module. Each is a limit of the core's memory; the image decoder enforces them.
const (
	MaxRegisters  = 8      // eight-bit registers in a chain
	MaxOutputs    = 64     // outputs of one module
	MaxInputs     = 8      // input wires of one module
	MaxLayers     = 12     // signals and shows of one module
	MaxMoving     = 8      // of these, layers with a routine that moves
	MaxFades      = 192    // fades of all moving layers, 6 bytes of RAM each
	MaxFadesLive  = 181    // of these, with live mode allowed: the last eleven hold the streamed levels
	MaxPacers     = 2      // flasher-paced inputs (LH and RH)
	MaxImageBytes = 22_400 // flash between the two copies of the safe block
	MaxOpsPerTick = 255    // operations a player may execute in one tick; a span of n counts n

	// MaxPassOps bounds the operations executed in one pass through all routines of an image (a span of n counts n). It is
	// the budget of the decoder's walk: a hostile image with loops within loops costs no more time than that.
	MaxPassOps = 4_000_000

	MaxTicks     = 65_535 // ticks of one routine
	MaxLoopDepth = 2      // loops within loops
)

// Time units. A program counts in frames; a flasher is measured in refreshes.
const (
	RefreshesPerFrame = 8
	RefreshHz         = 2000 // at the nominal 16 MHz clock
	FrameMS           = 4    // milliseconds, exactly
	LimitUnitFrames   = 64   // a show's limit is counted in units of 64 frames (256 ms)
	SleepUnitFrames   = 64   // and so is the idle time before sleep
	FullDuty          = 2047 // duty of an output that is wholly on
	FullLevel         = 255  // level of an output that is wholly on
)

// Side is the side of the vehicle that a lamp is built for, by the driver's seat.
type Side uint8

// The sides, as stored in an image.
const (
	Centre Side = iota
	LH
	RH
)

// LinkRole is what a module does on the link wire.
type LinkRole uint8

// The link roles, as stored in an image.
const (
	NoLink LinkRole = iota
	Leader
	Follower
)

// Program is the compiled behaviour of one module.
type Program struct {
	Kit        uint32 // identity of the kit
	Lamp       uint16 // identity of the lamp within the kit
	Side       Side
	Registers  int // 1..MaxRegisters; the pins board counts as 2
	Walk       bool
	Link       LinkRole
	PacerInput [MaxPacers]uint8 // input mask of each pacer, one bit or 0

	SideByStrap bool  // the side strap must say Side, or the image is refused
	TurnFed     bool  // the module gets its supply from its turn wire
	Live        bool  // streamed frames of levels are allowed
	Low         uint8 // supply code below which shows end; 0: never
	Warm, Hot   uint8 // heat codes at or below which shows end, and light is halved; 0: never
	SleepAfter  uint8 // idle time before sleep, units of SleepUnitFrames; 0: never

	Other  *Program // the other hand in the same image; nil: there is none
	Layers []Layer  // highest priority first; signals before shows
}

// Layer is one signal or show of a module.
type Layer struct {
	Name      string // for listings only; not part of the image
	Show      bool
	Fast      bool    // stop override: acts at refresh rate and with a hung main loop
	Ends      bool    // a show that ends when a signal takes one of its groups
	Linked    bool    // a show kept in step over the link wire
	Pace      int     // pacer number 0 or 1; -1: fixed pace
	InputMask uint8   // any of these inputs asks for the layer; bit 0 is in1
	NotWhile  uint8   // any of these inputs keeps the layer off; 0: none
	OnlyWhile uint8   // one of these inputs must be on; 0: none
	Slots     []uint8 // output number (0-based) of each slot, in the order the routines use
	Still     []uint8 // levels of a layer that never moves, one a slot; nil: the layer moves
	Arrive    *Routine
	Stay      *Routine // nil when still
	Leave     *Routine
	Window    uint16 // repeat window, frames
	Keep      uint16 // frames that the layer holds its outputs dark after its end
	Limit     uint16 // longest run of a show, units of LimitUnitFrames; 0: none
	FirstFade int    // index of slot 0 in the module's fades; set by Arrange
}

// Routine is the code of one routine; see docs/image-format.md, section 4.
type Routine struct {
	Ticks int    // ticks until end or again
	Loops bool   // ends in again
	Code  []byte // including its last operation
}

// Safe is the safe block: what a module does before, and without, a good image.
type Safe struct {
	Registers                            int
	TailLevel                            uint8
	Stop, Tail, TurnA, TurnB             uint8               // input masks
	Invert                               uint8               // inputs that are active low
	On, Off                              [MaxInputs]uint8    // filter counts, refreshes, 1..255
	Gap                                  [MaxInputs]uint8    // low refreshes that the on count survives, 0, 4, 8 ... 60
	Shared                               Shared              // a wire that carries two functions
	StopTurn                             [2]StopTurn         // wires that light for stop and for turn
	Over                                 uint8               // supply code from which every light is halved; 0: never
	TurnWaits                            bool                // no turn is lit before the image check is done: the turn wire feeds the module
	StopOut, TailOut, TurnAOut, TurnBOut [MaxRegisters]uint8 // output masks
}

// Shared is one wire that carries two functions, told apart by the share of time for which it is high: input From is what is on the wire
// at all, input As is on while the wire is high most of the time. No wire is read at As.
type Shared struct {
	Used     bool
	From, As uint8 // inputs, 0-based
}

// StopTurn is one wire that lights for stop and for turn, told apart by a clean stop reference; docs/engine.md, section 3.2.
type StopTurn struct {
	Used                  bool
	Wire, Reference, Turn uint8 // inputs, 0-based, all different: the wire, the stop reference, and where the turn alone is read
}
