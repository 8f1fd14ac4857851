package uitest

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp/kb"
)

// Where there is nothing yet, or nothing that can be shown, each place says so and leads on; no hint names what is not there.
func TestEmptyPlacesLeadOn(t *testing.T) {
	const begun = "lampwright: 1\njob: {title: Nothing yet, use: road-us}\n"
	const lone = begun + "lamps:\n  tail:\n    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}\n    leds:\n      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 2, part: red-622}\n"
	p := openPage(t, begun, "wiring")
	says := func(place, css, want string) {
		t.Helper()
		p.Go(place)
		p.Wait(`document.querySelector('[aria-current=page]')?.getAttribute('href') === '#` + place + `' && (document.querySelector(` + quoted(css) + `)?.innerText ?? '').includes(` + quoted(want) + `)`)
		p.Axe(place + " without " + want)
		p.Shot("empty-" + place)
	}
	says("wiring", ".empty-place", "Lay out a lamp first")
	p.Click(".empty-place .strong")
	p.Wait(`location.hash === '#layout' && !document.querySelector('[aria-label="Do not begin one"]')`)
	says("light", ".empty-place", "Lay out a lamp first")
	p.Click(".empty-place .strong")
	p.Wait(`location.hash === '#layout'`)
	says("signals", ".picture-none", "No lamp can be shown yet")
	says("signals", ".modules-state", "something stops the job")

	p.text(lone)
	says("signals", ".switches-none", "give a lamp a module first")
	says("bench", ".modules-state", "No module yet.")
	p.Go("signals")
	p.Click(".switches-none button")
	says("wiring", ".empty-place", "No module yet")
	p.Click(".empty-place .strong")
	p.Wait(`document.querySelectorAll('.output').length === 8`)
	p.WaitFile("module-tail: {board: chain-8, lamp: tail, wiring: {}}")
	says("signals", ".switches-none", "add a signal for the brake")
	p.Wait(`!!document.querySelector('[data-ask="stop"]')`)

	// What is there and cannot be understood is not called missing.
	fresh := openPage(t, lone+"modules:\n  m: {board: chain-8, lamp: nose, wiring: {}}\n", "wiring")
	fresh.Wait(`document.querySelector('.empty-place')?.innerText.includes('cannot be understood')`)
	fresh.Click(".empty-place .strong")
	fresh.Wait(`document.querySelector('.drawer')?.innerText.includes('nose')`)
	broken := openPage(t, begun+"lamps: [", "wiring")
	for _, place := range []string{"wiring", "light", "layout"} {
		broken.Go(place)
		broken.Wait(`document.querySelector('.empty-place')?.innerText.includes('cannot be read as a document')`)
		broken.Click(".empty-place .strong")
		broken.Wait(`document.querySelector('.drawer textarea') !== null`)
	}
}

// Of a job that is broken somewhere, what is written of signals still stands there, and the bench leads to what must be mended.
func TestABrokenJobLeadsOn(t *testing.T) {
	p := openPage(t, strings.Replace(signalsJob, "group: 1,", "group: 3,", 1), "signals")
	p.Wait(`document.querySelector('[data-rung="stop"]')?.innerText.includes('stop → bar')`)
	for _, place := range []string{"signals", "bench"} {
		p.Go(place)
		p.Wait(`document.querySelector('.broken')?.innerText.includes('until then no module runs')`)
		p.Click(".broken button")
		p.Wait(`document.querySelector('.drawer')?.innerText.includes('groups of 3')`)
		p.Axe(place + " of a broken job")
		p.Shot("broken-" + place)
		p.Press(kb.Escape)
		p.Wait(`!document.querySelector('.drawer')`)
	}
}

// Light that has no time of its own is not told of as a film of no length.
func TestStillLightSaysSo(t *testing.T) {
	p := openPage(t, signalsJob, "light")
	p.Wait(`document.querySelector('.clock')?.innerText.trim() === 'It stands still' && document.querySelector('.play').ariaDisabled === 'true' && !document.querySelector('.tick-text')`)
	p.Axe("still light")
	p.Shot("light-still")
}
