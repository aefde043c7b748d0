// Package timber measures what is cut out of joists: how deep, how wide, how
// far from the bearing, how much timber is left; and what bending, shear and
// sag come to before and after by EN 1995-1-1. It judges nothing. The ratios
// are geometry. The strengths rest on a presumed grade and presumed loads, which
// each working names, and they compare before with after: whether a joist may
// carry it is for the code's rule of thumb or for an engineer.
//
// Two things are taken as the layout step gives them. All distances along one
// joist are from one and the same bearing face, whichever it is; and the span
// is clear, bearing face to bearing face. A cut through counts as a notch of
// the whole depth. A bite out of the flank takes width, not depth: no rule of
// thumb covers it, so it has no notch depth and no ratio.
package timber

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "timber"
	version = "1"
)

// Measurer answers for joists, the openings in them and pairs of openings.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("joist_depth", reply.Joists(joistDepth), reply.Openings(openingJoistDepth)),
	reply.Measure("notch_depth", reply.Openings(notchDepth)),
	reply.Measure("notch_ratio", reply.Openings(notchRatio)),
	reply.Measure("hole_diameter", reply.Openings(holeDiameter)),
	reply.Measure("hole_ratio", reply.Openings(holeRatio)),
	reply.Measure("span_ratio", reply.Openings(spanRatio)),
	reply.Measure("off_centre", reply.Openings(offCentre)),
	reply.Measure("edge_left", reply.Openings(edgeLeft)),
	reply.Measure("opening_gap", reply.OpeningPairs(openingGap)),
	reply.Measure("opening_spacing", reply.OpeningPairs(openingSpacing)),
	reply.Measure("joist_load", reply.Joists(joistLoadOf)),
	reply.Measure("bending_before", reply.Joists(bendingBefore)),
	reply.Measure("bending_after", reply.Openings(bendingAfter)),
	reply.Measure("shear_before", reply.Joists(shearBefore)),
	reply.Measure("shear_after", reply.Openings(shearAfter)),
	reply.Measure("deflection_before", reply.Joists(deflectionBefore)),
	reply.Measure("deflection_after", reply.Joists(deflectionAfter)),
	reply.Measure("kv", reply.Openings(kvOf)),
}}

// site is the plan's joists and openings by id.
type site struct {
	plan     *plan.Plan
	joists   map[string]plan.Joist
	openings map[string]plan.Opening
}

func survey(p *plan.Plan) (*site, error) {
	s := &site{plan: p, joists: map[string]plan.Joist{}, openings: map[string]plan.Opening{}}
	for _, j := range p.Joists {
		s.joists[j.ID] = j
	}
	for _, o := range p.Openings {
		s.openings[o.ID] = o
	}
	return s, nil
}
