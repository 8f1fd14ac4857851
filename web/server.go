package web

import (
	"context"
	"io/fs"
	"net/http"

	"lampwright/compile"
	"lampwright/figures"
	"lampwright/kit"
	"lampwright/report"
	"lampwright/script"
	"lampwright/session"
)

// Config is what a server needs from outside.
type Config struct {
	Desk *session.Desk
	Key  string // random; who shows it may work. Not empty
	Host string // host and port at which the browser asks, such as 127.0.0.1:4711
	Page fs.FS  // the front end: index.html and what it loads

	// Make gives the files of a kit, ready to ship, or what stops it.
	Make func(s *session.State) ([]File, report.List)
	// Prove runs the modules on the simulated processor. Progress may be called from any goroutine. Nil: this machine cannot.
	Prove func(ctx context.Context, s *session.State, line script.Script, progress func(share float64)) (Proof, error)
	// Play starts all modules of a compiled job, to be stepped through a script's presses.
	Play func(k *kit.Kit, r *compile.Result, line *script.Timeline) (*figures.Player, error)
	// LoadCommand gives the command that writes a module's program into its controller.
	LoadCommand func(module string) string
}

// File is one file of a kit.
type File struct {
	Name string
	Data []byte
}

// Proof is what a proof found, a verdict a module.
type Proof struct {
	Proven  bool        `json:"proven"`
	Modules []ProofLine `json:"modules"`
}

// ProofLine is one module's verdict for the screen.
type ProofLine struct {
	Module    string   `json:"module"`
	Proven    bool     `json:"proven"`
	Refreshes int      `json:"refreshes"`
	Problems  []string `json:"problems"`
}

// Server serves one desk.
type Server struct {
	Config
	results results
	tasks   tasks
	bench   bench
	mux     *http.ServeMux
}

// New makes a server. Close stops what it has begun.
func New(c Config) *Server {
	s := &Server{Config: c, mux: http.NewServeMux()}
	s.results.begin(c.Desk)
	s.tasks.begin()
	s.bench.begin(s)
	s.mux.HandleFunc("GET /api/job", s.getJob)
	s.mux.HandleFunc("GET /api/schema", s.getSchema)
	s.mux.HandleFunc("GET /api/commands", s.getCommands)
	s.mux.HandleFunc("GET /api/events", s.getEvents)
	s.mux.HandleFunc("POST /api/do", s.postDo)
	s.mux.HandleFunc("POST /api/undo", s.step((*session.Desk).Undo))
	s.mux.HandleFunc("POST /api/redo", s.step((*session.Desk).Redo))
	s.mux.HandleFunc("POST /api/save", s.step(func(d *session.Desk, _ string) report.List { d.Save(); return nil }))
	s.mux.HandleFunc("POST /api/text", s.postText)
	s.mux.HandleFunc("POST /api/film", s.postFilm)
	s.mux.HandleFunc("POST /api/make", s.postMake)
	s.mux.HandleFunc("POST /api/prove", s.postProve)
	s.mux.HandleFunc("POST /api/task/{id}/stop", s.stopTask)
	s.mux.HandleFunc("POST /api/bench", s.postBench)
	s.mux.HandleFunc("GET /api/bench/light", s.getBenchLight)
	s.mux.Handle("GET /", http.FileServerFS(c.Page))
	return s
}

// Close stops running tasks, the bench and the background work.
func (s *Server) Close() {
	s.tasks.close()
	s.bench.close()
	s.results.close()
}

// ServeHTTP lets in who may come in.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.guard(w, r) }
