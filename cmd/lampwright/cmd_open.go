package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"time"

	"lampwright/loader"
	"lampwright/proof"
	"lampwright/report"
	"lampwright/session"
	"lampwright/web"
)

type openCommand struct {
	Job       string `arg:"" optional:"" help:"The job file, or a folder of jobs; left out, this folder." default:"."`
	Port      int    `help:"The port to serve at; left out, any that is free." default:"0"`
	NoBrowser bool   `help:"Print the address and start no browser."`
}

func (openCommand) Help() string {
	return `Opens the job on the workbench: a page in the browser, served by this program to this machine alone. The text file stays yours: what
is done in the page changes a few lines of it, and what another editor changes shows in the page at once. Without a job the page
offers to begin one. Ctrl-C ends it.

Examples:

  lampwright open
  lampwright open my-tail.yaml`
}

// lookEvery is how often the job file is looked at for changes of other programs.
const lookEvery = 300 * time.Millisecond

func (c openCommand) Run(e *env) error {
	open := func(path string) (*session.Desk, error) {
		desk, err := session.Open(path, session.Options{Steps: e.stepsFolder()})
		if err == nil {
			tick := time.NewTicker(lookEvery)
			go func() {
				desk.LookEvery(tick.C, e.ctx.Done())
				tick.Stop()
			}()
		}
		return desk, err
	}
	var desk *session.Desk
	folder := c.Job
	if info, err := os.Stat(c.Job); err != nil || !info.IsDir() {
		folder = filepath.Dir(c.Job)
		if desk, err = open(c.Job); err != nil {
			return e.faults(err)
		}
	}
	listener, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", c.Port))
	if err != nil {
		why := "another program may have it"
		switch {
		case c.Port < 0 || c.Port > 65535:
			e.problem(fmt.Sprintf("there is no port %d", c.Port), "leave --port out, or choose 1024 to 65535")
			return badUsage
		case errors.Is(err, fs.ErrPermission):
			why = "you do not have the right"
		}
		e.problem(fmt.Sprintf("port %d cannot be had: %s", c.Port, why), "leave --port out, or choose another from 1024 to 65535")
		return lacking
	}
	config := web.Config{
		Desk: desk, Folder: folder, Open: open, Key: rand.Text(), Host: listener.Addr().String(), Page: web.Page(),
		Make: makeForPage, Prover: e.prover(),
		Ports: loader.Ports, OpenPort: loader.Open,
		LoadCommand: func(job, module string) string { return fmt.Sprintf("lampwright load %s %s", shown(job), module) },
	}
	page := web.New(config)
	defer page.Close()

	address := fmt.Sprintf("http://%s/?key=%s", config.Host, config.Key)
	what := c.Job
	if what == "." {
		what = "this folder"
	}
	e.say("%s is open at %s", what, address)
	e.tell("next: work in the browser; Ctrl-C here ends it")
	if !c.NoBrowser {
		if err := startBrowser(address); err != nil {
			e.tell("no browser could be started; open the address yourself")
		}
	}
	server := &http.Server{Handler: page, ReadHeaderTimeout: 10 * time.Second}
	go func() {
		<-e.ctx.Done()
		page.Close()
		ctx, cancel := context.WithTimeout(context.Background(), time.Second)
		defer cancel()
		if server.Shutdown(ctx) != nil {
			server.Close()
		}
	}()
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		e.problem("the page can no longer be served", "start lampwright open again; the job is saved")
		return found
	}
	return nil
}

// stepsFolder is where undo outlives a restart; "" when this machine names no place for such things.
func (e *env) stepsFolder() string {
	folder := e.getenv("LAMPWRIGHT_CACHE")
	if folder == "" {
		cache, err := os.UserCacheDir()
		if err != nil {
			return ""
		}
		folder = filepath.Join(cache, "lampwright")
	}
	return filepath.Join(folder, "steps")
}

// startBrowser asks the machine to show an address.
func startBrowser(address string) error {
	switch runtime.GOOS {
	case "windows":
		return exec.Command("rundll32", "url.dll,FileProtocolHandler", address).Start()
	case "darwin":
		return exec.Command("open", address).Start()
	}
	return exec.Command("xdg-open", address).Start()
}

// builtFor makes of a revision what a command makes of a job file.
func builtFor(s *session.State) (*built, report.List) {
	if s.Kit == nil {
		return nil, s.Problems
	}
	return assemble(s.Kit, s.File, nil)
}

func makeForPage(s *session.State) ([]web.File, report.List) {
	b, list := builtFor(s)
	if b == nil {
		return nil, list
	}
	files, err := b.files()
	if err != nil {
		return nil, report.List{report.Errorf("make", report.Place{}, "the files cannot be made: %v", err).Do("mend what is wrong first")}
	}
	var out []web.File
	for _, f := range files {
		out = append(out, web.File{Name: f.name, Data: f.data})
	}
	return out, nil
}

// prover gives what proves a job for the page.
func (e *env) prover() web.Prover {
	return web.Prover{
		Ready: func(ctx context.Context) error {
			cache, done := e.cache()
			defer done()
			_, err := proof.Prepare(ctx, cache)
			return err
		},
		Run: func(ctx context.Context, t proof.Trial) ([]proof.Verdict, error) {
			cache, done := e.cache()
			defer done()
			t.Cache = cache
			return t.Run(ctx)
		},
		Faults: func(ctx context.Context, t proof.FaultTrial) (*proof.FaultReport, error) {
			cache, done := e.cache()
			defer done()
			t.Cache = cache
			return t.Run(ctx)
		},
	}
}
