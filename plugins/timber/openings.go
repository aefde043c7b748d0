package timber

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func joistPath(id, word string) string   { return "joists.at." + id + "." + word }
func openingPath(id, word string) string { return "joists.openings." + id + "." + word }

func joistDepth(_ *site, j plan.Joist) reply.Answer {
	return reply.AsRead(j.Depth, "mm", joistPath(j.ID, "depth"), "the depth of joist "+j.ID)
}

func openingJoistDepth(s *site, o plan.Opening) reply.Answer {
	j, gap := s.joistOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return joistDepth(s, j)
}

func (s *site) joistOf(o plan.Opening) (plan.Joist, *sdk.Gap) {
	j, known := s.joists[o.Joist]
	if !known {
		return j, reply.NotTold(openingPath(o.ID, "joist"), "the joist of opening "+o.ID+" is not told")
	}
	return j, nil
}

// depthOf is the depth of the joist that an opening is in.
func (s *site) depthOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	j, gap := s.joistOf(o)
	if gap != nil {
		return plan.Reading{}, gap
	}
	return reply.Read(j.Depth, joistPath(j.ID, "depth"), "the depth of joist "+j.ID)
}

// notchOf is how deep an opening cuts into its joist from an edge.
func (s *site) notchOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	switch o.Shape {
	case "notch_top", "notch_bottom", "end_notch":
		return reply.Read(o.Depth, openingPath(o.ID, "depth"), "the depth of notch "+o.ID)
	case "cut_through":
		return s.depthOf(o)
	case "bite_side":
		return plan.Reading{}, reply.Outside("no rule of thumb covers a bite out of the flank: ask an engineer about " + o.ID)
	case "hole":
		return plan.Reading{}, reply.Outside("opening " + o.ID + " is a hole, not a notch")
	}
	return plan.Reading{}, shapeGap(o)
}

func shapeGap(o plan.Opening) *sdk.Gap {
	return reply.NotTold(openingPath(o.ID, "shape"), "the shape of opening "+o.ID+" is not told")
}

func notchDepth(s *site, o plan.Opening) reply.Answer {
	d, gap := s.notchOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	formula, source := "as read", openingPath(o.ID, "depth")
	if o.Shape == "cut_through" {
		formula, source = "a cut through is a notch of the whole depth", joistPath(o.Joist, "depth")
	}
	return reply.Number(d, func() sdk.Working {
		return sdk.Working{Formula: formula, Numbers: reply.Reading(d, "mm") + reply.How(d), Source: source}
	})
}

func notchRatio(s *site, o plan.Opening) reply.Answer {
	if o.Shape == "cut_through" {
		return reply.Number(plan.Exactly(1), func() sdk.Working {
			return sdk.Working{Formula: "a cut through is a notch of the whole depth", Numbers: "1", Source: openingPath(o.ID, "shape")}
		})
	}
	cut, gap := s.notchOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return s.overDepth(o, cut, "notch ratio = depth of the notch / depth of the joist")
}

// holeOf is the diameter of a hole.
func holeOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	if gap := isHole(o); gap != nil {
		return plan.Reading{}, gap
	}
	return reply.Read(o.Diameter, openingPath(o.ID, "diameter"), "the diameter of hole "+o.ID)
}

// isHole is nil for a hole and else why the opening has nothing of a hole.
func isHole(o plan.Opening) *sdk.Gap {
	switch o.Shape {
	case "hole":
		return nil
	case "", "unknown":
		return shapeGap(o)
	}
	return reply.Outside("opening " + o.ID + " is not a hole")
}

func holeDiameter(_ *site, o plan.Opening) reply.Answer {
	if gap := isHole(o); gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.AsRead(o.Diameter, "mm", openingPath(o.ID, "diameter"), "the diameter of hole "+o.ID)
}

func holeRatio(s *site, o plan.Opening) reply.Answer {
	d, gap := holeOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return s.overDepth(o, d, "hole ratio = diameter of the hole / depth of the joist")
}

// overDepth is a cut over its joist's depth.
func (s *site) overDepth(o plan.Opening, cut plan.Reading, formula string) reply.Answer {
	depth, gap := s.depthOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	ratio, ok := quotient(cut, depth)
	if !ok {
		return reply.Answer{Gap: nothing(joistPath(o.Joist, "depth"))}
	}
	return reply.Number(ratio, func() sdk.Working {
		return sdk.Working{Formula: formula, Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(cut, "mm"), reply.Reading(depth, "mm"), reply.Reading(ratio, "1"))}
	})
}

func nothing(path string) *sdk.Gap {
	return reply.NotRead(path, "what is read at "+path+" must be more than nothing")
}

// distanceOf an opening's middle from the bearing.
func distanceOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	return reply.Read(o.Distance, openingPath(o.ID, "distance"), "the distance of opening "+o.ID+" from the bearing")
}

// share is a place as a part of the whole it lies in, or the gap of a whole that
// is nothing, or of a place beyond it.
func share(place, whole plan.Reading, wholePath, placePath, beyond string) (plan.Reading, *sdk.Gap) {
	part, ok := quotient(place, whole)
	if !ok {
		return part, nothing(wholePath)
	}
	if part, ok = within(part, 0, 1); !ok {
		return part, reply.NotRead(placePath, beyond)
	}
	return part, nil
}

func spanRatio(s *site, o plan.Opening) reply.Answer {
	j, gap := s.joistOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	distance, gap := distanceOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	span, gap := reply.Read(j.Span, joistPath(j.ID, "span"), "the clear span of joist "+j.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	part, gap := share(distance, span, joistPath(j.ID, "span"), openingPath(o.ID, "distance"), "opening "+o.ID+" is told farther from the bearing than its joist is long")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	ratio := nearer(part)
	return reply.Number(ratio, func() sdk.Working {
		return sdk.Working{Formula: "span ratio = distance from the nearer bearing / clear span", Source: name,
			Numbers: fmt.Sprintf("%s / %s, from the nearer end %s", reply.Reading(distance, "mm"), reply.Reading(span, "mm"), reply.Reading(ratio, "1"))}
	})
}

// centreOf is where a hole's centre lies: below the joist's top, and the depth
// it lies in.
func (s *site) centreOf(o plan.Opening) (fromTop, depth plan.Reading, gap *sdk.Gap) {
	if gap = isHole(o); gap != nil {
		return fromTop, depth, gap
	}
	fromTop, gap = reply.Read(o.FromTop, openingPath(o.ID, "from_top"), "the distance of hole "+o.ID+" from the joist's top edge")
	if gap != nil {
		return fromTop, depth, gap
	}
	depth, gap = s.depthOf(o)
	return fromTop, depth, gap
}

func offCentre(s *site, o plan.Opening) reply.Answer {
	fromTop, depth, gap := s.centreOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	place, gap := share(fromTop, depth, joistPath(o.Joist, "depth"), openingPath(o.ID, "from_top"), "the centre of hole "+o.ID+" is told outside the timber")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	off := interval.Magnitude(place.Minus(plan.Exactly(0.5)))
	return reply.Number(off, func() sdk.Working {
		return sdk.Working{Formula: "off centre = |centre below the top / depth - 1/2|", Source: name,
			Numbers: fmt.Sprintf("|%s / %s - 0.5| = %s", reply.Reading(fromTop, "mm"), reply.Reading(depth, "mm"), reply.Reading(off, "1"))}
	})
}

func edgeLeft(s *site, o plan.Opening) reply.Answer {
	diameter, gap := holeOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	fromTop, depth, gap := s.centreOf(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	left := least(fromTop, depth, diameter)
	return reply.Number(left, func() sdk.Working {
		return sdk.Working{Formula: "edge left = nearer edge to the centre - half the diameter", Source: name,
			Numbers: fmt.Sprintf("centre %s below the top of %s, hole %s: %s", reply.Reading(fromTop, "mm"), reply.Reading(depth, "mm"), reply.Reading(diameter, "mm"), reply.Reading(left, "mm"))}
	})
}
