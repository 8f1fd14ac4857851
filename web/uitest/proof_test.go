package uitest

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"lampwright/flash"
	"lampwright/proof"
	"lampwright/web"
)

const proofJob = `lampwright: 1
job: {title: Small lamp, use: show-only}
lamps:
  lamp:
    place: {end: rear, side: LH, at: [-600 mm, 900 mm]}
    leds:
      - row: {name: bar, from: [0, 0], to: [140, 0], count: 8, group: 1, part: red-622}
modules:
  m: {board: chain-8, lamp: lamp, wiring: {bar: 1..8}}
inputs:
  stop: {wire: m.in2, feed: {kind: steady}}
  turn-lh: {wire: m.in3, feed: {kind: flasher}}
routines:
  full: {strokes: [{hold: {on: bar, light: 100 %}}]}
  run: {length: 150 ms, strokes: [{sweep: {on: bar, direction: right, for: 150 ms}}]}
signals:
  - turn-lh: {input: turn-lh, takes: bar, arrive: run}
  - stop: {input: stop, takes: bar, stay: full}
`

// simulator runs proofs in earnest, or skips the test where there is no simulated processor; where CI is set that fails.
func simulator(t *testing.T, run func(ctx context.Context, t proof.Trial) ([]proof.Verdict, error)) func(*web.Config) {
	t.Helper()
	cache, err := os.UserCacheDir()
	if err != nil {
		cache = t.TempDir()
	}
	cache = filepath.Join(cache, "lampwright")
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if _, err := proof.Prepare(ctx, cache); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
	return func(c *web.Config) {
		c.Prover = web.Prover{
			Ready: func(context.Context) error { return nil },
			Run: func(ctx context.Context, trial proof.Trial) ([]proof.Verdict, error) {
				trial.Cache = cache
				return run(ctx, trial)
			},
			Faults: func(ctx context.Context, trial proof.FaultTrial) (*proof.FaultReport, error) {
				trial.Cache = cache
				return trial.Run(ctx)
			},
		}
	}
}

func sound(ctx context.Context, t proof.Trial) ([]proof.Verdict, error) { return t.Run(ctx) }

// damaged flips a bit of the image while the module has it, so that it falls back to its plain program.
func damaged(ctx context.Context, t proof.Trial) ([]proof.Verdict, error) {
	setups, err := t.Setups()
	if err != nil {
		return nil, err
	}
	setups[0].Events = append(setups[0].Events, proof.FlashXor(0, 0, flash.ImageStart+60, 4))
	tol := proof.Core
	tol.Listed = t.Listed
	return proof.Judged(ctx, setups[0], tol)
}

func (p *Page) types(css, text string) {
	p.Helper()
	p.Do(named("type into "+css, chromedp.Focus(chromedp.CSS(css))))
	p.Press("a", chromedp.ModifierCtrl)
	p.Press(text)
}

// choose picks from a list as the keyboard does: by the letters that its entry begins with.
func (p *Page) choose(css, entry string) {
	p.Helper()
	p.Do(named("choose in "+css, chromedp.Focus(chromedp.CSS(css))))
	p.Press(entry)
	p.Wait("document.querySelector(" + quoted(css) + ").selectedOptions[0].text.startsWith(" + quoted(entry) + ")")
}

const (
	proveIt   = ".proof-run"
	seenProof = `document.querySelector('#proof-verdict')?.innerText`
)

// A proof runs in earnest: the tour, then a script that is typed, then one that lies beside the job; a change of the job makes it old.
func TestProofOfASoundJob(t *testing.T) {
	p := openPage(t, proofJob, "proof", simulator(t, sound))
	if err := os.WriteFile(filepath.Join(filepath.Dir(p.Path), "brake.script"), []byte("stop@100ms..400ms\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	p.Do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS(proveIt)))
	p.Wait(`document.querySelector('.proof-words')?.innerText.includes('stop@500ms..3500ms') && document.querySelector('` + proveIt + `').getAttribute('aria-disabled') !== 'true'`)
	for _, says := range []string{"Solder and wires", "Supply and heat", "The law"} {
		if !strings.Contains(p.Text(".proof-says-not"), says) {
			t.Errorf("beside the proof it does not say %q", says)
		}
	}
	p.Shot("proof-begin")
	p.Click(proveIt)
	p.Wait(seenProof + `?.includes('Proven over')`)
	if says := p.Text(".proof-verdict"); !strings.Contains(says, "word by word") || !strings.Contains(says, "as the job says") || !strings.Contains(says, "the tour") || !strings.Contains(says, "as it is now") {
		t.Errorf("the verdict: %q", says)
	}
	p.Shot("proof-proven")

	p.choose(".proof-way select", "A script")
	p.types(".proof-script", "stop@100ms..300ms tail@1s..2s")
	p.Press("\r", chromedp.ModifierCtrl)
	p.Wait(`document.querySelector('.proof-side [role=alert]')?.innerText.includes('tail')`)
	p.types(".proof-script", "stop@100ms..300ms")
	p.Press("\r", chromedp.ModifierCtrl)
	p.Wait(`document.querySelector('.proof-verdict')?.innerText.includes('that was typed') && !document.querySelector('.proof-side [role=alert]')`)
	p.choose(".proof-way select", "brake")
	p.Click(proveIt)
	p.Wait(`document.querySelector('.proof-verdict')?.innerText.includes('the script brake')`)

	p.Click(".proof-press-foot .quiet") // played, as it is promised
	p.Wait(`document.querySelector('.proof-playing .clock-now') && parseFloat(document.querySelector('.proof-playing .clock-now').innerText) > 0.1`)
	p.Do(chromedp.Reload(), chromedp.WaitVisible(chromedp.CSS(proveIt)))
	p.Wait(seenProof + `?.includes('Proven over')`) // it outlives the page
	if err := os.WriteFile(p.Path, []byte(strings.Replace(proofJob, "150 ms", "200 ms", 2)), 0o644); err != nil {
		t.Fatal(err)
	}
	p.Wait(`document.querySelector('.proof-stale')?.innerText.includes('Out of date')`)
	p.Shot("proof-stale")
}

// A module whose program was damaged is told, and each difference is shown on the lamp with what was promised and what was found.
func TestProofOfADamagedModule(t *testing.T) {
	p := openPage(t, proofJob, "proof", simulator(t, damaged))
	p.choose(".proof-way select", "A script")
	p.types(".proof-script", "turn-lh@300ms..1300ms~90/min:50%")
	p.Click(proveIt)
	p.Wait(seenProof + `?.includes('m does not do what the job says')`)
	p.Wait(`document.querySelector('#proof-differences')?.innerText.startsWith('Difference 1 of')`)
	row := strings.Fields(p.Text(".proof-differences tbody tr"))
	if len(row) < 4 || !strings.Contains(strings.Join(row, " "), "bar.") {
		t.Errorf("the first difference: %q", row)
	}
	drawn := `document.querySelector('.picture-light').toDataURL()`
	found := ask[string](p, drawn)
	p.Shot("proof-difference")
	p.Press("f")
	p.Wait(drawn + " !== " + quoted(found))
	p.Shot("proof-difference-promised")
	p.Press("f")
	p.Wait(drawn + " === " + quoted(found))
	p.Press(".")
	p.Wait(`document.querySelector('#proof-differences').innerText.startsWith('Difference 2 of')`)
	p.Press(",")
	p.Wait(`document.querySelector('#proof-differences').innerText.startsWith('Difference 1 of')`)
	// On the picture the group says both values.
	group := ask[string](p, `document.querySelector('.proof-differences tbody td').innerText`)
	p.spot(group)
	if says := p.Text("#picture-says, .picture-says"); !strings.Contains(says, "promised") || !strings.Contains(says, "found") {
		t.Errorf("the picture says %q", says)
	}
	p.Axe("differences")
}

// A proof is told in every window, stopped at once in any of them, and gone with its server.
func TestProofInTwoWindows(t *testing.T) {
	held := make(chan struct{}, 8)
	endless := func(ctx context.Context, t proof.Trial) ([]proof.Verdict, error) {
		t.Running(proof.Running{Runs: 1, Modules: []string{"m"}, Done: t.Length / 2, Length: t.Length})
		held <- struct{}{}
		<-ctx.Done()
		return nil, ctx.Err()
	}
	p := openPage(t, proofJob, "proof", simulator(t, endless))
	address := ask[string](p, `location.origin`)
	q := openTab(t, address+"/?key=the-key-of-this-test")
	q.Go("proof")
	for _, stopper := range []*Page{p, q} {
		p.Click(proveIt)
		<-held
		q.Wait(`document.querySelector('.proof-running')?.innerText.includes('simulated') && document.querySelector('.proof-running progress').value === 0.5`)
		if says := q.Text(".proof-running"); !strings.Contains(says, "m") || !strings.Contains(says, " s of ") {
			t.Errorf("the other window says %q", says)
		}
		p.Wait(`document.querySelector('.proof-running') !== null`)
		p.Shot("proof-running")
		stopper.Click(".proof-running .strong")
		for _, window := range []*Page{p, q} {
			window.Wait(`!document.querySelector('.proof-running') && document.querySelector('.proof-stopped')?.innerText.includes('nothing is proven by it')`)
		}
	}
}

// A machine without the simulator says so, with the remedy, and still tries faults on the engine.
func TestProofWhereThereIsNoSimulator(t *testing.T) {
	text, err := os.ReadFile("../../examples/lamps/strip.yaml")
	if err != nil {
		t.Fatal(err)
	}
	missing := &proof.NotProven{Reason: "the C compiler gcc is missing", Install: "apt-get install -y gcc libsimavr-dev"}
	p := openPage(t, string(text), "proof", func(c *web.Config) {
		c.Prover = web.Prover{
			Ready:  func(context.Context) error { return missing },
			Run:    func(context.Context, proof.Trial) ([]proof.Verdict, error) { return nil, missing },
			Faults: func(ctx context.Context, trial proof.FaultTrial) (*proof.FaultReport, error) { return trial.Run(ctx) },
		}
	})
	p.Wait(`document.querySelector('.proof-not-here')?.innerText.includes('apt-get install -y gcc libsimavr-dev')`)
	if ask[string](p, `document.querySelector('`+proveIt+`').getAttribute('aria-disabled')`) != "true" {
		t.Error("it can be asked to prove")
	}
	p.Shot("proof-not-here")
	p.Click(".proof .tab:nth-child(2)")
	p.Click(proveIt)
	p.Wait(`document.querySelector('#proof-faults') !== null`)
	if says := p.Text(".proof-faults"); !strings.Contains(says, "on the engine alone") {
		t.Errorf("the faults: %q", says)
	}
	p.Shot("faults")
	p.Click(".proof-losses .quiet") // the script that shows it plays on the picture
	p.Wait(`parseFloat(document.querySelector('.proof-playing .clock-now')?.innerText) > 0.2`)
	if says := p.Text(".proof-playing-says"); says == "" {
		t.Error("what plays is not said")
	}
	p.Click(".proof-fault .quiet") // where it is in the document
	p.Wait(`document.querySelector('.drawer') !== null`)
	p.Axe("faults")
}

func TestFaultsOnTheSimulatedProcessor(t *testing.T) {
	p := openPage(t, proofJob, "proof", simulator(t, sound))
	p.Click(".proof .tab:nth-child(2)")
	start := time.Now()
	p.Click(proveIt)
	p.Wait(`document.querySelector('#proof-faults')?.innerText !== undefined && document.querySelector('.proof-faults').innerText.includes('of the simulated processor')`)
	t.Logf("%v", time.Since(start))
	p.Click(".proof-faults .chip:nth-child(4)")
	p.Wait(`document.querySelectorAll('.proof-held li').length > 0`)
}
