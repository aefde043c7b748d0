// Package fit measures whether pipes and traps fit where they are to lie: under
// the boards, in the void of a floor, through the joists. It judges nothing: a
// negative room says by how much a thing misses.
//
// Levels are told from one mark. The underside of the boards is the floor's top
// less its boards; the joists' tops lie there, and the void reaches down from
// there by its clear height, which is not the joists' depth: pugging, battens or
// a ceiling may stop a pipe sooner. A run that crosses joists has to lie within
// their depth as well. Where the outside of the sockets is told it counts and
// not the pipe's, since the joints have to fit too.
package fit

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "fit"
	version = "1"
	source  = "geometry"
)

// Measurer answers for branches, crossings of joists, and traps.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("boards_left", reply.Branches((*site).boardsLeft)),
	reply.Measure("void_left", reply.Branches((*site).voidLeft)),
	reply.Measure("fall_room", reply.Branches((*site).fallRoom)),
	reply.Measure("steepest_fit", reply.Branches((*site).steepestFit)),
	reply.Measure("length_fits", reply.Branches((*site).lengthFits)),
	reply.Measure("joists_met", reply.Branches((*site).joistsMet)),
	reply.Measure("crossing_place", crossings((*site).crossingPlace)),
	reply.Measure("notch_needed", crossings((*site).notchNeeded)),
	reply.Measure("hole_needed", crossings((*site).holeNeeded)),
	reply.Measure("hole_off_centre", crossings((*site).offCentre)),
	reply.Measure("crossing_cut", crossings((*site).crossingCut)),
	reply.Measure("trap_fits", reply.Traps((*site).trapFits)),
}}

// crossings answers for the places where a run meets a joist.
func crossings(f func(*site, plan.Crossing) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, c := range p.Crossings {
			if c.State != plan.Removed {
				put(c.ID, f(s, c))
			}
		}
	}
}

// site finds the parts of a plan by id, removed ones left out.
type site struct {
	floors    map[string]*plan.Floor
	joists    map[string]*plan.Joist
	branches  map[string]*plan.Pipe
	fixtures  map[string]*plan.Fixture
	openings  []*plan.Opening
	crossings map[string][]*plan.Crossing // by segment
	measured  map[string]bool             // whole pipes whose course told a crossing, not only an opening
}

func survey(p *plan.Plan) (*site, error) {
	s := &site{floors: map[string]*plan.Floor{}, joists: map[string]*plan.Joist{}, branches: map[string]*plan.Pipe{},
		fixtures: map[string]*plan.Fixture{}, crossings: map[string][]*plan.Crossing{}, measured: map[string]bool{}}
	for i := range p.Floors {
		keep(s.floors, &p.Floors[i], p.Floors[i].ID, p.Floors[i].State)
	}
	for i := range p.Joists {
		keep(s.joists, &p.Joists[i], p.Joists[i].ID, p.Joists[i].State)
	}
	for i := range p.Branches {
		keep(s.branches, &p.Branches[i], p.Branches[i].ID, p.Branches[i].State)
	}
	for i := range p.Fixtures {
		keep(s.fixtures, &p.Fixtures[i], p.Fixtures[i].ID, p.Fixtures[i].State)
	}
	for i := range p.Openings {
		if o := &p.Openings[i]; o.State != plan.Removed {
			s.openings = append(s.openings, o)
		}
	}
	for i := range p.Crossings {
		c := &p.Crossings[i]
		if c.State == plan.Removed {
			continue
		}
		s.crossings[c.A] = append(s.crossings[c.A], c)
		if pipe := s.branches[c.A]; pipe != nil && (c.Along != nil || c.Invert != nil) {
			s.measured[reply.BranchPath(pipe)] = true
		}
	}
	return s, nil
}

func keep[T any](all map[string]*T, one *T, id string, state plan.State) {
	if state != plan.Removed {
		all[id] = one
	}
}
