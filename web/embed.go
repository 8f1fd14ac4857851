package web

import (
	"embed"
	"io/fs"
)

//go:generate go run lampwright/internal/webbuild

// The built front end; its source is in src, and a test of internal/webbuild fails when the two do not agree.
//
//go:embed dist
var dist embed.FS

// Page gives the front end: index.html and what it loads.
func Page() fs.FS {
	sub, err := fs.Sub(dist, "dist")
	if err != nil { // only when the embedding above names another folder
		panic("web: the front end is not embedded: " + err.Error())
	}
	return sub
}
