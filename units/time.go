package units

import (
	"fmt"
	"math"
	"math/big"
	"strings"
)

// Time is a span of time in whole microseconds. Program times are counted in
// whole units so that sums are exact.
type Time int64

// Spans of time.
const (
	Microsecond Time = 1
	Millisecond      = 1000 * Microsecond
	Second           = 1000 * Millisecond
	Minute           = 60 * Second
	Hour             = 60 * Minute
)

// TimeLimit is the longest span that is read, in microseconds: 1000 hours.
const TimeLimit = 1000 * Hour

var timeScale = scale{
	quantity: "a time",
	example:  "300 ms",
	units: []unit{
		{name: "ms", over: 1000, under: 1},
		{name: "s", over: 1000000, under: 1},
		{name: "min", over: 60000000, under: 1},
		{name: "h", over: 3600000000, under: 1},
		{name: "µs", others: []string{"us"}, over: 1, under: 1},
	},
}

// ParseTime reads a span such as "300 ms", "4 s" or "10 min". Spans finer than
// a microsecond or longer than TimeLimit are refused with an *Error.
func ParseTime(text string) (Time, error) {
	value, err := timeScale.exact(text)
	if err != nil {
		return 0, err
	}
	if !value.IsInt() {
		return 0, timeScale.fail(text, "times are counted in whole microseconds, and this is not a whole number of them")
	}
	if new(big.Rat).Abs(value).Cmp(big.NewRat(int64(TimeLimit), 1)) > 0 {
		return 0, timeScale.fail(text, "it is longer than %s", TimeLimit)
	}
	return Time(value.Num().Int64()), nil
}

// Milliseconds gives the span in milliseconds.
func (t Time) Milliseconds() float64 { return float64(t) / float64(Millisecond) }

// Seconds gives the span in seconds.
func (t Time) Seconds() float64 { return float64(t) / float64(Second) }

// Milliseconds gives the span of ms milliseconds, rounded to the nearest
// microsecond, ties away from zero.
func Milliseconds(ms float64) Time { return Time(math.Round(ms * float64(Millisecond))) }

// Seconds gives the span of s seconds, rounded likewise.
func Seconds(s float64) Time { return Time(math.Round(s * float64(Second))) }

// String prints the span in the largest unit that needs no decimals, with two
// exceptions that shops are used to: spans under two minutes stay in seconds,
// and fractions of a second stay in milliseconds.
func (t Time) String() string {
	whole := func(u Time, name string) string { return fmt.Sprintf("%d %s", int64(t/u), name) }
	size := t
	if size < 0 {
		size = -size
	}
	switch {
	case t == 0:
		return "0 ms"
	case t%Hour == 0:
		return whole(Hour, "h")
	case t%Minute == 0 && size >= 2*Minute:
		return whole(Minute, "min")
	case t%Second == 0:
		return whole(Second, "s")
	case t%Millisecond == 0:
		return whole(Millisecond, "ms")
	default:
		text := new(big.Rat).SetFrac64(int64(t), int64(Millisecond)).FloatString(3)
		return strings.TrimRight(text, "0") + " ms"
	}
}

// MarshalText gives String.
func (t Time) MarshalText() ([]byte, error) { return []byte(t.String()), nil }

// UnmarshalText reads what ParseTime reads.
func (t *Time) UnmarshalText(text []byte) (err error) {
	*t, err = ParseTime(string(text))
	return err
}
