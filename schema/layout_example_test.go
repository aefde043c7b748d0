package schema_test

import (
	"encoding/json"
	"testing"

	"fallrule/engine/quantity"
	"fallrule/schema"
)

// An example that the reader refuses would teach people to write it.
func TestExamplesOfQuantitiesAreReadable(t *testing.T) {
	var s struct {
		Defs map[string]map[string]any `json:"$defs"`
	}
	if err := json.Unmarshal(schema.Layout, &s); err != nil {
		t.Fatal(err)
	}
	var root any
	if err := json.Unmarshal(schema.Layout, &root); err != nil {
		t.Fatal(err)
	}
	read := 0
	examples(root, func(ref string, values []any) {
		dimension, _ := s.Defs[ref]["x-quantity"].(string)
		for _, value := range values {
			text, ok := value.(string)
			if !ok || dimension == "" {
				continue
			}
			if err := parses(text, dimension); err != nil {
				t.Errorf("example %q of a %s: %v", text, dimension, err)
			}
			read++
		}
	})
	if read < 100 {
		t.Errorf("read only %d examples: the walk lost its way", read)
	}
}

func parses(text, dimension string) error {
	if text == "unknown" || text == "none" || text == "top" {
		return nil
	}
	if dimension == "bends" {
		_, err := quantity.ParseBends(text)
		return err
	}
	d, ok := quantity.DimensionOf(dimension)
	if !ok { // size, tolerance and voltage are not of the package quantity
		return nil
	}
	_, err := quantity.Parse(text, d)
	return err
}

// examples hands every list of examples to visit, with the definition that the
// examples are of.
func examples(node any, visit func(ref string, values []any)) {
	switch n := node.(type) {
	case map[string]any:
		if list, ok := n["examples"].([]any); ok {
			ref, _ := n["$ref"].(string)
			if len(ref) > len("#/$defs/") {
				visit(ref[len("#/$defs/"):], list)
			}
		}
		for name, sub := range n {
			if defs, ok := sub.(map[string]any); ok && name == "$defs" {
				for def, body := range defs {
					if list, ok := body.(map[string]any)["examples"].([]any); ok {
						visit(def, list)
					}
				}
			}
			examples(sub, visit)
		}
	case []any:
		for _, sub := range n {
			examples(sub, visit)
		}
	}
}
