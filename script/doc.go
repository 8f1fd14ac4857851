// Package script says which inputs are on when, and what the car does meanwhile: presses and conditions over time, as text for
// people, presses as CSV for long recordings, and both as data for the rooms that play them.
//
// The text form, one comment's worth of grammar:
//
//	script    = { press | condition | "#" remark to the line's end }      they stand apart by blanks or line ends
//	press     = input "@" from ".." to [ "~" rate "/min:" share "%" ] [ "!" bounce ]
//	condition = what [ ":" where ] "=" is [ "@" from ".." to ]
//	input     = a letter or digit, then letters, digits, "-", "_" or "."
//	from, to, bounce = a number with its unit, no blank between: 300ms 1.5s 2min
//
// So `stop@1s..3s turn-lh@4s..9s~90/min:50%!4ms` holds stop for two seconds, then flashes turn-lh ninety times a minute,
// half of each flash on, with contacts that chatter for 4 ms at each edge. An input is on from `from` up to, and not at, `to`.
// Presses of one input may overlap: it is on while any of them is.
//
// A condition without times holds always. Of several that hold at once for one thing, the one written last counts:
//
//	supply=6.5V@2s..2020ms  supply=crank@2s..4s   the car's voltage; crank is what it does while the engine is started
//	heat=90C  heat:rear-lh=90C                     at every board's heat sensor, or at one
//	battery=gone  battery:rear-lh=gone             no battery at any module, at one, or at all on a fuse (battery:F3=gone)
//	feed:rear-lh.stop=open                         the diode through which a wire feeds a module
//	tap:rear-lh.in2=open  =ground  =supply         a module's tap of a wire, broken or shorted
//	output:rear-lh.13=open  =on                    an output whose wire is off, or whose switch is stuck
//	link=low  link=supply  link:rear-lh=open       the link wire
//	strap:rear-lh=missing  =LH  =RH                the side strap in a plug; a module asks it when its supply comes
//	module:rear-lh=dead                            a module that does nothing, or is unplugged
//
// Not promised: anything about filters, or whether a job has such a thing; the caller gives the names that exist. A level here is what
// the wire means, before the module filters it.
package script

import "lampwright/units"

// Limits of one script. They bound memory when a number is mistyped.
const (
	MaxTextBytes = 64 << 10 // 64 KiB of text
	MaxCSVBytes  = 4 << 20  // 4 MiB of CSV
	MaxTime      = units.Hour
	MaxBounce    = 50 * units.Millisecond // contacts that chatter longer are broken
	MaxEvents    = 500_000                // changes of all inputs together, flashes and bounces unrolled
	MaxFaults    = 20                     // faults of one text that are told one by one
)

// Limits of a flashing press: wider than any road flasher, so that faulty ones can be played as well.
const (
	MinRate  = 6_000   // thousandths of a flash per minute: 6 per minute
	MaxRate  = 600_000 // 600 per minute, 10 Hz
	MinShare = 10      // tenths of a per cent: 1 %
	MaxShare = 990     // 99 %
)
