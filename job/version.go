package job

import (
	"fmt"
	"strconv"

	"lampwright/report"
	"lampwright/source"
)

// step brings a text from one version to the next, as edits that leave the
// rest of the text alone.
type step struct {
	change string // what is different, for the builder: "lamps are named by keys"
	edits  func(file *source.File) (*source.File, report.List)
}

// steps holds, under each version, the step to the next one. It is empty while
// there is only one version.
var steps = map[int]step{}

// versionKey is the key that holds the document's version.
const versionKey = "lampwright"

// upgrade brings a text to the current version and notes what it did.
func upgrade(file *source.File, steps map[int]step, current int) (*source.File, report.List) {
	version, place, ok := statedVersion(file)
	if !ok {
		return file, nil // decoding reports it, with everything else
	}
	if version > current {
		return nil, file.Finish(report.List{report.Errorf("newer-version", place, "this document has version %d, and this program knows versions up to %d", version, current).
			Do("open it with the newer program that wrote it")})
	}
	var list report.List
	for ; version < current; version++ {
		s, known := steps[version]
		if !known {
			return nil, file.Finish(report.List{report.Errorf("older-version", place, "there is no way from version %d of a document to version %d", version, version+1).
				Do("check the number; the first version is 1")})
		}
		next, faults := s.edits(file)
		if next != nil && !faults.HasErrors() {
			next, faults = next.Apply(source.Set(source.Path{versionKey}, version+1))
		}
		if faults.HasErrors() {
			return nil, faults
		}
		file = next
		d := report.Errorf("upgraded", place, "read as version %d: %s", version+1, s.change).Do("save the document to keep it so")
		d.Severity = report.Note
		list.Add(d)
	}
	return file, list
}

// statedVersion reads the version from the text.
func statedVersion(file *source.File) (int, report.Place, bool) {
	text, place, ok := file.Top(versionKey)
	if !ok {
		return 0, place, false
	}
	version, err := strconv.Atoi(text)
	return version, place, err == nil && fmt.Sprint(version) == text
}
