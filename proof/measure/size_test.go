package measure_test

import (
	"testing"

	"lampwright/proof/measure"
)

// The core fits below the safe blocks, and under the heaviest load the stack stays clear of static memory.
func TestCoreFitsFlashAndMemory(t *testing.T) {
	sizes := must[[]measure.Size](t)(measure.Sizes(root, t.TempDir()))
	if len(sizes) != 2 {
		t.Fatalf("%d cores", len(sizes))
	}
	deepest := must[measure.Load](t)(rig.Fullest(bg, 192)).LowestStack
	judge(t, sizes[0].Figures(deepest))
	judge(t, sizes[1].Figures(0))
	for _, s := range sizes {
		if s.Core < 4000 || s.StaticRAM < 1000 {
			t.Errorf("less than a core can be: %+v", s)
		}
	}
}

// The build script's own commands, run again, give a core: the sheet times them.
func TestBuildCoreAgain(t *testing.T) {
	again, err := measure.BuildCore(root, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	if took, err := again(); err != nil || took <= 0 {
		t.Fatal(took, err)
	}
}
