package web

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lampwright/board"
	"lampwright/examples"
	"lampwright/program"
	"lampwright/report"
	"lampwright/source"
)

// beginning is what a window sees while no job is open: the jobs of the folder. It may begin one in three ways.
type beginning struct {
	None   bool     `json:"none"`
	Folder string   `json:"folder"`
	Jobs   []string `json:"jobs"`
}

// mostJobs bounds the list of jobs of a folder.
const mostJobs = 200

func (s *Server) begin() beginning {
	b := beginning{None: true, Folder: s.Folder, Jobs: []string{}}
	files, _ := os.ReadDir(s.Folder) // a folder that cannot be read has no jobs to offer
	for _, f := range files {
		if !f.IsDir() && strings.HasSuffix(f.Name(), ".yaml") && len(b.Jobs) < mostJobs {
			b.Jobs = append(b.Jobs, f.Name())
		}
	}
	return b
}

// start is how a job is begun: the demo, a lamp of LEDs in columns and rows, or a file that is there.
type start struct {
	Way  string `json:"way"`  // demo, lamp or file
	Name string `json:"name"` // of the file

	Title     string  `json:"title"`
	Use       string  `json:"use"`
	Side      string  `json:"side"` // LH, RH or centre
	End       string  `json:"end"`  // rear or front
	Columns   int     `json:"columns"`
	Rows      int     `json:"rows"`
	SpacingMM float64 `json:"spacingMm"`
	Part      string  `json:"part"`
}

func (s *Server) postStart(w http.ResponseWriter, r *http.Request) {
	var q start
	if !read(w, r, &q) {
		return
	}
	s.begun.Lock()
	defer s.begun.Unlock()
	if s.desk.Load() != nil {
		refuse(w, r, one("lampwright open JOB opens another beside it", "a job is open already"))
		return
	}
	if list := s.begins(q); list != nil {
		refuse(w, r, list)
		return
	}
	answer(w, r, http.StatusOK, s.view())
}

// begins opens the job that is asked for, after writing it where it is new.
func (s *Server) begins(q start) report.List {
	if !strings.HasSuffix(q.Name, ".yaml") {
		q.Name += ".yaml"
	}
	if problem := source.NameProblem(strings.TrimSuffix(q.Name, ".yaml")); problem != "" && q.Way != "file" || q.Name != filepath.Base(q.Name) {
		return one("name it like my-tail: lower-case letters, digits and hyphens", "%q cannot be the name of a job file", q.Name)
	}
	path := filepath.Join(s.Folder, q.Name)
	text := []byte(nil)
	switch q.Way {
	case "file":
	case "demo":
		text = examples.Pickup
	case "lamp":
		written, list := q.lamp()
		if list != nil {
			return list
		}
		text = []byte(written)
	default:
		return one("choose demo, lamp or file", "there is no way %q to begin", q.Way)
	}
	if text != nil {
		f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if errors.Is(err, fs.ErrExist) {
			return one("choose another name, or open that file", "there is a file %s already", q.Name)
		}
		if err == nil {
			_, err = f.Write(text)
			err = errors.Join(err, f.Sync(), f.Close())
		}
		if err != nil {
			return one("check the folder, its permissions and the free space", "%s cannot be written into %s", q.Name, s.Folder)
		}
	}
	desk, err := s.Open(path)
	if err != nil {
		return faultsOf(err)
	}
	s.open(desk)
	return nil
}

// Bounds of a lamp that is begun here; a larger one grows on the bench.
const (
	mostColumns, mostRows = program.MaxOutputs, 50
	mostSpacingMM         = 200
)

// lamp writes a job with one lamp, every column a group, and a module that drives it.
func (q start) lamp() (string, report.List) {
	switch {
	case q.Columns < 1 || q.Columns > mostColumns || q.Rows < 1 || q.Rows > mostRows:
		return "", one("choose 1 to 64 columns and 1 to 50 rows", "%d columns and %d rows cannot be laid out here", q.Columns, q.Rows)
	case !(q.SpacingMM > 0 && q.SpacingMM <= mostSpacingMM):
		return "", one("choose a spacing up to 200 mm", "LEDs cannot stand %v mm apart", q.SpacingMM)
	case !slices.Contains([]string{"LH", "RH", "centre"}, q.Side) || !slices.Contains([]string{"rear", "front"}, q.End) || !slices.Contains([]string{"road-us", "road-un", "show-only"}, q.Use):
		return "", one("choose from the lists", "side, end or use is none of those there are")
	case source.NameProblem(q.Part) != "":
		return "", one("choose an LED from the list", "there is no LED called %q", q.Part)
	}
	size := (q.Columns + 7) / 8
	kind := fmt.Sprintf("chain-%d", 8*size)
	if _, err := board.Find(kind); err != nil {
		return "", one("choose fewer columns", "no board has that many outputs")
	}
	var wiring any = fmt.Sprintf("1..%d", q.Columns)
	if q.Columns == 1 {
		wiring = 1
	}
	width, height := float64(q.Columns-1)*q.SpacingMM, float64(q.Rows-1)*q.SpacingMM
	round := func(v float64) float64 { return math.Round(v*100) / 100 }
	edge := round(q.SpacingMM / 2)
	at := map[string]string{"LH": "-600 mm", "RH": "600 mm", "centre": "0 mm"}[q.Side]
	name, module := "lamp", "module"
	if q.Side != "centre" {
		name, module = "lamp-"+strings.ToLower(q.Side), "module-"+strings.ToLower(q.Side)
	}
	pattern := source.Fields{{Key: "name", Value: "field"}, {Key: "from", Value: []any{edge, edge}}, {Key: "to", Value: []any{round(edge + width), round(edge + height)}},
		{Key: "columns", Value: q.Columns}, {Key: "rows", Value: q.Rows}, {Key: "group", Value: "1 column"}, {Key: "part", Value: q.Part}}
	outline := []any{[]any{0, 0}, []any{round(width + 2*edge), 0}, []any{round(width + 2*edge), round(height + 2*edge)}, []any{0, round(height + 2*edge)}}
	title := q.Title
	if title == "" {
		title = "A new lamp"
	}
	f, list := source.Parse(q.Name, []byte(fmt.Sprintf(newLamp, name, q.End, q.Side, at, module, kind, name)))
	if f == nil {
		return "", list
	}
	f, list = f.Apply(
		source.Set(source.Path{"job", "title"}, title), source.Set(source.Path{"job", "use"}, q.Use),
		source.Set(source.Path{"lamps", name, "outline"}, outline),
		source.Set(source.Path{"lamps", name, "leds", "0", "grid"}, pattern),
		source.Set(source.Path{"modules", module, "wiring"}, source.Fields{{Key: "field", Value: wiring}}),
	)
	if f == nil {
		return "", list
	}
	return string(f.Text()), nil
}

// newLamp is the text that a lamp is begun with.
const newLamp = `lampwright: 1

job:
  title: x
  use: show-only

lamps:
  %s:
    place: {end: %s, side: %s, at: [%s, 900 mm]}
    outline: []
    leds:
      - grid: {}

modules:
  %s: {board: %s, lamp: %s, wiring: {}}
`
