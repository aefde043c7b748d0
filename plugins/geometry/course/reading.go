package course

import (
	"math"
	"strings"

	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk/plan"
)

// hypotenuse of a level distance and a drop of either sign; both ends kept.
func hypotenuse(along, drop plan.Reading) plan.Reading {
	d := Distance(drop)
	return plan.Reading{
		Low:   math.Hypot(max(along.Low, 0), d.Low),
		Value: math.Hypot(along.Value, d.Value),
		High:  math.Hypot(along.High, d.High),
		How:   plan.Computed,
	}
}

// Distance is the size of a reading without its sign.
func Distance(r plan.Reading) plan.Reading {
	out := plan.Reading{Value: math.Abs(r.Value), High: max(math.Abs(r.Low), math.Abs(r.High)), How: plan.Computed}
	switch {
	case r.Low > 0:
		out.Low = r.Low
	case r.High < 0:
		out.Low = -r.High
	}
	return out
}

// leg of a right triangle: the level distance under a length that drops.
func levelUnder(length, drop plan.Reading) (plan.Reading, bool) {
	d := Distance(drop)
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

// product of two readings, the worst of the four corners.
func product(a, b plan.Reading) plan.Reading {
	out := plan.Reading{Low: math.Inf(1), Value: a.Value * b.Value, High: math.Inf(-1), How: plan.Computed}
	for _, x := range []float64{a.Low, a.High} {
		for _, y := range []float64{b.Low, b.High} {
			p := times(x, y)
			out.Low, out.High = min(out.Low, p), max(out.High, p)
		}
	}
	return out
}

// times with 0 times endless as 0: nothing stays nothing, however long.
func times(x, y float64) float64 {
	if x == 0 || y == 0 {
		return 0
	}
	return x * y
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

func sum(parts []string, total plan.Reading, unit string) string {
	if len(parts) == 1 {
		return reply.Reading(total, unit)
	}
	return strings.Join(parts, " + ") + " = " + reply.Reading(total, unit)
}
