// Package discharge measures what pipes carry: fixtures and water closets
// upstream, discharge units and design flows to EN 12056-2, DB-HS 5 and the
// International Plumbing Code, how deep, how fast and how hard on the wall the
// design flow runs, how full a stack is, and what the work adds to old pipes.
package discharge

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "discharge"
	version = "1"
)

// systems of EN 12056-2, clause 4.2.
var systems = []string{"i", "ii", "iii", "iv"}

// Measurer answers for branches, drains and stacks.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("fixtures", carried(countAll)...),
	reply.Measure("wcs", carried(countWCs)...),
	reply.Measure("units_i", carried(unitsIn("i"))...),
	reply.Measure("units_ii", carried(unitsIn("ii"))...),
	reply.Measure("units_iii", carried(unitsIn("iii"))...),
	reply.Measure("units_iv", carried(unitsIn("iv"))...),
	reply.Measure("flow_i", carried(flowIn("i"))...),
	reply.Measure("flow_ii", carried(flowIn("ii"))...),
	reply.Measure("flow_iii", carried(flowIn("iii"))...),
	reply.Measure("flow_iv", carried(flowIn("iv"))...),
	reply.Measure("ud", carried((*site).unidades)...),
	reply.Measure("depth_ratio", running(water.depthFigure)...),
	reply.Measure("velocity", running(water.velocityFigure)...),
	reply.Measure("flow_half", able(0.5)...),
	reply.Measure("flow_seven", able(0.7)...),
	reply.Measure("flow_full", able(1)...),
	reply.Measure("shear", running(water.shearFigure)...),
	reply.Measure("dfu", carried((*site).fixtureUnits)...),
	reply.Measure("stack_filling", reply.Stacks(stackFilling)),
	reply.Measure("stack_flow_quarter", stackFlow(1.0/4, "1/4")),
	reply.Measure("stack_flow_third", stackFlow(1.0/3, "1/3")),
	reply.Measure("flow_before", changed(flowBefore)...),
	reply.Measure("flow_added", changed(flowAdded)...),
}}

// site is the plan with its fixtures by id, removed ones left out, and what is
// worked out of a pipe more than once.
type site struct {
	house    plan.House
	en       unitTables
	es       unidadTables
	us       dfuTable
	removed  removedFixtures
	fixtures map[string]*plan.Fixture
	pipes    map[*plan.Pipe]emptyPipe
}

func survey(p *plan.Plan) (*site, error) {
	t, err := tables()
	if err != nil {
		return nil, err
	}
	s := &site{house: p.House, en: t.en, es: t.es, us: t.us, fixtures: map[string]*plan.Fixture{}, pipes: map[*plan.Pipe]emptyPipe{}}
	for i := range p.Fixtures {
		if f := &p.Fixtures[i]; f.State != plan.Removed {
			s.fixtures[f.ID] = f
		}
	}
	s.removed = followRemoved(p)
	return s, nil
}

// load is what a subject carries.
type load struct {
	path string   // in the words of the document
	ids  []string // fixtures upstream
}

// carried is what hangs on the fixtures upstream alone.
func carried(f func(*site, load) reply.Answer) []reply.Each[*site] {
	return []reply.Each[*site]{
		reply.Branches(func(s *site, p *plan.Pipe) reply.Answer { return f(s, load{reply.BranchPath(p), p.Serves}) }),
		reply.Drains(func(s *site, p *plan.Pipe) reply.Answer { return f(s, load{reply.DrainPath(p), p.Serves}) }),
		reply.Stacks(func(s *site, x plan.Stack) reply.Answer { return f(s, load{"stacks." + x.ID, x.Serves}) }),
	}
}

// piped is what hangs on the pipe itself.
func piped(f func(*site, *plan.Pipe, load) reply.Answer) []reply.Each[*site] {
	return []reply.Each[*site]{
		reply.Branches(func(s *site, p *plan.Pipe) reply.Answer { return f(s, p, load{reply.BranchPath(p), p.Serves}) }),
		reply.Drains(func(s *site, p *plan.Pipe) reply.Answer { return f(s, p, load{reply.DrainPath(p), p.Serves}) }),
	}
}

// running is what the design flow does in the pipe.
func running(f func(water) reply.Answer) []reply.Each[*site] {
	return piped(func(s *site, p *plan.Pipe, l load) reply.Answer {
		w, gap := s.pipeOf(p, l.path)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if w.flow, gap = s.systemFlow(l); gap != nil {
			return reply.Answer{Gap: gap}
		}
		return f(w)
	})
}

// able is what the pipe carries at a depth ratio, whatever flows.
func able(ratio float64) []reply.Each[*site] {
	return piped(func(s *site, p *plan.Pipe, l load) reply.Answer {
		w, gap := s.pipeOf(p, l.path)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		return w.carries(ratio)
	})
}
