package supply

import (
	"math"
	"os"
	"testing"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

type publishedRow struct {
	What   string   `yaml:"what"`
	X      float64  `yaml:"x"`
	Kinds  []string `yaml:"kinds"`
	Bore   float64  `yaml:"bore_mm"`
	Length float64  `yaml:"length_m"`
	Flow   float64  `yaml:"flow_l_s"`
	Cold   float64  `yaml:"cold"`
	Hot    float64  `yaml:"hot"`
	MadeOf string   `yaml:"made_of"`
	Warms  float64  `yaml:"warms"`
	Is     float64  `yaml:"is"`
	Within float64  `yaml:"within"`
	Source string   `yaml:"source"`
	Basis  string   `yaml:"basis"`
}

// The sources stand beside the rows.
func TestPublishedFigures(t *testing.T) {
	for _, file := range []string{"units.yaml", "hot.yaml"} {
		raw, err := os.ReadFile("../../testdata/published/supply/" + file)
		if err != nil {
			t.Fatal(err)
		}
		var f struct {
			Rows []publishedRow `yaml:"rows"`
		}
		if err := yaml.Unmarshal(raw, &f); err != nil {
			t.Fatalf("read %s: %v", file, err)
		}
		if len(f.Rows) == 0 {
			t.Fatalf("%s has no rows", file)
		}
		for _, r := range f.Rows {
			r.compare(t)
		}
		t.Logf("%s: %d rows", file, len(f.Rows))
	}
}

func (r publishedRow) compare(t *testing.T) {
	t.Helper()
	if r.Source == "" || r.Basis == "" || r.Within <= 0 || r.Is == 0 {
		t.Errorf("%+v: no source, basis, tolerance or figure", r)
	}
	low, high := r.ours(t)
	if slack := r.Within * r.Is; r.Is < low-slack || r.Is > high+slack || math.IsNaN(low+high) {
		t.Errorf("%+v: %g to %g", r, low, high)
	}
}

// ours is the figure of the package: of a formula, or of a plan made for it.
func (r publishedRow) ours(t *testing.T) (low, high float64) {
	t.Helper()
	tables, err := load()
	if err != nil {
		t.Fatal(err)
	}
	switch r.What {
	case "demand":
		q, ok := tables.Demand.at(r.X)
		if !ok {
			t.Fatalf("%+v: not in the table", r)
		}
		return q / gallon, q / gallon
	case "together":
		return together(int(r.X)), together(int(r.X))
	case "older":
		return older(int(r.X)), older(int(r.X))
	}
	p, quantity, subject := r.plan(t)
	b := bench.Band(t, p, quantity, subject)
	return b.Low, b.High
}

func (r publishedRow) plan(t *testing.T) (p *plan.Plan, quantity, subject string) {
	t.Helper()
	p = ferry()
	run := &p.Links[hotRun]
	length, bore := plan.Exactly(r.Length*1000), plan.Exactly(r.Bore)
	run.Length = &length
	bored(run, &bore)
	switch r.What {
	case "content":
		return p, "dead_leg", "basin.hot"
	case "wait":
		q := plan.Exactly(r.Flow)
		p.DrawOffs[hotTap].Flow = &q
		return p, "hot_wait", "basin.hot"
	case "mixed":
		c, h := plan.Exactly(r.Cold), plan.Exactly(r.Hot)
		p.DrawOffs[coldTap].Temperature, p.DrawOffs[hotTap].Temperature = &c, &h
		return p, "mixed_temperature", "basin"
	case "expansion":
		set := plan.Exactly(laidAt + r.Warms)
		p.Heaters[0].Set, run.MadeOf = &set, r.MadeOf
		return p, "expansion", "h1"
	case "loading":
		p.DrawOffs = nil
		p.Links = p.Links[:toBasin]
		for _, kind := range r.Kinds {
			p.Fixtures = append(p.Fixtures, plan.Fixture{ID: kind, Kind: kind})
			p.DrawOffs = append(p.DrawOffs, plan.DrawOff{ID: kind + ".cold", Fixture: kind, Serves: kind, Water: "cold"})
			p.Links = append(p.Links, plan.Link{ID: "to_" + kind, A: "t1", B: kind + ".cold"})
		}
		return p, "loading_units", "c1"
	}
	t.Fatalf("%+v: no such figure", r)
	return nil, "", ""
}
