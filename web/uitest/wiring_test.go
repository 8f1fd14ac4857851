package uitest

import "testing"

const wiredJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [0 mm, 0 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: lamp, wiring: {}}   # on the bench since Monday
`

func TestThePlaceOpens(t *testing.T) {
	p := openPage(t, wiredJob, "wiring")
	p.Wait(`document.querySelector('main')?.getAttribute('aria-label') === 'Wiring'`)
}
