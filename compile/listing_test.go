package compile

import (
	"os"
	"testing"
)

func TestListingIsAsRead(t *testing.T) {
	_, r := compiled(t, base)
	golden(t, "testdata/right.listing.txt", r.Modules[1].Listing())
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(name, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the listing is no longer as it was read; see what changed, then run with UPDATE_GOLDEN=1\n%s", got)
	}
}
