package venting

import (
	"math"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// lengthOf is the developed length of a segment: the told length of each leg,
// or what its level distance and its drop or fall make.
func (s *site) lengthOf(p *plan.Pipe) (plan.Reading, *sdk.Gap) {
	path := s.pathOf(p)
	if len(p.Legs) == 0 {
		return read(nil, path+".length", "the length of pipe "+path)
	}
	sum := plan.Exactly(0)
	for _, leg := range p.Legs {
		l, missing := legLength(leg)
		if missing != "" {
			return read(nil, path+"."+missing, "the "+missing+" of pipe "+path)
		}
		sum = sum.Plus(l)
	}
	return sum, nil
}

// legLength is one leg's length, or the word of the reading it lacks. A steep
// leg told by its drop alone stands upright. A near-level leg told by its level
// distance alone stands less than 45°, so it is at most 1.414 times that long.
func legLength(l plan.Leg) (plan.Reading, string) {
	switch {
	case l.Length != nil:
		return atLeast(*l.Length, 0), ""
	case l.Along != nil && l.Drop != nil:
		return slanted(*l.Along, *l.Drop), ""
	case l.Along != nil && l.Fall != nil:
		stretch := slanted(plan.Exactly(1), l.Fall.Times(0.001))
		return times(atLeast(*l.Along, 0), stretch), ""
	case l.Steep && l.Drop != nil:
		return slanted(plan.Exactly(0), *l.Drop), ""
	case l.Along != nil && !l.Steep:
		a := atLeast(*l.Along, 0)
		return plan.Reading{Low: a.Low, Value: a.Value, High: a.High * math.Sqrt2, How: plan.Computed}, ""
	case l.Along != nil:
		return plan.Reading{}, "drop"
	}
	return plan.Reading{}, "length"
}

// dropOf is how much a segment falls from its start to its end.
func (s *site) dropOf(p *plan.Pipe) (plan.Reading, *sdk.Gap) {
	path := s.pathOf(p)
	if len(p.Legs) == 0 {
		return read(nil, path+".drop", "the drop of pipe "+path)
	}
	sum := plan.Exactly(0)
	for _, leg := range p.Legs {
		d, told := legDrop(leg)
		if !told {
			return read(nil, path+".drop", "the drop of pipe "+path)
		}
		sum = sum.Plus(d)
	}
	return sum, nil
}

func legDrop(l plan.Leg) (plan.Reading, bool) {
	switch {
	case l.Drop != nil:
		return *l.Drop, true
	case l.Fall != nil && l.Along != nil:
		return times(atLeast(*l.Along, 0), l.Fall.Times(0.001)), true
	case l.Fall != nil && l.Length != nil:
		return times(atLeast(*l.Length, 0), steepness(*l.Fall)), true
	}
	return plan.Reading{}, false
}

// dropAlong is how much a segment has fallen at a distance from its start. It
// can be told only of a segment of one leg; within several the place of the
// bends is as uncertain as the distance.
func dropAlong(p *plan.Pipe, distance plan.Reading) (plan.Reading, bool) {
	if len(p.Legs) != 1 {
		return plan.Reading{}, false
	}
	l := p.Legs[0]
	if l.Fall != nil && l.Drop == nil {
		return times(atLeast(distance, 0), steepness(*l.Fall)), true
	}
	slope, ok := plan.Reading{}, false
	switch {
	case l.Drop != nil && l.Length != nil:
		slope, ok = over(*l.Drop, *l.Length)
	case l.Drop != nil && l.Along != nil:
		slope, ok = over(l.Drop.Times(1000), *l.Along)
		slope = steepness(slope)
	}
	return times(atLeast(distance, 0), slope), ok
}

// steepness is the drop over the length along the pipe of a fall in mm/m.
func steepness(fall plan.Reading) plan.Reading {
	of := func(f float64) float64 {
		if math.IsInf(f, 0) {
			return math.Copysign(1, f)
		}
		return f / math.Hypot(1000, f)
	}
	return plan.Reading{Low: of(fall.Low), Value: of(fall.Value), High: of(fall.High), How: plan.Computed}
}

// atLeast keeps a reading from going below what the thing can be.
func atLeast(r plan.Reading, low float64) plan.Reading {
	return plan.Reading{Low: max(r.Low, low), Value: max(r.Value, low), High: max(r.High, low), How: r.How}
}

// slanted is the long side over a level distance and a drop, up or down.
func slanted(along, drop plan.Reading) plan.Reading {
	along = atLeast(along, 0)
	low, high := math.Abs(drop.Low), math.Abs(drop.High)
	if low > high {
		low, high = high, low
	}
	if drop.Low <= 0 && drop.High >= 0 {
		low = 0
	}
	return plan.Reading{Low: math.Hypot(along.Low, low), Value: math.Hypot(along.Value, drop.Value), High: math.Hypot(along.High, high), How: plan.Computed}
}

// times multiplies a size, never below nothing, by a reading of any sign.
func times(size, by plan.Reading) plan.Reading {
	low, high := product(size.Low, by.Low), product(size.High, by.High)
	if by.Low < 0 {
		low = product(size.High, by.Low)
	}
	if by.High < 0 {
		high = product(size.Low, by.High)
	}
	return plan.Reading{Low: low, Value: size.Value * by.Value, High: high, How: plan.Computed}
}

// product is nothing when either is nothing, even against an open end.
func product(a, b float64) float64 {
	if a == 0 || b == 0 {
		return 0
	}
	return a * b
}

// over divides a reading of any sign by a size. False when the size is nothing.
func over(a, size plan.Reading) (plan.Reading, bool) {
	if size.Value <= 0 {
		return plan.Reading{}, false
	}
	size = atLeast(size, 0)
	low, high := size.High, size.Low
	if a.Low < 0 {
		low = size.Low
	}
	if a.High < 0 {
		high = size.High
	}
	return plan.Reading{Low: quotient(a.Low, low), Value: a.Value / size.Value, High: quotient(a.High, high), How: plan.Computed}, true
}

// quotient is nothing when the upper number is, whatever the lower one.
func quotient(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}

// hull spans both readings about the first one's value.
func hull(a, b plan.Reading) plan.Reading {
	return plan.Reading{Low: min(a.Low, b.Low), Value: a.Value, High: max(a.High, b.High), How: plan.Computed}
}
