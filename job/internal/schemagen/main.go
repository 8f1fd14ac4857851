// Command schemagen writes the JSON Schema of the job document, and the tables of its
// reference page, from the types that read it and from their comments. It runs through go generate; the
// result is committed, so that the program needs no generator.
package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

func main() {
	if err := errors.Join(run("schema.json", "."), renew(filepath.Join("..", "docs", "job.md"), ".")); err != nil {
		fmt.Fprintln(os.Stderr, "schemagen:", err)
		os.Exit(1)
	}
}

// run writes the schema to a file. folder is where package job stands.
func run(path, folder string) error {
	text, err := schemaText(folder)
	if err != nil {
		return err
	}
	return os.WriteFile(path, text, 0o644)
}
