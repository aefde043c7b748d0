package course

import (
	"math"
	"os"
	"testing"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

type publishedFall struct {
	ID        string  `yaml:"id"`
	Written   string  `yaml:"written"`
	Along     float64 `yaml:"along"`
	Drop      float64 `yaml:"drop"`
	Fall      float64 `yaml:"fall"`
	Tolerance float64 `yaml:"tolerance"`
}

// The sources stand beside the rows.
func TestPublishedFalls(t *testing.T) {
	const path = "../../testdata/published/falls/falls.yaml"
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		ByDrop []publishedFall `yaml:"by_drop"`
		ByFall []publishedFall `yaml:"by_fall"`
	}
	if err := yaml.Unmarshal(raw, &f); err != nil {
		t.Fatalf("read %s: %v", path, err)
	}
	if len(f.ByDrop) != 8 || len(f.ByFall) != 1 {
		t.Fatalf("%d rows by drop, %d by fall", len(f.ByDrop), len(f.ByFall))
	}
	for _, row := range f.ByDrop {
		along, drop := plan.Exactly(row.Along), plan.Exactly(row.Drop)
		got := Run{Path: row.ID, Legs: []plan.Leg{{Along: &along, Drop: &drop}}}.Fall()
		if got.Gap != nil || math.Abs(got.Band.Value-row.Fall) > row.Tolerance*row.Fall {
			t.Errorf("%s, %s: %+v, gap %+v; printed %g mm/m", row.ID, row.Written, got.Band, got.Gap, row.Fall)
		}
	}
	for _, row := range f.ByFall {
		along, fall := plan.Exactly(row.Along), plan.Exactly(row.Fall)
		got := Run{Path: row.ID, Legs: []plan.Leg{{Along: &along, Fall: &fall}}}.Drop()
		if got.Gap != nil || math.Abs(got.Band.Value-row.Drop) > 1e-9 {
			t.Errorf("%s, %s: %+v, gap %+v; printed %g mm", row.ID, row.Written, got.Band, got.Gap, row.Drop)
		}
	}
	t.Logf("%d published falls compared", len(f.ByDrop)+len(f.ByFall))
}

// The near-level part of a run that drops into a floor and out of it again.
func TestBed(t *testing.T) {
	one := func(v float64) *plan.Reading { r := plan.PlusMinus(v, 1, plan.Taped); return &r }
	upright := func(drop float64) plan.Leg { return plan.Leg{Drop: one(drop), Steep: true} }
	r := Run{Path: "p", Legs: []plan.Leg{upright(100), {Along: one(2000), Drop: one(40)}, {Along: one(500), Drop: one(10)}, upright(60)}}
	if _, _, gap := r.Bed(); gap == nil || gap.Needs != "p.start" {
		t.Errorf("without levels: gap %+v", gap)
	}
	r.Start = one(0)
	start, end, gap := r.Bed() // -100 ± 2, and -150 ± 4 by the drops
	if gap != nil || start != band(-102, -100, -98) || end != band(-154, -150, -146) {
		t.Errorf("by the start: %+v to %+v, gap %+v", start, end, gap)
	}
	r.End = one(-212)
	start, end, gap = r.Bed() // the end's own level is nearer to the bed's end: -152 ± 2
	if gap != nil || start != band(-102, -100, -98) || end != band(-154, -152, -150) {
		t.Errorf("by both: %+v to %+v, gap %+v", start, end, gap)
	}
	r.Start = nil
	if start, _, gap = r.Bed(); gap != nil || start != band(-106, -102, -98) { // -212 + 60 + 10 + 40
		t.Errorf("by the end: %+v, gap %+v", start, gap)
	}
	if _, _, gap = (Run{Path: "p", Start: one(0), Legs: []plan.Leg{upright(100)}}).Bed(); gap == nil || gap.Needs != "" {
		t.Errorf("all upright: gap %+v", gap)
	}
	if _, _, gap = (Run{Path: "p", Start: one(0)}).Bed(); gap == nil || gap.Needs != "p.to.level" {
		t.Errorf("no course: gap %+v", gap)
	}
}

func band(low, value, high float64) plan.Reading {
	return plan.Reading{Low: low, Value: value, High: high, How: plan.Computed}
}
