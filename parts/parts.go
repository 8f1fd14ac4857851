// Package parts is the catalogue of LED parts by generic type. For now a part has a name and a colour; diode laws, currents
// and prices come with the rooms that compute with them. Not promised: any maker's data.
package parts

import (
	_ "embed"
	"sync"

	"lampwright/source"
)

// Part is one LED part.
type Part struct {
	Name   string
	Colour string // red, amber, yellow, white, warm-white, blue or green
	About  string // what it is, in a few words
}

//go:embed parts.yaml
var text []byte

type entry struct {
	source.At
	// Colour of its light.
	Colour string `yaml:"colour"`
	// What it is.
	About string `yaml:"about"`
}

type table struct {
	source.At
	// The parts by name.
	Parts source.Map[entry] `yaml:"parts"`
}

// All gives the catalogue in its own order. It panics if the embedded file is broken, which a test rules out.
var All = sync.OnceValue(func() []Part {
	file, faults := source.Parse("parts.yaml", text)
	var t table
	if file != nil {
		faults = append(faults, file.Decode(&t)...)
	}
	if faults.HasErrors() {
		panic("parts: " + faults.Error())
	}
	var all []Part
	for _, e := range t.Parts.Entries() {
		all = append(all, Part{Name: e.Name.Text, Colour: e.Value.Colour, About: e.Value.About})
	}
	return all
})

// Find gives a part by name.
func Find(name string) (Part, bool) {
	for _, p := range All() {
		if p.Name == name {
			return p, true
		}
	}
	return Part{}, false
}

// Names lists all part names in the catalogue's order.
func Names() []string {
	var names []string
	for _, p := range All() {
		names = append(names, p.Name)
	}
	return names
}
