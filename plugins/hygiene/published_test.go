package hygiene

import (
	"math"
	"os"
	"testing"

	"fallrule/plugins/sdk/plan"

	"go.yaml.in/yaml/v4"
)

func published(t *testing.T, file string, into any) {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/published/hygiene/" + file)
	if err != nil {
		t.Fatal(err)
	}
	if err := yaml.Unmarshal(raw, into); err != nil {
		t.Fatalf("read %s: %v", file, err)
	}
}

type burn struct {
	At, Takes     float64
	Source, Basis string
	Differs       string
}

// The sources stand beside the rows of testdata/published/hygiene/burns.yaml.
func TestPublishedBurns(t *testing.T) {
	var f struct {
		Second, Third []burn
		LeftOut       []struct{ At, Times float64 } `yaml:"left_out"`
	}
	published(t, "burns.yaml", &f)
	if len(f.Second) == 0 || len(f.Third) == 0 || len(f.LeftOut) == 0 {
		t.Fatalf("%d, %d and %d rows", len(f.Second), len(f.Third), len(f.LeftOut))
	}
	for _, x := range append(f.Second, f.Third...) {
		if x.Source == "" || x.Basis == "" {
			t.Errorf("%g °C: no source or basis", x.At)
		}
	}
	for _, x := range f.Second {
		if got := burnAt(t, x.At); math.Abs(got-x.Takes) > 1e-9*x.Takes {
			t.Errorf("%g °C: %g s, published %g s", x.At, got, x.Takes)
		}
	}
	for _, x := range f.Third {
		if got := burnAt(t, x.At); (got > x.Takes) != (x.Differs != "") {
			t.Errorf("%g °C: second degree after %g s, third published after %g s, explained: %q", x.At, got, x.Takes, x.Differs)
		}
	}
	for _, x := range f.LeftOut {
		if got := leftOut(t, x.At); math.Abs(got-x.Times) > 0.005 {
			t.Errorf("%g °C left out comes to %g times its figure, by hand %g", x.At, got, x.Times)
		}
	}
	t.Logf("%d second-degree and %d third-degree figures compared, %d rows left out", len(f.Second), len(f.Third), len(f.LeftOut))
}

func burnAt(t *testing.T, at float64) float64 {
	t.Helper()
	water := plan.Exactly(at)
	p := &plan.Plan{DrawOffs: []plan.DrawOff{{ID: "tub.hot", Water: "hot", Temperature: &water}}}
	return bench.Band(t, p, "burn_time", "tub.hot").Value
}

// leftOut interpolates a row of the table from the others, over its figure.
func leftOut(t *testing.T, at float64) float64 {
	t.Helper()
	_, takes := rows(t, at)
	_, got, _ := without(t, at).after(at)
	return got / takes
}

// without is the table less the row of a temperature.
func without(t *testing.T, at float64) burnTable {
	t.Helper()
	rest, _ := rows(t, at)
	return rest
}

// rows of the table but one, and what that one says.
func rows(t *testing.T, at float64) (rest burnTable, takes float64) {
	t.Helper()
	f, err := load()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range f.Burn.Rows {
		if r.At == at {
			takes = r.Takes
			continue
		}
		rest.Rows = append(rest.Rows, r)
	}
	if takes == 0 {
		t.Fatalf("the table has no row of %g °C", at)
	}
	return rest, takes
}

// The sources stand in testdata/published/hygiene/cooling.yaml.
func TestPublishedCooling(t *testing.T) {
	var f struct {
		Checks []struct {
			Of                                                                   string
			Bore, Outer, From, To, Air, Surface, Sleeve, Conducts, Takes, Within float64
			Basis                                                                string
		}
	}
	published(t, "cooling.yaml", &f)
	if len(f.Checks) == 0 {
		t.Fatal("no checks")
	}
	for _, x := range f.Checks {
		d := newDrawn(t)
		c := &d.figures.Cooling
		c.To, c.Air, c.Surface = x.To, at(x.Air), at(x.Surface)
		insulated := "bare"
		if x.Sleeve > 0 {
			c.Sleeve, c.Conducts, insulated = at(x.Sleeve), at(x.Conducts), "insulated"
		}
		from, bore, outer := plan.Exactly(x.From), plan.Exactly(x.Bore), plan.Exactly(x.Outer)
		got := d.bench().Band(t, hotPipe(&from, &plan.Size{Bore: &bore, Outer: &outer}, "copper", insulated), "cooling_time", "h1").Value
		if math.Abs(got-x.Takes) > x.Within*x.Takes {
			t.Errorf("%s: %g s, published %g s", x.Of, got, x.Takes)
		}
	}
	t.Logf("%d cooling times compared", len(f.Checks))
}
