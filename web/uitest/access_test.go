package uitest

import (
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"lampwright/examples"
	"lampwright/session"
	"lampwright/web"
)

// sizes are a laptop, a tablet held upright, and a large screen.
var sizes = [][2]int64{{1280, 720}, {800, 1280}, {3840, 2160}}

var themes = []string{"light", "dark"}

// shots is where pictures of every place are kept to be looked at: SHOTS, or a folder that git ignores.
func shots(t *testing.T) {
	t.Helper()
	if os.Getenv("SHOTS") != "" {
		return
	}
	folder, err := filepath.Abs("../../out/shots")
	if err != nil {
		t.Fatal(err)
	}
	t.Setenv("SHOTS", folder)
}

func (p *Page) theme(name string) {
	p.Helper()
	p.Do(chromedp.Evaluate[chromedp.Void](`document.documentElement.dataset.theme = ` + quoted(name)))
}

// rested waits until a place stands there and nothing is worked out any more.
func (p *Page) rested(place string) {
	p.Helper()
	p.Go(place)
	p.Wait(`document.querySelector('[aria-current=page]')?.getAttribute('href') === '#` + place + `' && !document.querySelector('.picture-busy') && !document.querySelector('.status')?.innerText.includes('Checking')`)
}

// Every place fits every window, in both themes, and holds to WCAG 2.2 AA as far as axe can tell; pictures of all are kept.
func TestEveryPlaceLooksRight(t *testing.T) {
	shots(t)
	p := openPage(t, string(examples.Pickup), "job")
	p.Wait(`document.querySelectorAll('.rail-place').length > 0`)
	places := ask[[]string](p, `[...document.querySelectorAll('.rail-place')].map(a => a.getAttribute('href').slice(1))`)
	if len(places) < 7 {
		t.Fatalf("only the places %v", places)
	}
	for _, theme := range themes {
		p.theme(theme)
		for _, size := range sizes {
			p.Do(chromedp.EmulateViewport(size[0], size[1]))
			for _, place := range places {
				p.rested(place)
				what := fmt.Sprintf("%s-%s-%d", place, theme, size[0])
				if size == sizes[0] {
					p.Axe(what)
				}
				if wide := ask[float64](p, `Math.max(document.documentElement.scrollWidth - innerWidth, document.querySelector('main').scrollWidth - document.querySelector('main').clientWidth)`); wide > 1 {
					t.Errorf("%s is %v dots wider than its window", what, wide)
				}
				p.Shot(what)
			}
		}
	}
}

// What lies over the places holds to the same rules: panels, the palette, the settings, the list of keys, and a command's form.
func TestWhatLiesOverThePlaces(t *testing.T) {
	shots(t)
	p := openPage(t, string(examples.Pickup), "job")
	p.rested("job")
	for _, theme := range themes {
		p.theme(theme)
		for _, panel := range []string{"i", "p", "t"} {
			p.Press(panel)
			p.Wait(`document.querySelector('.drawer') !== null`)
			p.Axe(theme + " panel " + panel)
			p.Shot("panel-" + panel + "-" + theme)
			p.Do(chromedp.Evaluate[chromedp.Void](`document.activeElement?.blur()`))
			p.Press(panel)
			p.Wait(`document.querySelector('.drawer') === null`)
		}
		for _, over := range []struct{ name, says string }{{"palette", ""}, {"keys", "List of keys"}, {"settings", "View: theme"}, {"command", "Command rename"}} {
			p.Press("k", chromedp.ModifierCtrl)
			p.Wait(`document.querySelector('dialog[open] .palette-input') !== null`)
			if over.says != "" {
				p.Press(over.says + "\r")
				p.Wait(`document.querySelector('.palette-input') === null`)
			}
			p.Wait(`document.querySelector('dialog[open]') !== null`)
			p.Axe(theme + " " + over.name)
			p.Shot(over.name + "-" + theme)
			p.Press(kb.Escape)
			p.Wait(`document.querySelector('dialog') === null`)
		}
	}
}

// The page without a job holds to the rules too.
func TestTheFirstStartIsAccessible(t *testing.T) {
	shots(t)
	folder := t.TempDir()
	p := openFolder(t, folder)
	p.Wait(`document.querySelector('.start') !== null`)
	for _, theme := range themes {
		p.theme(theme)
		for _, size := range sizes {
			p.Do(chromedp.EmulateViewport(size[0], size[1]))
			p.Axe(fmt.Sprintf("start %s %d", theme, size[0]))
			p.Shot(fmt.Sprintf("start-%s-%d", theme, size[0]))
		}
	}
}

// openFolder opens the workbench on a folder, without a job.
func openFolder(t *testing.T, folder string) *Page {
	t.Helper()
	startBrowser(t)
	listener, host := listen(t)
	const key = "the-key-of-this-test"
	handler := web.New(web.Config{
		Folder: folder, Key: key, Host: host, Page: web.Page(),
		Open:        func(path string) (*session.Desk, error) { return session.Open(path, session.Options{}) },
		LoadCommand: func(job, module string) string { return job + " " + module },
	})
	server := &http.Server{Handler: handler}
	go server.Serve(listener)
	t.Cleanup(func() {
		handler.Close()
		server.Close()
	})
	return openTab(t, "http://"+host+"/?key="+key)
}

func listen(t *testing.T) (net.Listener, string) {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	return listener, listener.Addr().String()
}
