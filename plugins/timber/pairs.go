package timber

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// pair is two openings in one joist: the distance of their middles, and how
// wide each is in the sense the quantity asks for.
type pair struct{ apart, first, second plan.Reading }

func (s *site) pairOf(p plan.Pair, wide func(plan.Opening) (plan.Reading, *sdk.Gap)) (pair, *sdk.Gap) {
	var at, width [2]plan.Reading
	ids := [2]string{p.A, p.B}
	for _, id := range ids {
		if _, known := s.openings[id]; !known {
			return pair{}, reply.NotTold(openingPath(id, "joist"), "opening "+id+" is not in the layout")
		}
	}
	var gap *sdk.Gap
	for i, id := range ids {
		if at[i], gap = distanceOf(s.openings[id]); gap != nil {
			return pair{}, gap
		}
	}
	for i, id := range ids {
		if width[i], gap = wide(s.openings[id]); gap != nil {
			return pair{}, gap
		}
	}
	return pair{interval.Magnitude(at[0].Minus(at[1])), width[0], width[1]}, nil
}

// along is how much of the joist's length an opening takes.
func along(o plan.Opening) (plan.Reading, *sdk.Gap) {
	switch o.Shape {
	case "hole":
		return holeOf(o)
	case "", "unknown":
		return plan.Reading{}, shapeGap(o)
	}
	return reply.Read(o.Length, openingPath(o.ID, "length"), "the length of opening "+o.ID+" along the joist")
}

func openingGap(s *site, p plan.Pair) reply.Answer {
	both, gap := s.pairOf(p, along)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	left := both.apart.Minus(both.first.Plus(both.second).Times(0.5))
	return reply.Number(left, func() sdk.Working {
		return sdk.Working{Formula: "gap = distance of the middles - half of each opening's length", Source: name,
			Numbers: fmt.Sprintf("%s - (%s + %s) / 2 = %s", reply.Reading(both.apart, "mm"), reply.Reading(both.first, "mm"), reply.Reading(both.second, "mm"), reply.Reading(left, "mm"))}
	})
}

func openingSpacing(s *site, p plan.Pair) reply.Answer {
	both, gap := s.pairOf(p, holeOf)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	wide := interval.Greater(both.first, both.second)
	spacing, ok := quotient(both.apart, wide)
	if !ok {
		return reply.Answer{Gap: nothing(openingPath(p.A, "diameter"))}
	}
	return reply.Number(spacing, func() sdk.Working {
		return sdk.Working{Formula: "spacing = distance of the centres / larger diameter", Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(both.apart, "mm"), reply.Reading(wide, "mm"), reply.Reading(spacing, "1"))}
	})
}
