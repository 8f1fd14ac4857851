package uitest

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/chromedp/chromedp"

	"lampwright/examples"
	"lampwright/proof/measure"
)

// Goals of the workbench.
const (
	editGoal    = 100.0 // ms, from the key to the light on the screen
	frameGoal   = 60.0  // frames a second
	slowGoal    = 25.0  // ms, the 99th percentile of a frame
	loadKBGoal  = 400.0 // kB, transferred
	loadGoal    = 1000. // ms, to a moving lamp
	commandGoal = 150.0 // ms, of the large job
)

// Speed measures the workbench in the browser. The figures depend on the machine and on what else runs there.
func Speed(ctx context.Context) ([]measure.Figure, error) {
	browser, end, err := browse(ctx)
	if err != nil {
		return nil, err
	}
	defer end()
	var all []measure.Figure
	for _, part := range []func(context.Context) ([]measure.Figure, error){firstLoad, editing, playing, commanding} {
		figures, err := part(browser)
		all = append(all, figures...)
		if err != nil {
			return all, err
		}
	}
	return all, nil
}

// on opens a job on a screen, does something there, and closes it again.
func on(browser context.Context, job string, do func(w *screen) error) error {
	s, err := serve(job)
	if err != nil {
		return err
	}
	defer s.close()
	w, err := open(browser, s)
	if err != nil {
		return err
	}
	defer w.close()
	return do(w)
}

const loads = 5 // first loads, of which the median counts

// firstLoad opens the demo job in a browser that knows nothing of it.
func firstLoad(browser context.Context) ([]measure.Figure, error) {
	var took, kB []float64
	for range loads {
		err := on(browser, string(examples.Pickup), func(w *screen) error {
			ms, err := eval[float64](w, `moving()`)
			took, kB = append(took, ms), append(kB, float64(w.bytes())/1000)
			return err
		})
		if err != nil {
			return nil, err
		}
	}
	return []measure.Figure{
		{Name: "first load of the demo job, transferred", Value: slices.Max(kB), Unit: "kB", Goal: measure.Goal{Sense: measure.Below, Limit: loadKBGoal}},
		{Name: "first load of the demo job until a lamp moves", Value: middle(took), Unit: "ms, median of 5", Goal: measure.Goal{Sense: measure.Below, Limit: loadGoal}},
	}, nil
}

const edits = 11 // undo and redo by turns

// editing changes the light of a show, by undo and redo, in Light at a moment that shows it.
func editing(browser context.Context) ([]measure.Figure, error) {
	var light, all []float64
	err := on(browser, string(examples.Pickup), func(w *screen) error {
		_, err := eval[bool](w, `(async () => {
			location.hash = 'light';
			await until(() => document.querySelector('.controls-routine select'));
			const choose = document.querySelector('.controls-routine select');
			choose.value = 'tide';
			choose.dispatchEvent(new Event('change', {bubbles: true}));
			const job = await (await fetch('/api/job')).json();
			const answer = await fetch('/api/do', {method: 'POST', body: JSON.stringify({base: job.revision, name: 'set', args: {path: ['routines', 'tide', 'strokes', '0', 'hold', 'light'], value: '70 %'}})});
			if (!answer.ok) throw new Error(await answer.text());
			await until(() => document.querySelector('.step-label') && !document.querySelector('.status').textContent.includes('Checking'));
			document.activeElement?.blur();
			await new Promise((done) => setTimeout(done, 1500));
			addEventListener('keydown', (e) => { window.pressed = e.timeStamp; window.before = sight(); window.lit = until(() => differs(before, sight())); window.done = until(() => differs(before, sight()) && checked()); }, true);
			let said = '';
			window.checked = () => { const steps = document.querySelector('.top-steps').textContent; if (steps === said) return false; if (document.querySelector('.status').textContent.includes('Checking')) return false; return true; };
			window.mark = () => { said = document.querySelector('.top-steps').textContent; };
			return true;
		})()`)
		for n := 0; n < edits && err == nil; n++ {
			if _, err = eval[bool](w, `(mark(), true)`); err != nil {
				return err
			}
			key := "z"
			modifiers := []chromedp.Modifier{chromedp.ModifierCtrl}
			if n%2 == 1 {
				key = "y"
			}
			if err = w.press(key, modifiers...); err != nil {
				return err
			}
			var took []float64
			if took, err = eval[[]float64](w, `Promise.all([lit, done]).then(all => all.map(t => t - pressed))`); err == nil {
				light, all = append(light, took[0]), append(all, took[1])
				_, err = eval[bool](w, `new Promise((done) => setTimeout(() => done(true), 400))`)
			}
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	goal := measure.Goal{Sense: measure.Below, Limit: editGoal}
	return []measure.Figure{
		{Name: "an edit of the demo job until its light is on the screen", Value: middle(light), Unit: "ms, median of 11", Goal: goal},
		{Name: "an edit of the demo job until all is recomputed and on the screen", Value: middle(all), Unit: "ms, median of 11", Goal: goal},
	}, nil
}

// Playback is measured so many times, each for so long; the best counts, for a machine has other work too.
const (
	playRuns   = 3
	playLastMS = 10_000
)

// playing plays a routine in which every LED of a thousand moves.
func playing(browser context.Context) ([]measure.Figure, error) {
	rate, slow := 0.0, math.Inf(1)
	err := on(browser, thousand(), func(w *screen) error {
		_, err := eval[bool](w, `(async () => {
			location.hash = 'light';
			await until(() => document.querySelector('.play') && document.querySelector('.clock').textContent.includes('of 04'));
			await until(() => { const play = document.querySelector('.play'); if (play.textContent.includes('Play')) play.click(); return play.textContent.includes('Pause'); });
			await moving();
			return true;
		})()`)
		for n := 0; n < playRuns && err == nil; n++ {
			var frames []float64
			frames, err = eval[[]float64](w, fmt.Sprintf(`new Promise((done) => {
				const all = [];
				let last = 0;
				const one = (t) => { if (last) all.push(t - last); last = t; all.reduce((a, b) => a + b, 0) < %d ? requestAnimationFrame(one) : done(all); };
				requestAnimationFrame(one);
			})`, playLastMS))
			if err != nil || len(frames) == 0 {
				break
			}
			sum := 0.0
			for _, f := range frames {
				sum += f
			}
			slices.Sort(frames)
			if at := frames[len(frames)*99/100]; at < slow {
				slow, rate = at, math.Round(float64(len(frames))/sum*10_000)/10 // to a tenth: no screen's clock is the machine's own
			}
		}
		if err == nil { // what does not move is easily fast
			_, err = eval[float64](w, `moving()`)
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	return []measure.Figure{
		{Name: "playback of 1000 LEDs in Light", Value: rate, Unit: "frames/s, best of three runs of 10 s", Goal: measure.Goal{Sense: measure.AtLeast, Limit: frameGoal}},
		{Name: "playback of 1000 LEDs in Light, 99th percentile of a frame", Value: slow, Unit: "ms, best of three runs of 10 s", Goal: measure.Goal{Sense: measure.AtMost, Limit: slowGoal}},
	}, nil
}

// thousand is a job of 1000 LEDs in four lamps, 50 groups each, all moving.
func thousand() string {
	var b strings.Builder
	fmt.Fprintf(&b, "lampwright: 1\njob: {title: Wall of light, use: show-only}\nlamps:\n")
	for n := range 4 {
		fmt.Fprintf(&b, "  panel-%d:\n    place: {end: rear, side: centre, at: [%d mm, 900 mm]}\n    leds: [{grid: {name: field, from: [0, 0], to: [490, 40], columns: 50, rows: 5, group: 1 column, part: red-622}}]\n", n, -900+n*600)
	}
	fmt.Fprintf(&b, "modules:\n")
	for n := range 4 {
		fmt.Fprintf(&b, "  m%d: {board: chain-56, lamp: panel-%d, wiring: {field: 1..50}}\n", n, n)
	}
	fmt.Fprintf(&b, `inputs: {a: {wire: [m0.in1, m1.in1, m2.in1, m3.in1]}}
routines:
  drift:
    length: 4 s
    across: [panel-0, panel-1, panel-2, panel-3]
    strokes:
      - swing: {on: field, direction: right, band: 1800 mm, edge: 900 mm, by: group, for: 4 s, easing: gentle}
      - scatter: {on: field, for: 4 s, each: 900 ms, light: 45 %%, meets: brighter}
shows: [{drift: {input: a, stay: drift}}]
`)
	return b.String()
}

// commanding does every command of a window on the large job, from the request until the page has read the answer.
func commanding(browser context.Context) (list []measure.Figure, err error) {
	goal := measure.Goal{Sense: measure.Below, Limit: commandGoal}
	err = on(browser, largeJob(), func(w *screen) error {
		_, err := eval[bool](w, `(async () => {
			await until(() => sight());
			let base = (await (await fetch('/api/job')).json()).revision;
			const post = async (path, body) => {
				const begun = performance.now();
				const answer = await fetch(path, {method: 'POST', body: JSON.stringify({base, ...body})});
				const read = await answer.json();
				if (!answer.ok) throw new Error(path + ' ' + JSON.stringify(body) + ': ' + JSON.stringify(read));
				base = read.revision;
				return performance.now() - begun;
			};
			const calm = () => until(() => !document.querySelector('.status').textContent.includes('Checking')).then(() => new Promise((done) => setTimeout(done, 150)));
			window.command = async (before, name, args) => {
				const all = [];
				for (let n = 0; n < 3; n++) {
					for (const b of before) await post('/api/do', b);
					await calm();
					all.push(await post('/api/do', {name, args}));
					await calm();
					for (const _ of [1, ...before]) await post('/api/undo', {});
				}
				return all;
			};
			return true;
		})()`)
		slowest := measure.Figure{Name: "slowest command, 2000 LEDs in ten lamps, 50 routines", Unit: "ms", Goal: goal}
		for _, c := range largeCommands {
			if err != nil {
				return err
			}
			var before []string
			for _, b := range c.before {
				before = append(before, fmt.Sprintf(`{name: %q, args: %s}`, b.name, b.args))
			}
			var took []float64
			if took, err = eval[[]float64](w, fmt.Sprintf(`command([%s], %q, %s)`, strings.Join(before, ", "), c.name, c.args)); err != nil {
				return err
			}
			one := measure.Figure{Name: fmt.Sprintf("command %s, 2000 LEDs in ten lamps, 50 routines", c.name), Value: middle(took), Unit: "ms, median of 3", Goal: goal}
			list = append(list, one)
			if one.Value > slowest.Value {
				slowest.Value, slowest.Unit = one.Value, "ms, "+c.name
			}
		}
		list = append(list, slowest)
		return nil
	})
	return list, err
}

func middle(all []float64) float64 {
	slices.Sort(all)
	return all[len(all)/2]
}
