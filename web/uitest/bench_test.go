package uitest

import "testing"

// The bench streams: a tap on the brake lights the lamp and leaves it on, another puts it out.
func TestBenchStreams(t *testing.T) {
	p := openPage(t, signalsJob, "bench")
	p.Wait(`(document.querySelector('.modules-state')?.innerText ?? '').includes('1 module runs')`)
	p.Click(`.big.road-stop`)
	p.Wait(`document.querySelector('.big.road-stop').innerText.includes('on')`)
	p.says("lamp · bar.3", "100 % light")
	if high := ask[float64](p, `Math.min(...[...document.querySelectorAll('.bench-board button')].map(b => b.getBoundingClientRect().height))`); high < 56 {
		t.Errorf("a button of the bench is %g dots high", high)
	}
	p.Axe("bench")
	p.Shot("bench")
	p.Click(`.big.road-stop`)
	p.says("lamp · bar.3", "0 % light")
}
