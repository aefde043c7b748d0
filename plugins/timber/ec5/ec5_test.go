package ec5

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func near(a, b, share float64) bool { return math.Abs(a-b) <= share*(1e-12+math.Abs(b)) }

// joist of our own: 50 by 200 mm C16 over 4 m.
func joist() Beam {
	c, _ := ClassOf("C16")
	return Beam{Span: 4, Section: Whole(0.05, 0.2), E: c.Stiffness, G: c.ShearStiffness}
}

// sagByThinSlices is the unit load method over ten thousand slices of the span.
func sagByThinSlices(b Beam, q float64, inertia func(x float64) float64) float64 {
	const slices = 10000
	dx, sum := b.Span/slices, 0.0
	for i := range slices {
		x := (float64(i) + 0.5) * dx
		sum += Moment(q, b.Span, x) * min(x, b.Span-x) / 2 / (b.E * inertia(x)) * dx
	}
	return sum
}

func TestSagWithCutsIsThatOfThinSlices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, q := joist(), 1500.0
		from := rapid.Float64Range(0, 3.8).Draw(t, "from")
		to := from + rapid.Float64Range(0.05, 1).Draw(t, "length")
		cut, _ := EdgeNotch(0.05, 0.2, rapid.Float64Range(0.01, 0.1).Draw(t, "notch"))
		want := sagByThinSlices(b, q, func(x float64) float64 {
			if x >= from && x < to {
				return cut.I
			}
			return b.I
		})
		whole, _ := b.Deflection(q)
		if got := whole + b.AddedByCut(q, from, to, cut.I); !near(got, want, 0.002) {
			t.Fatalf("sag %g, thin slices %g", got, want)
		}
	})
}

func TestCutOverTheWholeSpanIsAThinnerBeam(t *testing.T) {
	b := joist()
	thin := b
	thin.Section, _ = EdgeNotch(0.05, 0.2, 0.06)
	whole, _ := b.Deflection(1000)
	want, _ := thin.Deflection(1000)
	if got := whole + b.AddedByCut(1000, -1, 9, thin.I); !near(got, want, 1e-9) {
		t.Errorf("sag %g, closed form %g", got, want)
	}
}

// By hand: b 50, h 200, hole 50 with its centre 20 off mid depth. A = 7500 mm²,
// neutral axis 50·50·20/7500 = 6.667 mm away, I = 50·200³/12 - 50·50³/12 -
// 2500·20² - 7500·6.667² = 31,479,167 mm⁴, W = I/106.667 = 295,117 mm³.
func TestHoleOffTheMiddle(t *testing.T) {
	s, ok := Hole(0.05, 0.2, 0.05, -0.02)
	if !ok || !near(s.I, 31479166.7e-12, 1e-6) || !near(s.W, 295117.2e-9, 1e-6) || !near(s.Depth, 0.15, 1e-9) {
		t.Errorf("net section %+v", s)
	}
	if _, ok := Hole(0.05, 0.2, 0.05, 0.076); ok {
		t.Error("a hole that breaks the edge is one")
	}
}

// Spread and ShearMoving against a load tried at two thousand places.
func TestMovingLoadAtItsWorst(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		span, length := 4.0, rapid.Float64Range(0.2, 4).Draw(t, "length")
		x := rapid.Float64Range(0.1, 3.9).Draw(t, "x")
		var moment, shear float64
		for i := range 2000 {
			m, v := underPiece(span, x, float64(i)/1999*(span-length), length)
			moment, shear = max(moment, m), max(shear, math.Abs(v))
		}
		// One shorter than told is worse where part of it would lie on the other side.
		if part := min(length, max(x, span-x)); part < length {
			_, v := underPiece(span, max(x, span-x)-part, span-part, part)
			shear = max(shear, math.Abs(v))
		}
		if want := Moment(Spread(1, length, span), span, x); !near(moment, want, 0.01) {
			t.Fatalf("moment at %g under %g m: %g, tried %g", x, length, want, moment)
		}
		if want := ShearMoving(1, length, span, x); shear > want*(1+1e-9) {
			t.Fatalf("shear at %g under %g m: %g, tried %g", x, length, want, shear)
		}
	})
}

// underPiece is moment and shear at x under a load of 1 N/m from a, that long.
func underPiece(span, x, a, length float64) (moment, shear float64) {
	left := length * (span - a - length/2) / span
	before := min(max(x-a, 0), length)
	return left*x - before*(x-a-before/2), left - before
}

func TestDeeperNotchIsNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.1, 0.3).Draw(t, "depth")
		a := rapid.Float64Range(0.5, 0.98).Draw(t, "left")
		b := rapid.Float64Range(0.5, a).Draw(t, "less left")
		x := rapid.Float64Range(0, 0.3).Draw(t, "x")
		if kv, less := Kv(KnSolid, h, a*h, x, 0), Kv(KnSolid, h, b*h, x, 0); less > kv+1e-12 {
			t.Fatalf("kv rises from %g to %g", kv, less)
		}
		if far := Kv(KnSolid, h, a*h, x+0.05, 0); far > Kv(KnSolid, h, a*h, x, 0)+1e-12 {
			t.Fatalf("kv rises with the distance to %g", far)
		}
		d, f := (1-a)*h, (1-b)*h
		near, _ := EdgeNotch(0.05, h, d)
		deep, _ := EdgeNotch(0.05, h, f)
		small, _ := Hole(0.05, h, d, 0)
		large, _ := Hole(0.05, h, f, 0)
		if deep.W > near.W || deep.I > near.I || large.W > small.W || large.I > small.I {
			t.Fatalf("more timber left by a larger cut: %v %v, %v %v", near, deep, small, large)
		}
		if HoleShearFactor(h, f, f)/(h-f) < HoleShearFactor(h, d, d)/(h-d) {
			t.Fatal("a larger hole eases the shear")
		}
	})
}

// A hole that stays where it is below the top, in a deeper timber, leaves more.
func TestDeeperTimberIsNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.1, 0.3).Draw(t, "depth")
		d := rapid.Float64Range(0.01, 0.5).Draw(t, "hole") * h
		fromTop := rapid.Float64Range(d/2+0.002, h-d/2-0.002).Draw(t, "from top")
		more := h + rapid.Float64Range(0, 0.05).Draw(t, "more")
		thin, ok := Hole(1, h, d, fromTop-h/2)
		deep, okDeep := Hole(1, more, d, fromTop-more/2)
		if !ok || !okDeep || deep.W < thin.W*(1-1e-12) || deep.I < thin.I*(1-1e-12) {
			t.Fatalf("%v, deeper %v", thin, deep)
		}
	})
}

func TestDepthFactor(t *testing.T) {
	// By hand: (150/100)^0.2 = 1.0845; 1.3 from 40.4 mm down.
	for depth, want := range map[float64]float64{0.2: 1, 0.15: 1, 0.1: 1.0845, 0.03: 1.3} {
		if got := Kh(depth); !near(got, want, 1e-4) {
			t.Errorf("kh of %g m: %g, want %g", depth, got, want)
		}
	}
	if _, ok := ClassOf("C17"); ok {
		t.Error("C17 is a class")
	}
}
