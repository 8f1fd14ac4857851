package uitest

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

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
	p.Do(chromedp.Evaluate[chromedp.Void](`[...document.querySelectorAll('.rung-body .chip')].find(c => c.innerText === 'keeps').click()`))
	p.Wait(`document.activeElement?.dataset.path === 'signals.0.stop.keeps'`)
	if says := ask[string](p, `document.activeElement.placeholder`); says != "e.g. 300 ms" {
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
