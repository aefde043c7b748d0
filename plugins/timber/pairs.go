package timber

import (
	"fmt"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// apart is the distance of two openings' middles along their joist.
func (s *site) apart(p plan.Pair) (a, b plan.Opening, apart plan.Reading, gap *sdk.Gap) {
	a, b = s.openings[p.A], s.openings[p.B]
	for _, id := range []string{p.A, p.B} {
		if _, known := s.openings[id]; !known {
			return a, b, apart, missing(sdk.NotTold, openingPath(id, "joist"), "opening "+id+" is not in the layout").gap
		}
	}
	at, gap := read(a.Distance, openingPath(a.ID, "distance"), "the distance of opening "+a.ID+" from the bearing")
	if gap != nil {
		return a, b, apart, gap
	}
	other, gap := read(b.Distance, openingPath(b.ID, "distance"), "the distance of opening "+b.ID+" from the bearing")
	if gap != nil {
		return a, b, apart, gap
	}
	return a, b, magnitude(at.Minus(other)), nil
}

// along is how much of the joist's length an opening takes.
func along(o plan.Opening) (plan.Reading, *sdk.Gap) {
	switch o.Shape {
	case "hole":
		return holeOf(o)
	case "", "unknown":
		return plan.Reading{}, shapeGap(o)
	}
	return read(o.Length, openingPath(o.ID, "length"), "the length of opening "+o.ID+" along the joist")
}

func openingGap(s *site, p plan.Pair) answer {
	a, b, apart, gap := s.apart(p)
	if gap != nil {
		return answer{gap: gap}
	}
	first, gap := along(a)
	if gap != nil {
		return answer{gap: gap}
	}
	second, gap := along(b)
	if gap != nil {
		return answer{gap: gap}
	}
	left := apart.Minus(first.Plus(second).Times(0.5))
	return number(left, func() sdk.Working {
		return sdk.Working{Formula: "gap = distance of the middles - half of each opening's length", Source: name,
			Numbers: fmt.Sprintf("%s - (%s + %s) / 2 = %s", show(apart, "mm"), show(first, "mm"), show(second, "mm"), show(left, "mm"))}
	})
}

func openingSpacing(s *site, p plan.Pair) answer {
	a, b, apart, gap := s.apart(p)
	if gap != nil {
		return answer{gap: gap}
	}
	first, gap := holeOf(a)
	if gap != nil {
		return answer{gap: gap}
	}
	second, gap := holeOf(b)
	if gap != nil {
		return answer{gap: gap}
	}
	wide := larger(first, second)
	spacing, ok := over(apart, wide)
	if !ok {
		return nothing(openingPath(a.ID, "diameter"))
	}
	return number(spacing, func() sdk.Working {
		return sdk.Working{Formula: "spacing = distance of the centres / larger diameter", Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", show(apart, "mm"), show(wide, "mm"), show(spacing, "1"))}
	})
}
