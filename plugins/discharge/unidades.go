package discharge

import (
	"fmt"
	"math"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// unidades is the sum of Spanish discharge units: private use in a dwelling,
// public use in any other building.
func (s *site) unidades(l load) reply.Answer {
	if len(l.ids) == 0 {
		return reply.Answer{Gap: l.noFixtures()}
	}
	use := s.house.Use
	if use == "" || use == "unknown" {
		return reply.Answer{Gap: reply.NotTold("house.use", "nobody has told what the building is used for, which the discharge units depend on")}
	}
	sum, parts := plan.Exactly(0), []string{}
	for _, id := range l.ids {
		f := s.fixtures[id]
		if f == nil || notDischarging(f.Kind) {
			continue
		}
		one, row, gap := s.unidad(f, use == "dwelling")
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		sum = sum.Plus(one)
		parts = append(parts, fmt.Sprintf("%s %s (%s)", id, reply.Value(one.Value, "1"), row))
	}
	return reply.Number(sum, func() sdk.Working {
		return sdk.Working{Formula: "sum of the unidades de desagüe", Numbers: reply.Sum(parts, reply.Reading(sum, "1")), Source: "DB-HS 5, table 4.1"}
	})
}

// unidad of one fixture: the rows it may count under, the greatest shown.
func (s *site) unidad(f *plan.Fixture, private bool) (plan.Reading, string, *sdk.Gap) {
	rows := s.es.of[f.Kind]
	if len(rows) == 0 {
		return plan.Reading{}, "", noKind(f.ID)
	}
	out, name := plan.Reading{Low: math.Inf(1), Value: math.Inf(-1), High: math.Inf(-1)}, ""
	for _, r := range rows {
		if r.Flush == "unknown" && f.Flush != nil {
			continue
		}
		cell := r.Public
		if private {
			cell = r.Private
		}
		for _, v := range cell {
			if v > out.High {
				name = r.Row
			}
			out = plan.Reading{Low: min(out.Low, v), Value: max(out.Value, v), High: max(out.High, v)}
		}
	}
	if name == "" {
		return s.unidadByOutlet(f)
	}
	return out, name, nil
}

// unidadByOutlet is table 4.2, for what table 4.1 has no figure for: the row of
// the outlet, or the next one up.
func (s *site) unidadByOutlet(f *plan.Fixture) (plan.Reading, string, *sdk.Gap) {
	if f.Outlet == nil {
		return plan.Reading{}, "", reply.NotRead(f.ID+".outlet.size", "the table has no discharge units for "+f.ID+" in this use and goes by its outlet, which nobody has told")
	}
	at := func(mm float64) float64 {
		for _, r := range s.es.ByOutlet {
			if mm <= r.Outlet {
				return r.Units
			}
		}
		return math.NaN()
	}
	band := plan.Reading{Low: at(f.Outlet.Low), Value: at(f.Outlet.Value), High: at(f.Outlet.High)}
	if math.IsNaN(band.High) {
		return plan.Reading{}, "", reply.Outside("the outlet of " + f.ID + " is wider than the table of discharge units knows")
	}
	return band, "by its outlet, table 4.2", nil
}
