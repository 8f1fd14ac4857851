// Package uitest drives the workbench in a real browser, with mouse and keyboard, and looks at the job file on the disk afterwards.
//
// One file a place. Without Chromium the tests are skipped, but fail where CI is set.
package uitest

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"lampwright/report"
	"lampwright/session"
	"lampwright/web"
)

// patience is how long the page may take for a thing that it will do; a slow machine needs it.
const patience = 30 * time.Second

// browser is the one browser of all tests, started by the first.
var browser struct {
	once   sync.Once
	ctx    context.Context
	cancel []context.CancelFunc
	err    error
}

func TestMain(m *testing.M) {
	code := m.Run()
	for i := len(browser.cancel) - 1; i >= 0; i-- {
		browser.cancel[i]()
	}
	os.Exit(code)
}

// startBrowser gives the context of the browser. Without Chromium the test is skipped, on CI it fails.
func startBrowser(t *testing.T) context.Context {
	t.Helper()
	found := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			found = path
			break
		}
	}
	if found == "" {
		if os.Getenv("CI") != "" {
			t.Fatal("Chromium is not installed, and no place of the workbench was tested; next: apt-get install chromium")
		}
		t.Skip("Chromium is not installed, so the workbench is not tested in a browser; next: apt-get install chromium")
	}
	browser.once.Do(func() {
		options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(found))
		if os.Getuid() == 0 {
			options = append(options, chromedp.NoSandbox)
		}
		root, stop := chromedp.NewExecAllocator(context.Background(), options...)
		ctx, cancel := chromedp.NewContext(root)
		browser.cancel = []context.CancelFunc{stop, cancel}
		browser.ctx, browser.err = ctx, chromedp.Do(ctx)
	})
	if browser.err != nil {
		t.Fatalf("Chromium does not start: %v", browser.err)
	}
	return browser.ctx
}

// Page is the workbench in a tab of its own, on a job of its own.
type Page struct {
	testing.TB
	Ctx  context.Context // of the tab
	Path string          // of the job file
}

// openPage serves a job and opens the workbench at a place, such as "wiring", in a window of 1280 by 720. More may change what
// the server is given.
func openPage(t *testing.T, text, place string, more ...func(*web.Config)) *Page {
	t.Helper()
	startBrowser(t)
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	desk, err := session.Open(path, session.Options{})
	if err != nil {
		t.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	const key = "the-key-of-this-test"
	host := listener.Addr().String()
	config := web.Config{
		Desk: desk, Folder: filepath.Dir(path), Key: key, Host: host, Page: web.Page(),
		Open: func(path string) (*session.Desk, error) { return session.Open(path, session.Options{}) },
		Make: func(*session.State) ([]web.File, report.List) {
			return []web.File{{Name: "summary.txt", Data: []byte("made\n")}}, nil
		},
		LoadCommand: func(job, module string) string { return fmt.Sprintf("lampwright load %s %s", job, module) },
	}
	for _, change := range more {
		change(&config)
	}
	handler := web.New(config)
	server := &http.Server{Handler: handler}
	go server.Serve(listener)

	look, end := time.NewTicker(100*time.Millisecond), make(chan struct{})
	go desk.LookEvery(look.C, end)
	t.Cleanup(func() {
		close(end)
		handler.Close()
		server.Close()
	})
	p := openTab(t, "http://"+host+"/?key="+key)
	p.Path = path
	p.Go(place)
	return p
}

// openTab opens an address of the workbench in a tab with cookies of its own, in a window of 1280 by 720. What the page writes to
// its console as an error fails the test.
func openTab(t *testing.T, address string) *Page {
	t.Helper()
	ctx, cancel := chromedp.NewContext(startBrowser(t), chromedp.WithNewBrowserContext())
	p := &Page{TB: t, Ctx: ctx}
	p.Do(chromedp.EmulateViewport(1280, 720))
	console := chromedp.Console(ctx)
	read := make(chan struct{})
	go func() {
		defer close(read)
		for m, err := range console {
			if err != nil {
				return
			}
			refused := strings.HasPrefix(m.URL, address[:strings.LastIndex(address, "/")]+"/api/") && strings.Contains(m.String(), "status of 4") // an answer like another
			if (m.IsException() || m.Type == chromedp.ConsoleError) && !refused {
				t.Errorf("console: %s:%d %s", m.URL, m.Line+1, m)
			}
		}
	}()
	t.Cleanup(func() {
		cancel()
		<-read
	})
	p.Do(chromedp.Navigate(address), chromedp.WaitVisible(chromedp.CSS("main")))
	return p
}

// Go opens a place by its address.
func (p *Page) Go(place string) {
	p.Helper()
	p.Do(chromedp.Evaluate[chromedp.Void]("location.hash = " + quoted(place)))
}

// Do runs actions on the tab.
func (p *Page) Do(actions ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	ctx, cancel := p.within()
	defer cancel()
	if err := chromedp.Do(ctx, actions...); err != nil {
		p.Fatal(err)
	}
}

// within bounds an action; the first one, which opens the tab, may not be bounded, for the tab would end with it.
func (p *Page) within() (context.Context, context.CancelFunc) {
	if chromedp.FromContext(p.Ctx).Target == nil {
		return p.Ctx, func() {}
	}
	return context.WithTimeout(p.Ctx, patience)
}

// middle gives the middle of an element in the window, once a hand could aim at it: it is scrolled to where it can be seen, has
// stopped moving, and nothing lies over it.
func (p *Page) middle(css string) (x, y float64) {
	p.Helper()
	return p.aim(css, fmt.Sprintf(`(() => {
		const e = document.querySelector(%s);
		if (!e) return null;
		e.scrollIntoView({block: 'nearest', inline: 'nearest', behavior: 'instant'});
		const b = e.getBoundingClientRect(), x = b.left + b.width / 2, y = b.top + b.height / 2;
		const top = document.elementFromPoint(x, y);
		return b.width > 0 && b.height > 0 && top && (e.contains(top) || top.contains(e) || e.closest('label')?.contains(top)) ? [x, y] : null;
	})()`, quoted(css)))
}

// still is how long a place that is aimed at must have stayed where it is.
const still = 80 * time.Millisecond

// aim evaluates an expression that gives a place of the window, or null, until it has given the same one for a while.
func (p *Page) aim(what, place string) (x, y float64) {
	p.Helper()
	var last []float64
	since, end := time.Now(), time.Now().Add(patience)
	for {
		at := ask[[]float64](p, "new Promise(f => requestAnimationFrame(() => f("+place+")))")
		now := time.Now()
		switch {
		case len(at) != 2 || !slices.Equal(at, last):
			last, since = at, now
		case now.Sub(since) >= still:
			return at[0], at[1]
		}
		if now.After(end) {
			p.Fatalf("nobody can aim at %s: it is not there, does not rest, or lies under something else", what)
		}
	}
}

// Click clicks the middle of an element, once a hand could.
func (p *Page) Click(css string) {
	p.Helper()
	x, y := p.middle(css)
	p.Do(chromedp.MouseEvent("mouseMoved", x, y), chromedp.MouseClickXY(x, y))
}

// Drag drags from the middle of one element to that of another.
func (p *Page) Drag(from, to string) {
	p.Helper()
	p.middle(from)
	tx, ty := p.middle(to)
	fx, fy := p.middle(from)
	p.Do(chromedp.DragAndDropXY(fx, fy, tx, ty))
}

// Press types keys into whatever has the focus.
func (p *Page) Press(keys string, modifiers ...chromedp.Modifier) {
	p.Helper()
	p.Do(chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// Enter presses Enter for a handler of keys alone: what gets the focus meanwhile does not see it.
func (p *Page) Enter() {
	p.Helper()
	p.Do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		for _, typ := range []input.DispatchKeyEventType{input.DispatchKeyEventTypeRawKeyDown, input.DispatchKeyEventTypeKeyUp} {
			_, err := cdp.Call(ctx, t, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: typ, Key: "Enter", Code: "Enter", WindowsVirtualKeyCode: 13, NativeVirtualKeyCode: 13})
			if err != nil {
				return chromedp.Void{}, err
			}
		}
		return chromedp.Void{}, nil
	})
}

// Wait waits until an expression of the page is true.
func (p *Page) Wait(expression string) {
	p.Helper()
	ctx, cancel := p.within()
	defer cancel()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](expression, chromedp.WithPollingTimeout(patience))); err != nil {
		p.Fatalf("waiting for %s: %v", expression, err)
	}
}

// Text gives what an element shows.
func (p *Page) Text(css string) string {
	p.Helper()
	return ask[string](p, "document.querySelector("+quoted(css)+")?.innerText ?? ''")
}

// ask evaluates an expression in the page.
func ask[T any](p *Page, expression string) T {
	p.Helper()
	ctx, cancel := p.within()
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, awaited))
	if err != nil {
		p.Fatalf("%s: %v", expression, err)
	}
	return v
}

// File gives the job file as it is on the disk.
func (p *Page) File() string {
	p.Helper()
	text, err := os.ReadFile(p.Path)
	if err != nil {
		p.Fatal(err)
	}
	return string(text)
}

// WaitFile waits until the job file holds a text.
func (p *Page) WaitFile(want string) {
	p.Helper()
	for end := time.Now().Add(patience); !strings.Contains(p.File(), want); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			p.Fatalf("the job file does not say %q:\n%s", want, p.File())
		}
	}
}

// Shot keeps a picture of the page where the environment's SHOTS names a folder; elsewhere it does nothing.
func (p *Page) Shot(name string) {
	p.Helper()
	folder := os.Getenv("SHOTS")
	if folder == "" {
		return
	}
	ctx, cancel := p.within()
	defer cancel()
	png, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = errors.Join(os.MkdirAll(folder, 0o755), os.WriteFile(filepath.Join(folder, name+".png"), png, 0o644))
	}
	if err != nil {
		p.Fatal(err)
	}
}

// Axe runs axe-core on the page by the rules of WCAG 2.2 AA; what it finds fails the test.
func (p *Page) Axe(what string) {
	p.Helper()
	axe, err := os.ReadFile("../vendor/axe-core/axe.min.js")
	if err != nil {
		p.Fatal(err)
	}
	ctx, cancel := p.within()
	defer cancel()
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](string(axe)+`;
		Promise.all(document.getAnimations().map(a => a.finished)).then(() => axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']}).then(r =>
			r.violations.flatMap(v => v.nodes.map(n => v.id + ': ' + n.target.join(' ') + ': ' + n.failureSummary))))`, awaited))
	if err != nil {
		p.Fatal(err)
	}
	for _, f := range found {
		p.Errorf("%s: %s", what, f)
	}
}

// awaited waits for the promise that an expression gives.
func awaited(params *runtime.EvaluateParams) { params.AwaitPromise = new(true) }

// named says of an action that failed what it was.
func named(what string, a chromedp.Action[chromedp.Void]) chromedp.Action[chromedp.Void] {
	return func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		v, err := a(ctx, t)
		if err != nil {
			err = fmt.Errorf("%s: %w", what, err)
		}
		return v, err
	}
}

// quoted writes a text as JavaScript has it.
func quoted(text string) string { return fmt.Sprintf("%q", text) }
