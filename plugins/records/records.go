// Package records measures what is not measured with a tape: facts of the
// fixtures and of the house that somebody told, and the results of the tests.
// It answers in the catalogue's words; what nobody told is a gap.
package records

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "records"
	version = "1"
)

// Measurer answers for fixtures and for the building.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("has_trap", reply.Fixtures(hasTrap)),
	reply.Measure("own_trap", reply.Fixtures(ownTrap)),
	reply.Measure("overflow", reply.Fixtures(overflow)),
	reply.Measure("stub_closed", reply.AllFixtures(stubClosed)),
	reply.Measure("basin_with_wc", reply.Fixtures(basinWithWC)),
	reply.Measure("flush", reply.Fixtures(flush)),
	reply.Measure("roof_water", reply.House(roofWater)),
	reply.Measure("notified", reply.House(notified)),
	reply.Measure("air_test_pressure", reply.House(airTest.pressure)),
	reply.Measure("air_test_held", reply.House(airTest.held)),
	reply.Measure("air_test_loss", reply.House(airTest.loss)),
	reply.Measure("water_test_pressure", reply.House(waterTest.pressure)),
	reply.Measure("water_test_held", reply.House(waterTest.held)),
	reply.Measure("seal_left", reply.House(sealLeft)),
}}

// site is the plan with its traps, fixtures and rooms by id.
type site struct {
	plan     *plan.Plan
	fixtures map[string]plan.Fixture
	traps    map[string]plan.Trap
	rooms    map[string]plan.Room
}

func survey(p *plan.Plan) (*site, error) {
	s := &site{plan: p, fixtures: map[string]plan.Fixture{}, traps: map[string]plan.Trap{}, rooms: map[string]plan.Room{}}
	for _, f := range p.Fixtures {
		s.fixtures[f.ID] = f
	}
	for _, t := range p.Traps {
		s.traps[t.ID] = t
	}
	for _, r := range p.Rooms {
		s.rooms[r.ID] = r
	}
	return s, nil
}

func roofWater(s *site) reply.Answer {
	return reply.Word("roof_water", s.plan.House.RoofWater, "house.roof_water", "whether rain runs into the stack")
}

func notified(s *site) reply.Answer {
	return reply.Word("notified", s.plan.House.Notified, "work.notified", "whether the work was notified")
}
