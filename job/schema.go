package job

import _ "embed"

//go:generate go run ./internal/schemagen

//go:embed schema.json
var schema []byte

// Schema gives the JSON Schema (draft 2020-12) of the document, for editors
// that help while typing. It accepts every document that Parse accepts, except
// texts that look like numbers and keys that are left empty; Parse looks
// further and is the judge.
func Schema() []byte { return append([]byte(nil), schema...) }
