package schema

import _ "embed"

// Sheet is the JSON Schema of the JSON form of an inspection sheet.
//
//go:embed sheet.schema.json
var Sheet []byte
