package schema

import _ "embed"

// Compare is the JSON Schema of the JSON form of a comparison of codes.
//
//go:embed compare.schema.json
var Compare []byte
