package uitest

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/chromedp/chromedp"
)

// A lamp as a camera sees it: a face of 160 by 100 mm, seen a little from the side, with twelve lit LEDs in three rows.
var (
	photoCorners = [][2]float64{{0, 0}, {160, 0}, {160, 100}, {0, 100}} // mm
	photoLEDs    = func() (all [][2]float64) {
		for row := range 3 {
			for column := range 4 {
				all = append(all, [2]float64{20 + 40*float64(column), 80 - 30*float64(row)}) // as they are read
			}
		}
		return all
	}()
)

// seen gives the pixel at which a camera sees a point of the lamp: a plain pinhole camera, so that the test has a rule of its own.
func seen(p [2]float64) (x, y float64) {
	const turn = 0.3 // radians, about the upright axis
	dx, dy := p[0]-80, p[1]-50
	depth := 400 + dx*math.Sin(turn)
	return 400 + 1600*dx*math.Cos(turn)/depth, 300 - 1600*dy/depth
}

// photograph writes the picture: the face grey, its edge bright where the lamp is not lit, the LEDs as soft spots.
func photograph(t *testing.T, lit bool) string {
	t.Helper()
	const w, h = 800, 600
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetNRGBA(x, y, color.NRGBA{10, 10, 12, 255})
		}
	}
	disc := func(cx, cy, r float64, c color.NRGBA) {
		for y := int(cy - r); y <= int(cy+r); y++ {
			for x := int(cx - r); x <= int(cx+r); x++ {
				if math.Hypot(float64(x)+0.5-cx, float64(y)+0.5-cy) <= r && x >= 0 && y >= 0 && x < w && y < h {
					m.SetNRGBA(x, y, c)
				}
			}
		}
	}
	if !lit {
		for i, a := range photoCorners {
			b := photoCorners[(i+1)%4]
			for s := range 2000 {
				f := float64(s) / 2000
				x, y := seen([2]float64{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
				disc(x, y, 3, color.NRGBA{150, 60, 60, 255})
			}
		}
	}
	for _, p := range photoLEDs {
		x, y := seen(p)
		if lit {
			disc(x, y, 11, color.NRGBA{90, 20, 15, 255})
			disc(x, y, 6, color.NRGBA{255, 250, 245, 255})
		} else {
			disc(x, y, 6, color.NRGBA{90, 90, 95, 255})
		}
	}
	path := filepath.Join(t.TempDir(), "picture.png")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := png.Encode(f, m); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// pixel clicks a place of the photo as it lies on the sheet.
func (b *drawingBoard) pixel(x, y float64) {
	b.Helper()
	wx, wy := b.aim("the photo", fmt.Sprintf(`(() => {
		const img = document.querySelector('.sheet-photo'), host = img.parentElement.getBoundingClientRect();
		const p = new DOMMatrix(getComputedStyle(img).transform).transformPoint(new DOMPoint(%g, %g));
		return [host.left + p.x / p.w, host.top + p.y / p.w];
	})()`, x, y))
	b.Do(chromedp.MouseClickXY(wx, wy))
}

// A photo is laid under the sheet: two points and their distance give scale, four the perspective; the bright spots of a second
// picture, of the lit lamp, become LEDs where the LEDs are.
func TestLayoutPhoto(t *testing.T) {
	b := boardOf(t, layoutJob)
	b.Click(".layout-tabs button:nth-child(3)")
	b.Do(chromedp.SetUploadFiles(chromedp.CSS(".photo input[type=file]"), []string{photograph(t, false)}))
	b.WaitFile("photo: {file: photo-tail-lh-")
	b.Wait(`document.querySelector('.sheet-photo')?.naturalWidth === 800 && document.querySelector('.sheet-photo').style.transform !== ''`)
	b.Wait(`document.querySelector('.photo')?.innerText.includes('Click point 1 in the picture')`)
	b.Shot("layout-photo-new")

	for _, c := range photoCorners[:2] {
		b.pixel(seen(c))
	}
	b.Wait(`document.querySelectorAll('.marks li').length === 2 && document.querySelector('.photo').innerText.includes('how far apart')`)
	b.field("From 1 to 2", "160 mm")
	b.WaitFile("known: [{pixel: [")
	b.Wait(`document.querySelector('.photo')?.innerText.includes('To scale by 2 points')`)
	b.Shot("layout-photo-two")

	b.Click(".known summary")
	b.Click(".marks + button")
	for _, c := range photoCorners[2:] {
		b.pixel(seen(c))
	}
	b.Wait(`document.querySelectorAll('.marks li').length === 4`)
	for i, c := range photoCorners[2:] {
		b.field(fmt.Sprintf("Point %d x", i+3), fmt.Sprint(c[0]))
		b.field(fmt.Sprintf("Point %d y", i+3), fmt.Sprint(c[1]))
	}
	b.Wait(`document.querySelector('.photo')?.innerText.includes('To scale by 4 points')`)
	b.Shot("layout-photo-four")

	b.Do(chromedp.SetUploadFiles(chromedp.CSS(".photo .row ~ h3 ~ .row input[type=file]"), []string{photograph(t, true)}))
	b.Wait(`document.querySelector('.photo')?.innerText.includes('Another lit photo')`)
	b.Click(".slide + button")
	b.Wait(`document.querySelector('.spots-found')?.innerText.includes('12 found')`)
	b.Shot("layout-spots")
	b.field("Names begin with", "spot")
	b.Click(".spots-found .strong")
	b.WaitFile("name: spot-12,")
	b.Wait(`document.querySelector('.spots-found')?.innerText.includes('12 of them have an LED already')`)
	b.Shot("layout-spots-taken")
	found := regexp.MustCompile(`led: \{name: spot-(\d+), at: \[([-0-9.]+), ([-0-9.]+)\], part: red-622\}`).FindAllStringSubmatch(b.File(), -1)
	if len(found) != len(photoLEDs) {
		t.Fatalf("%d LEDs:\n%s", len(found), b.File())
	}
	const within = 0.5 // mm: a click is on a whole dot of the screen, here about a quarter of a millimetre
	for i, f := range found {
		x, _ := strconv.ParseFloat(f[2], 64)
		y, _ := strconv.ParseFloat(f[3], 64)
		if want := photoLEDs[i]; f[1] != strconv.Itoa(i+1) || math.Hypot(x-want[0], y-want[1]) > within {
			t.Errorf("%s stands at %v, %v and should be %d at %v", f[0], x, y, i+1, want)
		}
	}
	b.Press("z", chromedp.ModifierCtrl) // all of them are one step
	b.Wait(`document.querySelector('.spots-found .strong')?.innerText === 'Take all 12'`)
	if regexp.MustCompile(`spot-`).MatchString(b.File()) {
		t.Errorf("undo leaves some:\n%s", b.File())
	}
	// Some of them: those in a rectangle.
	b.measure()
	b.drag(10, 90, 70, 65)
	b.Wait(`document.querySelector('.spots-found .strong')?.innerText === 'Take the 2 chosen'`)
	b.Click(".spots-found .strong")
	b.WaitFile("name: spot-2,")
}
