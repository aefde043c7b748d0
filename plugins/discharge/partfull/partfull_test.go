package partfull

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// plainFlow is the same law by another road: the segment's area from the chord,
// no angle as variable, nothing shared with the code under test.
func plainFlow(bore, slope, depth float64) float64 {
	r := bore / 2
	half := math.Acos((r - depth) / r)
	area := r*r*half - (r-depth)*math.Sqrt(max(0, depth*(bore-depth)))
	rh := area / (2 * r * half)
	root := math.Sqrt(8 * 9.81 * rh * slope)
	return -2 * root * math.Log10(1e-3/(14.84*rh)+2.51*1.31e-6/(4*rh*root)) * area
}

// plainDepth halves until nothing is left to halve.
func plainDepth(bore, slope, flow, top float64) float64 {
	low, high := 0.02*bore, top
	for range 200 {
		if mid := (low + high) / 2; plainFlow(bore, slope, mid) < flow {
			low = mid
		} else {
			high = mid
		}
	}
	return low / bore
}

func TestDepthAgreesWithPlainBisection(t *testing.T) {
	n := 0
	for _, bore := range []float64{0.026, 0.034, 0.044, 0.068, 0.096, 0.115, 0.146, 0.184, 0.292} {
		for _, slope := range []float64{0.001, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5} {
			for _, want := range []float64{0.05, 0.1, 0.25, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.92, 0.925} {
				flow := plainFlow(bore, slope, want*bore)
				got, full := AnnexB.Depth(bore, slope, flow)
				other := plainDepth(bore, slope, flow, 0.93*bore)
				if full || math.Abs(got-want) > 1e-9 || math.Abs(got-other) > 1e-9 {
					t.Errorf("bore %g m, slope %g: depth %.12f, plain bisection %.12f, made from %g", bore, slope, got, other, want)
				}
				n++
			}
		}
	}
	if n != 9*7*11 {
		t.Errorf("%d points of the grid tried", n)
	}
}

func TestDepthAtTheEnds(t *testing.T) {
	const bore, slope = 0.096, 0.01
	ratio, most := AnnexB.Peak(bore, slope)
	if ratio < 0.93 || ratio > 0.945 {
		t.Errorf("greatest flow at a depth ratio of %g, about 0.94 wanted", ratio)
	}
	for _, c := range []struct {
		name       string
		slope, q   float64
		want       float64
		surcharged bool
	}{
		{"no flow", slope, 0, 0, false},
		{"no fall", 0, 0.001, 1, true},
		{"back-fall", -0.01, 0.001, 1, true},
		{"the greatest flow", slope, most, ratio, false},
		{"a little more", slope, most * 1.0001, 1, true},
	} {
		got, full := AnnexB.Depth(bore, c.slope, c.q)
		if math.Abs(got-c.want) > 1e-6 || full != c.surcharged {
			t.Errorf("%s: depth %g, full %v; want %g, %v", c.name, got, full, c.want, c.surcharged)
		}
	}
}

func TestDepthFollowsFlowFallAndBore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore := rapid.Float64Range(0.02, 0.3).Draw(t, "bore")
		slope := rapid.Float64Range(1e-4, 0.3).Draw(t, "slope")
		flow := rapid.Float64Range(0, 0.03).Draw(t, "flow")
		more := rapid.Float64Range(1, 2).Draw(t, "more")
		base, _ := AnnexB.Depth(bore, slope, flow)
		if d, _ := AnnexB.Depth(bore, slope*more, flow); d > base+1e-12 {
			t.Fatalf("more fall gave more depth: %g after %g", d, base)
		}
		if d, _ := AnnexB.Depth(bore*more, slope, flow); d > base+1e-12 {
			t.Fatalf("a wider bore gave more depth ratio: %g after %g", d, base)
		}
		if d, _ := AnnexB.Depth(bore, slope, flow*more); d < base-1e-12 {
			t.Fatalf("more flow gave less depth: %g after %g", d, base)
		}
	})
}

func TestDerivativeMatchesDifferences(t *testing.T) {
	const bore, slope, h = 0.096, 0.02, 1e-5
	for angle := 1.0; angle < 6; angle += 0.5 {
		_, got := AnnexB.flow(bore, slope, angle)
		up, _ := AnnexB.flow(bore, slope, angle+h)
		down, _ := AnnexB.flow(bore, slope, angle-h)
		if want := (up - down) / (2 * h); math.Abs(got-want) > 1e-7*math.Abs(want)+1e-12 {
			t.Errorf("dQ/dangle at %g: %g, differences give %g", angle, got, want)
		}
	}
}
