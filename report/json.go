package report

import (
	"encoding/json"
	"fmt"
	"io"
)

// Version is the version of the JSON form. It grows when a reader of the old
// form would misunderstand the new one; added fields do not count.
const Version = 1

// envelope is the JSON form of a list.
type envelope struct {
	Version     int    `json:"version"`
	Summary     string `json:"summary"`
	Diagnostics List   `json:"diagnostics"`
}

// WriteJSON writes the list as one indented JSON object, in the order of the
// list, ending in a line end.
func WriteJSON(w io.Writer, list List) error {
	if list == nil {
		list = List{}
	}
	encoder := json.NewEncoder(w)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(envelope{Version: Version, Summary: list.Summary(), Diagnostics: list})
}

// ReadJSON reads what WriteJSON wrote. It fails on anything else, and on a
// report of another version.
func ReadJSON(r io.Reader) (List, error) {
	var e envelope
	if err := json.NewDecoder(r).Decode(&e); err != nil {
		return nil, err
	}
	if e.Version != Version {
		return nil, fmt.Errorf("the report has version %d, and only version %d is read here", e.Version, Version)
	}
	return e.Diagnostics, nil
}
