package web

import (
	"encoding/json"
	"net/http"
	"testing"
	"testing/fstest"

	"lampwright/board"
	"lampwright/parts"
)

// The catalogue is there before a job is open, for the first lamp is chosen from it.
func TestPartsAndBoardsAreListed(t *testing.T) {
	s := New(Config{Key: testKey, Host: testHost, Folder: t.TempDir(), Page: fstest.MapFS{}})
	t.Cleanup(s.Close)
	w := ask(s, "GET", "/api/parts", "")
	var list struct {
		Parts  []partView
		Boards []boardView
	}
	if err := json.Unmarshal(w.Body.Bytes(), &list); err != nil || w.Code != http.StatusOK {
		t.Fatal(w.Code, err)
	}
	if len(list.Parts) != len(parts.All()) || len(list.Boards) != len(board.All()) {
		t.Errorf("%d parts and %d boards", len(list.Parts), len(list.Boards))
	}
	for _, p := range list.Parts {
		if p.Name == "" || p.Colour == "" || p.About == "" {
			t.Errorf("%+v", p)
		}
	}
	for _, b := range list.Boards {
		if b.Name == "" || b.About == "" || b.Outputs < 1 || b.Inputs < 1 {
			t.Errorf("%+v", b)
		}
	}
}
