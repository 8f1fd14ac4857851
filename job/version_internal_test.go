package job

import (
	"strings"
	"testing"

	"lampwright/report"
	"lampwright/source"
)

// zeroToOne is a step from an invented version 0, in which a job was called a
// build and its rules "law". It shows that a step is a set of edits.
var zeroToOne = map[int]step{0: {
	change: "the key build is called job, and law is called use",
	edits: func(file *source.File) (*source.File, report.List) {
		return file.Apply(source.Rename(source.Path{"build", "law"}, "use"), source.Rename(source.Path{"build"}, "job"))
	},
}}

const zero = `# invented first form
lampwright: 0    # the version
build: {title: Old one,   law: show-only}  # kept
lamps: {tail-rh: {opposite-hand-of: tail-lh}}
`

func TestOlderDocumentsAreBroughtUp(t *testing.T) {
	file, list := source.Parse("old.yaml", []byte(zero))
	if file == nil {
		t.Fatal(list)
	}
	next, list := upgrade(file, zeroToOne, 1)
	if next == nil || list.HasErrors() || len(list) != 1 || list[0].Severity != report.Note {
		t.Fatalf("%v", list)
	}
	want := strings.NewReplacer("lampwright: 0", "lampwright: 1", "build:", "job:", "law:", "use:").Replace(zero)
	if string(next.Text()) != want {
		t.Errorf("got:\n%s\nwant:\n%s", next.Text(), want)
	}
	if string(file.Text()) != zero {
		t.Error("the old text changed")
	}
	document := &Document{}
	if faults := next.Decode(document); len(faults) > 0 || document.Job.Use != ShowOnly {
		t.Errorf("%v", faults)
	}
}

func TestAFailedStepChangesNothing(t *testing.T) {
	file, _ := source.Parse("old.yaml", []byte("lampwright: 0\nbuilt: {}\n"))
	next, list := upgrade(file, zeroToOne, 1)
	if next != nil || !list.HasErrors() {
		t.Fatalf("%v", list)
	}
}

func TestStepsLeadFromEveryVersionToThisOne(t *testing.T) {
	for version := 1; version < Version; version++ {
		if steps[version].edits == nil || steps[version].change == "" {
			t.Errorf("there is no step from version %d", version)
		}
	}
	if len(steps) != Version-1 {
		t.Errorf("%d steps for version %d", len(steps), Version)
	}
}
