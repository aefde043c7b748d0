package timber

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"fallrule/plugins/sdk/plan"

	"go.yaml.in/yaml/v4"
)

// tolerance of the published figures, mm.
const tolerance = 0.1

type cuts struct {
	Rules    map[string]cutRule
	Examples []cutExample
}

// cutRule is a rule of thumb: places as parts of the span, depths as parts of
// the joist, and the most in mm whatever the joist, 0 when there is none.
type cutRule struct {
	Notch, Hole []float64
	NotchRatio  float64 `yaml:"notch_ratio"`
	HoleRatio   float64 `yaml:"hole_ratio"`
	NotchMost   float64 `yaml:"notch_most"`
	HoleMost    float64 `yaml:"hole_most"`
}

// cutExample is one joist and the greatest cuts it allows, mm.
type cutExample struct {
	Of            string
	Span, Depth   float64
	Notch, Hole   []float64
	NotchDepth    float64 `yaml:"notch_depth"`
	HoleDiameter  float64 `yaml:"hole_diameter"`
	Clause, Basis string
}

// The sources stand beside the rows of testdata/published/timber.
func TestPublishedJoistCuts(t *testing.T) {
	files, err := filepath.Glob("../../testdata/published/timber/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatalf("find the published joist cuts: %v, %d files", err, len(files))
	}
	rows := 0
	for _, file := range files {
		raw, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var c cuts
		if err := yaml.Unmarshal(raw, &c); err != nil {
			t.Fatalf("read %s: %v", file, err)
		}
		for _, x := range c.Examples {
			rows += x.compare(t, c.Rules[x.Of])
		}
	}
	t.Logf("%d published figures compared", rows)
	if rows < 20 {
		t.Errorf("%d published figures compared, want at least 20", rows)
	}
}

// compare puts the published cut into the joist and reads the measurer. It
// returns how many figures it held against the rule.
func (x cutExample) compare(t *testing.T, rule cutRule) int {
	t.Helper()
	rows := 0
	for i, at := range x.Notch {
		x.same(t, "span_ratio", plan.Opening{Shape: "notch_top"}, at, rule.Notch[i]*x.Span, x.Span)
		rows++
	}
	for i, at := range x.Hole {
		x.same(t, "span_ratio", plan.Opening{Shape: "hole"}, at, rule.Hole[i]*x.Span, x.Span)
		rows++
	}
	if x.NotchDepth > 0 {
		d := plan.Exactly(x.NotchDepth)
		x.same(t, "notch_ratio", plan.Opening{Shape: "notch_top", Depth: &d}, 0, capped(rule.NotchRatio*x.Depth, rule.NotchMost), x.Depth)
		rows++
	}
	if x.HoleDiameter > 0 {
		d := plan.Exactly(x.HoleDiameter)
		x.same(t, "hole_ratio", plan.Opening{Shape: "hole", Diameter: &d}, 0, capped(rule.HoleRatio*x.Depth, rule.HoleMost), x.Depth)
		rows++
	}
	return rows
}

// same measures a ratio and holds ratio times the whole against the figure in
// mm that the rule gives.
func (x cutExample) same(t *testing.T, quantity string, o plan.Opening, at, want, whole float64) {
	t.Helper()
	place, depth, span := plan.Exactly(at), plan.Exactly(x.Depth), plan.Exactly(x.Span)
	o.Distance = &place
	got := bench.Band(t, loft(o, plan.Opening{}, &depth, &span), quantity, "o1").Value * whole
	if math.Abs(got-want) > tolerance {
		t.Errorf("%s, %s, span %g, depth %g: %s gives %g mm, the rule %g mm", x.Of, x.Clause, x.Span, x.Depth, quantity, got, want)
	}
}

func capped(most, whatever float64) float64 {
	if whatever > 0 {
		return min(most, whatever)
	}
	return most
}

// The sources stand beside the rows of testdata/published/timber/loads.
func TestPublishedFloorLoads(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/published/timber/loads/floor.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		Rows []struct {
			What, Source, Basis string
			Layer, Thing        []float64
			KN                  float64 `yaml:"kN_m2"`
			Tolerance           float64
		}
	}
	if err := yaml.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	for _, r := range f.Rows {
		var got float64
		switch {
		case len(r.Layer) == 2:
			got = layer(r.Layer[0]/1000, r.Layer[1])
		case len(r.Thing) == 2:
			got = pressing(r.Thing[0], r.Thing[1])
		}
		if r.Source == "" || r.Basis == "" || math.Abs(got/1000-r.KN) > r.Tolerance*r.KN {
			t.Errorf("%s: %g kN/m², %s gives %g", r.What, got/1000, r.Source, r.KN)
		}
	}
	t.Logf("%d published floor loads compared", len(f.Rows))
	if len(f.Rows) == 0 {
		t.Error("no published floor load")
	}
}
