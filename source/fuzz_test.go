package source_test

import (
	"os"
	"path/filepath"
	"testing"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// sample is a struct that uses every way of reading.
type sample struct {
	source.At
	Title  string                        `yaml:"title,omitempty" long:"20"`
	Count  int                           `yaml:"count,omitempty" min:"1" max:"9"`
	Ratio  float64                       `yaml:"ratio,omitempty" above:"0" max:"2"`
	Closed bool                          `yaml:"closed,omitempty"`
	Width  source.Of[units.Length]       `yaml:"width,omitempty" min:"1 mm" max:"1 m"`
	Side   side                          `yaml:"side,omitempty"`
	Uses   source.OneOrMany[source.Name] `yaml:"uses,omitempty" most:"3"`
	Lamps  source.Map[lamp]              `yaml:"lamps,omitempty"`
	Steps  []stepOrRest                  `yaml:"steps,omitempty" least:"1" most:"4"`
	Order  source.NamedList[lamp]        `yaml:"order,omitempty"`
	Inner  *lamp                         `yaml:"inner,omitempty"`
	Times  []units.Time                  `yaml:"times,omitempty"`
}

type side string

func (side) Words() []string { return []string{"LH", "RH"} }

type lamp struct {
	source.At
	Kind string `yaml:"kind"`
}

type stepOrRest struct {
	source.OneKey
	Step *lamp `yaml:"step,omitempty"`
	Rest *lamp `yaml:"rest,omitempty"`
}

// seeds gives the corpus files, and fails when there are none.
func seeds(tb testing.TB) (texts [][]byte) {
	tb.Helper()
	paths, err := filepath.Glob("testdata/*.yaml")
	if err != nil || len(paths) == 0 {
		tb.Fatalf("no seed files in testdata: %v", err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			tb.Fatal(err)
		}
		texts = append(texts, text)
	}
	return texts
}

// wellFormed checks what every list of diagnostics must keep.
func wellFormed(t *testing.T, list report.List, text []byte) {
	t.Helper()
	for i, d := range list {
		if d.ID == "" || d.Text == "" || d.Next == "" {
			t.Fatalf("incomplete diagnostic: %+v", d)
		}
		if i > 0 && d.Place.Compare(list[i-1].Place) < 0 {
			t.Fatalf("diagnostics out of order: %v after %v", d.Place, list[i-1].Place)
		}
	}
	if len(list) > source.FaultLimit {
		t.Fatalf("%d diagnostics", len(list))
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range seeds(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		file, list := source.Parse("fuzz.yaml", text)
		wellFormed(t, list, text)
		if (file == nil) != list.HasErrors() {
			t.Fatalf("file %v with %d diagnostics", file != nil, len(list))
		}
		if file == nil {
			return
		}
		if string(file.Text()) != string(text) {
			t.Fatal("the text did not stay as read")
		}
		var s sample
		wellFormed(t, file.Decode(&s), text)
	})
}
