package partfull

import (
	"math"
	"testing"
)

// manning is the speed of flow with a constant roughness coefficient.
func manning(radius, fall, n float64) float64 {
	return math.Pow(radius, 2.0/3) * math.Sqrt(fall) / n
}

// Public sources, named in the file. The circle's area and radius are the
// code's, the formula is the test's own and held against print first.
func TestPublishedManning(t *testing.T) {
	var f struct {
		Speeds []struct {
			Radius    float64 `yaml:"hydraulic_radius"`
			Fall      float64 `yaml:"fall"`
			N         float64 `yaml:"n"`
			Speed     float64 `yaml:"speed"`
			Tolerance float64 `yaml:"tolerance"`
		} `yaml:"speeds"`
		Circles []struct {
			Bore      float64 `yaml:"bore"`
			Depth     float64 `yaml:"depth"`
			N         float64 `yaml:"n"`
			Fall      float64 `yaml:"fall"`
			Flow      float64 `yaml:"flow"`
			Shear     float64 `yaml:"shear"`
			Tolerance float64 `yaml:"tolerance"`
		} `yaml:"circles"`
	}
	load(t, "manning.yaml", &f)
	if len(f.Speeds) != 2 || len(f.Circles) != 3 {
		t.Fatalf("%d speeds, %d circles", len(f.Speeds), len(f.Circles))
	}
	for _, row := range f.Speeds {
		if v := manning(row.Radius, row.Fall, row.N); off(v, row.Speed) > row.Tolerance {
			t.Errorf("%+v: speed %.4f", row, v)
		}
	}
	for _, row := range f.Circles {
		s := SectionAt(row.Bore, row.Depth/row.Bore)
		if q := manning(s.Radius, row.Fall, row.N) * s.Area; off(q, row.Flow) > row.Tolerance {
			t.Errorf("%+v: flow %.5f m3/s", row, q)
		}
		if tau := 9810 * s.Radius * row.Fall; row.Shear > 0 && off(tau, row.Shear) > 0.01 {
			t.Errorf("%+v: shear %.3f Pa", row, tau)
		}
	}
	t.Logf("%d rows of Manning's formula compared", len(f.Speeds)+len(f.Circles))
}

// Own figures, worked before the code: they check its typing, not the law.
func TestAlongTheDepth(t *testing.T) {
	var f struct {
		Bore float64 `yaml:"bore_mm"`
		Fall float64 `yaml:"fall_mm_per_m"`
		Rows []struct {
			Ratio       float64 `yaml:"depth_ratio"`
			Area        float64 `yaml:"area"`
			Radius      float64 `yaml:"radius"`
			Flow        float64 `yaml:"flow"`
			Velocity    float64 `yaml:"velocity"`
			LawFlow     float64 `yaml:"law_flow"`
			LawVelocity float64 `yaml:"law_velocity"`
		} `yaml:"rows"`
	}
	load(t, "along_the_depth.yaml", &f)
	if len(f.Rows) != 9 {
		t.Fatalf("%d rows", len(f.Rows))
	}
	full := SectionAt(1, 1)
	bore, slope := f.Bore/1000, f.Fall/1000
	near := func(got, want float64) bool { return math.Abs(got-want) <= 0.00006+0.001*want }
	for _, row := range f.Rows {
		s := SectionAt(1, row.Ratio)
		v := math.Pow(s.Radius/full.Radius, 2.0/3)
		q := AnnexB.Flow(bore, slope, row.Ratio) / AnnexB.Flow(bore, slope, 1)
		u := AnnexB.Velocity(bore, slope, row.Ratio) / AnnexB.Velocity(bore, slope, 1)
		for _, pair := range [][2]float64{{s.Area / full.Area, row.Area}, {s.Radius / full.Radius, row.Radius}, {v * s.Area / full.Area, row.Flow}, {v, row.Velocity}, {q, row.LawFlow}, {u, row.LawVelocity}} {
			if !near(pair[0], pair[1]) {
				t.Errorf("depth ratio %g: %.5f for %g", row.Ratio, pair[0], pair[1])
			}
		}
	}
	t.Logf("%d depths of 6 figures compared", len(f.Rows))
}

// Self-cleansing velocities as printed, with the falls printed beside them. Where
// the tool's law stays short of one, the file says so, and so does the test.
func TestPublishedVelocityLimits(t *testing.T) {
	var f struct {
		Rows []struct {
			Rule     string  `yaml:"rule"`
			Velocity float64 `yaml:"velocity_m_per_s"`
			Bore     float64 `yaml:"bore_mm"`
			Fall     float64 `yaml:"fall_mm_per_m"`
			Ratio    float64 `yaml:"depth_ratio"`
			Reached  string  `yaml:"reached"`
		} `yaml:"rows"`
		Shear struct {
			Pounds  float64 `yaml:"pounds_per_square_foot"`
			Pascals float64 `yaml:"pascals"`
		} `yaml:"shear"`
	}
	load(t, "velocity_limits.yaml", &f)
	if len(f.Rows) != 5 {
		t.Fatalf("%d rows", len(f.Rows))
	}
	for _, row := range f.Rows {
		v := AnnexB.Velocity(row.Bore/1000, row.Fall/1000, row.Ratio)
		reached := map[bool]string{true: "met", false: "short"}[v >= row.Velocity]
		if reached != row.Reached || v < 0.95*row.Velocity {
			t.Errorf("%s at %g mm and %g mm/m: %.3f m/s, %s; the file says %s", row.Rule, row.Bore, row.Fall, v, reached, row.Reached)
		}
	}
	if off(f.Shear.Pounds*47.880, f.Shear.Pascals) > 0.002 {
		t.Errorf("%g lb/ft2 is not %g Pa", f.Shear.Pounds, f.Shear.Pascals)
	}
	if tau := 9810 * SectionAt(0.096, 0.5).Radius * 0.005; tau < f.Shear.Pascals {
		t.Errorf("the flattest drain of EN 12056-2 at half depth pulls with %.3f Pa only", tau)
	}
	t.Logf("%d velocity limits and one shear compared", len(f.Rows))
}
