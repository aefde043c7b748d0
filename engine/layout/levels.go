package layout

import (
	"math"

	"fallrule/plugins/sdk/plan"
)

// levels works out a pipe's end from its start and drop, or its start from its
// end, and holds what is told of both against the drop.
func (r *reader) levels(p *pipe) {
	drop := sum(p.Legs, dropOf)
	if p.to == nil || drop == nil {
		return
	}
	told := p.to.junction.Level
	switch {
	case p.Level != nil:
		made := p.Level.Minus(*drop)
		if apart(told, &made) {
			r.fault(p.to.at, "%s starts at %s and drops %s, so it ends at %s; its end is told as %s: one of them is wrong",
				p.ID, show(p.Level, "mm"), show(drop, "mm"), show(&made, "mm"), show(told, "mm"))
		}
		if told == nil {
			p.to.junction.Level = &made
		}
	case told != nil:
		made := told.Plus(*drop)
		p.Level = &made
	}
}

func fallen(level *plan.Reading, legs []plan.Leg) *plan.Reading {
	drop := sum(legs, dropOf)
	if level == nil || drop == nil {
		return nil
	}
	l := level.Minus(*drop)
	return &l
}

// levelAt is the invert at a distance along a pipe whose corners' levels are
// known: between two of them on a straight line, as exact as they are and as
// the slope lets the distance be. nil when they are not.
func levelAt(p *pipe, distance *plan.Reading) *plan.Reading {
	if distance == nil || len(p.corners) != len(p.Legs)+1 || sum(p.Legs, lengthOf) == nil {
		return nil
	}
	d := distance.Value
	for i, leg := range p.Legs {
		length := leg.Length.Value
		if d > length && i+1 < len(p.Legs) {
			d -= length
			continue
		}
		a, b := p.corners[i], p.corners[i+1]
		if a == nil || b == nil || length <= 0 {
			return nil
		}
		part := math.Max(0, math.Min(1, d/length))
		slope := math.Abs(a.Value-b.Value) / length
		by := weigh(1-part, within(a)) + weigh(part, within(b)) + weigh(slope, within(distance))
		v := plan.PlusMinus(a.Value+(b.Value-a.Value)*part, by, plan.Computed)
		return &v
	}
	return nil
}
