package timber

import (
	"fmt"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func joistPath(id, word string) string   { return "joists.at." + id + "." + word }
func openingPath(id, word string) string { return "joists.openings." + id + "." + word }

func joistDepth(_ *site, j plan.Joist) answer {
	return asRead(j.Depth, "mm", joistPath(j.ID, "depth"), "the depth of joist "+j.ID)
}

func openingJoistDepth(s *site, o plan.Opening) answer {
	j, gap := s.joistOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	return joistDepth(s, j)
}

func (s *site) joistOf(o plan.Opening) (plan.Joist, *sdk.Gap) {
	j, known := s.joists[o.Joist]
	if !known {
		return j, missing(sdk.NotTold, openingPath(o.ID, "joist"), "the joist of opening "+o.ID+" is not told").gap
	}
	return j, nil
}

// depthOf is the depth of the joist that an opening is in.
func (s *site) depthOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	j, gap := s.joistOf(o)
	if gap != nil {
		return plan.Reading{}, gap
	}
	return read(j.Depth, joistPath(j.ID, "depth"), "the depth of joist "+j.ID)
}

// notchOf is how deep an opening cuts into its joist from an edge.
func (s *site) notchOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	switch o.Shape {
	case "notch_top", "notch_bottom", "end_notch":
		return read(o.Depth, openingPath(o.ID, "depth"), "the depth of notch "+o.ID)
	case "cut_through":
		return s.depthOf(o)
	case "bite_side":
		return plan.Reading{}, without("no rule of thumb covers a bite out of the flank: ask an engineer about " + o.ID).gap
	case "hole":
		return plan.Reading{}, without("opening " + o.ID + " is a hole, not a notch").gap
	}
	return plan.Reading{}, shapeGap(o)
}

func shapeGap(o plan.Opening) *sdk.Gap {
	return missing(sdk.NotTold, openingPath(o.ID, "shape"), "the shape of opening "+o.ID+" is not told").gap
}

func notchDepth(s *site, o plan.Opening) answer {
	d, gap := s.notchOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	formula, source := "as read", openingPath(o.ID, "depth")
	if o.Shape == "cut_through" {
		formula, source = "a cut through is a notch of the whole depth", joistPath(o.Joist, "depth")
	}
	return number(d, func() sdk.Working {
		return sdk.Working{Formula: formula, Numbers: show(d, "mm") + how(d), Source: source}
	})
}

func notchRatio(s *site, o plan.Opening) answer {
	if o.Shape == "cut_through" {
		return number(plan.Exactly(1), func() sdk.Working {
			return sdk.Working{Formula: "a cut through is a notch of the whole depth", Numbers: "1", Source: openingPath(o.ID, "shape")}
		})
	}
	cut, gap := s.notchOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	return s.overDepth(o, cut, "notch ratio = depth of the notch / depth of the joist")
}

// holeOf is the diameter of a hole.
func holeOf(o plan.Opening) (plan.Reading, *sdk.Gap) {
	if gap := isHole(o); gap != nil {
		return plan.Reading{}, gap
	}
	return read(o.Diameter, openingPath(o.ID, "diameter"), "the diameter of hole "+o.ID)
}

// isHole is nil for a hole and else why the opening has nothing of a hole.
func isHole(o plan.Opening) *sdk.Gap {
	switch o.Shape {
	case "hole":
		return nil
	case "", "unknown":
		return shapeGap(o)
	}
	return without("opening " + o.ID + " is not a hole").gap
}

func holeDiameter(_ *site, o plan.Opening) answer {
	if gap := isHole(o); gap != nil {
		return answer{gap: gap}
	}
	return asRead(o.Diameter, "mm", openingPath(o.ID, "diameter"), "the diameter of hole "+o.ID)
}

func holeRatio(s *site, o plan.Opening) answer {
	d, gap := holeOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	return s.overDepth(o, d, "hole ratio = diameter of the hole / depth of the joist")
}

// overDepth is a cut over its joist's depth.
func (s *site) overDepth(o plan.Opening, cut plan.Reading, formula string) answer {
	depth, gap := s.depthOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	ratio, ok := over(cut, depth)
	if !ok {
		return nothing(joistPath(o.Joist, "depth"))
	}
	return number(ratio, func() sdk.Working {
		return sdk.Working{Formula: formula, Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", show(cut, "mm"), show(depth, "mm"), show(ratio, "1"))}
	})
}

func nothing(path string) answer {
	return missing(sdk.NotMeasured, path, "what is read at "+path+" must be more than nothing")
}

func spanRatio(s *site, o plan.Opening) answer {
	j, gap := s.joistOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	distance, gap := read(o.Distance, openingPath(o.ID, "distance"), "the distance of opening "+o.ID+" from the bearing")
	if gap != nil {
		return answer{gap: gap}
	}
	span, gap := read(j.Span, joistPath(j.ID, "span"), "the clear span of joist "+j.ID)
	if gap != nil {
		return answer{gap: gap}
	}
	part, ok := over(distance, span)
	if !ok {
		return nothing(joistPath(j.ID, "span"))
	}
	part, ok = within(part, 0, 1)
	if !ok {
		return missing(sdk.NotMeasured, openingPath(o.ID, "distance"), "opening "+o.ID+" is told farther from the bearing than its joist is long")
	}
	ratio := nearer(part)
	return number(ratio, func() sdk.Working {
		return sdk.Working{Formula: "span ratio = distance from the nearer bearing / clear span", Source: name,
			Numbers: fmt.Sprintf("%s / %s, from the nearer end %s", show(distance, "mm"), show(span, "mm"), show(ratio, "1"))}
	})
}

// centreOf is where a hole's centre lies: below the joist's top, and the depth
// it lies in.
func (s *site) centreOf(o plan.Opening) (fromTop, depth plan.Reading, gap *sdk.Gap) {
	if gap = isHole(o); gap != nil {
		return fromTop, depth, gap
	}
	fromTop, gap = read(o.FromTop, openingPath(o.ID, "from_top"), "the distance of hole "+o.ID+" from the joist's top edge")
	if gap != nil {
		return fromTop, depth, gap
	}
	depth, gap = s.depthOf(o)
	return fromTop, depth, gap
}

func offCentre(s *site, o plan.Opening) answer {
	fromTop, depth, gap := s.centreOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	place, ok := over(fromTop, depth)
	if !ok {
		return nothing(joistPath(o.Joist, "depth"))
	}
	place, ok = within(place, 0, 1)
	if !ok {
		return missing(sdk.NotMeasured, openingPath(o.ID, "from_top"), "the centre of hole "+o.ID+" is told outside the timber")
	}
	off := magnitude(place.Minus(plan.Exactly(0.5)))
	return number(off, func() sdk.Working {
		return sdk.Working{Formula: "off centre = |centre below the top / depth - 1/2|", Source: name,
			Numbers: fmt.Sprintf("|%s / %s - 0.5| = %s", show(fromTop, "mm"), show(depth, "mm"), show(off, "1"))}
	})
}

func edgeLeft(s *site, o plan.Opening) answer {
	diameter, gap := holeOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	fromTop, depth, gap := s.centreOf(o)
	if gap != nil {
		return answer{gap: gap}
	}
	left := least(fromTop, depth, diameter)
	return number(left, func() sdk.Working {
		return sdk.Working{Formula: "edge left = nearer edge to the centre - half the diameter", Source: name,
			Numbers: fmt.Sprintf("centre %s below the top of %s, hole %s: %s", show(fromTop, "mm"), show(depth, "mm"), show(diameter, "mm"), show(left, "mm"))}
	})
}
