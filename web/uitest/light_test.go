package uitest

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const lightJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    outline: [[-10, -20], [150, -20], [150, 60], [-10, 60]]
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
      - row: {name: top, from: [0, 40], to: [140, 40], count: 8, group: 2, part: amber-590}
modules:
  m: {board: chain-16, lamp: lamp, wiring: {bar: 1..8, top: 9..12}}   # on the bench since Monday
inputs:
  button: {wire: m.in5, feed: {kind: relay}}
routines:
  glow: {length: 1 s, strokes: [{fade-up: {on: top, for: 1 s}}]}
shows:
  - glow: {input: button, stay: glow}
`

func lightPage(t *testing.T) *Page {
	t.Helper()
	p := openPage(t, lightJob, "light")
	p.Wait(`document.querySelector('.band canvas') && document.querySelector('.picture-over')?.width > 0`)
	return p
}

// dragBy drags a point of the page by some dots.
func (p *Page) dragBy(x, y, dx, dy float64) {
	p.Helper()
	left := chromedp.ButtonType("left")
	p.Do(chromedp.MouseEvent("mouseMoved", x, y), chromedp.MouseEvent("mousePressed", x, y, left, chromedp.ClickCount(1)))
	for i := 1.0; i <= 4; i++ {
		p.Do(chromedp.MouseEvent("mouseMoved", x+dx*i/4, y+dy*i/4, left))
	}
	p.Do(chromedp.MouseEvent("mouseReleased", x+dx, y+dy, left, chromedp.ClickCount(1)))
}

// grip gives where a handle on the lamp can be held: the picture shows a hand there.
func (p *Page) grip(from, to float64) (x, y float64) {
	p.Helper()
	at := ask[[]float64](p, fmt.Sprintf(`(() => {
		const host = document.querySelector('.picture-host'), box = host.getBoundingClientRect();
		for (let x = box.left + box.width * %g; x < box.left + box.width * %g; x += 4)
			for (let y = box.top + 4; y < box.bottom; y += 4) {
				host.dispatchEvent(new PointerEvent('pointermove', {clientX: x, clientY: y, bubbles: true}));
				if (host.style.cursor === 'grab') return [x + 6, y];
			}
		return [0, 0];
	})()`, from, to))
	if at[0] == 0 {
		p.Fatal("no handle of the stroke is there")
	}
	return at[0], at[1]
}

func TestLightByMouse(t *testing.T) {
	p := lightPage(t)
	p.clickGroup("lamp · bar.2") // what it goes over is chosen on the lamp
	p.Wait(`document.querySelector('.light-chosen')?.innerText.includes('1 chosen')`)
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('.light-chosen button')].find(b => b.innerText === 'All of bar')?.click()`))
	p.Wait(`document.querySelector('.light-chosen')?.innerText.includes('8 chosen')`)
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('.controls button')].find(b => b.innerText === 'New').click()`))
	// Where its bar comes to lie: it may not move any more when the light of the new routine is there.
	p.Do(chromedp.Evaluate[chromedp.Void](`new MutationObserver(() => {
		const bar = document.querySelector('[aria-label="Strokes, the later over the earlier"] [data-stroke="sweep"]');
		if (bar) (window.bars ??= new Set()).add(Math.round(bar.getBoundingClientRect().top));
	}).observe(document.querySelector('.light'), {childList: true, subtree: true, attributes: true})`))
	p.Click(`form[aria-label="New routine"] .strong`)
	p.WaitFile("  new-routine:")
	p.WaitFile("sweep: {on: bar, direction: outboard, for: 1 s, edge: 14 mm}")
	p.Wait(`document.querySelector('[aria-label="Stroke"]') && document.querySelectorAll('.stroke-bar').length === 1`)
	p.Shot("light-new-sweep")

	x, y := p.middle(".stroke-end") // its length, on the ruler
	if tops := ask[[]float64](p, `[...window.bars]`); slices.Max(tops)-slices.Min(tops) > 1 {
		t.Errorf("the bar of the new stroke jumped: it lay at %v", tops)
	}
	lane := ask[float64](p, `document.querySelector('.stroke-lane').getBoundingClientRect().width`)
	p.dragBy(x, y, -lane/2, 0)
	p.WaitFile("for: 500 ms")
	p.Wait(`document.querySelector('.stroke-bar-says').innerText.startsWith('sweep')`)

	ex, ey := p.grip(0, 0.5) // outboard of an LH lamp is to the left: the arrow's head is there
	cx, _ := p.middle(".picture-host")
	p.dragBy(ex, ey, cx-ex, 110) // turned down
	p.WaitFile("direction: down")
	p.Press("z", chromedp.ModifierCtrl)
	p.WaitFile("direction: outboard")
	p.Wait(`document.querySelector('#stroke-way').value === 'outboard'`)
	p.Wait(`new Promise(f => requestAnimationFrame(() => requestAnimationFrame(() => f(true))))`)

	before := ask[string](p, `document.querySelector('[data-path$="sweep.edge"]').value`)
	ax, ay := p.edgeGrip()
	p.dragBy(ax, ay, -60, 0)
	p.Wait(`document.querySelector('[data-path$="sweep.edge"]').value !== ` + quoted(before))
	edge := ask[string](p, `document.querySelector('[data-path$="sweep.edge"]').value`)
	p.WaitFile("edge: " + edge)

	foot := func(says string, by float64, then string) { // the strip at the picture's foot: its start or its end
		t.Helper()
		x, y := p.aim(says, fmt.Sprintf(`(() => {
			const host = document.querySelector('.picture-host'), box = host.getBoundingClientRect(), all = [];
			for (let x = box.left + 2; x < box.right; x += 2) {
				host.dispatchEvent(new PointerEvent('pointermove', {clientX: x, clientY: box.bottom - 14, bubbles: true}));
				if (host.style.cursor === 'grab') all.push(x);
			}
			const cut = all.findIndex((x, i) => i > 0 && x - all[i - 1] > 20), one = %q === 'start' ? all.slice(0, cut) : all.slice(cut);
			return cut > 0 ? [(one[0] + one.at(-1)) / 2, box.bottom - 14] : null;
		})()`, says))
		p.dragBy(x, y, by, 0)
		p.WaitFile(then)
	}
	foot("end", -60, "for: 3")
	foot("start", 2000, "start: 6")
	p.Shot("light-time-on-lamp")
	foot("start", -2000, "start: 0 ms")
	if !strings.Contains(p.File(), "# on the bench since Monday") {
		t.Error("a comment of the job is gone")
	}
	p.Axe("a stroke on the lamp")
}

// edgeGrip gives where the edge can be held: the handle nearest to the middle of the picture, above the strip of times.
func (p *Page) edgeGrip() (x, y float64) {
	p.Helper()
	at := ask[[]float64](p, `(() => {
		const host = document.querySelector('.picture-host'), box = host.getBoundingClientRect();
		for (let x = box.left + box.width / 2; x > box.left; x -= 3)
			for (let y = box.top + 4; y < box.bottom - 34; y += 3) {
				host.dispatchEvent(new PointerEvent('pointermove', {clientX: x, clientY: y, bubbles: true}));
				if (host.style.cursor === 'grab') return [x - 4, y + 4];
			}
		return [0, 0];
	})()`)
	if at[0] == 0 {
		p.Fatal("no handle for the edge is there")
	}
	return at[0], at[1]
}

func TestLightByKeys(t *testing.T) {
	p := lightPage(t)
	// The bar does by keys what the grips of the strip on the lamp do by hand, and is heard to.
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-bar")))
	p.Press(kb.ArrowLeft, chromedp.ModifierAlt)
	p.Wait(`document.querySelector('.stroke [role=status]').innerText === 'from 0 ms for 990 ms'`)
	if says := ask[string](p, `document.getElementById(document.activeElement.getAttribute('aria-describedby'))?.innerText ?? ''`); !strings.Contains(says, "Arrow keys move it") {
		t.Errorf("the keys of a bar are told as %q", says)
	}
	p.WaitFile("for: 990 ms") // the window may not know it yet: no key is lost to that
	p.Press(kb.ArrowRight)
	p.WaitFile("start: 10 ms")
	p.Press(kb.ArrowLeft)
	p.WaitFile("start: 0 ms")
	p.Wait(`document.querySelector('.stroke [role=status]').innerText === ''`)
	p.Press("a")
	p.Wait(`document.activeElement?.dataset.kind === 'sweep'`)
	p.Do(chromedp.Focus(chromedp.CSS(`[data-kind="beat"]`)))
	p.Press(kb.Enter)
	p.WaitFile("beat: {for: 1 s}")
	p.Wait(`document.querySelector('[aria-label="Stroke"] h2')?.innerText === 'Stroke 2 of 2'`)
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('[aria-label="Stroke"] button')].find(b => b.innerText === 'Earlier').click()`))
	p.Wait(`document.querySelector('.stroke-name')?.innerText.includes('1 beat')`)
	// What keys have moved and is not written yet is not lost when the stroke goes below its neighbour, and changes none when it goes.
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-bar")))
	p.Press(kb.ArrowRight)
	p.Press(kb.ArrowDown, chromedp.ModifierAlt)
	p.WaitFile("start: 10 ms")
	p.Wait(`document.querySelector('.stroke-name')?.innerText.includes('1 fade-up')`)
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-bar")))
	p.Press(kb.ArrowRight)
	p.Press(kb.Delete)
	p.Wait(`document.querySelectorAll('.stroke-name').length === 1 && document.querySelector('.stroke-name').innerText.includes('1 beat')`)
	time.Sleep(800 * time.Millisecond) // longer than keys rest before they are written
	if strings.Contains(p.File(), "start: 20 ms") {
		t.Error("a stroke that is gone changed its neighbour")
	}
}

func TestLightComparesAndShowsWhatModulesPlay(t *testing.T) {
	p := lightPage(t)
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-bar")))
	p.Press(kb.ArrowRight, chromedp.ModifierShift)
	p.WaitFile("start: 100 ms")
	choose := func(css, value string) {
		t.Helper()
		p.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => { const s = document.querySelector(%s); s.value = %s; s.dispatchEvent(new Event('change', {bubbles: true})); })()`, quoted(css), value)))
	}
	p.Wait(`!!document.querySelector('.controls-compare option[value^="step "]')`)
	choose(".controls-compare select", `document.querySelector('.controls-compare option[value^="step "]').value`)
	p.Wait(`document.querySelectorAll('.picture').length === 2 && document.querySelectorAll('.band canvas').length === 2`)
	p.Axe("compared")
	p.Shot("light-compared")
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('.controls button')].find(b => b.innerText === 'In the modules').click()`))
	p.Wait(`document.querySelector('.plays')?.innerText.includes('m glow, stay')`)
	choose(".controls-compare select", "''")
	p.Wait(`document.querySelectorAll('.band canvas').length === 1`)
	// The band is lit where the routine lights.
	p.Wait(`(c => { const d = c.getContext('2d').getImageData(c.width - 1, c.height - 1, 1, 1).data; return d[0] > 200 })(document.querySelector('.band canvas'))`)
}

// Without a routine the place teaches what one is, and makes the first; one that nothing plays says so.
func TestLightBeginsWithNothing(t *testing.T) {
	p := openPage(t, lightJob[:strings.Index(lightJob, "routines:")], "light")
	p.Wait(`document.querySelector('.light-empty')?.innerText.includes('No routine yet')`)
	p.Axe("no routine")
	p.Shot("light-empty")
	p.Click(`form[aria-label="New routine"] .strong`)
	p.WaitFile("new-routine: {")
	p.Wait(`!!document.querySelector('[aria-label="Stroke"]')`)
	p.Press("a")
	p.Wait(`document.activeElement?.dataset.kind === 'sweep'`)
	p.Press(kb.Enter)
	p.Wait(`document.querySelectorAll('.stroke-name').length === 2`)
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-name")))
	p.Press(kb.Delete)
	p.Wait(`document.querySelectorAll('.stroke-name').length === 1`)
	p.Wait(`document.querySelector('[aria-label="Routine"]')?.innerText.includes('Nothing plays it yet')`)
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('[aria-label="Routine"] button')].find(b => b.innerText === 'Copy').click()`))
	p.WaitFile("new-routine-copy:")
	p.Wait(`document.querySelector('[aria-label="Routine"] h2')?.innerText === 'Routine new-routine-copy'`)
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('[aria-label="Routine"] button')].find(b => b.innerText === 'Delete').click()`))
	p.Wait(`document.querySelectorAll('.controls-routine option').length === 1`)
}

// A module that runs full is named with what fills it, and each leads to its routine.
func TestLightTellsOfFullMemory(t *testing.T) {
	p := lightPage(t)
	if p.Text(".memory") != "" {
		t.Error("a module with room is told of")
	}
	p.Do(chromedp.Evaluate[chromedp.Void](`(() => {
		const real = window.fetch;
		const full = [{module: 'm', bytes: 8000, most: 10000, parts: [{routine: 'glow', layer: 'glow', part: 'stay', bytes: 5000}]}, {module: 'n', bytes: 7999, most: 10000, parts: []}];
		window.fetch = (url, more) => (url === '/api/memory' ? Promise.resolve(new Response(JSON.stringify(full))) : real(url, more));
	})()`))
	p.Do(chromedp.Focus(chromedp.CSS(".stroke-bar")))
	p.Press(kb.ArrowLeft, chromedp.ModifierAlt)
	p.WaitFile("for: 990 ms")
	p.Wait(`(s => s?.includes('m: 80 % of its memory') && s.includes('glow 5000') && !s.includes('n:'))(document.querySelector('.memory')?.innerText)`)
	p.Axe("full memory")
}

// Pictures of the place for whoever looks at it, on the demo job.
func TestLightPictures(t *testing.T) {
	if os.Getenv("SHOTS") == "" {
		t.Skip("SHOTS names no folder for pictures")
	}
	demo, err := os.ReadFile("../../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := openPage(t, string(demo), "light")
	p.Wait(`document.querySelector('.band canvas') && document.querySelector('.picture-over')?.width > 0`)
	for _, size := range [][2]int64{{1280, 720}, {800, 1280}, {3840, 2160}} {
		for _, theme := range []string{"light", "dark"} {
			p.Do(chromedp.EmulateViewport(size[0], size[1]))
			p.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = ` + quoted(theme)))
			for _, routine := range []string{"arrow-out", "tide", "hearth"} {
				p.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => { const s = document.querySelector('.controls-routine select'); s.value = %s; s.dispatchEvent(new Event('change', {bubbles: true})); })()`, quoted(routine))))
				p.Wait(`document.querySelector('.band canvas') && document.querySelectorAll('.stroke-name').length > 0`)
				if routine != "arrow-out" || size[0] == 1280 {
					p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('.stroke-name')].at(-1).click()`))
				}
				p.Do(chromedp.Focus(chromedp.CSS(".ruler")), chromedp.KeyEvent(kb.PageDown))
				p.Wait(`!document.querySelector('.picture-busy')`)
				p.Shot(fmt.Sprintf("light-%s-%dx%d-%s", routine, size[0], size[1], theme))
			}
		}
	}
	p.Do(chromedp.EmulateViewport(1280, 720))
	p.Press("a")
	p.Wait(`!!document.querySelector('.addstroke-list')`)
	p.Shot("light-add")
}

func TestLightPicturesCompared(t *testing.T) {
	if os.Getenv("SHOTS") == "" {
		t.Skip("SHOTS names no folder for pictures")
	}
	demo, err := os.ReadFile("../../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := openPage(t, string(demo), "light")
	p.Wait(`!!document.querySelector('.band canvas')`)
	p.Press("m")
	p.Do(chromedp.Evaluate[chromedp.Void](`(() => { const s = document.querySelector('.controls-compare select'); s.value = 'modules'; s.dispatchEvent(new Event('change', {bubbles: true})); })()`))
	p.Wait(`document.querySelectorAll('.band canvas').length === 2 && !!document.querySelector('.flasher-on')`)
	for range 3 {
		p.Click(`[aria-label="Higher lines"]`)
	}
	p.Do(chromedp.Focus(chromedp.CSS(".ruler")))
	for range 20 {
		p.Press(kb.ArrowRight)
	}
	p.Shot("light-modules-compared-1280x720")
	p.Do(chromedp.EmulateViewport(800, 1280))
	p.Shot("light-modules-compared-800x1280")
}
