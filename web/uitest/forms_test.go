package uitest

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A zone that is deleted and still named is told with the way to each place; the message's own undo brings it back, and goes.
func TestWhatPointsToNothingIsTold(t *testing.T) {
	text := strings.Replace(signalsJob, "modules:", "    zones:\n      most: bar.1..4\nmodules:", 1)
	text = strings.Replace(text, "hold: {on: bar, light: 10 %}", "hold: {on: most, light: 10 %}", 1)
	text = strings.Replace(text, "tail, takes: bar,", "tail, takes: most,", 1)
	p := openPage(t, text, "layout")
	p.Click(`.layout-tabs .tab:nth-child(2)`)
	p.Click(`[aria-label="Delete zone most"]`)
	p.Wait(`(t => t.includes('most is gone') && t.includes('signal tail, takes') && t.includes('routine low, hold, on'))(document.querySelector('.message-left')?.innerText ?? '')`)
	p.Axe("what is left over")
	for _, theme := range themes {
		p.theme(theme)
		p.Shot("left-over-" + theme)
	}
	p.Click(`.message-left li:last-child .link`)
	p.Wait(`!!document.querySelector('[data-path="signals.1.tail.takes"]')`)
	p.Click(`.message-left .row button`)
	p.WaitFile(text)
	p.Wait(`!document.querySelector('.message-left')`)
	p.Click(`[aria-label="Delete zone most"]`)
	p.Wait(`!!document.querySelector('.message-left')`)
	p.Press("z", chromedp.ModifierCtrl)
	p.Wait(`!document.querySelector('.message-left')`)
}

// contrast is the least contrast of an example with its field's ground, by WCAG 2.2; 0 where one does not stand in italics.
const contrast = `Math.min(...[...document.querySelectorAll('[placeholder]:not([placeholder=""])')].map(field => {
	const bright = colour => {
		const shares = colour.match(/[\d.]+/g).slice(0, 3).map(v => v / 255).map(v => v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4)
		return .2126 * shares[0] + .7152 * shares[1] + .0722 * shares[2] + .05
	}
	const hint = getComputedStyle(field, '::placeholder')
	if (hint.opacity !== '1' || hint.fontStyle !== 'italic') return 0
	const [a, b] = [bright(hint.color), bright(getComputedStyle(field).backgroundColor)]
	return Math.max(a, b) / Math.min(a, b)
}))`

// An example in an empty field is no value: it says that it is one, in both themes, and can be read.
func TestExamplesAreNoValues(t *testing.T) {
	p := signalsPage(t)
	p.Click(`[data-rung="stop"]`)
	p.Click(`.rung-body .chip[title^="How long it keeps"]`)
	p.Wait(`!!document.querySelector('[data-path="signals.0.stop.keeps"]')`)
	if says := ask[string](p, `document.querySelector('[data-path="signals.0.stop.keeps"]').placeholder`); says != "e.g. 300 ms" {
		t.Errorf("the example is %q", says)
	}
	p.Press(kb.Tab)
	for _, theme := range themes {
		p.theme(theme)
		if least := ask[float64](p, contrast); least < 4.5 {
			t.Errorf("%s: an example has a contrast of %.2f", theme, least)
		}
		p.Shot("examples-" + theme)
	}
	start := openFolder(t, t.TempDir())
	start.Wait(`document.querySelector('.start-field [placeholder]')?.placeholder === 'if empty: A new lamp'`)
	for _, theme := range themes {
		start.theme(theme)
		if least := ask[float64](start, contrast); least < 4.5 {
			t.Errorf("start, %s: an example has a contrast of %.2f", theme, least)
		}
		start.Shot("examples-start-" + theme)
	}
}

// What can be named is offered while a field is typed into: in the opened rung and in the inspector, by keys and by the pointer.
func TestNamesAreOffered(t *testing.T) {
	text := strings.Replace(signalsJob, "modules:", "    zones:\n      most: bar.1..4\n      rest: bar.5..8\nmodules:", 1)
	p := openPage(t, text, "signals")
	p.Click(`[data-rung="tail"]`)
	const takes = `[data-path="signals.1.tail.takes"]`
	const listed = `[...document.querySelectorAll('.offers li')].map(o => o.innerText).join(' ')`
	p.Click(takes)
	p.Wait(listed + ` === 'bar most rest lamp lamp.bar lamp.most lamp.rest'`)
	p.Axe("names offered")
	// A role that ARIA in HTML does not allow there is no role: https://www.w3.org/TR/html-aria/#docconformance
	if wrong := ask[[]string](p, `[...document.querySelectorAll('textarea[role], textarea[aria-expanded], select[role=combobox]')].map(e => e.dataset.path)`); len(wrong) > 0 {
		t.Errorf("fields of several lines with a role they may not have: %v", wrong)
	}
	if says := ask[string](p, `(e => e.getAttribute('aria-haspopup') + ' ' + (document.getElementById(e.getAttribute('aria-controls'))?.role ?? ''))(document.querySelector('`+takes+`'))`); says != "listbox listbox" {
		t.Errorf("the list of names is not announced by its field: %q", says)
	}
	for _, theme := range themes {
		p.theme(theme)
		p.Shot("offers-" + theme)
	}
	// Assistive technology may go into the list; there the same keys work, and Escape leads back.
	p.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.offers').focus()`))
	p.Press(kb.ArrowDown)
	p.Wait(`document.querySelector('.offers [aria-selected=true]')?.innerText === 'bar'`)
	p.Press(kb.Escape)
	p.Wait(`!document.querySelector('.offers') && document.activeElement === document.querySelector('` + takes + `')`)
	p.Press("a", chromedp.ModifierCtrl)
	p.Press("mo")
	p.Wait(listed + ` === 'most lamp.most'`)
	p.Press(kb.ArrowDown)
	p.Enter()
	p.Wait(`!document.querySelector('.offers') && document.querySelector('` + takes + `').value === 'most'`)
	p.Press(",la")
	p.Wait(listed + `.startsWith('lamp lamp.bar')`)
	p.Click(`.offers li:nth-child(4)`)
	p.Wait(`document.activeElement.value === 'most,lamp.rest'`)
	p.Press(", bar.")
	p.Wait(listed + `.startsWith('bar.1 bar.2')`)
	p.Press(kb.ArrowUp) // the last one
	p.Enter()
	p.Wait(`document.activeElement.value === 'most,lamp.rest, bar.8'`)
	p.Enter()
	p.WaitFile("takes: [most, lamp.rest, bar.8]")

	p.Go("light")
	p.Wait(`!!document.querySelector('.stroke-name')`)
	p.Click(`.stroke-name`)
	p.Click(`[data-path$="hold.on"]`)
	p.Press(kb.Escape)
	p.Press("a", chromedp.ModifierCtrl)
	p.Press("re")
	p.Wait(listed + `.startsWith('rest')`)
	p.Shot("offers-stroke")
	p.Press(kb.ArrowDown)
	p.Enter()
	p.Enter()
	p.WaitFile("hold: {on: rest, light: 100 %}")
	p.Press(kb.ArrowDown) // a list that is left alone changes nothing
	p.Wait(`!!document.querySelector('.offers')`)
	p.Press(kb.Tab)
	p.Wait(`!document.querySelector('.offers') && !!document.activeElement.dataset.path && !document.activeElement.dataset.path.endsWith('.hold.on')`)
	p.WaitFile("hold: {on: rest, light: 100 %}")
}
