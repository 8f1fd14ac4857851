package uitest

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"lampwright/examples"
)

// Whoever works by keys stays where the work is: what is pressed may go, the focus does not.
func TestFocusIsNeverLost(t *testing.T) {
	p := openPage(t, string(examples.Pickup), "job")
	// press focuses a button by what it says, and presses Enter on it.
	press := func(within, says string) {
		t.Helper()
		p.Wait(`(() => { const b = [...document.querySelectorAll(` + quoted(within+" button") + `)].find(b => [b.innerText.trim(), b.ariaLabel].includes(` + quoted(says) + `)); b?.focus(); return !!b && document.activeElement === b; })()`)
		p.Press("\r")
	}
	at := func(what, is string) {
		t.Helper()
		p.Wait(`(e => e !== document.body && ` + is + `)(document.activeElement)`)
	}
	p.rested("job")
	press(".top", "Inspect")
	p.Wait(`!!document.querySelector('.drawer')`)
	press(".drawer", "Close the panel")
	at("the button that opened the panel", `!!e.closest('.top') && e.innerText === 'Inspect'`)
	p.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement.blur()`))
	p.Press("p")
	press(".drawer", "Close the panel")
	at("the place, where a key opened it", `e.id === 'main'`)

	p.rested("light")
	p.choose(".controls-routine select", "hearth")
	p.Wait(`document.querySelectorAll('.stroke').length > 2`)
	n := ask[int](p, `document.querySelectorAll('.stroke').length`)
	strokes := func(n int) { t.Helper(); p.Wait(fmt.Sprintf(`document.querySelectorAll('.stroke').length === %d`, n)) }
	p.Do(chromedp.Focus(chromedp.CSS(".stroke:nth-of-type(2) .stroke-bar")))
	p.Press(kb.Delete)
	strokes(n - 1)
	at("the next stroke", `e.matches('.stroke-bar')`)
	press(".light-middle", "Add a stroke")
	at("the kinds", `!!e.closest('.addstroke-list')`)
	p.Press("\r")
	strokes(n)
	at("the strokes", `!!e.closest('.timeline-frame')`)

	p.rested("wiring")
	p.Do(chromedp.Focus(chromedp.CSS(output(3))))
	p.Press("\r")
	press(".wiring-bar", "Take arrow.3 off")
	at("the bar", `!!e.closest('.wiring-bar')`)

	p.rested("layout")
	press(".controls", "New lamp")
	press(".layout-form", "Do not begin one")
	at("the panel", `!!e.closest('.layout-panel')`)

	p.rested("signals")
	p.Do(chromedp.Focus(chromedp.CSS(`[data-rung="stop"]`)))
	p.Press("\r")
	press(".rung-body", "Remove")
	p.Wait(`!document.querySelector('[data-rung="stop"]')`)
	at("the next signal", `e.dataset.rung === 'gate-stop'`)

	p.Press("k", chromedp.ModifierCtrl)
	p.Wait(`!!document.querySelector('.palette-input')`)
	p.Press("Command rename\r")
	at("the first field of a command", `e.matches('dialog input')`)
}
