package interval

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/sdk/plan"
)

func drawn(t *rapid.T, least float64) plan.Reading {
	low := rapid.Float64Range(least, 10).Draw(t, "low")
	high := rapid.Float64Range(low, 12).Draw(t, "high")
	return plan.Reading{Low: low, Value: (low + high) / 2, High: high}
}

func within(t *rapid.T, r plan.Reading) float64 {
	return rapid.Float64Range(r.Low, r.High).Draw(t, "truth")
}

// Each function's band holds what any two values of its readings give.
func TestBandsHoldEveryTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, size := drawn(t, -10), drawn(t, -10), drawn(t, 0.1)
		x, y, z := within(t, a), within(t, b), within(t, size)
		over, ok := Quotient(a, size)
		if !ok {
			t.Fatalf("%v / %v is refused", a, size)
		}
		for name, c := range map[string]struct {
			band  plan.Reading
			truth float64
		}{
			"at least":   {AtLeast(a, 0), max(x, 0)},
			"magnitude":  {Magnitude(a), math.Abs(x)},
			"hypotenuse": {Hypotenuse(size, a), math.Hypot(z, x)},
			"product":    {Product(a, b), x * y},
			"quotient":   {over, x / z},
			"greater":    {Greater(a, b), max(x, y)},
			"lesser":     {Lesser(a, b), min(x, y)},
			"hull of a":  {Hull(a, b), x},
			"hull of b":  {Hull(a, b), y},
		} {
			if slack := 1e-9 * (1 + math.Abs(c.truth)); c.truth < c.band.Low-slack || c.truth > c.band.High+slack {
				t.Fatalf("%s: %g outside %v", name, c.truth, c.band)
			}
		}
	})
}

func TestOpenEndsAndNothing(t *testing.T) {
	open := plan.Reading{Low: 2, Value: 3, High: math.Inf(1)}
	if p := Product(open, plan.Reading{Low: 0, Value: 1, High: 2}); p.Low != 0 || !math.IsInf(p.High, 1) {
		t.Errorf("nothing times an open end: %v, want 0 and no end", p)
	}
	if q, ok := Quotient(plan.Exactly(6), open); !ok || q.Low != 0 || q.High != 3 {
		t.Errorf("6 over at least 2: %v, want 0 to 3", q)
	}
	if q, ok := Quotient(plan.Reading{Low: 0, Value: 1, High: 2}, plan.Reading{Low: -1, Value: 1, High: 2}); !ok || q.Low != 0 || !math.IsInf(q.High, 1) {
		t.Errorf("over a size that may be nothing: %v, want 0 and no end", q)
	}
	if _, ok := Quotient(plan.Exactly(1), plan.Exactly(0)); ok {
		t.Error("a size of nothing divides")
	}
}
