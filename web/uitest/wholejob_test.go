package uitest

import (
	"archive/zip"
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// openProgram builds the program, opens a folder with it, and gives the page as a builder gets it.
func openProgram(t *testing.T, folder string) *Page {
	t.Helper()
	startBrowser(t)
	program := filepath.Join(t.TempDir(), "lampwright")
	if out, err := exec.Command("go", "build", "-o", program, "lampwright/cmd/lampwright").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	c := exec.Command(program, "open", "--no-browser", folder)
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		c.Process.Signal(os.Interrupt)
		c.Wait()
	})
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return openTab(t, line[strings.Index(line, "http://"):len(line)-1])
}

// press clicks a button by what it says, within a part of the page.
func (p *Page) press(within, says string) {
	p.Helper()
	p.Wait("!!(window.marked = [...document.querySelectorAll(" + quoted(within+" button, "+within+" a") + ")].find(b => b.innerText.trim().replace(/\\s+/g, ' ') === " + quoted(says) + "))")
	p.Do(chromedp.Evaluate[chromedp.Void](`(document.querySelector('[data-press]')?.removeAttribute('data-press'), window.marked.setAttribute('data-press', ''))`))
	p.Click("[data-press]")
}

// The whole job from an empty folder, with the real program, by mouse and keyboard alone: a lamp of 24 LEDs is laid out and wired, the
// walk finds that it was soldered one off, a turn that sweeps and a stop are made, the opposite hand, and a show across both; the kit is
// made and downloaded, and proven on the simulated processor.
func TestTheWholeJob(t *testing.T) {
	folder := t.TempDir()
	p := openProgram(t, folder)
	p.Path = filepath.Join(folder, "my-tail.yaml")
	p.Wait(`document.querySelector('.start-lamp form button') !== null && document.querySelectorAll('.start-lamp select')[3].options.length > 6`)
	p.press(".start-lamp", "Begin the lamp")

	// Layout: the lamp that the page begins with is thrown away and drawn by hand.
	p.Wait(`document.querySelector('.sheet-host canvas')?.width > 100`)
	b := &drawingBoard{Page: p}
	b.measure()
	p.Click(".sheet-host")
	p.Press("a", chromedp.ModifierCtrl)
	p.Press(kb.Delete)
	p.press(".next-step", "Grid")
	b.drag(10, 10, 87, 26)
	p.WaitFile("columns: 8, rows: 3, group: 1 column, part: red-622}")
	p.Press(kb.Escape)

	// Wiring: hung in order, moved on by one, and then found otherwise by the walk through the real lamp.
	p.press(".next-step", "Wiring")
	p.Click(".wiring-bar .strong")
	p.WaitFile("wiring: {grid: 1..8}")
	p.Click(output(1))
	p.Click(output(8))
	p.press(".wiring-bar", "↓ On by one")
	p.WaitFile("wiring: {grid: [2..8, 1]}")
	p.Click(".wiring-views .tab:nth-child(2)")
	for n := 1; n <= 8; n++ {
		p.Wait(fmt.Sprintf(`document.querySelector('.walk-number b')?.innerText === '%d'`, n))
		p.clickGroup(fmt.Sprintf("grid.%d", n))
	}
	p.Wait(`document.querySelector('.walk h2')?.innerText.includes('8 outputs differ')`)
	p.Click(".walk .strong")
	p.WaitFile("wiring: {grid: 1..8}")

	// Signals: a stop and a turn, each with its wire and a plain answer.
	p.Go("signals")
	p.Click(`[data-ask="stop"]`)
	p.WaitFile("- stop: {input: stop, takes: lamp-lh, stay: full}")
	p.Wait(`document.activeElement.dataset.rung === 'stop'`) // what was pressed is gone
	p.Click(`[data-ask="turn-lh"]`)
	p.WaitFile("- turn-lh: {input: turn-lh, takes: lamp-lh, arrive: turn-out, pace: flasher}\n  - stop:")
	p.Shot("whole-signals")

	// Light: the turn's sweep is made softer and shorter by keys and by its form.
	p.Go("light")
	p.choose(".controls-routine select", "turn-out")
	p.Wait(`document.querySelector('.stroke-bar') !== null`)
	p.Click(".stroke-bar")
	p.Press(kb.ArrowLeft, chromedp.ModifierAlt)
	p.WaitFile("sweep: {direction: outboard, for: 140 ms, by: group}")

	// The opposite hand, with its module, its wires and its turn.
	p.Go("layout")
	p.Click(".controls button:nth-of-type(1)")
	p.Wait(`document.querySelector('.layout-form input')?.value === 'lamp-rh'`)
	p.Click(".layout-form .strong")
	p.WaitFile("lamp-rh: {opposite-hand-of: lamp-lh}")
	p.WaitFile("- turn-rh: {input: turn-rh, takes: lamp-rh, arrive: turn-out, pace: flasher}")

	// A show on a remote, across both.
	p.Go("signals")
	p.Click(`[data-ask="remote-1"]`)
	p.WaitFile("across: [lamp-lh, lamp-rh]")
	p.WaitFile("- drift: {input: remote-1, stay: drift, limit: 10 min}")
	p.Wait(`(document.querySelector('.modules-state')?.innerText ?? '').includes('2 modules run')`)
	p.Click(`[data-switch="remote-1"] .switch-hold + button`)
	p.Wait(`document.querySelector('[data-switch="remote-1"]').classList.contains('is-on')`)
	p.says("lamp-rh · grid.1", "drift has it")
	p.Click(`[data-switch="stop"] .switch-hold + button`)
	p.says("lamp-rh · grid.1", "100 % light · stop has it") // the brake wins
	p.Shot("whole-show")

	// The kit, downloaded: a program for each module, each with its listing.
	p.Go("job")
	p.Shot("whole-job")
	downloads := t.TempDir()
	if _, err := chromedp.Call(p.Ctx, cdpbrowser.SetDownloadBehavior, cdpbrowser.SetDownloadBehaviorParams{Behavior: cdpbrowser.SetDownloadBehaviorBehaviorAllow, DownloadPath: downloads, BrowserContextID: chromedp.FromContext(p.Ctx).BrowserContextID}); err != nil {
		t.Fatal(err)
	}
	p.press(".make", "Make the kit")
	kit := p.download(downloads)
	for _, name := range []string{"module-lh.hex", "module-rh.hex", "module-lh.txt", "module-rh.txt"} {
		if !slices.ContainsFunc(kit.File, func(f *zip.File) bool { return path.Base(f.Name) == name }) {
			t.Errorf("the kit has no %s: %v", name, names(kit))
		}
	}

	// The proof, of what was made.
	p.Go("proof")
	p.Wait(`document.querySelector('` + proveIt + `')?.getAttribute('aria-disabled') === 'false'`)
	p.Click(proveIt)
	p.Wait(seenProof + `?.includes('Proven over')`)
	p.Shot("whole-proof")
}

// download waits for the one file that was downloaded, and opens it.
func (p *Page) download(folder string) *zip.Reader {
	p.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		found, _ := filepath.Glob(filepath.Join(folder, "*.zip"))
		if len(found) != 1 {
			continue
		}
		data, err := os.ReadFile(found[0])
		if err != nil {
			p.Fatal(err)
		}
		if z, err := zip.NewReader(bytes.NewReader(data), int64(len(data))); err == nil {
			return z
		}
	}
	p.Fatal("nothing was downloaded")
	return nil
}

func names(z *zip.Reader) []string {
	var all []string
	for _, f := range z.File {
		all = append(all, f.Name)
	}
	return all
}
