package discharge

import (
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// gallon is a US gallon in litres, by definition.
const gallon = 3.785411784

// dfuRow is a row of IPC table 709.1. Gallons is 0 where its fixtures are not
// told apart by their flush, and in the row above the last limit.
type dfuRow struct {
	origin  `yaml:",inline"`
	Row     string    `yaml:"row"`
	Kinds   []string  `yaml:"kinds"`
	Gallons float64   `yaml:"gallons"`
	Units   []float64 `yaml:"units"`
	Also    string    `yaml:"also"` // where the same figure was read
}

type dfuTable struct {
	Rows []dfuRow `yaml:"rows"`

	of map[string][]dfuRow // rows by kind of fixture, in order
}

// privateUse are the uses of a building whose fixtures are in private use.
var privateUse = []string{"dwelling", "guest_house"}

// fixtureUnits is the sum of US drainage fixture units in private use.
func (s *site) fixtureUnits(l load) reply.Answer {
	if len(l.ids) == 0 {
		return reply.Answer{Gap: l.noFixtures()}
	}
	switch use := s.house.Use; {
	case use == "" || use == "unknown":
		return reply.Answer{Gap: reply.NotTold("house.use", "nobody has told what the building is used for, which the fixture units depend on")}
	case !slices.Contains(privateUse, use):
		return reply.Answer{Gap: reply.Outside("the fixture units here are those of private use, and the building is not in private use")}
	}
	sum, parts, rows := plan.Exactly(0), []string{}, []dfuRow{}
	for _, id := range l.ids {
		f := s.fixtures[id]
		if f == nil || notDischarging(f.Kind) {
			continue
		}
		one, row, gap := s.us.units(f)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		sum, rows = sum.Plus(one), append(rows, row)
		parts = append(parts, fmt.Sprintf("%s %s (%s)", id, reply.Value(one.Value, "1"), row.Row))
	}
	return reply.Number(sum, func() sdk.Working {
		return sdk.Working{Formula: "sum of the drainage fixture units, private use, fixture by fixture", Numbers: reply.Sum(parts, reply.Reading(sum, "1")), Source: dfuSource(rows)}
	})
}

// dfuSource says how well the rows of a sum are known.
func dfuSource(rows []dfuRow) string {
	const code = "International Plumbing Code 2021, table 709.1"
	remembered := slices.ContainsFunc(rows, func(r dfuRow) bool { return r.Basis != "read" })
	bare := slices.ContainsFunc(rows, func(r dfuRow) bool { return r.Basis != "read" && r.Also == "" })
	switch {
	case bare:
		return code + " (in part from memory)"
	case remembered:
		return code + " (in part from memory; the same figures read of the International Residential Code, table P3004.1)"
	}
	return code
}

// units of one fixture: those of the rows it may count under, the greatest of
// the row shown. A flush up to a row's limit counts under it, more under the
// next; a flush nobody told may be any.
func (t dfuTable) units(f *plan.Fixture) (plan.Reading, dfuRow, *sdk.Gap) {
	rows := t.of[f.Kind]
	switch {
	case f.Kind == "urinal":
		return plan.Reading{}, dfuRow{}, reply.Outside("no figure for urinal " + f.ID + " was at hand: the table of fixture units here is for fixtures of a home")
	case len(rows) == 0:
		return plan.Reading{}, dfuRow{}, noKind(f.ID)
	case rows[0].Gallons == 0 || f.Flush == nil:
		out := plan.Reading{Low: math.Inf(1), High: math.Inf(-1)}
		for _, r := range rows {
			out.Low, out.High = min(out.Low, slices.Min(r.Units)), max(out.High, slices.Max(r.Units))
		}
		out.Value = out.High
		return out, rows[len(rows)-1], nil
	}
	at := func(flush float64) dfuRow {
		for _, r := range rows {
			if r.Gallons > 0 && flush <= r.Gallons*gallon {
				return r
			}
		}
		return rows[len(rows)-1]
	}
	shown := at(f.Flush.Value)
	return plan.Reading{Low: slices.Min(at(f.Flush.Low).Units), Value: slices.Max(shown.Units), High: slices.Max(at(f.Flush.High).Units)}, shown, nil
}
