package pipeflow

import (
	"math"
	"os"
	"testing"

	"go.yaml.in/yaml/v4"
)

const published = "../../../testdata/published/supply/"

// rowsOf a file of published figures; a file without any fails.
func rowsOf[T any](t *testing.T, file string) []T {
	t.Helper()
	raw, err := os.ReadFile(published + file)
	if err != nil {
		t.Fatal(err)
	}
	var f struct {
		Rows []T `yaml:"rows"`
	}
	if err := yaml.Unmarshal(raw, &f); err != nil {
		t.Fatalf("read %s: %v", file, err)
	}
	if len(f.Rows) == 0 {
		t.Fatalf("%s has no rows", file)
	}
	t.Logf("%s: %d rows", file, len(f.Rows))
	return f.Rows
}

// origin of a row, which every row must have.
type origin struct {
	Within float64 `yaml:"within"`
	Source string  `yaml:"source"`
	Basis  string  `yaml:"basis"`
}

func (o origin) compare(t *testing.T, what any, got, want float64) {
	t.Helper()
	if o.Source == "" || o.Basis == "" || o.Within <= 0 || want == 0 {
		t.Errorf("%+v: no source, basis, tolerance or figure", what)
	}
	if off := math.Abs(got/want - 1); !(off <= o.Within) {
		t.Errorf("%+v: %g, published %g: %.3f %% apart", what, got, want, off*100)
	}
}

func TestPublishedFrictionFactors(t *testing.T) {
	type row struct {
		origin   `yaml:",inline"`
		Reynolds float64 `yaml:"reynolds"`
		Relative float64 `yaml:"relative"`
		F        float64 `yaml:"f"`
	}
	for _, r := range rowsOf[row](t, "friction.yaml") {
		r.compare(t, r, Friction(r.Reynolds, r.Relative), r.F)
	}
}

type piece struct {
	Bore   float64 `yaml:"bore_m"`
	Length float64 `yaml:"length_m"`
	K      float64 `yaml:"k"`
}

type lossRow struct {
	origin    `yaml:",inline"`
	piece     `yaml:",inline"`
	Flow      float64 `yaml:"flow_m3_s"`
	Velocity  float64 `yaml:"velocity_m_s"`
	Roughness float64 `yaml:"roughness_m"`
	Kinematic float64 `yaml:"kinematic_m2_s"`
	Density   float64 `yaml:"density"`
	Friction  float64 `yaml:"friction"`
	C         float64 `yaml:"c"`
	Rise      float64 `yaml:"rise_m"`
	Series    []piece `yaml:"series"`
	Head      float64 `yaml:"head_m"`
	Pressure  float64 `yaml:"pressure_pa"`
}

// loss of a row in Pa, by what the row gives.
func (r lossRow) loss() float64 {
	const density = 999.1 // water at 15 °C
	switch {
	case len(r.Series) > 0:
		sum := Pressure(r.Rise, r.Density)
		for _, p := range r.Series {
			v := Velocity(r.Flow, p.Bore)
			sum += DarcyWeisbach(r.Friction, p.Length, p.Bore, v, r.Density) + Local(p.K, v, r.Density)
		}
		return sum
	case r.C > 0:
		return Pressure(HazenWilliams(r.Flow, r.Bore, r.Length, r.C), density)
	case r.Velocity > 0:
		return Local(r.K, r.Velocity, density)
	}
	w := Water{Density: density, Viscosity: r.Kinematic * density}
	return Pipe{Bore: r.Bore, Length: r.Length, Roughness: r.Roughness, K: r.K}.Loss(r.Flow, w)
}

func TestPublishedLosses(t *testing.T) {
	for _, r := range rowsOf[lossRow](t, "losses.yaml") {
		if got, want := r.loss(), r.Pressure; r.Head > 0 {
			r.compare(t, r, Head(got, 999.1), r.Head)
		} else {
			r.compare(t, r, got, want)
		}
	}
}

func TestPublishedWater(t *testing.T) {
	type row struct {
		origin  `yaml:",inline"`
		Celsius float64 `yaml:"celsius"`
		Kelvin  float64 `yaml:"kelvin"`
		Rho     float64 `yaml:"rho"`
		Mu      float64 `yaml:"mu"`
		Nu      float64 `yaml:"nu"`
		Density float64 `yaml:"density"`
	}
	for _, r := range rowsOf[row](t, "water.yaml") {
		if r.Mu > 0 {
			r.compare(t, r, Viscosity(r.Kelvin, r.Rho)*1e6, r.Mu)
			continue
		}
		w, err := WaterAt(r.Celsius)
		switch {
		case err != nil:
			t.Error(err)
		case r.Nu > 0:
			r.compare(t, r, w.Kinematic()*1e6, r.Nu)
		default:
			r.compare(t, r, w.Density, r.Density)
		}
	}
}
