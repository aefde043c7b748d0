package timber

import (
	"fallrule/plugins/interval"
	"fallrule/plugins/sdk/plan"
)

// Every function here gives the narrowest band that holds all values its
// readings allow, taken one by one and independent of each other.

// quotient of two sizes of timber, neither less than nothing. False when the
// divisor is nothing.
func quotient(a, b plan.Reading) (plan.Reading, bool) {
	return interval.Quotient(interval.AtLeast(a, 0), b)
}

// within keeps a reading between two ends that the thing cannot pass. False
// when the whole of it lies outside.
func within(r plan.Reading, low, high float64) (plan.Reading, bool) {
	if r.Low > high || r.High < low {
		return plan.Reading{}, false
	}
	clip := func(x float64) float64 { return min(max(x, low), high) }
	return plan.Reading{Low: clip(r.Low), Value: clip(r.Value), High: clip(r.High), How: r.How}, true
}

// nearer folds a ratio of the span at its middle: 0.6 from one bearing is 0.4
// from the other.
func nearer(r plan.Reading) plan.Reading {
	fold := func(x float64) float64 { return min(x, 1-x) }
	high := max(fold(r.Low), fold(r.High))
	if r.Low <= 0.5 && r.High >= 0.5 {
		high = 0.5
	}
	return plan.Reading{Low: min(fold(r.Low), fold(r.High)), Value: fold(r.Value), High: high, How: plan.Computed}
}

// least is the timber left at the nearer edge, for a hole whose centre lies
// fromTop below the top of a timber that deep.
func least(fromTop, depth, diameter plan.Reading) plan.Reading {
	left := func(f, d, hole float64) float64 { return min(f, d-f) - hole/2 }
	low := min(fromTop.Low, depth.Low-fromTop.High) - diameter.High/2
	best := min(max(depth.High/2, fromTop.Low), fromTop.High) // as near the middle as the reading allows
	return plan.Reading{
		Low:   low,
		Value: left(fromTop.Value, depth.Value, diameter.Value),
		High:  left(best, depth.High, diameter.Low),
		How:   plan.Computed,
	}
}
