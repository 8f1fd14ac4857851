package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strings"
)

// comments holds the comment of each type, under its name, and of each field,
// under type.field.
type comments map[string]string

// readComments reads the comments of the Go files in folders. Of two types of one
// name the first folder's is meant.
func readComments(folders ...string) (comments, error) {
	found := comments{}
	var types []string // of the folders before
	for _, folder := range folders {
		here := comments{}
		paths, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err != nil {
			return nil, err
		}
		for _, path := range paths {
			if strings.HasSuffix(path, "_test.go") {
				continue
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
			if err != nil {
				return nil, err
			}
			here.add(file)
		}
		for name, text := range here {
			owner, _, _ := strings.Cut(name, ".")
			if !slices.Contains(types, owner) {
				found[name] = text
			}
		}
		for name := range here {
			if !strings.Contains(name, ".") {
				types = append(types, name)
			}
		}
	}
	return found, nil
}

func (c comments) add(file *ast.File) {
	for _, declaration := range file.Decls {
		general, ok := declaration.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, spec := range general.Specs {
			typeSpec, ok := spec.(*ast.TypeSpec)
			if !ok {
				continue
			}
			name := typeSpec.Name.Name
			c[name] = oneLine(general.Doc.Text())
			structure, ok := typeSpec.Type.(*ast.StructType)
			if !ok {
				continue
			}
			for _, field := range structure.Fields.List {
				for _, fieldName := range field.Names {
					c[name+"."+fieldName.Name] = oneLine(field.Doc.Text())
				}
			}
		}
	}
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }
