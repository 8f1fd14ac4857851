package uitest

import (
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// pictures are those of the README, made by this test with UPDATE_GOLDEN=1: the demo job in some places.
var pictures = []struct{ name, place, ready string }{
	{"wiring", "wiring", `document.querySelectorAll('.walk, canvas').length > 0`},
	{"light", "light", `document.querySelectorAll('canvas').length > 0`},
	{"layout", "layout", `document.querySelectorAll('canvas').length > 0`},
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
		name := p.name + ".png"
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
		page.Go(p.place)
		page.Wait(p.ready)
		if p.place == "light" {
			ask[bool](page, `(() => { const s = document.querySelector('select'); s.value = [...s.options].find((o) => o.text === 'tide').value; s.dispatchEvent(new Event('change', { bubbles: true })); return true; })()`)
		}
		time.Sleep(3 * time.Second) // a picture is for eyes: let all of it settle
		page.Shot(p.name)
	}
}
