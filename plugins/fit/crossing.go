package fit

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// parts of a crossing.
type parts struct {
	pipe  *plan.Pipe
	joist *plan.Joist
	path  string // of the pipe
}

func (s *site) partsOf(c plan.Crossing) (parts, *sdk.Gap) {
	x := parts{pipe: s.branches[c.A], joist: s.joists[c.B]}
	if x.pipe == nil || x.joist == nil {
		return x, reply.Outside("a part of the crossing " + c.ID + " is not a branch or a joist of the layout")
	}
	x.path = reply.BranchPath(x.pipe)
	return x, nil
}

// crossingPlace is folded at mid span: 0.6 from one bearing is 0.4 from the
// other.
func (s *site) crossingPlace(c plan.Crossing) reply.Answer {
	x, gap := s.partsOf(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	at, gap := reply.Read(c.OnSpan, x.path+".points", "where along joist "+x.joist.ID+" "+x.path+" crosses it")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	span, gap := reply.Read(x.joist.Span, joistPath(x.joist, "span"), "the clear span of joist "+x.joist.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	part, ok := interval.Quotient(interval.AtLeast(at, 0), span)
	switch {
	case !ok:
		return reply.Answer{Gap: reply.NotRead(joistPath(x.joist, "span"), "the span of joist "+x.joist.ID+" must be more than nothing")}
	case part.Low > 1:
		return reply.Answer{Gap: reply.NotRead(x.path+".points", x.path+" is told to cross joist "+x.joist.ID+" beyond its bearing")}
	}
	place := nearer(part)
	return reply.Number(place, func() sdk.Working {
		return sdk.Working{Formula: "place = distance from the nearer bearing / clear span", Source: source,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(at, "mm"), reply.Reading(span, "mm"), reply.Reading(place, "1"))}
	})
}

// nearer folds a part of the span, 0 to 1, at the middle.
func nearer(r plan.Reading) plan.Reading {
	fold := func(x float64) float64 { x = min(x, 1); return min(x, 1-x) }
	a, b := fold(r.Low), fold(r.High)
	out := plan.Reading{Low: min(a, b), Value: fold(r.Value), High: max(a, b), How: plan.Computed}
	if r.Low <= 0.5 && r.High >= 0.5 {
		out.High = 0.5
	}
	return out
}

// seat is where a pipe lies in a joist: the joist's top and the pipe's axis.
func (s *site) seat(c plan.Crossing) (x parts, top, centre plan.Reading, gap *sdk.Gap) {
	if x, gap = s.partsOf(c); gap != nil {
		return x, top, centre, gap
	}
	f := s.floors[x.joist.Floor]
	if f == nil {
		return x, top, centre, reply.NotTold(joistPath(x.joist, "floor"), "nobody has told which floor joist "+x.joist.ID+" carries")
	}
	if top, gap = underside(f); gap != nil {
		return x, top, centre, gap
	}
	needs := x.path + ".start"
	if c.Along == nil {
		needs = x.path + ".points" // known by its opening only: where on its course is not told
	}
	invert, gap := reply.Read(c.Invert, needs, "the level of "+x.path+" where it crosses joist "+x.joist.ID)
	if gap != nil {
		return x, top, centre, gap
	}
	up, gap := axis(x.pipe)
	return x, top, invert.Plus(up), gap
}

// notchNeeded reaches from the joist's top to the pipe's underside; the sockets
// can be kept out of a notch.
func (s *site) notchNeeded(c plan.Crossing) reply.Answer {
	x, top, centre, gap := s.seat(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	across, gap := pipeOutside(x.pipe)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	deep := interval.AtLeast(top.Minus(centre).Plus(across.Times(0.5)), 0)
	return reply.Number(deep, func() sdk.Working {
		return sdk.Working{Formula: "notch = level of the joist's top - (level of the pipe's axis - half the pipe's outside), not less than nothing", Source: source,
			Numbers: fmt.Sprintf("%s - (%s - %s) = %s", reply.Value(top.Value, "mm"), reply.Value(centre.Value, "mm"), reply.Value(across.Value/2, "mm"), reply.Reading(deep, "mm"))}
	})
}

// holeNeeded takes the sockets, which have to be threaded through.
func (s *site) holeNeeded(c plan.Crossing) reply.Answer {
	x, gap := s.partsOf(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	o, gap := widest(x.pipe)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(o.across, reply.By("hole = outside of what has to pass, without play", "outside of "+o.of+": "+reply.Reading(o.across, "mm"), x.path))
}

func (s *site) offCentre(c plan.Crossing) reply.Answer {
	x, top, centre, gap := s.seat(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	depth, gap := joistDepth(x.joist)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	off := interval.Magnitude(top.Minus(depth.Times(0.5)).Minus(centre))
	return reply.Number(off, func() sdk.Working {
		return sdk.Working{Formula: "distance = |level of the joist's top - half its depth - level of the pipe's axis|", Source: source,
			Numbers: fmt.Sprintf("|%s - %s - %s| = %s", reply.Value(top.Value, "mm"), reply.Value(depth.Value/2, "mm"), reply.Value(centre.Value, "mm"), reply.Reading(off, "mm"))}
	})
}

// crossingCut looks for an opening of the joist that is for this pipe.
func (s *site) crossingCut(c plan.Crossing) reply.Answer {
	x, gap := s.partsOf(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	const formula = "an opening of the document in this joist, for this pipe"
	for _, o := range s.openings {
		if o.Joist == x.joist.ID && (o.ID == c.Opening || cutFor(o, x.pipe)) {
			return reply.Words([]string{"cut"}, reply.By(formula, "opening "+o.ID, "joists.openings"))
		}
	}
	return reply.Words([]string{"uncut"}, reply.By(formula, "none", "joists.openings"))
}
