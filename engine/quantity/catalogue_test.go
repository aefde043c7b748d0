package quantity

import (
	"testing"

	"fallrule/schema"
)

// A rule can bound every number of the catalogue: its unit is one that a limit
// may be written in.
func TestEveryUnitOfTheCatalogueCanBeALimit(t *testing.T) {
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range cat.Names {
		q := cat.ByName[name]
		if q.IsState() {
			continue
		}
		text := "2 " + q.Unit
		if q.Unit == "1" {
			text = "2"
		}
		if got, err := In(text, q.Unit); err != nil || got != 2 {
			t.Errorf("%s: a limit of %q reads as %v, %v", name, text, got, err)
		}
	}
}
