// Package course works lengths, drops and falls out of the legs of one pipe.
// It stands apart so that every measurer that needs a fall has the same one.
package course

import (
	"math"

	"fallrule/plugins/geometry/reply"
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
}

// Of is the run of a branch or drain.
func Of(p plan.Pipe, path string) Run {
	return Run{Path: path, Legs: p.Legs, Start: p.Level, End: p.To.Level}
}

func (r Run) noLength() *reply.Missing {
	return reply.NotRead(r.Path+".length", "Nobody has told how long "+r.Path+" is.")
}

func (r Run) noDrop() *reply.Missing {
	return reply.NotRead(r.Path+".drop", "Nobody has told how much "+r.Path+" drops.")
}

// rounding is how far figures that are written in whole millimetres may be
// apart and still say the same, mm.
const rounding = 0.5

func (r Run) contradicts() *reply.Missing {
	return reply.NotRead(r.Path+".to.level", "The levels of the ends of "+r.Path+" and the drops told along it contradict one another: measure again.")
}

// Length is measured along the pipe: the legs' lengths, or what level distance
// and drop make of them. A near-level leg of which only the level distance is
// told may be up to half as long again as that, since it stands less than 45°.
func (r Run) Length() (reply.Figure, *reply.Missing) {
	if len(r.Legs) == 0 {
		return reply.Figure{}, r.noLength()
	}
	total, parts := plan.Reading{}, []string{}
	for _, leg := range r.Legs {
		l, ok := lengthOf(leg)
		if !ok {
			return reply.Figure{}, r.noLength()
		}
		total = total.Plus(l)
		parts = append(parts, reply.Value(l.Value, "mm"))
	}
	return reply.Number(*sdk.BandOf(total), "length = sum of the legs along the pipe", sum(parts, total, "mm"), source), nil
}

func lengthOf(leg plan.Leg) (plan.Reading, bool) {
	drop, dropped := dropOf(leg)
	switch {
	case leg.Length != nil:
		return *leg.Length, true
	case leg.Along != nil && dropped:
		return hypotenuse(*leg.Along, drop), true
	case leg.Steep && dropped:
		return hypotenuse(plan.Reading{}, drop), true // told by its height alone: `down`, upright
	case leg.Along != nil && !leg.Steep:
		return plan.Reading{Low: leg.Along.Low, Value: leg.Along.Value, High: leg.Along.High * math.Sqrt2, How: plan.Computed}, true
	}
	return plan.Reading{}, false
}

// Drop is how much lower the end lies than the start: by the legs, by the
// levels of both ends, and by what both allow together when both are told.
func (r Run) Drop() (reply.Figure, *reply.Missing) {
	legs, byLegs := r.sumDrops(false)
	if r.Start != nil && r.End != nil {
		levels := r.Start.Minus(*r.End)
		if byLegs {
			agreed, ok := both(levels, legs, rounding)
			if !ok {
				return reply.Figure{}, r.contradicts()
			}
			levels = agreed
		}
		return reply.Number(*sdk.BandOf(levels), "drop = level of the start - level of the end",
			reply.Value(r.Start.Value, "mm")+" - "+reply.Value(r.End.Value, "mm")+" = "+reply.Reading(levels, "mm"), source), nil
	}
	if !byLegs || len(r.Legs) == 0 {
		return reply.Figure{}, r.noDrop()
	}
	return reply.Number(*sdk.BandOf(legs), "drop = sum of the drops of its legs", reply.Reading(legs, "mm"), source), nil
}

// SteepDrop is the height of the legs that stand 45° or steeper; 0 when no leg
// does.
func (r Run) SteepDrop() (reply.Figure, *reply.Missing) {
	if len(r.Legs) == 0 {
		return reply.Figure{}, reply.NotRead(r.Path+".runs", "The course of "+r.Path+" is not told, so nobody knows whether a piece of it stands upright.")
	}
	steep, ok := r.sumDrops(true)
	if !ok {
		return reply.Figure{}, r.noDrop()
	}
	steep.Low = max(steep.Low, 0)
	return reply.Number(*sdk.BandOf(steep), "steep drop = sum of the heights of the legs of 45° or more", reply.Reading(steep, "mm"), source), nil
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
		return product(leg.Fall.Times(1.0/1000), *leg.Along), true
	case leg.Fall != nil && leg.Length != nil && !leg.Steep:
		return product(sine(*leg.Fall), *leg.Length), true
	}
	return plan.Reading{}, false
}
