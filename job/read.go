package job

import (
	"lampwright/report"
	"lampwright/source"
)

// Read reads the document in a file. The document is nil when the file cannot
// be read as text of its form; with other errors it holds what could be read.
func Read(path string) (*Document, report.List) {
	file, list := source.Read(path)
	if file == nil {
		return nil, list
	}
	return Of(file)
}

// Parse reads a document from text. name stands in the places of diagnostics.
func Parse(name string, text []byte) (*Document, report.List) {
	file, list := source.Parse(name, text)
	if file == nil {
		return nil, list
	}
	return Of(file)
}

// Of reads the document in a text that has been parsed, brought up to this version.
func Of(file *source.File) (*Document, report.List) {
	file, list := upgrade(file, steps, Version)
	if list.HasErrors() {
		return nil, list
	}
	document := &Document{file: file}
	list.Add(file.Decode(document)...)
	list.Add(check(document)...)
	return document, file.Finish(list)
}
