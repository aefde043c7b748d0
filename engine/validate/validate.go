// Package validate checks a document against a JSON Schema (2020-12) and says
// what is wrong in the words of the document: which key, where, what could
// stand there. It is the only package that knows the schema library.
package validate

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"fallrule/engine/document"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// Validator is a schema, compiled. It may be used by several goroutines.
type Validator struct {
	name     string
	url      string
	raw      any // the schema as read, to look names up in
	compiled *jsonschema.Schema
}

// New compiles a schema. Name is how messages call it: "layout.schema.json".
// References may point only within the schema itself: nothing is fetched.
func New(name string, schemaJSON []byte) (*Validator, error) {
	v := &Validator{name: name, url: "schema:///" + name}
	dec := json.NewDecoder(bytes.NewReader(schemaJSON))
	dec.UseNumber()
	if err := dec.Decode(&v.raw); err != nil {
		return nil, fmt.Errorf("read schema %s: %w", name, err)
	}
	if schema, ok := v.raw.(map[string]any); ok {
		if id, ok := schema["$id"].(string); ok {
			v.url = strings.TrimSuffix(id, "#")
		}
	}
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	c.LoadURL = func(url string) (io.ReadCloser, error) {
		return nil, fmt.Errorf("schema %s refers to %s, which is not in it", name, url)
	}
	if err := c.AddResource(v.url, bytes.NewReader(schemaJSON)); err != nil {
		return nil, fmt.Errorf("read schema %s: %w", name, err)
	}
	var err error
	if v.compiled, err = c.Compile(v.url); err != nil {
		return nil, fmt.Errorf("compile schema %s: %w", name, err)
	}
	return v, nil
}

// Document returns what in the document the schema does not allow, in the order
// of the places; nothing when it fits. A nil document has nothing to say.
func (v *Validator) Document(doc *document.Document) []document.Fault {
	if doc == nil {
		return nil
	}
	err := v.compiled.Validate(doc.Any())
	if err == nil {
		return nil
	}
	var failed *jsonschema.ValidationError
	if !errors.As(err, &failed) {
		return []document.Fault{{At: doc.Position(), What: fmt.Sprintf("cannot be held against %s: %v", v.name, err)}}
	}
	r := report{v: v, doc: doc}
	r.walk(failed)
	return document.Sort(r.faults)
}
