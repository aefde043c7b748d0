package engine

import (
	"path/filepath"
	"slices"
	"testing"

	"fallrule/engine/ask"
	"fallrule/engine/profile"
	"fallrule/profiles"
	"fallrule/schema"
)

// Whatever a bundled profile waits for in a house, the reader is told how to
// read it: a name that stands nowhere in the document has no advice either.
func TestWhatIsAskedForCanBeRead(t *testing.T) {
	heads, err := profile.NewFolders(profiles.FS).Heads()
	if err != nil {
		t.Fatal(err)
	}
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	houses, err := filepath.Glob("../testdata/houses/*.yaml")
	if err != nil || len(houses) < 3 {
		t.Fatalf("%d houses: %v", len(houses), err)
	}
	asked := 0
	for _, house := range houses {
		b := newBench(t, house, ids(heads)...)
		readings, err := ask.Next(b.check(t), cat, b.layout.Reading, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range readings {
			asked++
			if slices.Contains([]string{"", ask.Unadvised}, r.How) {
				t.Errorf("%s: nobody says how to read %s, for %v", filepath.Base(house), r.Path, r.For)
			}
		}
	}
	if asked < 50 {
		t.Errorf("only %d readings were asked for", asked)
	}
}
