// Package backflow measures what could flow back into the supply at a draw-off,
// and what keeps it out: the air gap, what a spout or hose could dip into, its
// fluid category and the category that gap and device protect from.
//
// A hose that nobody has told of may be there, and is asked for: the document
// has the word none for it. It is what turns a good air gap into no gap at all.
package backflow

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "backflow"
	version = "1"
)

// Measurer answers for draw-offs.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("air_gap", drawOffs(airGap)),
	reply.Measure("gap_bores", drawOffs(gapBores)),
	reply.Measure("could_dip", drawOffs(couldDip)),
	reply.Measure("fluid_category", drawOffs(fluidCategory)),
	reply.Measure("protection", drawOffs(protection)),
	reply.Measure("protection_margin", drawOffs(protectionMargin)),
}}

func drawOffs(f func(*site, plan.DrawOff) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, d := range p.DrawOffs {
			if d.State != plan.Removed {
				put(d.ID, f(s, s.mixed(d)))
			}
		}
	}
}

// mixed gives a draw-off of a mixer what is told of the one spout and hose at
// its sister alone.
func (s *site) mixed(d plan.DrawOff) plan.DrawOff {
	switch d.Mixer {
	case "", "unknown", "none", "separate_taps":
		return d
	}
	for _, sister := range s.plan.DrawOffs {
		if sister.ID == d.ID || sister.Fixture != d.Fixture || sister.State == plan.Removed {
			continue
		}
		if d.Hose == nil && (d.HoseReach == "" || d.HoseReach == "unknown") {
			d.Hose, d.HoseReach = sister.Hose, sister.HoseReach
		}
		if d.Gap == nil && d.Level == nil {
			d.Gap, d.Level = sister.Gap, sister.Level
		}
	}
	return d
}

// site is the plan's fixtures by id, with the tables.
type site struct {
	plan     *plan.Plan
	fixtures map[string]plan.Fixture
	fluids   fluids
	devices  devices
}

func survey(p *plan.Plan) (*site, error) {
	tables, err := load()
	if err != nil {
		return nil, err
	}
	s := &site{plan: p, fixtures: map[string]plan.Fixture{}, fluids: tables.fluids, devices: tables.devices}
	for _, f := range p.Fixtures {
		s.fixtures[f.ID] = f
	}
	return s, nil
}

// kind is that of the draw-off's fixture, "unknown" when nobody told.
func (s *site) kind(d plan.DrawOff) string {
	if d.Serves != "" && d.Serves != "unknown" {
		return d.Serves
	}
	if k := s.fixtures[d.Fixture].Kind; k != "" {
		return k
	}
	return "unknown"
}

// fluid is the row of the draw-off's fixture, or why there is none.
func (s *site) fluid(d plan.DrawOff) (fluid, *sdk.Gap) {
	kind := s.kind(d)
	row, known := s.fluids.Fixtures[kind]
	switch {
	case known:
		return row, nil
	case kind == "unknown":
		return row, reply.NotTold(d.Fixture+".kind", "what fixture draw-off "+d.ID+" serves is not told")
	}
	return row, reply.Outside("no fluid category is known for what stands under draw-off " + d.ID)
}
