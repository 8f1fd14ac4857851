package program_test

import (
	"strings"
	"testing"

	"lampwright/program"
)

// BenchmarkDecode measures the decoder on the image among the vectors that spends the whole budget of the walk, and on all
// others together.
func BenchmarkDecode(b *testing.B) {
	var hostile []byte
	var others [][]byte
	for _, v := range vectors(b) {
		if strings.Contains(v.Refusal, "more operations than the check allows") {
			hostile = v.Image
		} else {
			others = append(others, v.Image)
		}
	}
	if hostile == nil {
		b.Fatal("no vector spends the budget")
	}
	b.Run("hostile", func(b *testing.B) {
		for b.Loop() {
			if _, err := program.Decode(hostile); err == nil {
				b.Fatal("accepted")
			}
		}
	})
	b.Run("others", func(b *testing.B) {
		for b.Loop() {
			for _, image := range others {
				_, _ = program.Decode(image)
			}
		}
	})
}
