package supply

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// frenchFlow is the sum of the base flows, each fixture once, times the share
// that runs at once, and not less than the largest.
func (s *site) frenchFlow(l *plan.Link) reply.Answer {
	to, gap := s.served(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	most, parts, gap := s.baseFlows(to.possible)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	least, _, _ := s.baseFlows(to.certain)
	extra, _, _ := s.baseFlows(without(to.possible, to.certain))
	q := s.frenchBand(least, extra, s.runsAtOnce(most))
	return reply.Number(q, func() sdk.Working {
		formula, source := s.frenchRule(len(most))
		return sdk.Working{Formula: formula, Numbers: fmt.Sprintf("%s; fixtures: %d; = %s", strings.Join(parts, " + "), len(most), reply.Reading(q, "l/s")), Source: source}
	})
}

// without are the draw-offs of a list whose fixture is not in the other.
func without(list, those []*plan.DrawOff) []*plan.DrawOff {
	return slices.DeleteFunc(slices.Clone(list), func(d *plan.DrawOff) bool {
		return slices.ContainsFunc(those, func(o *plan.DrawOff) bool { return o.Fixture == d.Fixture })
	})
}

// frenchBand holds the flow of whatever number of the extra fixtures counts.
// More fixtures may run less at once, where one formula takes over from the
// other, so every number is tried, with the smallest and with the largest.
func (s *site) frenchBand(least, extra []float64, value float64) plan.Reading {
	q := plan.Exactly(value)
	slices.Sort(extra)
	for n := range len(extra) + 1 {
		q = widened(q, s.runsAtOnce(slices.Concat(least, extra[:n])))
		q = widened(q, s.runsAtOnce(slices.Concat(least, extra[len(extra)-n:])))
	}
	return q
}

// frenchRule is the formula for so many fixtures, and where it stands.
func (s *site) frenchRule(x int) (formula, source string) {
	formula, source = "up to two fixtures: sum of the base flows", "base flows of NF P 41-201 to 204"
	switch {
	case x >= collective:
		formula, source = "sum of the base flows × 0.8/√(number - 1)", "NF DTU 60.11 (from 6 fixtures on: from memory); base flows of NF P 41-201 to 204"
	case x > 2:
		formula = "sum of the base flows × max(0.20, 1/√(number - 1))"
	}
	if s.house.Use == "guest_house" {
		formula += " × 1.25 in a hotel"
	}
	return formula + ", not less than the largest", source
}

func widened(r plan.Reading, v float64) plan.Reading {
	return plan.Reading{Low: min(r.Low, v), Value: r.Value, High: max(r.High, v), How: plan.Computed}
}

// runsAtOnce of base flows, l/s.
func (s *site) runsAtOnce(flows []float64) float64 {
	sum, largest := 0.0, 0.0
	for _, q := range flows {
		sum, largest = sum+q, max(largest, q)
	}
	share := together(len(flows))
	if s.house.Use == "guest_house" {
		share = min(1, hotel*share)
	}
	return max(sum*share, largest)
}

func (s *site) baseFlows(list []*plan.DrawOff) (flows []float64, parts []string, gap *sdk.Gap) {
	for _, a := range appliances(list) {
		rows, gap := s.rowsOf(a.draw, s.Base, "base flows")
		if gap != nil {
			return nil, nil, gap
		}
		flows = append(flows, rows[0].Flow)
		text := a.draw.Fixture + " " + reply.Value(rows[0].Flow, "l/s")
		if rows[0].Basis != "read" {
			text += " (from memory)"
		}
		parts = append(parts, text)
	}
	return flows, parts, nil
}

// units of the International Plumbing Code: a fixture's total where the pipe
// brings it both waters, else those of the one.
func (s *site) unitsOf(list []*plan.DrawOff) (sum float64, parts []string, gap *sdk.Gap) {
	if len(list) > 0 && s.house.Use != "dwelling" {
		if s.house.Use == "" || s.house.Use == "unknown" {
			return 0, nil, reply.NotTold("house.use", "nobody has told what the building is used for, which the fixture units depend on")
		}
		return 0, nil, reply.Outside("the fixture units at hand are those of private use in a dwelling")
	}
	for _, a := range appliances(list) {
		rows, gap := s.rowsOf(a.draw, s.FixtureUnits, "fixture units")
		if gap != nil {
			return 0, nil, gap
		}
		r := rows[0]
		units := r.Total
		switch {
		case a.cold && !a.hot:
			units = r.Cold
		case a.hot && !a.cold:
			units = r.Hot
		}
		if units == 0 {
			return 0, nil, reply.Outside("the table of fixture units has no figure for " + a.draw.ID)
		}
		sum += units
		text := fmt.Sprintf("%s %s", a.draw.Fixture, reply.Value(units, "1"))
		if r.Basis != "read" {
			text += " (from memory)"
		}
		parts = append(parts, text)
	}
	return sum, parts, nil
}

// usUnits of a pipe and what they are the sum of.
func (s *site) usUnits(l *plan.Link) (plan.Reading, []string, *sdk.Gap) {
	to, gap := s.served(l)
	if gap != nil {
		return plan.Reading{}, nil, gap
	}
	most, parts, gap := s.unitsOf(to.possible)
	if gap != nil {
		return plan.Reading{}, nil, gap
	}
	least, _, _ := s.unitsOf(to.certain)
	return plan.Reading{Low: least, Value: most, High: most, How: plan.Computed}, parts, nil
}

func (s *site) fixtureUnits(l *plan.Link) reply.Answer {
	units, parts, gap := s.usUnits(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(units, func() sdk.Working {
		return sdk.Working{Formula: "sum of the fixture units, private use, fixture by fixture", Numbers: reply.Sum(parts, reply.Reading(units, "1")),
			Source: "International Plumbing Code 2018, table E103.3(2)"}
	})
}

func (s *site) usFlow(l *plan.Link) reply.Answer {
	units, _, gap := s.usUnits(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	low, okLow := s.Demand.at(units.Low)
	high, okHigh := s.Demand.at(units.High)
	if !okLow || !okHigh {
		return reply.Answer{Gap: reply.Outside(fmt.Sprintf("the demand table at hand has no rows about %s fixture units", reply.Reading(units, "1")))}
	}
	q := plan.Reading{Low: low, Value: high, High: high, How: plan.Computed}
	return reply.Number(q, func() sdk.Working {
		return sdk.Working{Formula: "straight between neighbouring rows of the demand table, 1 gallon a minute = 0.0631 l/s",
			Numbers: fmt.Sprintf("fixture units %s: %s gallons a minute = %s", reply.Reading(units, "1"), reply.Value(high/gallon, "1"), reply.Reading(q, "l/s")),
			Source:  s.Demand.Source + "; the International Plumbing Code's own table gives more at few units (from memory)"}
	})
}
