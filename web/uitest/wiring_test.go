package uitest

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"lampwright/examples"
)

const wiringJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
modules:
  m: {board: chain-16, lamp: lamp, wiring: WIRED}   # on the bench since Monday
`

// wiringPage opens the place on a lamp of eight groups, bar.1 to bar.8, wired as said.
func wiringPage(t *testing.T, wired string) *Page {
	t.Helper()
	p := openPage(t, strings.Replace(wiringJob, "WIRED", wired, 1), "wiring")
	p.Wait(`document.querySelector('.output') && document.querySelector('.picture-over')?.width > 0`)
	return p
}

// saysWiring waits until the file says a wiring, and holds everything else to what it was.
func (p *Page) saysWiring(wired string) {
	p.Helper()
	p.WaitFile("wiring: " + wired + "}")
	if want := strings.Replace(wiringJob, "WIRED", wired, 1); p.File() != want {
		p.Errorf("more than the wiring changed:\n%s", p.File())
	}
}

// spot gives where a group of the lamp can be pointed at, in the window: the picture's own readout tells, once it is laid out.
func (p *Page) spot(group string) (x, y float64) {
	p.Helper()
	return p.aim(group, fmt.Sprintf(`(() => {
		const host = document.querySelector('.picture-host'), box = host?.getBoundingClientRect(), says = document.getElementById('picture-says');
		if (!host) return null;
		for (let y = box.top + 4; y < box.bottom; y += 7)
			for (let x = box.left + 4; x < box.right; x += 7) {
				host.dispatchEvent(new PointerEvent('pointermove', {clientX: x, clientY: y, bubbles: true}));
				if (says.textContent.startsWith(%s)) return [x, y];
			}
		return null;
	})()`, quoted(group+" ")))
}

func (p *Page) clickGroup(group string) {
	p.Helper()
	x, y := p.spot(group)
	p.Do(chromedp.MouseClickXY(x, y))
}

func output(n int) string { return fmt.Sprintf(`[data-output="%d"]`, n) }

func TestWiringByMouse(t *testing.T) {
	p := wiringPage(t, "{}")
	drag := func(fx, fy, tx, ty float64) { p.Do(chromedp.DragAndDropXY(fx, fy, tx, ty)) }

	p.clickGroup("bar.1") // one and then the other
	p.Click(output(3))
	p.saysWiring("{bar: [3, none, none, none, none, none, none, none]}")
	p.Click(output(5)) // and the other way round
	p.clickGroup("bar.2")
	p.saysWiring("{bar: [3, 5, none, none, none, none, none, none]}")

	gx, gy := p.spot("bar.3") // a group to an output
	ox, oy := p.middle(output(6))
	drag(gx, gy, ox, oy)
	p.saysWiring("{bar: [3, 5..6, none, none, none, none, none]}")
	ox, oy = p.middle(output(9)) // an output to a group
	gx, gy = p.spot("bar.4")
	drag(ox, oy, gx, gy)
	p.saysWiring("{bar: [3, 5..6, 9, none, none, none, none]}")
	p.Drag(output(3), output(5)) // an output that carries a group to another: they swap
	p.saysWiring("{bar: [5, 3, 6, 9, none, none, none, none]}")
	p.Drag(output(9), "[data-off]")
	p.saysWiring("{bar: [5, 3, 6, none, none, none, none, none]}")
	p.Wait(`(t => t.includes('5 groups hang nowhere') && t.includes('Free: 1, 2, 4, 7–16'))(document.querySelector('.wiring-rest').innerText)`)
	p.Shot("wiring-by-mouse")

	ox, oy = p.middle(output(6)) // let go over nothing, and given up: nothing happens
	tx, ty := p.middle(".top-title")
	drag(ox, oy, tx, ty)
	p.Do(chromedp.MouseEvent("mousePressed", ox, oy, chromedp.ButtonType("left"), chromedp.ClickCount(1)))
	tx, ty = p.middle(output(12))
	p.Do(chromedp.MouseEvent("mouseMoved", tx, ty, chromedp.ButtonType("left")))
	p.Wait(`document.querySelector('.wiring-held')?.innerText.includes('→ 12')`)
	p.Press(kb.Escape)
	p.Do(chromedp.MouseEvent("mouseReleased", tx, ty, chromedp.ButtonType("left"), chromedp.ClickCount(1)))
	p.Wait(`!document.querySelector('.wiring-held') && !document.querySelector('.output.chosen')`)

	p.Click(".wiring-bar .strong") // hang the rest
	p.saysWiring("{bar: [5, 3, 6, 1..2, 4, 7..8]}")
	p.Wait(`document.querySelector('.wiring-rest').innerText.includes('Every group hangs on an output')`)
	p.Press("z", chromedp.ModifierCtrl)
	p.saysWiring("{bar: [5, 3, 6, none, none, none, none, none]}")
}

// On a tablet two taps hang a group, and no keyboard comes up for it.
func TestWiringByTouch(t *testing.T) {
	p := wiringPage(t, "{bar: 1..8}")
	tap := func(x, y float64) { p.Do(chromedp.TapXY(x, y)) }
	p.Do(chromedp.EmulateViewport(800, 1280))
	p.Wait(`innerWidth === 800`)
	tap(p.spot("bar.2"))
	p.Wait(`document.querySelector('.output.chosen')?.dataset.output === '2' && document.activeElement?.tagName !== 'INPUT'`)
	tap(p.middle(output(12)))
	p.saysWiring("{bar: [1, 12, 3..8]}")
	tap(p.middle(output(3)))
	tap(p.middle(output(5)))
	p.Wait(`document.querySelectorAll('.output.chosen').length === 3`)
	tap(p.middle(".wiring-bar button:nth-of-type(3)")) // on by one
	p.saysWiring("{bar: [1, 12, 4..5, 3, 6..8]}")
}

// Whatever is pointed at on one side is lit on the other.
func TestWiringIsLitOnBothSides(t *testing.T) {
	p := wiringPage(t, "{bar: [2..8, none]}")
	p.spot("bar.3")
	p.Wait(`document.querySelector('.output.near')?.dataset.output === '4'`)
	if says := p.Text("#picture-says"); says != "bar.3 → output 4" {
		t.Errorf("the lamp says %q", says)
	}
	p.spot("bar.8")
	p.Wait(`!document.querySelector('.output.near')`)
	if says := p.Text("#picture-says"); says != "bar.8 hangs nowhere" {
		t.Errorf("the lamp says %q", says)
	}
	drawn := `document.querySelector('.picture-over').toDataURL()`
	before := ask[string](p, drawn)
	x, y := p.middle(output(7))
	p.Do(chromedp.MouseEvent("mouseMoved", x, y))
	p.Wait(drawn + " !== " + quoted(before)) // another callout stands on the lamp
}

// With the keyboard alone a group takes its number and Enter, and the next one is chosen.
func TestWiringByKeyboard(t *testing.T) {
	p := wiringPage(t, "{}")
	p.Do(chromedp.Focus(chromedp.CSS(".picture-host")))
	p.Press(kb.ArrowRight) // to the first group, and choose it
	p.Enter()
	p.Wait(`document.activeElement?.getAttribute('aria-label') === 'Output for bar.1'`)
	p.Press("8\r7\r6\r5\r")
	p.saysWiring("{bar: [8..5, none, none, none, none]}")
	p.Wait(`document.activeElement?.getAttribute('aria-label') === 'Output for bar.5'`)
	p.Press("17\r")
	p.Wait(`document.querySelector('#wiring-bar-hint[role=alert]')?.innerText.includes('outputs 1 to 16')`)
	p.Press(kb.Backspace + kb.Backspace + "1\r\r\r\r") // Enter alone takes the next free one
	p.saysWiring("{bar: [8..5, 1..4]}")
	p.Wait(`!document.querySelector('.wiring-bar input')`)

	p.Do(chromedp.Focus(chromedp.CSS(output(1)))) // among the outputs with arrows, and off with Delete
	p.Press(kb.ArrowRight + kb.ArrowDown)
	p.Wait(`document.activeElement?.dataset.output === '10' || document.activeElement?.dataset.output === '17' || document.activeElement?.dataset.output === '9'`)
	p.Do(chromedp.Focus(chromedp.CSS(output(8))))
	p.Press(kb.Delete)
	p.saysWiring("{bar: [none, 7..5, 1..4]}")
	p.Press("z", chromedp.ModifierCtrl)
	p.saysWiring("{bar: [8..5, 1..4]}")
}

func TestSwapAndRotate(t *testing.T) {
	p := wiringPage(t, "{bar: 1..8}")
	p.Click(output(2))
	p.Click(output(5))
	if says := p.Text(".wiring-bar"); !strings.Contains(says, "Outputs 2 to 5") {
		t.Errorf("the bar says %q", says)
	}
	p.Press("]")
	p.saysWiring("{bar: [1, 3..5, 2, 6..8]}")
	p.Press("[[")
	p.saysWiring("{bar: [1, 5, 2..4, 6..8]}")
	p.Press("]")
	p.saysWiring("{bar: 1..8}")
	p.Press("x")
	p.saysWiring("{bar: [1, 5, 3..4, 2, 6..8]}")
	p.Click(".wiring-bar button") // the same by mouse
	p.saysWiring("{bar: 1..8}")
	p.Press(kb.Escape)
	p.Wait(`!document.querySelector('.output.chosen')`)
}

// The other hand is one press away, and a change of both is one step.
func TestBothHands(t *testing.T) {
	const hands = `lampwright: 1
job: {title: Pair, use: show-only}
lamps:
  left:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
  right: {opposite-hand-of: left}
modules:
  l: {board: chain-8, lamp: left, wiring: {bar: 1..8}}
  r: {board: chain-8, lamp: right, wiring: {bar: 8..1}}
`
	p := openPage(t, hands, "wiring")
	p.Wait(`document.querySelector('.controls select')?.value === 'l'`)
	p.Click(`.segments button:nth-child(2)`)
	p.Wait(`document.querySelector('.controls select').value === 'r' && document.querySelector('[data-output="1"]').textContent.includes('bar.8')`)
	p.Click(`.segments + button`) // both hands alike
	p.Wait(`document.querySelector('.wiring-alike')?.innerText.includes('goes to l as well')`)
	p.Click(output(1))
	p.Click(output(2))
	p.Press("x")
	p.WaitFile("lamp: left, wiring: {bar: [2..1, 3..8]}}")
	p.WaitFile("lamp: right, wiring: {bar: [8..3, 1..2]}}")
	p.Wait(`document.querySelector('.step-label')?.innerText.includes('swap outputs 1 and 2')`)
	p.Press("z", chromedp.ModifierCtrl)
	p.WaitFile("lamp: left, wiring: {bar: 1..8}}")
	p.WaitFile("lamp: right, wiring: {bar: 8..1}}")
}

// A lamp that was soldered one off is walked: what lit is clicked, a slip is taken back, the page is left and comes back, and what
// differs is entered in one step.
func TestTheWalk(t *testing.T) {
	p := wiringPage(t, "{bar: 1..8}")
	p.Click(".wiring-views .tab:nth-child(2)")
	if says := p.Text(".walk"); !strings.Contains(says, "--walk") || !strings.Contains(says, "Press any input once") || !strings.Contains(says, "bar.1") {
		t.Errorf("the walk begins with %q", says)
	}
	at := func(output int) {
		t.Helper()
		p.Wait(fmt.Sprintf(`document.querySelector('.walk-number b')?.innerText === '%d'`, output))
	}
	lit := func(output int, group string) {
		t.Helper()
		at(output)
		p.clickGroup(group)
	}
	lit(1, "bar.8")
	lit(2, "bar.1")
	lit(3, "bar.5") // a slip
	at(4)
	p.Press(kb.Backspace)
	at(3)
	if says := p.Text(".walk"); !strings.Contains(says, "Press once") {
		t.Errorf("after stepping back: %q", says)
	}
	lit(3, "bar.2")
	at(4)
	p.Shot("wiring-walk")

	p.Do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS(".wiring-views")))
	p.Wait(`document.querySelector('.wiring-views .tab:nth-child(2)').innerText.includes('3')`)
	p.Click(".wiring-views .tab:nth-child(2)")
	lit(4, "bar.3")
	lit(5, "bar.4")
	at(6)
	p.Do(chromedp.SendKeys(chromedp.CSS(".walk-typed"), "bar.5\r")) // by its name
	lit(7, "bar.6")
	at(8)
	p.Press("n") // nothing lit there
	at(9)
	p.clickGroup("bar.7")
	p.Wait(`document.querySelector('.walk h2')?.innerText.includes('8 outputs differ')`)
	var list []string
	list = append(list, ask[[]string](p, `[...document.querySelectorAll('.walk-list li')].map(l => l.innerText.replace(/\s+/g, ' ').trim())`)...)
	if want := "1 bar.1 → bar.8|2 bar.2 → bar.1|3 bar.3 → bar.2|4 bar.4 → bar.3|5 bar.5 → bar.4|6 bar.6 → bar.5|7 bar.7 → bar.6|8 bar.8 → nothing|9 nothing → bar.7"; strings.Join(list, "|") != want {
		t.Errorf("what differs:\n%s\nwant\n%s", strings.Join(list, "|"), want)
	}
	if p.File() != strings.Replace(wiringJob, "WIRED", "{bar: 1..8}", 1) {
		t.Error("the walk changed the job before it was entered")
	}
	p.Shot("wiring-walk-end")
	p.Click(".walk .strong")
	p.saysWiring("{bar: [2..7, 9, 1]}")
	p.Wait(`document.querySelector('.view-hang') && !document.querySelector('.wiring-views .tab:nth-child(2) .count')`)

	p.Click(".wiring-views .tab:nth-child(3)")
	if says := p.Text(".wiring-changes"); !strings.Contains(says, "output 2: bar.2 → bar.1") || !strings.Contains(says, "output 9: nothing → bar.7") || strings.Contains(says, "output 10") {
		t.Errorf("the changes: %q", says)
	}
	p.Shot("wiring-changes")
	p.Press("z", chromedp.ModifierCtrl)
	p.saysWiring("{bar: 1..8}")
	p.Wait(`document.querySelector('.wiring-changes').innerText.includes('Nothing has changed')`)
}

// Another window, such as a tablet at the lamp, has the same notes: what is seen there is seen here, and lies beside the job.
func TestTheWalkInTwoWindows(t *testing.T) {
	p := wiringPage(t, "{bar: 1..8}")
	q := openTab(t, ask[string](p, `location.origin`)+"/?key=the-key-of-this-test")
	q.Go("wiring")
	for _, window := range []*Page{p, q} {
		window.Click(".wiring-views .tab:nth-child(2)")
		window.Wait(`document.querySelector('.walk-number b')?.innerText === '1'`)
	}
	p.clickGroup("bar.8")
	q.Wait(`document.querySelector('.walk-number b')?.innerText === '2' && document.querySelector('.outputs').innerText.includes('bar.8')`)
	q.Press("n")
	p.Wait(`document.querySelector('.walk-number b')?.innerText === '3'`)
	p.Press(kb.Backspace)
	if text, err := os.ReadFile(strings.TrimSuffix(p.Path, ".yaml") + ".walks.json"); err != nil || !strings.Contains(string(text), `"lit": "bar.8"`) {
		t.Errorf("beside the job is noted %q, %v", text, err)
	}
	// What an earlier version left in a browser is taken up where nothing is noted.
	p.Press(kb.Backspace)
	q.Wait(`document.querySelector('.walk-number b')?.innerText === '1'`)
	ask[bool](q, `fetch('/api/job').then((r) => r.json()).then((j) => { localStorage.setItem('lampwright.walk ' + j.path + ' m', JSON.stringify({at: 3, notes: [{output: 1, seen: {lit: 'bar.1'}}, {output: 2, seen: 'more'}]})); return true; })`)
	q.Do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS(".wiring-views")))
	p.Wait(`document.querySelector('.walk-number b')?.innerText === '3' && document.querySelector('.outputs').innerText.includes('several')`)
	q.Wait(`Object.keys(localStorage).every((k) => !k.startsWith('lampwright.walk'))`)
}

// A walk that found a bridge and a dead wire says so, and leaves those outputs as they are unless told.
func TestTheWalkTellsFaults(t *testing.T) {
	p := wiringPage(t, "{bar: 1..8}")
	p.Click(".wiring-views .tab:nth-child(2)")
	p.Press(strings.Repeat("\r", 5) + "mn\r")
	p.Wait(`document.querySelector('.walk-number b')?.innerText === '9'`)
	p.Press(strings.Repeat("\r", 8))
	p.Wait(`document.querySelector('.walk h2') !== null`)
	says := p.Text(".walk")
	for _, want := range []string{"More than one group lit on 6", "Lit nowhere: bar.7", "7 bar.7 → nothing"} {
		if !strings.Contains(strings.Join(strings.Fields(says), " "), want) {
			t.Errorf("the end does not say %q: %q", want, says)
		}
	}
	p.Click(".walk .tick input")
	p.Click(".walk .strong")
	p.saysWiring("{bar: [1..6, none, 8]}")
}

// The page holds to WCAG 2.2 AA in every view, light and dark, as far as axe can tell.
func TestWiringIsAccessible(t *testing.T) {
	p := wiringPage(t, "{bar: [1..6, none, none]}")
	for _, theme := range []string{"light", "dark"} {
		p.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = ` + quoted(theme)))
		for i, view := range []string{"hang", "walk", "changes"} {
			p.Click(fmt.Sprintf(".wiring-views .tab:nth-child(%d)", i+1))
			p.Wait(`document.querySelector('.view-` + view + `') !== null`)
			p.Axe(theme + " " + view)
		}
		p.Click(".wiring-views .tab:nth-child(1)")
		p.Click(output(1))
		p.Click(output(4))
		p.Axe(theme + " run")
		p.Press(kb.Escape)
		p.clickGroup("bar.7")
		p.Axe(theme + " group")
		p.Press(kb.Escape)
	}
}

// Jobs with modules of every size open, in every shape of window, without a word on the console.
func TestWiringOfTheDemo(t *testing.T) {
	text, err := os.ReadFile("../../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := openPage(t, string(text), "wiring")
	for _, size := range [][2]int64{{1280, 720}, {800, 1280}, {3840, 2160}} {
		p.Do(chromedp.EmulateViewport(size[0], size[1]))
		for _, module := range []string{"rear-lh", "gate", "nose-rh"} {
			p.Do(chromedp.SetValue(chromedp.CSS(".controls select"), module),
				chromedp.Evaluate[chromedp.Void](`document.querySelector('.controls select').dispatchEvent(new Event('change', {bubbles: true}))`))
			p.Wait(`document.querySelector('.output') && document.querySelector('.controls select').value === ` + quoted(module))
			if wide := ask[bool](p, `document.documentElement.scrollWidth > innerWidth || document.querySelector('main').scrollHeight > document.querySelector('main').clientHeight + 1`); wide {
				t.Errorf("%s in %v does not fit the window", module, size)
			}
			p.Wait(`(c => c?.getContext('2d').getImageData(0, 0, c.width, c.height).data.some(v => v > 0))(document.querySelector('.picture-over'))`) // numbers stand on the lamp
			p.Shot(fmt.Sprintf("wiring-%s-%d", module, size[0]))
		}
	}
	if says := ask[string](p, `document.querySelector('.outputs').innerText`); !strings.Contains(says, "Register 3") {
		t.Errorf("no registers: %q", says)
	}
}

// On a tablet held upright a tall lamp is seen large beside its outputs, and what is chosen moves nothing.
func TestWiringHeldUpright(t *testing.T) {
	p := openPage(t, string(examples.Pickup), "wiring")
	p.Do(chromedp.EmulateViewport(768, 1024))
	p.rested("wiring")
	if high := ask[float64](p, `document.querySelector('.wiring-lamp').clientHeight / document.querySelector('main').clientHeight`); high < 0.7 {
		t.Errorf("the lamp has %.2f of the height", high)
	}
	top := func() float64 {
		return ask[float64](p, `document.querySelector('.outputs').getBoundingClientRect().top`)
	}
	before := top()
	p.Click(output(1))
	p.Wait(`document.querySelector('.output[aria-pressed=true]') !== null`)
	one := top()
	p.Click(output(4))
	p.Wait(`document.querySelectorAll('.output[aria-pressed=true]').length === 4`)
	run := top()
	p.Click(`.wiring-bar [aria-label="Choose nothing"]`)
	p.clickGroup("arrow.5")
	p.Wait(`document.querySelector('.wiring-bar-field') !== null`)
	if group := top(); before != one || one != run || run != group {
		t.Errorf("the outputs begin at %v, %v, %v and %v", before, one, run, group)
	}
	p.Axe("wiring held upright")
}
