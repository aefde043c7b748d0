package pipeflow

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func drawPipe(t *rapid.T) (Pipe, float64, Water) {
	p := Pipe{
		Bore:      rapid.Float64Range(0.004, 0.1).Draw(t, "bore"),
		Length:    rapid.Float64Range(0, 100).Draw(t, "length"),
		Roughness: rapid.Float64Range(0, 2e-4).Draw(t, "roughness"),
		K:         rapid.Float64Range(0, 20).Draw(t, "K"),
	}
	w, err := WaterAt(rapid.Float64Range(0, 100).Draw(t, "temperature"))
	if err != nil {
		t.Fatal(err)
	}
	// Small flows too: laminar, turbulent and what lies between.
	return p, math.Exp(rapid.Float64Range(-16, -5).Draw(t, "log of the flow")), w
}

// Losses rise with flow, length, roughness and K and fall with the bore, also
// on the way from laminar to turbulent.
func TestLossIsMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q, w := drawPipe(t)
		by := rapid.Float64Range(1, 2).Draw(t, "by")
		wider, longer, rougher, bent := p, p, p, p
		wider.Bore, longer.Length, rougher.Roughness, bent.K = p.Bore*by, p.Length*by, p.Roughness*by, p.K*by
		loss := p.Loss(q, w)
		slack := 1e-9 * loss
		if got := wider.Loss(q, w); got > loss+slack {
			t.Fatalf("%+v loses %g, with a bore %g times as wide %g", p, loss, by, got)
		}
		for name, got := range map[string]float64{"longer": longer.Loss(q, w), "rougher": rougher.Loss(q, w), "more bends": bent.Loss(q, w), "more flow": p.Loss(q*by, w)} {
			if got < loss-slack {
				t.Fatalf("%+v loses %g, %s by %g only %g", p, loss, name, by, got)
			}
		}
	})
}

// The factor found does solve the equation it is said to solve.
func TestColebrookWhiteIsSolved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		re := math.Exp(rapid.Float64Range(math.Log(4000), math.Log(1e8)).Draw(t, "log of Re"))
		k := rapid.Float64Range(0, 0.05).Draw(t, "relative roughness")
		f := ColebrookWhite(re, k)
		if right := -2 * math.Log10(k/3.7+2.51/(re*math.Sqrt(f))); math.Abs(1/math.Sqrt(f)-right) > 1e-11 {
			t.Fatalf("Re %g, k/D %g: f %g: %g is not %g", re, k, f, 1/math.Sqrt(f), right)
		}
	})
}

func TestFrictionHasNoStep(t *testing.T) {
	for _, at := range []float64{LaminarUpTo, TurbulentFrom} {
		for _, k := range []float64{0, 0.001, 0.05} {
			if a, b := Friction(at*(1-1e-9), k), Friction(at*(1+1e-9), k); math.Abs(a/b-1) > 1e-6 {
				t.Errorf("at Re %g, k/D %g: %g, then %g", at, k, a, b)
			}
		}
	}
}

func TestUnitsRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q, d := rapid.Float64Range(1e-6, 1).Draw(t, "flow"), rapid.Float64Range(0.004, 1).Draw(t, "bore")
		if back := Velocity(q, d) * Area(d); math.Abs(back/q-1) > 1e-12 {
			t.Fatalf("flow %g, back %g", q, back)
		}
		h := rapid.Float64Range(0.001, 1000).Draw(t, "head")
		if back := Head(Pressure(h, 998), 998); math.Abs(back/h-1) > 1e-12 {
			t.Fatalf("head %g, back %g", h, back)
		}
		if length := Content(d, h) / Area(d); math.Abs(length/h-1) > 1e-12 {
			t.Fatalf("length %g, back %g", h, length)
		}
	})
}

// By hand: 0.2 l/s in 13.6 mm: π/4 × 0.0136² = 1.45267e-4 m², 1.37678 m/s; 1 m
// of water of 1000 kg/m³ presses 9806.65 Pa.
func TestByHand(t *testing.T) {
	if v := Velocity(0.2e-3, 0.0136); math.Abs(v-1.37678) > 1e-5 {
		t.Errorf("velocity %g", v)
	}
	if p := Pressure(1, 1000); p != 9806.65 {
		t.Errorf("pressure %g", p)
	}
	if re := Reynolds(1.37678, 0.0136, 1.3065e-6); math.Abs(re-14331.6) > 1 {
		t.Errorf("Reynolds %g", re)
	}
}

func TestEdges(t *testing.T) {
	w, err := WaterAt(10)
	if err != nil {
		t.Fatal(err)
	}
	if p := (Pipe{Bore: 0.01, Length: 1}).Loss(0, w); p != 0 {
		t.Errorf("no flow loses %g", p)
	}
	if p := (Pipe{Length: 1}).Loss(1e-4, w); !math.IsInf(p, 1) {
		t.Errorf("no bore loses %g", p)
	}
	for _, c := range []float64{-1, 101, math.NaN()} {
		if w, err := WaterAt(c); err == nil {
			t.Errorf("water at %g °C: %+v", c, w)
		}
	}
	below, errBelow := Density(40)
	above, errAbove := Density(40 + 1e-9)
	if errBelow != nil || errAbove != nil || math.Abs(above/below-1) > 1e-5 {
		t.Errorf("density at 40 °C: %g, just above %g, %v, %v", below, above, errBelow, errAbove)
	}
}

// Every word a supply pipe may be made of has a wall, ends in order, a source
// and a basis; every part as well.
func TestTables(t *testing.T) {
	tables, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	check := func(name string, s Span) {
		if !(0 <= s.Low && s.Low <= s.Value && s.Value <= s.High) || s.Source == "" || s.Basis == "" {
			t.Errorf("%s: %+v", name, s)
		}
	}
	for _, m := range []string{"copper", "galvanised", "steel", "stainless", "lead", "plastic", "multilayer"} {
		w := tables.Walls[m]
		check(m, w.K)
		if w.Old < w.K.High || w.C < 100 {
			t.Errorf("%s: old %g, new %g, C %g", m, w.Old, w.K.High, w.C)
		}
	}
	for name, p := range tables.Parts {
		check(name, p.K)
	}
	for _, b := range []struct{ degrees, k float64 }{{0, 0}, {22.5, 0.2}, {45, 0.4}, {67.5, 0.65}, {90, 0.9}, {180, 1.8}} {
		if k := tables.Bend(b.degrees).Value; math.Abs(k-b.k) > 1e-12 {
			t.Errorf("a bend of %g°: K %g, want %g", b.degrees, k, b.k)
		}
	}
}
