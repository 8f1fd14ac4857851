package uitest

import (
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// pictures are those of the README, made by this test with UPDATE_GOLDEN=1: the demo job in some places, each with something to see.
var pictures = []struct {
	place string
	do    func(p *Page)
}{
	{"wiring", func(p *Page) { p.Wait(`document.querySelectorAll('.output').length > 0`) }},
	{"light", func(p *Page) {
		p.choose(".controls-routine select", "tide")
		p.Click(".stroke:nth-of-type(2) .stroke-bar")
		p.Do(chromedp.Focus(chromedp.CSS(".ruler")))
		for range 50 {
			p.Press(kb.ArrowRight)
		}
	}},
	{"signals", func(p *Page) {
		p.Click(`[data-switch="tail"] .switch-hold + button`)
		p.Click(`[data-switch="stop"] .switch-hold + button`)
		p.clickGroup("bar · bar.6")
	}},
	{"layout", func(p *Page) { p.Wait(`document.querySelector('.sheet-host canvas')?.width > 100`) }},
}

const pictureFolder, mostPictureBytes = "../../docs/pictures", 250_000

func TestPicturesOfTheREADME(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	if os.Getenv("UPDATE_GOLDEN") != "" {
		drawPictures(t)
	}
	for _, p := range pictures {
		name := p.place + ".png"
		if !strings.Contains(string(readme), "docs/pictures/"+name) {
			t.Errorf("the README does not show %s", name)
		}
		f, err := os.Open(filepath.Join(pictureFolder, name))
		if err != nil {
			t.Errorf("%v (UPDATE_GOLDEN=1 draws it)", err)
			continue
		}
		info, _ := f.Stat()
		size, err := png.DecodeConfig(f)
		f.Close()
		if err != nil || size.Width != 1280 || size.Height != 720 || info.Size() > mostPictureBytes {
			t.Errorf("%s: %d by %d, %d bytes: %v", name, size.Width, size.Height, info.Size(), err)
		}
	}
}

func drawPictures(t *testing.T) {
	text, err := os.ReadFile("../../examples/pickup/pickup.yaml")
	if err != nil {
		t.Fatal(err)
	}
	folder, err := filepath.Abs(pictureFolder)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("SHOTS", folder)
	page := openPage(t, string(text), "job")
	page.Do(chromedp.EmulateViewport(1280, 720))
	for _, p := range pictures {
		page.rested(p.place)
		p.do(page)
		time.Sleep(2 * time.Second) // a picture is for eyes: let all of it settle
		page.Shot(p.place)
	}
}
