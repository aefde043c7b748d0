package course

import (
	"math"

	"fallrule/plugins/interval"
	"fallrule/plugins/sdk/plan"
)

// leg of a right triangle: the level distance under a length that drops.
func levelUnder(length, drop plan.Reading) (plan.Reading, bool) {
	d := interval.Magnitude(drop)
	if d.High >= length.Low || math.IsInf(d.High, 1) {
		return plan.Reading{}, false // it may stand upright
	}
	side := func(l, d float64) float64 { return math.Sqrt(l*l - d*d) }
	return plan.Reading{Low: side(length.Low, d.High), Value: side(length.Value, d.Value), High: side(length.High, d.Low), How: plan.Computed}, true
}

// sine is the drop per length along the pipe of a fall in mm/m, which is told
// over the level distance.
func sine(fall plan.Reading) plan.Reading {
	f := func(v float64) float64 {
		if math.IsInf(v, 0) {
			return math.Copysign(1, v)
		}
		return v / math.Hypot(1000, v)
	}
	return plan.Reading{Low: f(fall.Low), Value: f(fall.Value), High: f(fall.High), How: plan.Computed}
}

// both is what two readings of the same thing allow together; false when they
// contradict one another by more than the slack that rounded figures need.
func both(a, b plan.Reading, slack float64) (plan.Reading, bool) {
	low, high := max(a.Low, b.Low), min(a.High, b.High)
	if low > high+slack {
		return plan.Reading{}, false
	}
	low, high = min(low, high), max(low, high)
	value := a.Value
	if b.High-b.Low < a.High-a.Low {
		value = b.Value
	}
	return plan.Reading{Low: low, Value: min(max(value, low), high), High: high, How: plan.Computed}, true
}
