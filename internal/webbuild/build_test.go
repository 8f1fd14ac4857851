package main

import (
	"bytes"
	"compress/gzip"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

const web = "../../web"

// The embedded page is what the sources make: whoever changes them runs go generate ./web and commits web/dist too.
func TestDistIsFresh(t *testing.T) {
	files, err := build(web)
	if err != nil {
		t.Fatal(err)
	}
	there, err := os.ReadDir(filepath.Join(web, "dist"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range there {
		if files[e.Name()] == nil {
			t.Errorf("web/dist/%s comes from no source", e.Name())
		}
	}
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join(web, "dist", name))
		if err != nil || !bytes.Equal(got, want) {
			t.Errorf("web/dist/%s is not what the sources make: run go generate ./web", name)
		}
	}
}

func TestTheSameSourcesGiveTheSameBytes(t *testing.T) {
	one, err := build(web)
	if err != nil {
		t.Fatal(err)
	}
	two, err := build(web)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range one {
		if !bytes.Equal(data, two[name]) {
			t.Errorf("%s differs between two builds", name)
		}
	}
}

// mostBytes is what the first load may bring in all as it is sent, which is packed but for letters; the goal is 400 kB. Letters of other
// alphabets come only where they are written.
const mostBytes = 250_000

func TestTheFirstLoadIsSmall(t *testing.T) {
	files, err := build(web)
	if err != nil {
		t.Fatal(err)
	}
	sum := 0
	for name, data := range files {
		switch {
		case strings.Contains(name, "latin-ext"):
		case filepath.Ext(name) == ".woff2":
			sum += len(data)
		default:
			var packed bytes.Buffer
			zip, _ := gzip.NewWriterLevel(&packed, gzip.BestCompression) // as web/page.go packs it
			zip.Write(data)
			zip.Close()
			sum += packed.Len()
		}
	}
	if sum > mostBytes {
		t.Errorf("the page is %d bytes, more than %d", sum, mostBytes)
	}
	if len(files["app.js"]) < 10_000 || len(files["index.html"]) == 0 {
		t.Error("the page is not there")
	}
}

var (
	addresses  = regexp.MustCompile(`(?:https?|wss?)://[a-zA-Z0-9.-]+[^\s"'` + "`" + `<>)]*`)
	namespaces = map[string]bool{ // names, never fetched
		"http://www.w3.org/2000/svg": true, "http://www.w3.org/1999/xhtml": true, "http://www.w3.org/1998/Math/MathML": true,
	}
)

// Nothing in the page may ask another machine for anything.
func TestThePageNamesNoOtherMachine(t *testing.T) {
	files, err := build(web)
	if err != nil {
		t.Fatal(err)
	}
	for name, data := range files {
		if strings.HasSuffix(name, ".woff2") {
			continue
		}
		for _, at := range addresses.FindAllString(string(data), -1) {
			if !namespaces[at] {
				t.Errorf("%s names %s", name, at)
			}
		}
	}
}

func TestAFaultHasItsPlace(t *testing.T) {
	folder := t.TempDir()
	for _, f := range []string{"src", "vendor"} {
		if err := os.Mkdir(filepath.Join(folder, f), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(folder, "src", "main.tsx"), []byte("const a = 1;\nconst b = ;\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := build(folder); err == nil || !strings.Contains(err.Error(), "main.tsx:2:10") {
		t.Errorf("got %v", err)
	}
}

func TestWriteMakesTheFolderHoldExactlyTheFiles(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "dist")
	for _, files := range []map[string][]byte{{"a": []byte("1"), "b": []byte("2")}, {"b": []byte("3")}} {
		if err := write(folder, files); err != nil {
			t.Fatal(err)
		}
	}
	there, err := os.ReadDir(folder)
	if err != nil || len(there) != 1 || there[0].Name() != "b" {
		t.Errorf("left: %v %v", there, err)
	}
}
