package course

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// StartLevel is the level of the invert where the pipe starts: as told, else by
// the level of its end and the drops of its legs.
func (r Run) StartLevel() reply.Answer {
	if r.Start != nil {
		return reply.AsRead(r.Start, "mm", r.Path+".start", "the level at which "+r.Path+" starts")
	}
	drop, gap := r.LegDrops()
	if r.End == nil || gap != nil {
		return reply.Answer{Gap: reply.NotRead(r.Path+".start", "nobody has told the level at which "+r.Path+" starts")}
	}
	return byOtherEnd(*r.End, drop, "+", "level of the start = level of the end + drop")
}

// EndLevel is the same of where it ends.
func (r Run) EndLevel() reply.Answer {
	if r.End != nil {
		return reply.AsRead(r.End, "mm", r.Path+".to.level", "the level at which "+r.Path+" ends")
	}
	drop, gap := r.LegDrops()
	if r.Start == nil || gap != nil {
		return reply.Answer{Gap: reply.NotRead(r.Path+".to.level", "nobody has told the level at which "+r.Path+" ends")}
	}
	return byOtherEnd(*r.Start, drop.Times(-1), "-", "level of the end = level of the start - drop")
}

func byOtherEnd(level, drop plan.Reading, sign, formula string) reply.Answer {
	out := level.Plus(drop)
	return reply.Number(out, func() sdk.Working {
		numbers := fmt.Sprintf("%s %s %s = %s", reply.Value(level.Value, "mm"), sign, reply.Value(interval.Magnitude(drop).Value, "mm"), reply.Reading(out, "mm"))
		return sdk.Working{Formula: formula, Numbers: numbers, Source: source}
	})
}

// Bed is the inverts, mm, at both ends of the near-level part of the run: from
// its first near-level leg to its last, as a pipe lies in a floor between the
// upright pieces at its ends. The gap asks for the level that is missing.
func (r Run) Bed() (start, end plan.Reading, gap *sdk.Gap) {
	from, to := -1, 0
	for i, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		if from < 0 {
			from = i
		}
		to = i + 1
	}
	if from < 0 && len(r.Legs) > 0 {
		return start, end, r.allSteep()
	}
	from = max(from, 0)
	start, ok := r.invert(from, true)
	if !ok {
		return start, end, reply.NotRead(r.Path+".start", "nobody has told the level at which "+r.Path+" starts")
	}
	if end, ok = r.invert(to, false); !ok {
		return start, end, reply.NotRead(r.Path+".to.level", "nobody has told the level at which "+r.Path+" ends")
	}
	return start, end, nil
}

func (r Run) allSteep() *sdk.Gap {
	return reply.Outside("pipe " + r.Path + " stands at 45° or steeper all its way: it is a drop and has no fall")
}

// invert before a leg, from the level of the start or of the end; the one asked
// for first counts when both are known.
func (r Run) invert(leg int, fromStart bool) (plan.Reading, bool) {
	if len(r.Legs) == 0 { // its course is not told: one end says nothing of the other
		if fromStart {
			return level(r.Start, nil, 1)
		}
		return level(r.End, nil, 1)
	}
	byStart, okStart := level(r.Start, r.Legs[:leg], -1)
	byEnd, okEnd := level(r.End, r.Legs[leg:], 1)
	if okStart && (fromStart || !okEnd) {
		return byStart, true
	}
	return byEnd, okEnd
}

// level is a told one and the drops of legs times the sign.
func level(told *plan.Reading, legs []plan.Leg, sign float64) (plan.Reading, bool) {
	if told == nil {
		return plan.Reading{}, false
	}
	drop, ok := Run{Legs: legs}.sumDrops(false)
	return told.Plus(drop.Times(sign)), ok
}

// NearLevel is the level distance of the near-level legs, mm.
func (r Run) NearLevel() (plan.Reading, *sdk.Gap) {
	along, some := plan.Reading{How: plan.Computed}, false
	for _, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		a, known := alongOf(leg)
		if !known {
			return along, r.noLength()
		}
		along, some = along.Plus(interval.AtLeast(a, 0)), true
	}
	switch {
	case len(r.Legs) == 0:
		return along, r.noLength()
	case !some:
		return along, r.allSteep()
	}
	return along, nil
}

// FallLeast is the fall of the flattest near-level leg, for reading: a short leg
// read in whole millimetres says little, and a rule judges the run whole.
func (r Run) FallLeast() reply.Answer {
	return r.legFalls(interval.Lesser, "least of the falls of the near-level legs")
}

// FallGreatest is the fall of the steepest near-level leg.
func (r Run) FallGreatest() reply.Answer {
	return r.legFalls(interval.Greater, "greatest of the falls of the near-level legs")
}

// legFalls picks among the falls of the legs. Of one leg it is the run's own
// fall, which the levels of the ends may tell as well.
func (r Run) legFalls(pick func(a, b plan.Reading) plan.Reading, formula string) reply.Answer {
	near := slices.DeleteFunc(slices.Clone(r.Legs), func(l plan.Leg) bool { return l.Steep })
	if len(near) <= 1 {
		return r.Fall()
	}
	var out plan.Reading
	parts := []string{}
	for i, leg := range near {
		one, gap := Run{Path: r.Path, Legs: []plan.Leg{leg}}.byLegs()
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if i == 0 {
			out = one
		}
		out = pick(out, one)
		parts = append(parts, reply.Value(one.Value, "mm/m"))
	}
	return reply.Number(out, func() sdk.Working {
		return sdk.Working{Formula: formula, Numbers: strings.Join(parts, ", ") + ": " + reply.Reading(out, "mm/m"), Source: source}
	})
}
