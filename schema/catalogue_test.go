package schema

import (
	"encoding/json"
	"slices"
	"testing"
)

func TestCatalogueIsWhole(t *testing.T) {
	c, err := Quantities()
	if err != nil {
		t.Fatal(err)
	}
	kinds := inputLists(t)
	for _, name := range c.Names {
		q := c.ByName[name]
		if q.Says == "" || len(q.Of) == 0 {
			t.Errorf("%s: no meaning or no kind", name)
		}
		if q.IsState() == (q.Unit != "") {
			t.Errorf("%s: is either a state with words or a number with a unit", name)
		}
		if !q.IsState() && q.Low >= q.High {
			t.Errorf("%s: its domain is empty", name)
		}
		for _, of := range q.Of {
			if !slices.Contains(kinds, of) {
				t.Errorf("%s: %s is no list of the rules' input", name, of)
			}
		}
	}
}

// A name that were both a fact and a quantity would be two truths: a rule
// could pick a row by the one and be judged by the other.
func TestNoNameIsBothFactAndQuantity(t *testing.T) {
	c, err := Quantities()
	if err != nil {
		t.Fatal(err)
	}
	var s struct {
		Defs map[string]struct {
			Properties map[string]any `json:"properties"`
		} `json:"$defs"`
	}
	if err := json.Unmarshal(Input, &s); err != nil {
		t.Fatal(err)
	}
	for kind, def := range s.Defs {
		for field := range def.Properties {
			q, isQuantity := c.ByName[field]
			if isQuantity && slices.Contains(q.Of, kind+"s") {
				t.Errorf("%s is a fact and a quantity of %s", field, kind)
			}
		}
	}
}

func inputLists(t *testing.T) []string {
	t.Helper()
	var s struct{ Required []string }
	if err := json.Unmarshal(Input, &s); err != nil {
		t.Fatal(err)
	}
	return s.Required
}
