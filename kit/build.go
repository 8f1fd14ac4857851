package kit

import (
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lampwright/job"
	"lampwright/report"
)

// Files reads a file that a document names, such as a table of LEDs. Names are relative to the document's folder.
type Files func(name string) ([]byte, error)

// Load reads a job file and resolves it. The document is nil when the text cannot be read at all, the kit is nil when anything stops work.
func Load(path string) (*Kit, *job.Document, report.List) {
	doc, list := job.Read(path)
	if doc == nil || list.HasErrors() {
		return nil, doc, list
	}
	k, more := Build(doc, Beside(path))
	return k, doc, finish(doc, append(list, more...))
}

// Parse reads a job from text and resolves it; files stands for what lies beside it.
func Parse(name string, text []byte, files Files) (*Kit, report.List) {
	doc, list := job.Parse(name, text)
	if doc == nil || list.HasErrors() {
		return nil, list
	}
	k, more := Build(doc, files)
	return k, finish(doc, append(list, more...))
}

func finish(doc *job.Document, list report.List) report.List { return doc.File().Finish(list) }

// Beside reads files of a job file's own folder and nothing outside it.
func Beside(path string) Files {
	return func(name string) ([]byte, error) {
		root, err := os.OpenRoot(filepath.Dir(path))
		if err != nil {
			return nil, err
		}
		defer root.Close()
		return root.ReadFile(name)
	}
}

// NoFiles is for jobs that stand alone.
func NoFiles(name string) ([]byte, error) {
	return nil, &fs.PathError{Op: "read", Path: name, Err: fs.ErrNotExist}
}

// builder resolves one document and collects what is wrong with it.
type builder struct {
	doc   *job.Document
	files Files
	kit   *Kit
	list  report.List

	scenes map[string]*scene // of the routines, by the names of their lamps
}

// Build resolves a document. The kit is nil when the list holds errors.
func Build(doc *job.Document, files Files) (*Kit, report.List) {
	k, _, list := Resolve(doc, files)
	return k, list
}

// Resolve is Build that also gives what could be understood of a document that reads without fault but may name what there is not, to
// be looked at: things that are wrong may be missing or unfinished in it (a module without outputs, a layer without an input), so
// nothing may be computed from it. Of a document without errors the two are one.
func Resolve(doc *job.Document, files Files) (whole, understood *Kit, list report.List) {
	b := build(doc, files)
	if b.list.HasErrors() {
		return nil, b.kit, b.list
	}
	return b.kit, b.kit, b.list
}

func build(doc *job.Document, files Files) *builder {
	b := &builder{doc: doc, files: files, kit: &Kit{
		Title: doc.Job.Title, For: doc.Job.For, Use: Use(doc.Job.Use), At: doc.Job.Where,
	}}
	b.lamps()
	b.modules()
	b.straps()
	b.guard()
	b.inputs()
	b.fed()
	b.outages()
	b.routines()
	b.layers()
	b.unfed()
	b.carriedPlainly()
	b.hands()
	b.list.Sort()
	return b
}

func (b *builder) add(d report.Diagnostic) { b.list.Add(d) }

// placed adds diagnostics of a lower room, which know no place.
func (b *builder) placed(list report.List, at report.Place) {
	for _, d := range list {
		if d.Place.IsZero() {
			d.Place = at
		}
		b.add(advised(d))
	}
}

// advised gives a diagnostic that only says what would have been accepted its next step.
func advised(d report.Diagnostic) report.Diagnostic {
	switch {
	case d.Next != "":
	case d.Suggestion != "":
		d.Next = "write the suggested name"
	case d.Expected != "":
		d.Next = "use one of these"
	}
	return d
}

// unknown reports a name that nothing carries. A name that the document does write was reported where it could not be made.
func (b *builder) unknown(what, name string, at report.Place, known, written []string) {
	if slices.Contains(written, name) && b.list.HasErrors() {
		return
	}
	d := report.Errorf("unknown-name", at, "there is no %s called %q", what, name).DidYouMean(name, known)
	if road := job.RoadMeant(name); what == "input" && slices.Contains(known, road) {
		d.Suggestion = road
	}
	switch {
	case d.Suggestion != "":
		d = d.Do("write the suggested name, or add %s called %s", a(what), name)
	case len(known) == 0:
		d = d.Do("add %s called %s", a(what), name)
	default:
		d = d.Expect("%s", listed(known)).Do("use one of these, or add %s called %s", a(what), name)
	}
	b.add(d)
}

// a puts the article before a thing: an input, an LED part, a lamp.
func a(thing string) string {
	if strings.ContainsRune("aeiouL", rune(thing[0])) { // L as in LED: el-ee-dee
		return "an " + thing
	}
	return "a " + thing
}

// listed joins names for a message, and stops before it gets long.
func listed(names []string) string {
	const most = 12
	text := ""
	for i, n := range names {
		if i == most {
			return text + " and others"
		}
		if i > 0 {
			text += ", "
		}
		text += n
	}
	return text
}
