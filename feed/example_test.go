package feed_test

import (
	"fmt"

	"lampwright/feed"
	"lampwright/units"
)

// A stop wire that is chopped while the engine runs, and tested while off.
func ExampleFilterFor() {
	wire := feed.Feed{
		Kind:      feed.Steady,
		Chopped:   feed.Chopping{Above: 13.2, Pulses: feed.Pulses{Duty: 0.9, At: 100}},
		TestPulse: feed.TestPulse{Width: 300 * units.Microsecond, Every: 100 * units.Millisecond},
	}
	filter, delay, findings := feed.FilterFor(wire, "stop")
	fmt.Println(filter)
	fmt.Println("on after", delay.On, "and off after", delay.Off, "at the latest")
	fmt.Println(findings.Summary())
	// Output:
	// on 4, gap 4, off 16 refreshes of 0.5 ms
	// on after 3.513 ms and off after 16.38 ms at the latest
	// nothing to report
}
