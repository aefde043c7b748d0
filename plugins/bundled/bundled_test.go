package bundled

import (
	"context"
	"testing"

	"fallrule/schema"
)

// elsewhere are the quantities that a plugin outside this program measures.
var elsewhere = map[string]string{"lead_left": "plugins/leadwork"}

// Between them the bundled measurers measure the whole catalogue but for what
// is measured elsewhere, each quantity once, in its unit. Answers to a
// profile's questions are not in it.
func TestTheCatalogueIsMeasuredOnce(t *testing.T) {
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	by := map[string]string{}
	for _, m := range Measurers() {
		d, err := m.Describe(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		if d.Name == "" || d.Version == "" {
			t.Errorf("%+v: a measurer has a name and a version", d)
		}
		for _, q := range d.Quantities {
			if other, twice := by[q.Name]; twice {
				t.Errorf("%s is measured by %s and by %s", q.Name, other, d.Name)
			}
			by[q.Name] = d.Name
			if known, ok := cat.ByName[q.Name]; !ok || known.Unit != q.Unit {
				t.Errorf("%s offers %s in %q, the catalogue has %q (known: %v)", d.Name, q.Name, q.Unit, known.Unit, ok)
			}
			if q.Doc == "" {
				t.Errorf("%s: %s has no word on what it is", d.Name, q.Name)
			}
		}
	}
	for _, name := range cat.Names {
		if by[name] == "" && elsewhere[name] == "" {
			t.Errorf("nobody measures %s", name)
		}
	}
	for name, plugin := range elsewhere {
		if _, known := cat.ByName[name]; !known || by[name] != "" {
			t.Errorf("%s is said to be measured by %s: in the catalogue %v, bundled in %q", name, plugin, known, by[name])
		}
	}
}
