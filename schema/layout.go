package schema

import _ "embed"

// Layout is the JSON Schema of the layout document (draft 2020-12). Beside
// the standard's keywords it says of a string that holds a quantity which
// dimension it has (x-quantity) and which words may stand instead (x-words).
//
//go:embed layout.schema.json
var Layout []byte
