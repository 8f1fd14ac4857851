package firmware

import (
	"os"
	"path/filepath"
	"testing"

	"lampwright/program/vector"
)

// TestVectors judges the core by the files that also judge the engine and the shipped HEX.
func TestVectors(t *testing.T) {
	files, err := filepath.Glob("../program/testdata/vectors/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no vectors: %v", err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			v, err := vector.Read(text)
			if err != nil {
				t.Fatal(err)
			}
			_, _, kept, left := v.Play()
			if v.Kept != nil {
				kept = *v.Kept
			}
			if v.Left != nil {
				left = *v.Left
			}
			words, naps := coreLines(t, v)
			sameLines(t, words, wordLines(v.Registers, v.Shows, kept, left))
			sameLines(t, naps, napLines(v))
		})
	}
}
