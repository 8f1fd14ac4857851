package uitest

import (
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

const signalsJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: lamp, wiring: {bar: 1..8}}
inputs:
  stop: {wire: m.in2, feed: {kind: steady, test-pulse: {width: 0.3 ms, every: 100 ms}}}
  tail: {wire: m.in1}
routines:
  full: {strokes: [{hold: {on: bar, light: 100 %}}]}
  low: {strokes: [{hold: {on: bar, light: 10 %}}]}
signals:
  - stop: {input: stop, takes: bar, stay: full}
  - tail: {input: tail, takes: bar, stay: low}
`

// press is a switch of the Signals place; says waits for what the picture says of a group.
func (p *Page) says(group, want string) {
	p.Helper()
	x, y := p.spot(group)
	p.Do(chromedp.MouseEvent("mouseMoved", x, y))
	p.Wait(`document.getElementById('picture-says').textContent.includes(` + quoted(want) + `)`)
}

func signalsPage(t *testing.T) *Page {
	t.Helper()
	p := openPage(t, signalsJob, "signals")
	p.Wait(`(t => t.includes('1 module runs'))(document.querySelector('.controls')?.innerText ?? '')`)
	return p
}

// Press the brake: the stop lamp is lit, the picture says whose it is, and the answer to why says so too.
func TestSignalsLightTheLamp(t *testing.T) {
	p := signalsPage(t)
	p.says("lamp · bar.3", "0 % light · nobody has it")
	x, y := p.middle(`[data-switch="stop"] .switch-hold`)
	p.Do(chromedp.MouseEvent("mousePressed", x, y, chromedp.ButtonType("left"), chromedp.ClickCount(1)))
	p.Wait(`document.querySelector('[data-switch="stop"]').innerText.includes('held')`)
	p.Do(chromedp.MouseEvent("mouseReleased", x, y, chromedp.ButtonType("left"), chromedp.ClickCount(1)))
	p.Wait(`document.querySelector('[data-switch="stop"]').innerText.includes('off')`)
	p.Click(`[data-switch="stop"] .switch-hold + button`)
	p.says("lamp · bar.3", "100 % light · stop has it")
	p.clickGroup("lamp · bar.3")
	p.Wait(`(t => t.includes('stop stays with full') && t.includes('tail is off'))(document.querySelector('.why')?.innerText ?? '')`)
	p.Axe("signals, switches")
	p.Shot("signals")
}

// A signal that is moved up by keys is first in the document, and takes the group. A key that is held moves no neighbour, and an
// undo does not wait for the step that it takes back.
func TestSignalsChangePriority(t *testing.T) {
	p := signalsPage(t)
	p.Do(chromedp.Focus(chromedp.CSS(`[data-rung="tail"]`)))
	p.Press(kb.ArrowUp+kb.ArrowUp, chromedp.ModifierAlt)
	p.WaitFile("signals:\n  - tail: {input: tail, takes: bar, stay: low}\n  - stop:")
	p.Press("z", chromedp.ModifierCtrl)
	p.WaitFile("signals:\n  - stop: {input: stop, takes: bar, stay: full}\n  - tail:")
}

// What is pressed is written down as a script, played, and kept beside the job; a slip stands at its place.
func TestSignalsRecordAndReplay(t *testing.T) {
	p := signalsPage(t)
	p.Click(`.switches-foot > button`)
	p.Wait(`document.querySelector('.switches-foot > button').innerText.includes('End')`)
	p.Click(`[data-switch="stop"] .switch-hold + button`)
	p.Wait(`document.querySelector('[data-switch="stop"]').classList.contains('is-on')`)
	p.Click(`.switches-foot > button`)
	p.Wait(`(document.querySelector('.script-area')?.value ?? '').startsWith('stop@')`)
	p.Wait(`!!document.querySelector('.course-bar')`)
	p.Do(chromedp.SendKeys(chromedp.CSS(".script-kept input"), "one-stop\r"))
	p.Wait(`[...document.querySelectorAll('.script-kept option')].some(o => o.value === 'one-stop')`)
	text, err := os.ReadFile(strings.TrimSuffix(p.Path, "job.yaml") + "one-stop.script")
	if err != nil || !strings.HasPrefix(string(text), "stop@") {
		t.Errorf("kept as %q: %v", text, err)
	}
	p.Do(chromedp.SendKeys(chromedp.CSS(".script-area"), " horn@1s..2s"))
	p.Wait(`(document.querySelector('.slip')?.innerText ?? '').includes('no input')`)
	p.Shot("signals-script")
}

// A kept script is deleted after one question in place; its text stays and can be kept again. Proof forgets it, and its own field does
// not hold what was written here.
func TestSignalsDeleteAKeptScript(t *testing.T) {
	p := signalsPage(t)
	file := strings.TrimSuffix(p.Path, "job.yaml") + "brake.script"
	if err := os.WriteFile(file, []byte("stop@1s..2s\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	there := func() bool { _, err := os.Stat(file); return err == nil }
	p.Go("proof")
	p.Wait(`[...document.querySelectorAll('.proof-way option')].some(o => o.value === 'kept brake')`)
	p.choose(".proof-way select", "brake")
	p.Go("signals")
	p.Click(`.signals-views .tab:nth-child(2)`)
	p.Wait(`[...document.querySelectorAll('.script-kept option')].some(o => o.value === 'brake')`)
	p.choose(".script-kept select", "brake")
	p.Wait(`document.querySelector('.script-area').value === 'stop@1s..2s'`)
	p.Click(`.script-gone .quiet`)
	p.Wait(`document.activeElement.innerText === 'Delete it'`)
	p.Axe("signals, a script about to be deleted")
	p.Shot("signals-script-delete")
	p.Press(kb.Escape)
	p.Wait(`document.activeElement.innerText === 'Delete brake.script'`)
	if !there() {
		t.Fatal("deleted without an answer")
	}
	p.Press("\r")
	p.Wait(`document.activeElement.innerText === 'Delete it'`)
	p.Press("\r")
	p.Wait(`!document.querySelector('.script-gone') && ![...document.querySelectorAll('.script-kept option')].some(o => o.value === 'brake')`)
	p.Wait(`document.activeElement.matches('.script-kept select')`) // what was pressed is gone
	if there() {
		t.Error("it is still beside the job")
	}
	if text := ask[string](p, `document.querySelector('.script-area').value`); text != "stop@1s..2s" {
		t.Errorf("the field holds %q", text)
	}
	p.Shot("signals-script-deleted")
	p.Go("proof")
	p.Wait(`document.querySelector('.proof-way select').value === 'tour' && document.querySelector('.proof-words').innerText.includes('@')`)
	p.choose(".proof-way select", "A script")
	p.Wait(`document.querySelector('.proof-script').value === ''`)
	p.Go("signals")
	p.Click(`.script-kept button[type=submit]`)
	p.Wait(`document.querySelector('.script-gone')?.innerText.includes('brake.script')`)
	if !there() {
		t.Error("it was not kept again")
	}
}

func TestSignalsDrawWires(t *testing.T) {
	p := signalsPage(t)
	p.Click(`.signals-views .tab:nth-child(3)`)
	p.Wait(`!!document.querySelector('.scope-line')?.getAttribute('d') && !!document.querySelector('.scope-decided')`)
	if says := p.Text(".wires-figures"); !strings.Contains(says, "ms later") || !strings.Contains(says, "6.18 V") {
		t.Errorf("the figures say %q", says)
	}
	p.Axe("signals, wires")
	p.Shot("signals-wires")
}

// A script that is too long to be shown leaves the field as it is, and can be deleted all the same.
func TestSignalsDeleteALongScript(t *testing.T) {
	p := signalsPage(t)
	file := strings.TrimSuffix(p.Path, "job.yaml") + "endless.script"
	if err := os.WriteFile(file, []byte(strings.Repeat("# on and on\n", 10_000)), 0o644); err != nil {
		t.Fatal(err)
	}
	p.Click(`.signals-views .tab:nth-child(2)`)
	p.Wait(`[...document.querySelectorAll('.script-kept option')].some(o => o.value === 'endless')`)
	p.types(".script-area", "stop@1s..2s")
	p.choose(".script-kept select", "endless")
	p.Wait(`document.querySelector('.script-kept [role=alert]')?.innerText.includes('64 KiB') && document.querySelector('.script-kept select').value === 'endless'`)
	p.Click(`.script-gone .quiet`)
	p.Wait(`document.querySelector('.script-gone').innerText.includes('117 KiB cannot be shown here')`)
	p.Axe("signals, a script that is too long")
	p.Shot("signals-script-long")
	p.Press("\r")
	p.Wait(`!document.querySelector('.script-gone') && ![...document.querySelectorAll('.script-kept option')].some(o => o.value === 'endless') && !document.querySelector('.script-kept [role=alert]')`)
	if _, err := os.Stat(file); err == nil {
		t.Error("it is still beside the job")
	}
	if text := ask[string](p, `document.querySelector('.script-area').value`); text != "stop@1s..2s" {
		t.Errorf("the field holds %q", text)
	}
}

// What a module has no pin for is not offered, and the reason stands there; a pin that becomes free lets it be offered again.
func TestSignalsOfferWhatWillBeDone(t *testing.T) {
	full := strings.Replace(signalsJob, "  tail: {wire: m.in1}\n", "  tail: {wire: m.in1}\n  a: {wire: [m.in3, m.in4, m.in5, m.in6]}\n  b: {wire: [m.in7, m.in8]}\n", 1)
	p := openPage(t, full, "signals")
	p.Wait(`document.querySelector('[data-asknot="turn-lh reverse fog"]')?.innerText === 'Turn LH, Reverse, Fog cannot be added. All 8 inputs of m are taken. Take out an input that is not needed, or choose a board with more.'`)
	p.Wait(`!document.querySelector('[data-ask="turn-lh"]') && !!document.querySelector('[data-ask="a"]') && !!document.querySelector('[data-asknot="remote-1"]')`)
	p.Axe("signals that cannot be added")
	p.Shot("asks-refused")
	p.text(strings.Replace(full, ", m.in6]", "]", 1))
	p.Click(`[data-ask="turn-lh"]`)
	p.WaitFile("- turn-lh: {input: turn-lh, takes: lamp, arrive: turn-out, pace: flasher}")
	p.Wait(`!document.querySelector('[data-ask="turn-lh"]') && document.activeElement?.dataset.rung === 'turn-lh'`)
}
