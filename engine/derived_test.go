package engine

import (
	"testing"

	"fallrule/engine/finding"
)

// A figure that a profile derives of two measures reaches the judge as a
// figure: no plugin is asked for it. EN 12056-2 asks of a drain that what it
// carries half full exceeds the design flow; the profile derives the spare.
func TestDerivedFiguresAreJudged(t *testing.T) {
	b := newBench(t, "../testdata/houses/timber_house.yaml", "eu_12056")
	sheet := b.check(t)
	judged := 0
	for _, f := range sheet.Findings {
		if f.Because == finding.PluginFault {
			t.Errorf("%s of %s: %s", f.Rule.ID, f.Subject, f.Message)
		}
		for _, d := range b.engine.Profiles.Profile("eu_12056").Derived {
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
