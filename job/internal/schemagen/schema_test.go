package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lampwright/job"

	"github.com/goccy/go-yaml"
	"github.com/google/jsonschema-go/jsonschema"
)

func TestTheCommittedSchemaIsFresh(t *testing.T) {
	want, err := schemaText(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(job.Schema(), want) {
		t.Error("schema.json is older than the types; run go generate ./job")
	}
}

func TestTheReferencePageIsFresh(t *testing.T) {
	folder := filepath.Join("..", "..")
	page, err := os.ReadFile(filepath.Join(folder, "..", "docs", "job.md"))
	if err != nil {
		t.Fatal(err)
	}
	want, err := referenceText(page, folder)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(page, want) {
		t.Error("docs/job.md is older than the types; run go generate ./job")
	}
}

// validator compiles the committed schema with a validator that is not ours.
func validator(t *testing.T) *jsonschema.Resolved {
	t.Helper()
	var schema jsonschema.Schema
	if err := json.Unmarshal(job.Schema(), &schema); err != nil {
		t.Fatal(err)
	}
	resolved, err := schema.Resolve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return resolved
}

// plain reads YAML into the values that a JSON reader would give.
func plain(t *testing.T, text []byte) any {
	t.Helper()
	asJSON, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatal(err)
	}
	var value any
	if err := json.Unmarshal(asJSON, &value); err != nil {
		t.Fatal(err)
	}
	return value
}

func TestTheSchemaAcceptsGoodDocuments(t *testing.T) {
	resolved := validator(t)
	paths, err := filepath.Glob("../../testdata/*.yaml")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no documents: %v", err)
	}
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := resolved.Validate(plain(t, text)); err != nil {
			t.Errorf("%s: %v", path, err)
		}
	}
}

func TestTheSchemaRefusesWhatReadingRefuses(t *testing.T) {
	resolved := validator(t)
	text, err := os.ReadFile("../../testdata/everything.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range [][2]string{
		{"use: road-un", "use: road-uk"},
		{"title: Long coupe, rear", "titel: Long coupe, rear"},
		{"columns: 24", "columns: 0"},
		{"columns: 24", "columns: many"},
		{"count: 12", "count: 12.5"},
		{"tail-rh: {", "Tail-RH: {"},
		{"wire: rear-lh.in5", "wire: rear-lh"},
		{"field: 12..1", "field: 12...1"},
		{"through: [[0, 0], [10, 10], [20, -5]]", "through: [[0, 0]]"},
		{"outline: [[0, 0],", "outline: [[0],"},
		{"- hold: {light: 40 %}", "- hold: {light: 40 %}\n        call: {routine: low}"},
		{"group: 2 columns", "group: 2 stripes"},
		{"zone: field, required: true", "required: true"},
		{"lampwright: 1", "lampwright: first"},
	} {
		if !strings.Contains(string(text), change[0]) {
			t.Fatalf("the document has no %q", change[0])
		}
		changed := strings.Replace(string(text), change[0], change[1], 1)
		if err := resolved.Validate(plain(t, []byte(changed))); err == nil {
			t.Errorf("the schema accepts %q", change[1])
		}
		if _, list := job.Parse("changed.yaml", []byte(changed)); !list.HasErrors() {
			t.Errorf("reading accepts %q", change[1])
		}
	}
}
