package firmware

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestPrebuiltIsWhatTheSourcesGive rebuilds the HEX with avr-gcc, the judge from outside, and compares bytes.
func TestPrebuiltIsWhatTheSourcesGive(t *testing.T) {
	if _, err := exec.LookPath("avr-gcc"); err != nil {
		t.Fatal("no avr-gcc on this machine, so the prebuilt HEX cannot be checked against its sources: run scripts/need-tools")
	}
	dir := t.TempDir()
	if out, err := exec.Command("sh", "build.sh", dir).CombinedOutput(); err != nil {
		t.Fatalf("build.sh: %v\n%s", err, out)
	}
	built := strings.ReplaceAll(strings.TrimSpace(read(t, dir, "toolchain.txt")), "\n", " and ")
	if built != Toolchain() {
		t.Fatalf("the HEX was built with %s, this machine has %s: build with the former, or renew the HEX with "+
			"sh firmware/build.sh and prove it anew", Toolchain(), built)
	}
	for name, prebuilt := range map[string][]byte{"chain.hex": Chain, "pins.hex": Pins} {
		if !bytes.Equal([]byte(read(t, dir, name)), prebuilt) {
			t.Errorf("prebuilt/%s is not what the sources give: run sh firmware/build.sh", name)
		}
	}
}

func read(t *testing.T, dir, name string) string {
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}
