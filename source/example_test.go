package source_test

import (
	"fmt"
	"os"

	"lampwright/report"
	"lampwright/source"
	"lampwright/units"
)

// bracket is a struct that is read from keys with values.
type bracket struct {
	source.At
	Maker source.Name                               `yaml:"maker"`
	Width units.Length                              `yaml:"width" min:"10 mm" max:"2 m"`
	Holes source.Of[int]                            `yaml:"holes,omitempty" min:"1" max:"8"`
	Uses  source.Map[source.OneOrMany[source.Name]] `yaml:"uses,omitempty"`
}

// All faults of a file are reported at once, each where it stands.
func ExampleFile_Decode() {
	file, list := source.Parse("bracket.yaml", []byte("maker: Example Works\nwitdh: 60\nwidth: 60\n"))
	if file != nil {
		var b bracket
		list = file.Decode(&b)
	}
	_ = report.Render(os.Stdout, list)
	// Output:
	// bracket.yaml:1:8: error: "Example Works" cannot be a name: it does not begin with a lower-case letter
	//     1 | maker: Example Works
	//       |        ^~~~~~~~~~~~~
	//   expected: a name of lower-case letters, digits and single hyphens that begins with a letter, as in tail-lh
	//   did you mean: example-works
	//   next: write the suggested name here and wherever it is used
	//
	// bracket.yaml:2:1: error: there is no key "witdh" here
	//     2 | witdh: 60
	//       | ^~~~~
	//   expected: maker, width, holes, uses, note
	//   did you mean: width
	//   next: correct the key or delete it
	//
	// bracket.yaml:3:8: error: "width" cannot be "60": the number has no unit
	//     3 | width: 60
	//       |        ^~
	//   expected: a length in mm, cm, m, in or ft, as in 120 mm
	//   next: write the number and one of these units
}

// An edit changes its own line and nothing else.
func ExampleFile_Apply() {
	file, _ := source.Parse("bracket.yaml", []byte("maker:  works    # invented\nwidth:  60 mm    # outer\n"))
	next, list := file.Apply(
		source.Set(source.ParsePath("width"), 75*units.Millimetre),
		source.Insert(nil, "holes", 4),
	)
	if next == nil {
		fmt.Println(list)
		return
	}
	fmt.Print(string(next.Text()))
	// Output:
	// maker:  works    # invented
	// width:  75 mm    # outer
	// holes: 4
}
