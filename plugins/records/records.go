// Package records measures what is not measured with a tape: facts of the
// fixtures and of the house that somebody told, and the results of the tests.
// It answers in the catalogue's words; what nobody told is a gap.
package records

import (
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "records"
	version = "1"
)

// Measurer answers for fixtures and for the building.
type Measurer struct{}

var methods = []method{
	{"has_trap", fixtures(hasTrap)},
	{"own_trap", fixtures(ownTrap)},
	{"overflow", fixtures(overflow)},
	{"stub_closed", allFixtures(stubClosed)},
	{"basin_with_wc", fixtures(basinWithWC)},
	{"flush", fixtures(flush)},
	{"roof_water", house(roofWater)},
	{"notified", house(notified)},
	{"air_test_pressure", house(airTest.pressure)},
	{"air_test_held", house(airTest.held)},
	{"air_test_loss", house(airTest.loss)},
	{"water_test_pressure", house(waterTest.pressure)},
	{"water_test_held", house(waterTest.held)},
	{"seal_left", house(sealLeft)},
}

// site is the plan with its traps, fixtures and rooms by id.
type site struct {
	plan     *plan.Plan
	fixtures map[string]plan.Fixture
	traps    map[string]plan.Trap
	rooms    map[string]plan.Room
}

func survey(p *plan.Plan) *site {
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
	return s
}

// fixtures answers for those that stay or come.
func fixtures(f func(*site, plan.Fixture) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, x := range s.plan.Fixtures {
			if x.State != plan.Removed {
				put(x.ID, f(s, x))
			}
		}
	}
}

// allFixtures answers for the removed ones as well.
func allFixtures(f func(*site, plan.Fixture) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, x := range s.plan.Fixtures {
			put(x.ID, f(s, x))
		}
	}
}

// houseID is the subject id of the building.
const houseID = "house"

func house(f func(*site) answer) each {
	return func(s *site, put func(string, answer)) { put(houseID, f(s)) }
}

func roofWater(s *site) answer {
	return word("roof_water", s.plan.House.RoofWater, "house.roof_water", "whether rain runs into the stack")
}

func notified(s *site) answer {
	return word("notified", s.plan.House.Notified, "work.notified", "whether the work was notified")
}
