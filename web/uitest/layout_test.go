package uitest

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"lampwright/web"
)

const layoutJob = `lampwright: 1
job: {title: Small lamp, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
modules:
  rear-lh: {board: chain-24, lamp: tail-lh, wiring: {}}   # on the bench
`

// drawnJob has something of everything.
const drawnJob = `lampwright: 1
job: {title: Small lamp, use: road-us}
lamps:
  tail-lh:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    outline: [[0, 0], [180, 0], [180, 120], [0, 120]]
    leds:
      - grid: {name: block, from: [20, 20], to: [90, 60], columns: 8, rows: 3, group: 1 column, part: red-622}   # stop
      - led: {name: a-1, at: [120, 30], part: amber-590}
      - led: {name: a-2, at: [140, 30], part: amber-590}
      - led: {name: a-3, at: [160, 30], part: amber-590}
    paths:
      hook: {through: [[20, 100], [100, 100], [160, 80]]}
modules:
  rear-lh: {board: chain-24, lamp: tail-lh, wiring: {block: 1..8, a-1: 9}}   # on the bench
`

// drawingBoard is the sheet in the browser, with the place of the lamp's millimetres in the window.
type drawingBoard struct {
	*Page
	x, y, scale float64 // of 0, 0; dots a millimetre
}

// boardOf opens the place and finds out where millimetres are, by what the readout says of two places.
func boardOf(t *testing.T, text string) *drawingBoard {
	t.Helper()
	b := &drawingBoard{Page: openPage(t, text, "layout")}
	b.Wait(`document.querySelector('.sheet-host canvas')?.width > 100`)
	b.measure()
	return b
}

func (b *drawingBoard) measure() {
	b.Helper()
	b.middle(".sheet-host")
	box := ask[[]float64](b.Page, `(() => { const r = document.querySelector('.sheet-host').getBoundingClientRect(); return [r.left, r.top, r.right, r.bottom] })()`)
	read := func(x, y float64) []float64 {
		b.Do(chromedp.MouseEvent("mouseMoved", x, y))
		xmm, ymm := b.aim("the sheet", `((n) => n.length === 2 ? n : null)([...document.querySelectorAll('.readout-number')].map((n) => Number(n.innerText.slice(2))))`)
		return []float64{xmm, ymm}
	}
	ax, ay, zx, zy := math.Round(box[0]+60), math.Round(box[1]+80), math.Round(box[2]-40), math.Round(box[3]-40)
	p, q := read(ax, ay), read(zx, zy)
	b.scale = (zx - ax) / (q[0] - p[0])
	b.x, b.y = ax-p[0]*b.scale, ay+p[1]*b.scale
	if up := (ay - zy) / (q[1] - p[1]); !(b.scale > 0) || math.Abs(up/b.scale-1) > 0.01 {
		b.Fatalf("the readout makes no sense: %v and %v", p, q)
	}
}

func (b *drawingBoard) at(xmm, ymm float64) (x, y float64) {
	return b.x + xmm*b.scale, b.y - ymm*b.scale
}

func (b *drawingBoard) click(xmm, ymm float64, modifiers ...chromedp.Modifier) {
	b.Helper()
	x, y := b.at(xmm, ymm)
	b.Do(chromedp.MouseClickXY(x, y, chromedp.ButtonModifiers(modifiers...)))
}

func (b *drawingBoard) drag(fx, fy, tx, ty float64) {
	b.Helper()
	ax, ay := b.at(fx, fy)
	zx, zy := b.at(tx, ty)
	b.Do(chromedp.MouseEvent("mouseMoved", ax, ay),
		chromedp.MouseEvent("mousePressed", ax, ay, chromedp.ButtonType("left"), chromedp.ClickCount(1)),
		chromedp.MouseEvent("mouseMoved", (ax+zx)/2, (ay+zy)/2, chromedp.ButtonType("left")),
		chromedp.MouseEvent("mouseMoved", zx, zy, chromedp.ButtonType("left")),
		chromedp.MouseEvent("mouseReleased", zx, zy, chromedp.ButtonType("left"), chromedp.ClickCount(1)))
}

// edit is a key that the browser itself takes for copy, cut or paste.
func (p *Page) edit(key, command string) {
	p.Helper()
	p.Do(chromedp.KeyEvent(key, chromedp.KeyModifiers(chromedp.ModifierCtrl), func(e *input.DispatchKeyEventParams) { e.Commands = []string{command} }))
}

func (b *drawingBoard) tool(id string) { b.Helper(); b.Click(fmt.Sprintf(`[data-tool=%s]`, id)) }

// field types an exact value.
func (b *drawingBoard) field(label, value string) {
	b.Helper()
	css := ask[string](b.Page, fmt.Sprintf(`(() => {
		const l = [...document.querySelectorAll('.layout-panel label')].find((l) => l.innerText.trim() === %[1]s);
		const input = (l && document.getElementById(l.htmlFor || '')) ?? l?.querySelector('input') ?? document.querySelector('.layout-panel [aria-label="' + %[1]s + '"]');
		input.dataset.test = 'field';
		return '.layout-panel [data-test=field]';
	})()`, quoted(label)))
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.layout-panel [data-test=field]').select()`), chromedp.Focus(chromedp.CSS(css)))
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.layout-panel [data-test=field]').select()`))
	b.Press(value + "\r")
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.layout-panel [data-test=field]')?.removeAttribute('data-test')`))
}

// says waits until the file holds every one of several texts.
func (b *drawingBoard) says(parts ...string) {
	b.Helper()
	for _, p := range parts {
		b.WaitFile(p)
	}
	b.Wait(`document.querySelector('.saved')?.innerText.includes('Saved')`) // and the page knows
}

// LEDs are laid out by dragging: 24 in a grid, a ring, an arc, a row of a spacing, a line, single ones; each is one step, and one line of the file.
func TestLayoutByMouse(t *testing.T) {
	b := boardOf(t, layoutJob)
	if says := b.Text(".next-step"); !strings.Contains(says, "Nothing is drawn yet") {
		t.Errorf("an empty lamp says %q", says)
	}
	b.Shot("layout-empty")
	b.tool("grid")
	b.drag(20, 20, 90, 60)
	b.says("    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}\n    leds:\n      - grid: {name: grid, from: [20, 20], to: [90, 60], columns: 8, rows: 3, group: 1 column, part: red-622}\nmodules:\n")
	b.Wait(`document.querySelector('.chosen h2')?.innerText === 'Grid' && document.querySelector('[data-tool=choose]').ariaPressed === 'true'`)
	b.Shot("layout-grid")
	b.tool("ring")
	b.drag(140, 60, 140, 90)
	b.says("- ring: {name: ring, centre: [140, 60], radius: 30 mm, count: 8, group: each, part: red-622}\n")
	b.tool("arc")
	b.click(20, 90)
	b.click(60, 90)
	b.Wait(`document.querySelector('.tool-says') !== null`)
	b.Shot("layout-arc")
	b.click(40, 110)
	b.says("- arc: {name: arc, centre: [40, 90], radius: 20 mm, from: 180 deg, to: 0 deg, count: 8, group: each, part: red-622}\n")
	b.tool("row")
	b.Do(chromedp.SetValue(chromedp.CSS(".tool-options select"), "spacing"), chromedp.Evaluate[chromedp.Void](`document.querySelector('.tool-options select').dispatchEvent(new Event('change', {bubbles: true}))`))
	b.field("Spacing", "1/2 in")
	b.drag(20, 5, 61, 8)
	b.says("- row: {name: row, from: [20, 5], to: [58.1, 5], spacing: 12.7 mm, group: each, part: red-622}\n")
	b.tool("line")
	for _, p := range [][2]float64{{100, 10}, {130, 20}, {170, 10}} {
		b.click(p[0], p[1])
	}
	b.Press("\r")
	b.says("- line: {name: line, through: [[100, 10], [130, 20], [170, 10]], count: 7, group: each, part: red-622}\n")
	b.tool("led")
	b.click(170, 30)
	b.says("- led: {name: led-1, at: [170, 30], part: red-622}\n")
	b.click(174.6, 41)
	b.says("- led: {name: led-2, at: [175, 41], part: red-622}\n")
	b.Press("z", chromedp.ModifierCtrl)
	b.Wait(`document.querySelector('.top-steps').innerText.includes('Redo')`)
	b.Press(kb.Escape)
	b.Shot("layout-all")
	for range 6 {
		b.Press("z", chromedp.ModifierCtrl)
	}
	b.says(layoutJob)
	if b.File() != layoutJob {
		t.Errorf("undo does not lead back:\n%s", b.File())
	}
}

// What is drawn is changed: by exact values, handles, dragging, arrow keys; several at once, joined, copied and erased.
func TestLayoutChanges(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.click(20, 20)
	b.Wait(`document.querySelector('.chosen h2')?.innerText === 'Grid'`)
	b.Shot("layout-chosen")
	b.field("Columns", "4")
	b.says("columns: 4, rows: 3, group: 1 column, part: red-622}   # stop", "wiring: {block: 1..4, a-1: 9}}   # on the bench")
	b.field("Group by", "5") // is refused where it is typed
	b.Wait(`document.querySelector('.exact-refused')?.innerText.includes('groups of 5')`)
	b.Shot("layout-refused")
	b.Press(kb.Escape)
	b.field("Group by", "2 columns")
	b.says("group: 2 columns, part", "wiring: {block: 1..2, a-1: 9}}")
	b.drag(90, 60, 110, 70) // the last corner
	b.says("grid: {name: block, from: [20, 20], to: [110, 70], columns: 4")
	b.drag(50, 45, 55, 50) // an LED of it: all of it moves
	b.says("from: [25, 25], to: [115, 75]")
	b.Press(kb.ArrowRight + kb.ArrowRight + kb.ArrowUp)
	b.says("from: [27, 26], to: [117, 76]")
	b.Press(kb.ArrowLeft, chromedp.ModifierShift)
	b.says("from: [26.9, 26], to: [116.9, 76]")
	b.Press(kb.Escape)

	b.drag(118, 22, 164, 38) // a rectangle round three single LEDs
	b.Wait(`document.querySelector('.chosen h2')?.innerText === '3 things chosen'`)
	b.click(160, 30, chromedp.ModifierShift)
	b.Wait(`document.querySelector('.chosen h2')?.innerText === '2 things chosen'`)
	b.Shot("layout-several")
	b.field("Light together as", "pair")
	b.says("{name: a-1, at: [120, 30], part: amber-590, group: pair}", "{name: a-2, at: [140, 30], part: amber-590, group: pair}", "wiring: {block: 1..2, pair: 9}}")
	b.Click(".chosen-acts button:nth-child(1)") // copy
	b.Wait(`document.querySelector('.messages')?.innerText.includes('2 patterns copied')`)
	b.Click(".chosen-acts button:nth-child(2)") // delete
	b.says("wiring: {block: 1..2}}", "- led: {name: a-3")
	b.Press("z", chromedp.ModifierCtrl)
	b.says("group: pair}", "pair: 9")

	b.click(60, 120) // the outline
	b.Wait(`document.querySelector('.chosen h2')?.innerText === 'Outline'`)
	b.drag(180, 120, 160, 110)
	b.says("outline: [[0, 0], [180, 0], [160, 110], [0, 120]]")
	b.drag(90, 0, 90, -10) // a new corner in the middle of a side
	b.says("outline: [[0, 0], [90, -10], [180, 0], [160, 110], [0, 120]]")
	b.Wait(`document.querySelector('.chosen-acts')?.innerText.includes('Delete corner 2')`)
	b.Press(kb.Delete)
	b.says("outline: [[0, 0], [180, 0], [160, 110], [0, 120]]")
	b.Shot("layout-outline")
	b.click(60, 100) // the light path
	b.Wait(`document.querySelector('.chosen h2')?.innerText === 'Light path hook'`)
	b.drag(60, 100, 60, 112)
	b.says("hook: {through: [[20, 100], [60, 112], [100, 100], [160, 80]]}")
	b.Press(kb.Escape + kb.Escape)
	b.tool("path")
	for _, p := range [][2]float64{{20, 10}, {100, 10}, {150, 12}} {
		b.click(p[0], p[1])
	}
	b.Press("\r")
	b.says("path-1: {through: [[20, 10], [100, 10], [150, 12]]}")
	if strings.Count(b.File(), "\n") != strings.Count(drawnJob, "\n")+1 || !strings.Contains(b.File(), "# on the bench") {
		t.Errorf("more lines than the new path's:\n%s", b.File())
	}
}

// LEDs go by the clipboard to the same lamp, to another, to another window's job, and to a text editor: as lines of a document.
func TestLayoutCopies(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.click(20, 20)
	b.click(120, 30, chromedp.ModifierShift)
	b.Wait(`document.querySelector('.chosen h2')?.innerText === '2 things chosen'`)
	b.edit("c", "copy")
	b.Wait(`document.querySelector('.messages')?.innerText.includes('2 patterns copied')`)
	b.edit("v", "paste")
	b.says("- grid: {name: block-2, from: [25, 15], to: [95, 55], columns: 8", "- led: {name: a-4, at: [125, 25], part: amber-590}")
	b.Wait(`document.querySelector('.chosen h2')?.innerText === '2 things chosen'`)

	other := boardOf(t, layoutJob) // another window, another job
	other.Click(".sheet-host")
	other.edit("v", "paste")
	other.says("    leds:\n      - grid: {name: block, from: [20, 20], to: [90, 60], columns: 8, rows: 3, group: 1 column, part: red-622}\n      - led: {name: a-1, at: [120, 30], part: amber-590}\n")

	b.edit("x", "cut")
	b.WaitFile("      - led: {name: a-3, at: [160, 30], part: amber-590}\n    paths:")
}

// A part of the one job's own comes along into another, under a name that is free there, and goes again in the same step.
func TestLayoutCopiesOwnParts(t *testing.T) {
	own := strings.Replace(drawnJob, "lamps:", "parts:\n  red-622: {colour: amber, note: ours}\nlamps:", 1)
	b := boardOf(t, own)
	b.click(20, 20)
	b.Wait(`document.querySelectorAll('.chosen').length === 1`)
	b.edit("c", "copy")
	b.Wait(`document.querySelector('.messages')?.innerText.includes('1 pattern copied')`)
	other := boardOf(t, layoutJob)
	before := other.File()
	other.Click(".sheet-host")
	other.edit("v", "paste")
	other.says("group: 1 column, part: red-622-2}\n", "parts:\n  red-622-2: {colour: amber, note: ours}\n")
	other.Wait(`document.querySelector('.messages')?.innerText.includes('red-622-2 came along')`)
	other.Shot("layout-part-came-along")
	other.Press("z", chromedp.ModifierCtrl)
	other.WaitFile(before)

	// LEDs of the catalogue's part, pasted where that name is another part: this job's counts, and it says so.
	b.edit("v", "paste") // an own part of the same name comes along and is known
	b.says("name: block-2,")
	if says := b.Text(".messages"); strings.Contains(says, "catalogue") {
		t.Errorf("of its own part is said %q", says)
	}
	b.Do(chromedp.Evaluate[chromedp.Void](`(() => { const d = new DataTransfer(); d.setData('text/plain', '- led: {name: odd, at: [5, 5], part: red-622}'); document.querySelector('.sheet-host').dispatchEvent(new ClipboardEvent('paste', {clipboardData: d, bubbles: true, cancelable: true})); })()`))
	b.Wait(`document.querySelector('.messages')?.innerText.includes("own here, amber; the catalogue's is red")`)
	b.Shot("layout-part-means-another")
}

// The opposite hand is a lamp of its own that is drawn on the first.
func TestLayoutOppositeHand(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.Click(".controls button:nth-of-type(1)")
	b.Wait(`document.querySelector('.layout-form input')?.value === 'tail-rh'`)
	b.Shot("layout-opposite-form")
	b.Click(".layout-form .strong")
	b.says("  tail-rh: {opposite-hand-of: tail-lh}\n", "  rear-rh: {board: chain-24, lamp: tail-rh, wiring: {block: 1..8, a-1: 9}")
	b.Wait(`document.querySelector('.layout-note')?.innerText.includes('opposite hand of tail-lh') && document.querySelector('.controls select').value === 'tail-rh'`)
	b.Wait(`document.querySelector('[data-tool=row]').ariaDisabled === 'true'`)
	b.Shot("layout-opposite")
	b.Click(".layout-note button")
	b.Wait(`!document.querySelector('.layout-note') && document.querySelector('.controls select').value === 'tail-lh'`)
	b.Press("z", chromedp.ModifierCtrl)
	b.says(drawnJob)
}

// Lamps are begun and deleted.
func TestLayoutLamps(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.Click(".controls button:nth-of-type(2)")
	b.Wait(`document.querySelector('.layout-form input')?.value === 'tail-lh-2'`)
	b.Do(chromedp.SetValue(chromedp.CSS(".layout-form label:nth-of-type(2) select, .layout-form .exact-two label:nth-child(2) select"), "centre"),
		chromedp.Evaluate[chromedp.Void](`document.querySelector('.layout-form .exact-two label:nth-child(2) select').dispatchEvent(new Event('change', {bubbles: true}))`))
	b.Wait(`document.querySelector('.layout-form input').value === 'tail'`)
	b.Click(".layout-form .strong")
	b.says("  tail:\n    place: {end: rear, side: centre, at: [0 mm, 900 mm]}\n", "  module-tail: {board: chain-24, lamp: tail, wiring: {}}\n")
	b.Wait(`document.querySelector('.controls select').value === 'tail' && document.querySelector('.next-step')?.innerText.includes('Nothing is drawn yet')`)
	b.Shot("layout-new")
	b.Click(".controls > button:last-child")
	b.says(drawnJob)
	b.Wait(`document.querySelector('.messages')?.innerText.includes('amp tail is deleted')`)
	b.Click(".controls > button:last-child") // the last lamp stays, and it is said why
	b.Wait(`document.querySelector('.messages')?.innerText.includes('at least one lamp')`)
}

// Groups are chosen on the drawing, made into a zone, and given a road function.
func TestLayoutGroups(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.Click(".layout-tabs button:nth-child(2)")
	b.click(30, 40) // an LED of the second column
	b.Wait(`document.querySelector('.groups h2')?.innerText === '1 group chosen'`)
	b.drag(36, 15, 64, 65) // and three columns: a new choice
	b.Wait(`document.querySelector('.groups h2')?.innerText === '3 groups chosen'`)
	b.Shot("layout-groups")
	b.field("Zone of them", "middle")
	b.says("    zones:\n      middle: block.3..5\n")
	b.drag(10, 10, 100, 70)
	b.Wait(`document.querySelector('.groups h2')?.innerText === '8 groups chosen'`)
	b.Do(chromedp.SetValue(chromedp.CSS(".make-zone select"), "stop"), chromedp.Evaluate[chromedp.Void](`document.querySelector('.make-zone select').dispatchEvent(new Event('change', {bubbles: true}))`))
	b.Click(".make-zone form:nth-child(2) button")
	b.says("    functions:\n      stop: {zone: block, required: true}\n")
	b.Click(".groups > ul:last-child .tick input")
	b.says("stop: {zone: block, required: false}")
}

// A text that is broken by another program still shows the lamp as it was, and what to mend.
func TestLayoutOfABrokenText(t *testing.T) {
	b := boardOf(t, drawnJob)
	b.click(20, 20)
	b.text(strings.Replace(drawnJob, "columns: 8, rows: 3", "columns: many, rows: 3", 1))
	b.Wait(`document.querySelector('.broken')?.innerText.includes('as it was before') && document.querySelector('[data-tool=row]').ariaDisabled === 'true'`)
	b.Shot("layout-broken")
	if says := b.Text(".layout-panel"); !strings.Contains(says, "Columns") {
		t.Errorf("what is chosen is not told any more: %q", says)
	}
	b.field("Columns", "6") // it can be mended here
	b.says("columns: 6, rows: 3")
	b.Wait(`!document.querySelector('.broken') && document.querySelector('[data-tool=row]').ariaDisabled !== 'true'`)

	fresh := openPage(t, strings.Replace(drawnJob, "part: amber-590", "part: [", 1), "layout")
	fresh.Wait(`document.querySelector('.empty-place')?.innerText.includes('cannot be read as a document')`)
	fresh.Shot("layout-unreadable")
}

// text makes a whole new text the job's, as another window would.
func (p *Page) text(text string) {
	p.Helper()
	p.Do(chromedp.Evaluate[chromedp.Void](`fetch('/api/job').then((r) => r.json()).then((j) => fetch('/api/text', {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify({base: j.revision, text: ` + quoted(text) + `})}))`))
}

// A newcomer gets from the first page to moving light: the lamp of the start page is thrown away and drawn anew, so that every place
// has its say about what comes next.
func TestFirstLight(t *testing.T) {
	const most = 40 // actions of a newcomer
	p := openPage(t, layoutJob, "job", func(c *web.Config) { c.Desk, c.Folder = nil, t.TempDir() })
	p.Wait(`document.querySelector('.start-lamp form button') !== null && document.querySelectorAll('.start-lamp select')[3].options.length > 6`)
	p.Shot("layout-start")
	actions := 0
	act := func(does func()) { t.Helper(); actions++; does() }
	next := func(says string, button string) {
		t.Helper()
		p.Wait(fmt.Sprintf(`document.querySelector('.next-step')?.innerText.includes(%s)`, quoted(says)))
		act(func() {
			p.Do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`[...document.querySelectorAll('.next-step button')].find((b) => b.innerText === %s).click()`, quoted(button))))
		})
	}
	act(func() { p.Click(".start-lamp .strong") })
	p.Wait(`document.querySelector('.sheet-host canvas')?.width > 100`)
	p.Shot("layout-first")
	b := &drawingBoard{Page: p}
	b.measure()
	act(func() { b.Click(".sheet-host") })
	act(func() { b.Press("a", chromedp.ModifierCtrl) })
	act(func() { b.Press(kb.Delete) })
	next("Nothing is drawn yet", "Grid")
	act(func() { b.drag(6, 6, 90, 30) })
	b.Wait(`document.querySelector('.chosen h2')?.innerText === 'Grid'`)
	act(func() { b.Press(kb.Escape) })
	next("8 groups hang on no output of module-lh", "Wiring")
	p.Wait(`document.querySelector('.wiring-bar .strong') !== null`)
	act(func() { p.Click(".wiring-bar .strong") })
	p.Wait(`document.querySelector('.wiring-rest')?.innerText.includes('Every group hangs on an output')`)
	act(func() { p.Press("2") })
	next("turn, stop or tail", "Light")
	p.Wait(`document.querySelector('.empty-place .strong') !== null`)
	act(func() { p.Click(".empty-place .strong") })
	p.Wait(`document.querySelector('.play') !== null`)
	act(func() { p.Click(".play") })
	light := `(() => { const c = document.querySelector('.picture-light'); const d = c.getContext('2d').getImageData(0, 0, c.width, c.height).data; let n = 0; for (let i = 0; i < d.length; i += 4) n += d[i] > 200; return n })()`
	p.Wait(`(() => { const now = ` + light + `; const moved = window.before !== undefined && window.before !== now; window.before = now; return moved })()`)
	p.Shot("layout-first-light")
	if actions > most {
		t.Errorf("%d actions to the first light, at most %d", actions, most)
	}
	t.Logf("%d actions to the first light", actions)
}

// The page holds to WCAG 2.2 AA in every state, light and dark, as far as axe can tell, and fits every window.
func TestLayoutIsAccessible(t *testing.T) {
	b := boardOf(t, drawnJob)
	theme := func(name string) {
		b.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = ` + quoted(name)))
		b.Wait(`document.getAnimations().length === 0`)
	}
	states := []struct {
		name  string
		enter func()
	}{
		{"lamp", func() { b.Press(kb.Escape) }},
		{"chosen", func() { b.Click(".drawn-list li:nth-child(1) button") }},
		{"several", func() { b.Press("a", chromedp.ModifierCtrl) }},
		{"tool", func() { b.tool("line") }},
		{"groups", func() { b.Click(".layout-tabs button:nth-child(2)"); b.Click(".block-list .entry") }},
		{"photo", func() { b.Click(".layout-tabs button:nth-child(3)") }},
		{"new lamp", func() { b.Click(".controls button:nth-of-type(2)") }},
	}
	for _, s := range states {
		s.enter()
		for _, name := range []string{"light", "dark"} {
			theme(name)
			b.Axe(name + " " + s.name)
		}
	}
	b.Press(kb.Escape)
}

// Every window shows the whole place, and the letters grow with the screen.
func TestLayoutFitsEveryWindow(t *testing.T) {
	text, err := os.ReadFile("../../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	b := boardOf(t, string(text))
	for _, name := range []string{"light", "dark"} {
		b.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = ` + quoted(name)))
		for _, size := range [][2]int64{{1280, 720}, {800, 1280}, {3840, 2160}} {
			b.Do(chromedp.EmulateViewport(size[0], size[1]))
			for _, lamp := range []string{"tail-lh", "bar", "front-rh"} {
				b.Do(chromedp.SetValue(chromedp.CSS(".controls select"), lamp),
					chromedp.Evaluate[chromedp.Void](`document.querySelector('.controls select').dispatchEvent(new Event('change', {bubbles: true}))`))
				b.Wait(`document.querySelector('.controls select').value === ` + quoted(lamp) + ` && document.getAnimations().length === 0`)
				if lamp == "tail-lh" {
					b.Click(".drawn-list li:nth-child(1) button")
				}
				if wide := ask[bool](b.Page, `document.documentElement.scrollWidth > innerWidth || document.querySelector('main').scrollHeight > document.querySelector('main').clientHeight + 1`); wide {
					t.Errorf("%s in %v does not fit the window", lamp, size)
				}
				b.Shot(fmt.Sprintf("layout-%s-%d-%s", lamp, size[0], name))
			}
		}
	}
}
