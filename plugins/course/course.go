// Package course works lengths, drops and falls out of the legs of one pipe.
// It stands apart so that every measurer that needs a fall has the same one.
package course

import (
	"fmt"
	"math"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const source = "geometry"

// Run is the course of one pipe. Its legs' figures stand in mm, mm/m and
// degrees.
type Run struct {
	Path  string        // the pipe in the words of the document: "bath.waste"
	Legs  []plan.Leg    // start to end
	Start *plan.Reading // invert where it begins, nil when not told
	End   *plan.Reading // invert where it ends, nil when not told
	Told  *plan.Reading // its whole length where one reading tells it, narrower than the legs' sum
}

// Of is the run of a branch or drain.
func Of(p plan.Pipe, path string) Run {
	return Run{Path: path, Legs: p.Legs, Start: p.Level, End: p.To.Level, Told: p.Told}
}

func (r Run) noLength() *sdk.Gap {
	return reply.NotRead(r.Path+".length", "nobody has told how long "+r.Path+" is")
}

func (r Run) noDrop() *sdk.Gap {
	return reply.NotRead(r.Path+".drop", "nobody has told how much "+r.Path+" drops")
}

// rounding is how far figures that are written in whole millimetres may be
// apart and still say the same, mm.
const rounding = 0.5

func (r Run) contradicts() *sdk.Gap {
	return reply.NotRead(r.Path+".to.level", "the levels of the ends of "+r.Path+" and the drops told along it contradict one another: measure again")
}

// Length is measured along the pipe: the legs' lengths, or what level distance
// and drop make of them. A near-level leg of which only the level distance is
// told may be up to half as long again as that, since it stands less than 45°.
func (r Run) Length() reply.Answer {
	legs := r.legLengths()
	if r.Told == nil {
		return legs
	}
	told := *r.Told
	if legs.Gap == nil {
		if agreed, ok := both(told, plan.Reading{Low: legs.Band.Low, Value: legs.Band.Value, High: legs.Band.High}, rounding); ok {
			told = agreed
		}
	}
	return reply.Number(told, func() sdk.Working {
		return sdk.Working{Formula: "length = between the junctions, by their distances along the pipe", Numbers: reply.Reading(told, "mm"), Source: source}
	})
}

// legLengths adds the lengths of the legs.
func (r Run) legLengths() reply.Answer {
	if len(r.Legs) == 0 {
		return reply.Answer{Gap: r.noLength()}
	}
	total, parts := plan.Reading{}, []string{}
	for _, leg := range r.Legs {
		l, ok := lengthOf(leg)
		switch {
		case !ok && leg.Along != nil:
			return reply.Answer{Gap: r.noDrop()} // steep: its level distance says little
		case !ok:
			return reply.Answer{Gap: r.noLength()}
		}
		total = total.Plus(l)
		parts = append(parts, reply.Value(l.Value, "mm"))
	}
	return reply.Number(total, func() sdk.Working {
		return sdk.Working{Formula: "length = sum of the legs along the pipe", Numbers: reply.Sum(parts, reply.Reading(total, "mm")), Source: source}
	})
}

func lengthOf(leg plan.Leg) (plan.Reading, bool) {
	drop, dropped := dropOf(leg)
	switch {
	case leg.Length != nil:
		return interval.AtLeast(*leg.Length, 0), true
	case leg.Along != nil && dropped:
		return interval.Hypotenuse(*leg.Along, drop), true
	case leg.Steep && dropped:
		return interval.Magnitude(drop), true // told by its height alone: `down`, upright
	case leg.Along != nil && !leg.Steep:
		a := interval.AtLeast(*leg.Along, 0)
		return plan.Reading{Low: a.Low, Value: a.Value, High: a.High * math.Sqrt2, How: plan.Computed}, true
	}
	return plan.Reading{}, false
}

// Drop is how much lower the end lies than the start: by the legs, by the
// levels of both ends, and by what both allow together when both are told.
func (r Run) Drop() reply.Answer {
	legs, byLegs := r.sumDrops(false)
	if r.Start != nil && r.End != nil {
		levels := r.Start.Minus(*r.End)
		if byLegs {
			agreed, ok := both(levels, legs, rounding)
			if !ok {
				return reply.Answer{Gap: r.contradicts()}
			}
			levels = agreed
		}
		return reply.Number(levels, func() sdk.Working {
			numbers := fmt.Sprintf("%s - %s = %s", reply.Value(r.Start.Value, "mm"), reply.Value(r.End.Value, "mm"), reply.Reading(levels, "mm"))
			return sdk.Working{Formula: "drop = level of the start - level of the end", Numbers: numbers, Source: source}
		})
	}
	if !byLegs || len(r.Legs) == 0 {
		return reply.Answer{Gap: r.noDrop()}
	}
	return dropFigure(legs, "drop = sum of the drops of its legs")
}

// SteepDrop is the height of the legs that stand 45° or steeper; 0 when no leg
// does.
func (r Run) SteepDrop() reply.Answer {
	if len(r.Legs) == 0 {
		return reply.Answer{Gap: reply.NotRead(r.Path+".runs", "the course of "+r.Path+" is not told, so nobody knows whether a piece of it stands upright")}
	}
	steep, ok := r.sumDrops(true)
	if !ok {
		return reply.Answer{Gap: r.noDrop()}
	}
	steep.Low = max(steep.Low, 0)
	return dropFigure(steep, "steep drop = sum of the heights of the legs of 45° or more")
}

func dropFigure(drop plan.Reading, formula string) reply.Answer {
	return reply.Number(drop, func() sdk.Working {
		return sdk.Working{Formula: formula, Numbers: reply.Reading(drop, "mm"), Source: source}
	})
}

// LegDrops is how much the legs drop, whatever the levels of the ends say, or
// the gap that asks for it.
func (r Run) LegDrops() (plan.Reading, *sdk.Gap) {
	drop, ok := r.sumDrops(false)
	if !ok || len(r.Legs) == 0 {
		return plan.Reading{}, r.noDrop()
	}
	return drop, nil
}

// sumDrops adds the drops of all legs, or of the steep ones only.
func (r Run) sumDrops(steepOnly bool) (plan.Reading, bool) {
	total := plan.Reading{How: plan.Computed}
	for _, leg := range r.Legs {
		if steepOnly && !leg.Steep {
			continue
		}
		d, ok := dropOf(leg)
		if !ok {
			return plan.Reading{}, false
		}
		total = total.Plus(d)
	}
	return total, true
}

// dropOf is the drop of one leg as told, or its fall over its level distance.
func dropOf(leg plan.Leg) (plan.Reading, bool) {
	switch {
	case leg.Drop != nil:
		return *leg.Drop, true
	case leg.Fall != nil && leg.Along != nil:
		return interval.Product(leg.Fall.Times(1.0/1000), interval.AtLeast(*leg.Along, 0)), true
	case leg.Fall != nil && leg.Length != nil:
		return interval.Product(sine(*leg.Fall), interval.AtLeast(*leg.Length, 0)), true
	}
	return plan.Reading{}, false
}

// DropAlong is how much the pipe has fallen at a distance from its start, mm
// along the pipe. It can be told only of one leg; within several the place of
// the bends is as uncertain as the distance.
func (r Run) DropAlong(distance plan.Reading) (plan.Reading, bool) {
	if len(r.Legs) != 1 {
		return plan.Reading{}, false
	}
	l := r.Legs[0]
	slope, ok := plan.Reading{}, false
	switch {
	case l.Fall != nil && l.Drop == nil:
		slope, ok = sine(*l.Fall), true
	case l.Drop != nil && l.Length != nil:
		slope, ok = interval.Quotient(*l.Drop, *l.Length)
	case l.Drop != nil && l.Along != nil:
		slope, ok = interval.Quotient(l.Drop.Times(1000), *l.Along)
		slope = sine(slope)
	}
	return interval.Product(interval.AtLeast(distance, 0), slope), ok
}
