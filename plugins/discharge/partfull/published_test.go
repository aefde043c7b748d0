package partfull

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"go.yaml.in/yaml/v4"
)

func load(t *testing.T, name string, into any) {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "published", "part_full", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := yaml.Unmarshal(b, into); err != nil {
		t.Fatalf("read %s: %v", name, err)
	}
}

type capacity struct {
	ID         string  `yaml:"id"`
	Bore       float64 `yaml:"bore_mm"`
	Fall       float64 `yaml:"fall_mm_per_m"`
	DepthRatio float64 `yaml:"depth_ratio"`
	Flow       float64 `yaml:"flow_l_per_s"`
	Velocity   float64 `yaml:"velocity_m_per_s"`
}

func capacities(t *testing.T, name string) []capacity {
	var file struct {
		Rows []capacity `yaml:"rows"`
	}
	load(t, name, &file)
	return file.Rows
}

func (c capacity) works() (flow, velocity float64) {
	return AnnexB.Flow(c.Bore/1000, c.Fall/1000, c.DepthRatio) * 1000, AnnexB.Velocity(c.Bore/1000, c.Fall/1000, c.DepthRatio)
}

// off is the relative error.
func off(got, want float64) float64 { return math.Abs(got-want) / math.Abs(want) }

// EN 12056-2:2000 Annex B, tables B.1 and B.2, from memory with fitted bores: a
// regression against the code's own past, not evidence for it.
func TestAnnexBFromMemory(t *testing.T) {
	for _, name := range []string{"annex_b_half.yaml", "annex_b_seven.yaml"} {
		rows, flows, velocities := capacities(t, name), 0, 0
		if len(rows) < 40 {
			t.Fatalf("%s has %d rows", name, len(rows))
		}
		for _, row := range rows {
			q, v := row.works()
			if off(q, row.Flow) <= 0.01 {
				flows++
			} else if math.Abs(q-row.Flow) > 0.05+1e-9 {
				t.Errorf("%s %+v: flow %.3f l/s", name, row, q)
			}
			if off(v, row.Velocity) <= 0.01 {
				velocities++
			} else if math.Abs(v-row.Velocity) > 0.05+1e-9 {
				t.Errorf("%s %+v: velocity %.3f m/s", name, row, v)
			}
		}
		t.Logf("%s: of %d rows %d flows and %d velocities are within 1 %%, the others within half the last digit", name, len(rows), flows, velocities)
	}
}

// Own figures, worked before the code: they check its typing, not the law.
func TestColebrookReference(t *testing.T) {
	rows := capacities(t, "colebrook_reference.yaml")
	if len(rows) != 12 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, row := range rows {
		if q, v := row.works(); off(q, row.Flow) > 0.005 || off(v, row.Velocity) > 0.005 {
			t.Errorf("%s: flow %.4f l/s for %g, velocity %.4f m/s for %g", row.ID, q, row.Flow, v, row.Velocity)
		}
	}
	t.Logf("%d flows and velocities compared", len(rows))
}

type proportions struct {
	Geometry struct {
		Tolerance float64 `yaml:"tolerance"`
		Rows      []struct {
			Depth  float64 `yaml:"depth_over_radius"`
			Radius float64 `yaml:"hydraulic_radius"`
			Area   float64 `yaml:"area"`
		} `yaml:"rows"`
	} `yaml:"geometry"`
	OverHalf struct {
		Rows []struct {
			DepthRatio float64 `yaml:"depth_ratio"`
			Flow       float64 `yaml:"flow"`
			Velocity   float64 `yaml:"velocity"`
			Tolerance  float64 `yaml:"tolerance"`
			Colebrook  float64 `yaml:"colebrook_tolerance"`
		} `yaml:"rows"`
	} `yaml:"over_half"`
	Extremes struct {
		Rows []struct {
			Item      string  `yaml:"item"`
			Handbook  float64 `yaml:"handbook"`
			Constant  float64 `yaml:"constant_coefficient"`
			Tolerance float64 `yaml:"tolerance"`
		} `yaml:"rows"`
	} `yaml:"extremes"`
}

// Public sources, named in the file.
func TestGeometryAgainstPrintedTable(t *testing.T) {
	var p proportions
	load(t, "proportions.yaml", &p)
	if len(p.Geometry.Rows) != 5 {
		t.Fatalf("%d rows", len(p.Geometry.Rows))
	}
	for _, row := range p.Geometry.Rows {
		s := SectionAt(2, row.Depth/2)
		if off(s.Radius, row.Radius) > p.Geometry.Tolerance || off(s.Area, row.Area) > p.Geometry.Tolerance {
			t.Errorf("depth %g radii: hydraulic radius %.4f for %g, area %.4f for %g", row.Depth, s.Radius, row.Radius, s.Area, row.Area)
		}
	}
	t.Logf("%d printed sections compared", len(p.Geometry.Rows))
}

// National Standard Plumbing Code 2009, appendix K (read): flow at a constant
// coefficient through the geometry, and the present law beside it.
func TestProportionsOverHalf(t *testing.T) {
	var p proportions
	load(t, "proportions.yaml", &p)
	if len(p.OverHalf.Rows) != 2 {
		t.Fatalf("%d rows", len(p.OverHalf.Rows))
	}
	half := SectionAt(1, 0.5)
	for _, row := range p.OverHalf.Rows {
		s := SectionAt(1, row.DepthRatio)
		v := math.Pow(s.Radius/half.Radius, 2.0/3)
		if off(v, row.Velocity) > row.Tolerance || off(v*s.Area/half.Area, row.Flow) > row.Tolerance {
			t.Errorf("depth ratio %g: velocity %.4f for %g, flow %.4f for %g", row.DepthRatio, v, row.Velocity, v*s.Area/half.Area, row.Flow)
		}
		const bore, slope = 0.146, 0.01
		q := AnnexB.Flow(bore, slope, row.DepthRatio) / AnnexB.Flow(bore, slope, 0.5)
		v = AnnexB.Velocity(bore, slope, row.DepthRatio) / AnnexB.Velocity(bore, slope, 0.5)
		if off(q, row.Flow) > row.Colebrook || off(v, row.Velocity) > row.Colebrook {
			t.Errorf("depth ratio %g by the present law: velocity %.4f for %g, flow %.4f for %g", row.DepthRatio, v, row.Velocity, q, row.Flow)
		}
	}
	t.Logf("%d printed proportions compared", len(p.OverHalf.Rows))
}

// A building handbook's extremes (read; older law, plausibility only).
func TestExtremesArePlausible(t *testing.T) {
	var p proportions
	load(t, "proportions.yaml", &p)
	if len(p.Extremes.Rows) != 5 {
		t.Fatalf("%d rows", len(p.Extremes.Rows))
	}
	const bore, slope = 0.146, 0.01
	full := AnnexB.Flow(bore, slope, 1)
	fast, gain := 0.0, 0.0
	for r := 0.5; r < 1; r += 1e-4 {
		if v := AnnexB.Velocity(bore, slope, r) / AnnexB.Velocity(bore, slope, 1); v > gain {
			fast, gain = r, v
		}
	}
	peak, most := AnnexB.Peak(bore, slope)
	equal, _ := AnnexB.Depth(bore, slope, full)
	got := []float64{fast, gain - 1, equal, peak, most/full - 1}
	for i, row := range p.Extremes.Rows {
		if math.Abs(got[i]-row.Handbook) > row.Tolerance || math.Abs(got[i]-row.Constant) > 0.005 {
			t.Errorf("%s: %.4f, handbook %g, constant coefficient %g", row.Item, got[i], row.Handbook, row.Constant)
		}
	}
	t.Logf("%d printed extremes compared", len(p.Extremes.Rows))
}
