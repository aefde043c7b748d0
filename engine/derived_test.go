package engine

import (
	"context"
	"os"
	"testing"

	"fallrule/engine/finding"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/validate"
	"fallrule/plugins/bundled"
	"fallrule/profiles"
	"fallrule/schema"
)

// A figure that a profile derives of two measures reaches the judge as a
// figure: no plugin is asked for it. EN 12056-2 asks of a drain that what it
// carries half full exceeds the design flow; the profile derives the spare.
func TestDerivedFiguresAreJudged(t *testing.T) {
	const file = "../testdata/houses/timber_house.yaml"
	src, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		t.Fatal(err)
	}
	lay, faults := Read(v, file, src)
	if lay == nil {
		t.Fatal(faults)
	}
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	set, err := profile.Load(context.Background(), profile.NewFolders(profiles.FS), []string{"eu_12056"}, cat)
	if err != nil {
		t.Fatal(err)
	}
	e := &Engine{Profiles: set, Roles: []Role{{Profile: "eu_12056", Binding: true}}, Sources: []measure.Source{measure.Local(bundled.Measurers()...)}}
	sheet, err := e.Check(context.Background(), lay, nil)
	if err != nil {
		t.Fatal(err)
	}
	judged := 0
	for _, f := range sheet.Findings {
		if f.Because == finding.PluginFault {
			t.Errorf("%s of %s: %s", f.Rule.ID, f.Subject, f.Message)
		}
		for _, d := range set.Profile("eu_12056").Derived {
			m, named := f.Measured[d.Name]
			if named && m.Band != nil {
				judged++
			}
		}
	}
	if judged == 0 {
		t.Error("no derived figure reached the judge")
	}
}
