package web

import (
	"io/fs"
	"net/http"
	"sync"
	"sync/atomic"

	"lampwright/loader"
	"lampwright/report"
	"lampwright/session"
)

// Config is what a server needs from outside.
type Config struct {
	Desk   *session.Desk // nil: none is open yet, and the page asks which
	Folder string        // where jobs lie and are begun
	// Open opens a job file of the folder.
	Open func(path string) (*session.Desk, error)

	Key  string // random; who shows it may work. Not empty
	Host string // host and port at which the browser asks, such as 127.0.0.1:4711
	Page fs.FS  // the front end: index.html and what it loads

	// Make gives the files of a kit, ready to ship, or what stops it.
	Make   func(s *session.State) ([]File, report.List)
	Prover Prover // of jobs
	// LoadCommand gives the command that writes a module's program into its controller.
	LoadCommand func(job, module string) string

	Ports    func() []string                                         // serial ports of this machine
	OpenPort func(name string) (loader.OpenPort, *report.Diagnostic) // nil: this machine has none
}

// File is one file of a kit.
type File struct {
	Name string
	Data []byte
}

// Server serves one desk.
type Server struct {
	Config
	begun   sync.Mutex // held while a job is begun
	desk    atomic.Pointer[session.Desk]
	results results
	tasks   tasks
	bench   bench
	asked   asked
	walks   walks
	mux     *http.ServeMux
	ending  sync.Once
}

// New makes a server. Close stops what it has begun.
func New(c Config) *Server {
	s := &Server{Config: c, mux: http.NewServeMux()}
	s.tasks.begin()
	s.bench.begin(s)
	s.results.begin()
	if c.Desk != nil {
		s.open(c.Desk)
	}
	s.mux.HandleFunc("GET /api/job", s.getJob)
	s.mux.HandleFunc("POST /api/start", s.postStart)
	s.mux.HandleFunc("GET /api/schema", s.getSchema)
	s.mux.HandleFunc("GET /api/commands", s.getCommands)
	s.mux.HandleFunc("GET /api/parts", s.getParts)
	s.mux.HandleFunc("GET /api/events", s.getEvents)
	for path, serve := range map[string]http.HandlerFunc{
		"POST /api/do":             s.postDo,
		"POST /api/undo":           s.step((*session.Desk).Undo),
		"POST /api/redo":           s.step((*session.Desk).Redo),
		"POST /api/save":           s.step(func(d *session.Desk, _ string) report.List { d.Save(); return nil }),
		"POST /api/text":           s.postText,
		"POST /api/film":           s.postFilm,
		"POST /api/light":          s.postLight,
		"GET /api/memory":          s.getMemory,
		"GET /api/asks":            s.getAsks,
		"GET /api/earlier":         s.getEarlier,
		"POST /api/make":           s.postMake,
		"GET /api/proof":           s.getProof,
		"GET /api/scripts":         s.getScripts,
		"POST /api/scripts":        s.postScripts,
		"DELETE /api/scripts":      s.deleteScripts,
		"POST /api/walks":          s.postWalks,
		"GET /api/feed":            s.getFeed,
		"POST /api/scope":          s.postScope,
		"POST /api/prove":          s.postProve,
		"POST /api/faults":         s.postFaults,
		"GET /api/task/{id}":       s.getTask,
		"POST /api/task/{id}/stop": s.stopTask,
		"POST /api/bench":          s.postBench,
		"GET /api/bench/light":     s.getBenchLight,
		"POST /api/bench/why":      s.postBenchWhy,
		"POST /api/why":            s.postWhy,
		"GET /api/live":            s.getLive,
		"POST /api/live":           s.postLive,
		"POST /api/photo":          s.postPhoto,
		"GET /api/photo/{name}":    s.getPhoto,
		"POST /api/spots":          s.postSpots,
	} {
		s.mux.HandleFunc(path, s.withDesk(serve))
	}
	s.mux.Handle("GET /", newPage(c.Page))
	return s
}

// Close stops running tasks, the bench and the background work.
func (s *Server) Close() {
	s.ending.Do(func() {
		s.tasks.close()
		s.results.close()
		s.bench.close()
	})
}

// open puts a job on the bench.
func (s *Server) open(d *session.Desk) {
	s.desk.Store(d)
	s.results.follow(d)
}

// withDesk refuses what needs a job while none is open.
func (s *Server) withDesk(serve http.HandlerFunc) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if s.desk.Load() == nil {
			refuse(w, r, one("open a job or begin one", "no job is open"))
			return
		}
		serve(w, r)
	}
}

// ServeHTTP lets in who may come in.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.guard(w, r) }
