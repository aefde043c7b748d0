package discharge

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// unidades is the sum of Spanish discharge units: private use in a dwelling,
// public use in any other building.
func (b book) unidades(l load) (reply.Figure, *reply.Missing) {
	if len(l.ids) == 0 {
		return reply.Figure{}, l.noFixtures()
	}
	use := b.plan.House.Use
	if use == "" || use == "unknown" {
		return reply.Figure{}, reply.NotTold("house.use", "Nobody has told what the building is used for, which the discharge units depend on.")
	}
	sum, parts := sdk.Band{}, []string{}
	for _, id := range l.ids {
		f := b.fixture(id)
		if f == nil || notDischarging(f.Kind) {
			continue
		}
		one, row, m := b.unidad(f, use == "dwelling")
		if m != nil {
			return reply.Figure{}, m
		}
		sum = sdk.Band{Low: sum.Low + one.Low, Value: sum.Value + one.Value, High: sum.High + one.High}
		parts = append(parts, fmt.Sprintf("%s %s (%s)", id, reply.Value(one.Value, "1"), row))
	}
	numbers := strings.Join(parts, " + ") + " = " + reply.Range(sum, "1")
	return reply.Number(sum, "sum of the unidades de desagüe", numbers, "DB-HS 5, table 4.1"), nil
}

// unidad of one fixture: the rows it may count under, the greatest shown.
func (b book) unidad(f *plan.Fixture, private bool) (sdk.Band, string, *reply.Missing) {
	rows := b.es.of(f.Kind)
	if len(rows) == 0 {
		return sdk.Band{}, "", reply.NotTold(f.ID+".kind", "Nobody has told what kind of fixture "+f.ID+" is.")
	}
	out, name := sdk.Band{Low: math.Inf(1), Value: math.Inf(-1), High: math.Inf(-1)}, ""
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
			out = sdk.Band{Low: min(out.Low, v), Value: max(out.Value, v), High: max(out.High, v)}
		}
	}
	if name == "" {
		return b.unidadByOutlet(f)
	}
	return out, name, nil
}

// unidadByOutlet is table 4.2, for what table 4.1 has no figure for: the row of
// the outlet, or the next one up.
func (b book) unidadByOutlet(f *plan.Fixture) (sdk.Band, string, *reply.Missing) {
	if f.Outlet == nil {
		return sdk.Band{}, "", reply.NotRead(f.ID+".outlet.size", "The table has no discharge units for "+f.ID+" in this use and goes by its outlet, which nobody has told.")
	}
	at := func(mm float64) float64 {
		for _, r := range b.es.ByOutlet {
			if mm <= r.Outlet {
				return r.Units
			}
		}
		return math.NaN()
	}
	band := sdk.Band{Low: at(f.Outlet.Low), Value: at(f.Outlet.Value), High: at(f.Outlet.High)}
	if math.IsNaN(band.High) {
		return sdk.Band{}, "", reply.Outside(f.ID+".outlet.size", "The outlet of "+f.ID+" is wider than the table of discharge units knows.")
	}
	return band, "by its outlet, table 4.2", nil
}
