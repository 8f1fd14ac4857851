package firmware

import (
	"testing"

	"lampwright/program"
	"lampwright/program/programtest"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// The length of a random run. At 2000 Hz it is 8 seconds: two thousand frames.
const randomRefreshes = 16_000

// moduleFor gives a vector, still without samples, of a module that holds a program.
func moduleFor(t rapid.TB, p *program.Program, s *program.Safe) *vector.Vector {
	image, err := program.Encode(p)
	if err != nil {
		t.Fatalf("Encode: %v", err)
	}
	block, err := program.EncodeSafe(s)
	if err != nil {
		t.Fatalf("EncodeSafe: %v", err)
	}
	return &vector.Vector{SafeA: block[:], SafeB: block[:], Image: image}
}

func TestCoreShowsWhatTheEngineShows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := programtest.Random(t)
		s := programtest.RandomSafe(t, p)
		v := programtest.RandomModule(t, p, s)
		v.Runs = programtest.RandomSamples(t, p, s, randomRefreshes)
		sameLight(t, v)
	})
}
