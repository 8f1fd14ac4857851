package light

import (
	"os"
	"os/exec"
	"regexp"
	"slices"
	"testing"
)

// A product that is added to something may be rounded once or twice, as the
// processor likes, unless the source forbids it. So that a kit is the same
// wherever it is built, no file of lamp and light may leave that choice: on a
// processor that fuses (arm64), the compiler finds nothing to fuse.
func TestNothingIsFused(t *testing.T) {
	build := exec.Command("go", "build", "-gcflags=-S", "lampwright/lamp", "lampwright/light")
	build.Env = append(os.Environ(), "GOOS=linux", "GOARCH=arm64", "CGO_ENABLED=0")
	listing, err := build.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, listing)
	}
	if n := len(regexp.MustCompile(`\bFMULD\b`).FindAll(listing, -1)); n < 50 {
		t.Fatalf("the listing has %d plain multiplications: it is not what this test expects", n)
	}
	fused := regexp.MustCompile(`((?:lamp|light)/[a-z]+\.go:\d+)\)[^\n]*\bFN?M(?:ADD|SUB)[DS]\b`)
	var places []string
	for _, found := range fused.FindAllSubmatch(listing, -1) {
		if place := string(found[1]); !slices.Contains(places, place) {
			places = append(places, place)
		}
	}
	for _, place := range places {
		t.Errorf("%s: a product is fused with a sum; put float64() around the product", place)
	}
}
