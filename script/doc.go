// Package script says which inputs are on when: presses over time, as text for people, as CSV for long recordings and as
// data for the rooms that play them.
//
// The text form, one comment's worth of grammar:
//
//	script = { press | "#" remark to the line's end }      presses stand apart by blanks or line ends
//	press  = input "@" from ".." to [ "~" rate "/min:" share "%" ] [ "!" bounce ]
//	input  = a letter or digit, then letters, digits, "-", "_" or "."
//	from, to, bounce = a number with its unit, no blank between: 300ms 1.5s 2min
//
// So `stop@1s..3s turn-lh@4s..9s~90/min:50%!4ms` holds stop for two seconds, then flashes turn-lh ninety times a minute,
// half of each flash on, with contacts that chatter for 4 ms at each edge. An input is on from `from` up to, and not at, `to`.
// Presses of one input may overlap: it is on while any of them is.
//
// Not promised: anything about volts or filters. A level here is what the wire means, before the module filters it.
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
