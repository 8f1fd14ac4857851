package source

import "lampwright/report"

// Entry is a named value of a Map or a NamedList.
type Entry[T any] struct {
	Name  Name
	Value T
	Place report.Place // of the value
}

// Map holds named values in the order of the document. The name "note" is
// kept for a free text about the map as a whole.
type Map[T any] struct {
	Where   report.Place
	Note    string
	entries []Entry[T]
}

// NewMap makes a map from entries, for values that do not come from a document.
func NewMap[T any](entries ...Entry[T]) Map[T] { return Map[T]{entries: entries} }

// Len gives the number of entries.
func (m Map[T]) Len() int { return len(m.entries) }

// Entries gives all entries in order. The caller must not change them.
func (m Map[T]) Entries() []Entry[T] { return m.entries }

// Keys gives all names in order.
func (m Map[T]) Keys() []string { return keysOf(m.entries) }

// Get gives the value under a name, and whether there is one.
func (m Map[T]) Get(name string) (T, bool) { return valueOf(m.entries, name) }

// Place gives the place of a name, or the map's own place when there is none.
func (m Map[T]) Place(name string) report.Place { return placeOf(m.entries, name, m.Where) }

// ValuePlace gives the place of the value under a name, or the map's own place.
func (m Map[T]) ValuePlace(name string) report.Place { return valuePlaceOf(m.entries, name, m.Where) }

// NamedList holds named values written as a list of one-key mappings, where
// the order carries meaning.
type NamedList[T any] struct {
	Where   report.Place
	entries []Entry[T]
}

// NewNamedList makes a list from entries, for values that do not come from a document.
func NewNamedList[T any](entries ...Entry[T]) NamedList[T] { return NamedList[T]{entries: entries} }

// Len gives the number of entries.
func (l NamedList[T]) Len() int { return len(l.entries) }

// Entries gives all entries in order. The caller must not change them.
func (l NamedList[T]) Entries() []Entry[T] { return l.entries }

// Keys gives all names in order.
func (l NamedList[T]) Keys() []string { return keysOf(l.entries) }

// Get gives the value under a name, and whether there is one.
func (l NamedList[T]) Get(name string) (T, bool) { return valueOf(l.entries, name) }

// Place gives the place of a name, or the list's own place when there is none.
func (l NamedList[T]) Place(name string) report.Place { return placeOf(l.entries, name, l.Where) }

// OneOrMany holds one value written alone, or several in a list.
type OneOrMany[T any] struct {
	Where report.Place
	Items []T
}

func keysOf[T any](entries []Entry[T]) []string {
	keys := make([]string, len(entries))
	for i, e := range entries {
		keys[i] = e.Name.Text
	}
	return keys
}

func valueOf[T any](entries []Entry[T], name string) (value T, ok bool) {
	for _, e := range entries {
		if e.Name.Text == name {
			return e.Value, true
		}
	}
	return value, false
}

func placeOf[T any](entries []Entry[T], name string, otherwise report.Place) report.Place {
	for _, e := range entries {
		if e.Name.Text == name {
			return e.Name.Where
		}
	}
	return otherwise
}

func valuePlaceOf[T any](entries []Entry[T], name string, otherwise report.Place) report.Place {
	for _, e := range entries {
		if e.Name.Text == name {
			return e.Place
		}
	}
	return otherwise
}
