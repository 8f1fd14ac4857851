package job

import (
	"lampwright/report"
	"lampwright/source"
)

// Fed says where a module's supply comes from: the battery through a fuse, or its signal wire alone.
type Fed struct {
	source.At
	// The fuse between the battery and the module. Modules that name the same fuse hang on the same one.
	Fuse Fuse `yaml:"fuse,omitempty"`
	// Inputs whose wires feed it too, each through a diode of its own.
	Also source.OneOrMany[source.Name] `yaml:"also,omitempty" least:"1" most:"8"`
	// The one input whose wire alone feeds it.
	Only source.Name `yaml:"only,omitempty"`
}

// Fuse is the name of a fuse, as on the lid of the fuse box: F3.
type Fuse struct {
	Text  string
	Where report.Place
}

// Given tells whether a fuse was named.
func (f Fuse) Given() bool { return f.Text != "" }

// fuseExpected says what the name of a fuse looks like.
const fuseExpected = "the fuse's name in letters, digits and hyphens, as in F3"

const fuseLimitBytes = 24 // of a fuse's name

// DecodeSource reads the name of a fuse.
func (f *Fuse) DecodeSource(v source.Value) {
	if v.Kind() != source.Scalar {
		v.Fail("", fuseExpected)
		return
	}
	text := v.Text()
	for _, r := range text {
		if (r < 'a' || r > 'z') && (r < 'A' || r > 'Z') && (r < '0' || r > '9') && r != '-' {
			v.Fail("it holds \""+string(r)+"\"", fuseExpected)
			return
		}
	}
	switch {
	case text == "":
		v.Fail("it is empty", fuseExpected)
	case len(text) > fuseLimitBytes:
		v.Fail("it is longer than 24 characters", fuseExpected)
	default:
		*f = Fuse{Text: text, Where: v.Place()}
	}
}
