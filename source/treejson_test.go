package source_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"lampwright/source"

	"pgregory.net/rapid"
)

// A tree is written as the library writes maps, lists and texts, escapes and all.
func TestATreeIsWrittenAsJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"<&>", "a\"b\\c", "\u2028", "\x7f", "ü", "\x00", "12 mm"}))
		key, a, b := text.Draw(t, "key"), text.Draw(t, "a"), text.Draw(t, "b")
		got, err := json.Marshal([]any{source.Fields{{Key: key, Value: []any{a, nil, 1.5, true, []any{}, source.Fields{}}}}, b})
		want, fault := json.Marshal([]any{map[string]any{key: []any{a, nil, 1.5, true, []any{}, map[string]any{}}}, b})
		if err != nil || fault != nil || !bytes.Equal(got, want) {
			t.Fatalf("%s %v\nthe library: %s %v", got, err, want, fault)
		}
	})
}
