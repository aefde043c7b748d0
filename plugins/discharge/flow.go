package discharge

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// noFixtures is the gap of a pipe of which nobody told what runs into it. A
// forgotten fixture is no pass, so nothing told is not nought.
func (l load) noFixtures() *sdk.Gap {
	return reply.NotTold("fixtures", "nobody has told which fixtures discharge into "+l.path)
}

func countAll(s *site, l load) reply.Answer { return s.count(l, "", "fixtures upstream, counted") }

func countWCs(s *site, l load) reply.Answer {
	return s.count(l, "wc", "water closets upstream, counted")
}

// count of fixtures that discharge, or of those of one kind.
func (s *site) count(l load, kind, formula string) reply.Answer {
	if len(l.ids) == 0 {
		return reply.Answer{Gap: l.noFixtures()}
	}
	names := []string{}
	for _, id := range l.ids {
		f := s.fixtures[id]
		switch {
		case f == nil || notDischarging(f.Kind):
			continue
		case kind != "" && (f.Kind == "unknown" || f.Kind == ""):
			return reply.Answer{Gap: noKind(id)}
		case kind == "" || f.Kind == kind:
			names = append(names, id)
		}
	}
	n := float64(len(names))
	return reply.Count(n, func() sdk.Working {
		numbers := reply.Value(n, "1")
		if len(names) > 0 {
			numbers = strings.Join(names, ", ") + ": " + numbers
		}
		return sdk.Working{Formula: formula, Numbers: numbers, Source: "fixtures"}
	})
}

func noKind(id string) *sdk.Gap {
	return reply.NotTold(id+".kind", "nobody has told what kind of fixture "+id+" is")
}

// notDischarging are the kinds that add no water of their own: a tap's water
// leaves by the fixture under it, a trap box passes on what runs into it.
func notDischarging(kind string) bool { return kind == "tap" || kind == "trap_box" }

// units of all that discharges into a subject, in a system.
func (s *site) units(l load, system string) ([]unit, *sdk.Gap) {
	if len(l.ids) == 0 {
		return nil, l.noFixtures()
	}
	return s.unitsOf(l.ids, s.fixtures, system)
}

// unitsOf fixtures of a list, in a system.
func (s *site) unitsOf(ids []string, among map[string]*plan.Fixture, system string) ([]unit, *sdk.Gap) {
	var out []unit
	for _, id := range ids {
		f := among[id]
		if f == nil || notDischarging(f.Kind) {
			continue
		}
		c, gap := choose(s.en, f)
		if gap != nil {
			return nil, gap
		}
		u, gap := c.unit(f, system)
		if gap != nil {
			return nil, gap
		}
		out = append(out, u)
	}
	return out, nil
}

// total and greatest of units, end by end.
func total(units []unit) (sum, single plan.Reading) {
	for _, u := range units {
		sum, single = sum.Plus(u.band), interval.Greater(single, u.band)
	}
	return sum, single
}

// flowOf units with a frequency factor, l/s, end by end.
func flowOf(k float64, units []unit) sdk.Band {
	sum, single := total(units)
	at := func(sum, single float64) float64 { return max(k*math.Sqrt(sum), single) }
	return sdk.Band{Low: at(sum.Low, single.Low), Value: at(sum.Value, single.Value), High: at(sum.High, single.High)}
}

func noUse() *sdk.Gap {
	return reply.NotTold("house.use", "nobody has told what the building is used for, which the frequency factor depends on")
}

func unitsIn(system string) func(*site, load) reply.Answer {
	return func(s *site, l load) reply.Answer {
		units, gap := s.units(l, system)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		sum, _ := total(units)
		return reply.Number(sum, func() sdk.Working {
			parts := []string{}
			for _, u := range units {
				parts = append(parts, fmt.Sprintf("%s %s (%s)", u.id, reply.Value(u.band.Value, "l/s"), u.row))
			}
			return sdk.Working{Formula: "sum of the discharge units", Numbers: reply.Sum(parts, reply.Reading(sum, "l/s")), Source: unitsSource(units)}
		})
	}
}

// unitsSource names what is not from the table.
func unitsSource(units []unit) string {
	for _, u := range units {
		if u.from.Basis != "read" {
			return "EN 12056-2:2000, table 2; " + u.row + ": " + u.from.Source
		}
	}
	return "EN 12056-2:2000, table 2"
}

func flowIn(system string) func(*site, load) reply.Answer {
	return func(s *site, l load) reply.Answer { return s.designFlow(l, system) }
}

// designFlow is K times the root of the units, and not less than the largest
// single one. A use that nobody told leaves K open; where every K of the table
// gives the same flow that is told all the same, else the use is asked for.
func (s *site) designFlow(l load, system string) reply.Answer {
	units, gap := s.units(l, system)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	sum, single := total(units)
	k, told := s.en.factor(s.house.Use)
	if !told {
		least, greatest := s.en.factors()
		if flowOf(least, units) != flowOf(greatest, units) {
			return reply.Answer{Gap: noUse()}
		}
		k = greatest
	}
	q := flowOf(k, units)
	return reply.Band(q, func() sdk.Working {
		return sdk.Working{
			Formula: "flow = K x root of the sum of discharge units, at least the largest single unit",
			Numbers: fmt.Sprintf("%s x root of %s = %s; largest single unit %s; flow %s", reply.Value(k, "1"), reply.Value(sum.Value, "l/s"),
				reply.Value(k*math.Sqrt(sum.Value), "l/s"), reply.Value(single.Value, "l/s"), reply.Range(q, "l/s")),
			Source: unitsSource(units) + "; table 3; 6.3 (not less than the largest unit: from memory)",
		}
	})
}
