package session

import (
	"encoding/json"
	"strings"
	"testing"
)

const surveyed = plain + `modules:
  m: {board: chain-8, lamp: lamp, wiring: {bar: 1..8}}
inputs:
  tail:
    wire: m.in1
    feed:  # from the survey
      kind: steady
      leak: {volts: 3.5 V, through: 5.6 kΩ}   # measured cold
      pull-down: 2.2 kΩ   # fitted by us
  stop: {wire: m.in2}
`

func TestFeedTakesOverARecord(t *testing.T) {
	for _, c := range []struct{ args, from, to string }{
		// What is said already stays as it stands, with its comments; what the kit fits stays; what is gone goes.
		{`{"input":"tail","feed":{"kind":"dimmed","duty":"20 %","at":"200 Hz","leak":{"volts":"3.5 V","through":"5.6 kΩ"}}}`,
			"      kind: steady\n", "      kind: dimmed\n"},
		{`{"input":"tail","feed":{"kind":"steady"}}`, "      leak: {volts: 3.5 V, through: 5.6 kΩ}   # measured cold\n", ""},
		{`{"input":"stop","feed":{"kind":"steady","bounce":"5 ms"}}`, "stop: {wire: m.in2}", "stop: {wire: m.in2, feed: {kind: steady, bounce: 5 ms}}"},
	} {
		d, path := opened(t, surveyed, Options{})
		must(t, d.Do(d.State().Revision, "feed", json.RawMessage(c.args)))
		got := onDisk(t, path)
		want := strings.Replace(surveyed, c.from, c.to, 1)
		for _, added := range []string{"      duty: 20 %\n", "      at: 200 Hz\n"} {
			if strings.Contains(c.args, "dimmed") {
				if !strings.Contains(got, added) {
					t.Errorf("%s: no %q:\n%s", c.args, added, got)
				}
				got = strings.Replace(got, added, "", 1)
			}
		}
		if got != want {
			t.Errorf("%s:\n%s", c.args, got)
		}
		if list := d.State().Problems; list.HasErrors() {
			t.Errorf("%s: %v", c.args, list)
		}
		must(t, d.Undo(d.State().Revision))
		if onDisk(t, path) != surveyed {
			t.Errorf("%s cannot be taken back", c.args)
		}
	}
}

func TestFeedIsRefused(t *testing.T) {
	for args, says := range map[string]string{
		`{"input":"horn","feed":{"kind":"steady"}}`:       "no input",
		`{"input":"tail","feed":"steady"}`:                "no feed",
		`{"input":"tail","feed":{"duty":"20 %"}}`:         "no feed",
		`{"input":"tail"}`:                                "no feed",
		`{"input":"tail","feed":{"kind":"x"},"more":"y"}`: "cannot be read",
	} {
		d, path := opened(t, surveyed, Options{})
		list := d.Do(d.State().Revision, "feed", json.RawMessage(args))
		if !list.HasErrors() || !strings.Contains(list.Error(), says) || list[0].Next == "" {
			t.Errorf("%s: %v", args, list)
		}
		if onDisk(t, path) != surveyed {
			t.Errorf("%s: something changed", args)
		}
	}
}
