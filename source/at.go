package source

import "lampwright/report"

// At is embedded in a struct that is read from keys with values. It says where
// the struct stands, and lets every such place carry a note.
type At struct {
	Where report.Place `yaml:"-"`
	// Free text for the reader; it changes nothing.
	Note string `yaml:"note,omitempty"`

	keys map[string]report.Place
}

// PlaceOf gives the place of a key that was written, or of the whole struct
// when the key was not.
func (a At) PlaceOf(key string) report.Place {
	if place, ok := a.keys[key]; ok {
		return place
	}
	return a.Where
}

// Has tells whether a key was written.
func (a At) Has(key string) bool {
	_, ok := a.keys[key]
	return ok
}

// Name is a name given or used in a document, with its place. The zero Name
// means that none was written.
type Name struct {
	Text  string
	Where report.Place
}

// String gives the name's text.
func (n Name) String() string { return n.Text }

// Given tells whether a name was written.
func (n Name) Given() bool { return n.Text != "" }

// Of is a value with its place, for keys that may be left out.
type Of[T any] struct {
	Value T
	Where report.Place
	given bool
}

// Given tells whether the value was written.
func (o Of[T]) Given() bool { return o.given }

// Or gives the value, or another one when none was written.
func (o Of[T]) Or(other T) T {
	if o.given {
		return o.Value
	}
	return other
}

// Given makes a value as if it had been written at a place.
func Given[T any](value T, where report.Place) Of[T] {
	return Of[T]{Value: value, Where: where, given: true}
}
