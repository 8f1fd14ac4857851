package compile

import (
	"os"
	"testing"
)

func TestListingIsAsRead(t *testing.T) {
	_, r := compiled(t, base)
	got := r.Modules[1].Listing()
	const golden = "testdata/right.listing.txt"
	if os.Getenv("UPDATE_GOLDEN") == "1" {
		if err := os.WriteFile(golden, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the listing is no longer as it was read; see what changed, then run with UPDATE_GOLDEN=1\n%s", got)
	}
}
