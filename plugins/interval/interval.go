// Package interval is arithmetic with readings. Every function gives the
// narrowest band that holds all values its readings allow, taken one by one
// and independent of each other; an end nobody knows stays open.
package interval

import (
	"math"

	"fallrule/plugins/sdk/plan"
)

// AtLeast keeps a reading from going below what the thing can be.
func AtLeast(r plan.Reading, low float64) plan.Reading {
	return plan.Reading{Low: max(r.Low, low), Value: max(r.Value, low), High: max(r.High, low), How: r.How}
}

// Magnitude is the size of a reading without its sign.
func Magnitude(r plan.Reading) plan.Reading {
	out := plan.Reading{Value: math.Abs(r.Value), High: max(math.Abs(r.Low), math.Abs(r.High)), How: plan.Computed}
	switch {
	case r.Low > 0:
		out.Low = r.Low
	case r.High < 0:
		out.Low = -r.High
	}
	return out
}

// Hypotenuse is the long side over a level distance and a drop, up or down.
func Hypotenuse(along, drop plan.Reading) plan.Reading {
	a, d := AtLeast(along, 0), Magnitude(drop)
	return plan.Reading{Low: math.Hypot(a.Low, d.Low), Value: math.Hypot(a.Value, d.Value), High: math.Hypot(a.High, d.High), How: plan.Computed}
}

// Product is the worst of the four corners.
func Product(a, b plan.Reading) plan.Reading {
	out := plan.Reading{Low: math.Inf(1), Value: a.Value * b.Value, High: math.Inf(-1), How: plan.Computed}
	for _, x := range []float64{a.Low, a.High} {
		for _, y := range []float64{b.Low, b.High} {
			p := Times(x, y)
			out.Low, out.High = min(out.Low, p), max(out.High, p)
		}
	}
	return out
}

// Times multiplies two numbers; nothing stays nothing, however long the other.
func Times(x, y float64) float64 {
	if x == 0 || y == 0 {
		return 0
	}
	return x * y
}

// Quotient divides a reading of any sign by a size, which is never below
// nothing. False when the size is nothing.
func Quotient(a, size plan.Reading) (plan.Reading, bool) {
	if size.Value <= 0 {
		return plan.Reading{}, false
	}
	size = AtLeast(size, 0)
	low, high := size.High, size.Low
	if a.Low < 0 {
		low = size.Low
	}
	if a.High < 0 {
		high = size.High
	}
	return plan.Reading{Low: divide(a.Low, low), Value: a.Value / size.Value, High: divide(a.High, high), How: plan.Computed}, true
}

// divide gives nothing when the upper number is, whatever the lower one.
func divide(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}

// Greater of two readings.
func Greater(a, b plan.Reading) plan.Reading {
	return plan.Reading{Low: max(a.Low, b.Low), Value: max(a.Value, b.Value), High: max(a.High, b.High), How: plan.Computed}
}

// Lesser of two readings.
func Lesser(a, b plan.Reading) plan.Reading {
	return plan.Reading{Low: min(a.Low, b.Low), Value: min(a.Value, b.Value), High: min(a.High, b.High), How: plan.Computed}
}

// Hull spans both readings about the first one's value.
func Hull(a, b plan.Reading) plan.Reading {
	return plan.Reading{Low: min(a.Low, b.Low), Value: a.Value, High: max(a.High, b.High), How: plan.Computed}
}
