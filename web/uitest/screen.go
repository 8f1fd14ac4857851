package uitest

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"lampwright/report"
	"lampwright/session"
	"lampwright/web"
)

// screenKey is what lets a screen in.
const screenKey = "the-key-of-this-measurement"

// served is a workbench that serves a job from a folder of its own.
type served struct {
	address string
	end     []func()
}

func serve(text string) (*served, error) {
	folder, err := os.MkdirTemp("", "lampwright-speed-")
	if err != nil {
		return nil, err
	}
	s := &served{end: []func(){func() { os.RemoveAll(folder) }}}
	path := filepath.Join(folder, "job.yaml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		s.close()
		return nil, err
	}
	desk, err := session.Open(path, session.Options{Steps: filepath.Join(folder, "steps")})
	if err != nil {
		s.close()
		return nil, err
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		s.close()
		return nil, err
	}
	s.address = "http://" + listener.Addr().String()
	handler := web.New(web.Config{
		Desk: desk, Folder: folder, Key: screenKey, Host: listener.Addr().String(), Page: web.Page(),
		Open:        func(path string) (*session.Desk, error) { return session.Open(path, session.Options{}) },
		Make:        func(*session.State) ([]web.File, report.List) { return nil, nil },
		LoadCommand: func(job, module string) string { return fmt.Sprintf("lampwright load %s %s", job, module) },
	})
	server := &http.Server{Handler: handler}
	go server.Serve(listener)
	s.end = append(s.end, func() { handler.Close(); server.Close() })
	return s, nil
}

func (s *served) close() {
	for i := len(s.end) - 1; i >= 0; i-- {
		s.end[i]()
	}
}

// screen is a tab of the browser, as a person with a desk sees it.
type screen struct {
	ctx   context.Context
	close context.CancelFunc
	bytes func() int // that the tab has received
}

// mostWait bounds everything that is waited for.
const mostWait = 60 * time.Second

// browse starts the browser.
func browse(parent context.Context) (context.Context, context.CancelFunc, error) {
	path := Chromium()
	if path == "" {
		return nil, nil, errors.New("Chromium is not installed; next: apt-get install chromium")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path))
	if os.Getuid() == 0 {
		options = append(options, chromedp.NoSandbox)
	}
	root, stop := chromedp.NewExecAllocator(parent, options...)
	ctx, cancel := chromedp.NewContext(root)
	end := func() { cancel(); stop() }
	if err := chromedp.Do(ctx); err != nil {
		end()
		return nil, nil, err
	}
	return ctx, end, nil
}

// open makes a tab with nothing kept from before, and goes to a workbench.
func open(browser context.Context, s *served) (*screen, error) {
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	w := &screen{ctx: ctx, close: cancel}
	received := make(chan int, 1)
	received <- 0
	w.bytes = func() int { n := <-received; received <- n; return n }
	err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 720))
	if err == nil {
		err = chromedp.Listen(ctx, func(ev any) {
			if e, is := ev.(*network.EventLoadingFinished); is {
				received <- <-received + int(e.EncodedDataLength)
			}
		})
	}
	if err == nil {
		_, err = chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: watching})
	}
	if err == nil {
		err = chromedp.Do(ctx, chromedp.Navigate(s.address+"/?key="+screenKey))
	}
	if err != nil {
		cancel()
		return nil, err
	}
	return w, nil
}

// eval gives what an expression of the page comes to, promises waited for.
func eval[T any](w *screen, expression string) (T, error) {
	ctx, cancel := context.WithTimeout(w.ctx, mostWait)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](expression, func(p *runtime.EvaluateParams) { p.AwaitPromise = new(true) }))
	if err != nil {
		return v, fmt.Errorf("%.200s: %w", expression, err)
	}
	return v, nil
}

// press types keys.
func (w *screen) press(keys string, modifiers ...chromedp.Modifier) error {
	ctx, cancel := context.WithTimeout(w.ctx, mostWait)
	defer cancel()
	return chromedp.Do(ctx, chromedp.KeyEvent(keys, chromedp.KeyModifiers(modifiers...)))
}

// watching gives the page eyes of its own: until waits for a condition and gives the time, ms since the page was asked for; sight is
// the picture made small, to be compared; moving waits until it changes from what it was.
const watching = `(() => {
	const small = document.createElement('canvas');
	small.width = small.height = 64;
	const ink = small.getContext('2d', {willReadFrequently: true});
	window.sight = () => {
		const from = document.querySelector('.picture-light');
		if (!from || from.width < 2) return null;
		ink.drawImage(from, 0, 0, 64, 64);
		return ink.getImageData(0, 0, 64, 64).data;
	};
	window.differs = (a, b) => a === null || b === null ? false : a.some((v, i) => Math.abs(v - b[i]) > 3);
	window.until = (is) => new Promise((done) => {
		const look = () => is() ? requestAnimationFrame(() => done(performance.now())) : requestAnimationFrame(look);
		look();
	});
	window.moving = () => { let before = null; return until(() => { const now = sight(); const is = differs(before, now); before ??= now; return is; }); };
})()`
