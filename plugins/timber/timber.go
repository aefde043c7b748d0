// Package timber measures what is cut out of joists: how deep, how wide, how
// far from the bearing, how much timber is left. It judges nothing and works
// out no strength: a ratio here is geometry, and whether a joist may carry it
// is for the code's rule of thumb or for an engineer.
//
// Two things are taken as the layout step gives them. All distances along one
// joist are from one and the same bearing face, whichever it is; and the span
// is clear, bearing face to bearing face. A cut through counts as a notch of
// the whole depth. A bite out of the flank takes width, not depth: no rule of
// thumb covers it, so it has no notch depth and no ratio.
package timber

import (
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "timber"
	version = "1"
)

// Measurer answers for joists, the openings in them and pairs of openings.
type Measurer struct{}

var methods = []method{
	{"joist_depth", kinds(joists(joistDepth), openings(openingJoistDepth))},
	{"notch_depth", openings(notchDepth)},
	{"notch_ratio", openings(notchRatio)},
	{"hole_diameter", openings(holeDiameter)},
	{"hole_ratio", openings(holeRatio)},
	{"span_ratio", openings(spanRatio)},
	{"off_centre", openings(offCentre)},
	{"edge_left", openings(edgeLeft)},
	{"opening_gap", pairs(openingGap)},
	{"opening_spacing", pairs(openingSpacing)},
}

// site is the plan with its joists and openings by id.
type site struct {
	plan     *plan.Plan
	joists   map[string]plan.Joist
	openings map[string]plan.Opening
}

func survey(p *plan.Plan) *site {
	s := &site{plan: p, joists: map[string]plan.Joist{}, openings: map[string]plan.Opening{}}
	for _, j := range p.Joists {
		s.joists[j.ID] = j
	}
	for _, o := range p.Openings {
		s.openings[o.ID] = o
	}
	return s
}

func joists(f func(*site, plan.Joist) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, j := range s.plan.Joists {
			if j.State != plan.Removed {
				put(j.ID, f(s, j))
			}
		}
	}
}

func openings(f func(*site, plan.Opening) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, o := range s.plan.Openings {
			if o.State != plan.Removed {
				put(o.ID, f(s, o))
			}
		}
	}
}

func pairs(f func(*site, plan.Pair) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, p := range s.plan.OpeningPairs {
			if p.State != plan.Removed {
				put(p.ID, f(s, p))
			}
		}
	}
}
