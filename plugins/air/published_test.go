package air

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"fallrule/plugins/sdk/plan"

	"go.yaml.in/yaml/v4"
)

// published is a rate that a text gives both ways: a flow in l/s, and what it
// moves in an hour, m³, which is the air changes of a room of one m³.
type published struct {
	Of             string
	Flow           float64
	Hourly         float64
	Within         float64
	Clause, Source string
	Basis          string
}

// The sources stand beside the rows of testdata/published/air.
func TestPublishedRates(t *testing.T) {
	files, err := filepath.Glob("../../testdata/published/air/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("find the published rates: %v, %d files", err, len(files))
	}
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var f struct{ Rates []published }
		if err := yaml.Unmarshal(raw, &f); err != nil {
			t.Fatalf("read %s: %v", file, err)
		}
		if len(f.Rates) == 0 {
			t.Errorf("%s has no rates", file)
		}
		for _, x := range f.Rates {
			x.compare(t)
		}
		t.Logf("%s: %d rates compared", filepath.Base(file), len(f.Rates))
	}
}

func (x published) compare(t *testing.T) {
	t.Helper()
	if x.Source == "" || x.Basis == "" {
		t.Errorf("%s: no source or basis", x.Of)
	}
	flow, side := plan.Exactly(x.Flow), plan.Exactly(1000)
	p := &plan.Plan{Rooms: []plan.Room{{ID: "cube", Sides: []plan.Reading{side, side}, Height: &side}}, Fans: []plan.Fan{{ID: "fan", Room: "cube", Flow: &flow}}}
	if got := bench.Band(t, p, "air_changes", "cube").Value; math.Abs(got-x.Hourly) > x.Within {
		t.Errorf("%s: %g l/s moves %g m³ an hour, published %g", x.Of, x.Flow, got, x.Hourly)
	}
}
