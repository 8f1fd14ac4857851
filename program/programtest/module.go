package programtest

import (
	"lampwright/program"
	"lampwright/program/vector"

	"pgregory.net/rapid"
)

// RandomModule gives a module that holds a program and a safe block, with a strap and a memory drawn for it, as a vector
// without samples.
func RandomModule(t *rapid.T, p *program.Program, s *program.Safe) *vector.Vector {
	image, err := program.Encode(p)
	if err != nil {
		t.Fatalf("%v", err)
	}
	block, err := program.EncodeSafe(s)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return &vector.Vector{SafeA: block[:], SafeB: block[:], Image: image, Strap: RandomStrap(t, p), Memory: RandomMemory(t), Remnant: RandomRemnant(t)}
}
