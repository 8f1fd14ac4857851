//go:build !linux

package main

import "github.com/rogpeppe/go-internal/testscript"

// plug needs a pseudo-terminal of Linux: the story that uses it is left out elsewhere.
func plug(ts *testscript.TestScript, _ bool, _ []string) { ts.Fatalf("no port to plug a module into") }
