package discharge

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
)

// load is what a subject carries.
type load struct {
	path string   // in the words of the document
	ids  []string // fixtures upstream
}

// noFixtures is the gap of a pipe of which nobody told what runs into it. A
// forgotten fixture is no pass, so nothing told is not nought.
func (l load) noFixtures() *reply.Missing {
	return reply.NotTold("fixtures", "Nobody has told which fixtures discharge into "+l.path+".")
}

// count of fixtures that discharge, or of those of one kind.
func (b book) count(l load, kind string) (reply.Figure, *reply.Missing) {
	if len(l.ids) == 0 {
		return reply.Figure{}, l.noFixtures()
	}
	n, names := 0.0, []string{}
	for _, id := range l.ids {
		f := b.fixture(id)
		switch {
		case f == nil || notDischarging(f.Kind):
			continue
		case kind != "" && (f.Kind == "unknown" || f.Kind == ""):
			return reply.Figure{}, reply.NotTold(id+".kind", "Nobody has told what kind of fixture "+id+" is.")
		case kind == "" || f.Kind == kind:
			n++
			names = append(names, id)
		}
	}
	what := "fixtures upstream, counted"
	if kind == "wc" {
		what = "water closets upstream, counted"
	}
	numbers := reply.Value(n, "1")
	if len(names) > 0 {
		numbers = strings.Join(names, ", ") + ": " + numbers
	}
	return reply.Number(sdk.Band{Low: n, Value: n, High: n}, what, numbers, "layout"), nil
}

// notDischarging are the kinds that add no water of their own: a tap's water
// leaves by the fixture under it, a trap box passes on what runs into it.
func notDischarging(kind string) bool { return kind == "tap" || kind == "trap_box" }

// units of all that discharges into a subject, in a system.
func (b book) units(l load, system string) ([]unit, *reply.Missing) {
	if len(l.ids) == 0 {
		return nil, l.noFixtures()
	}
	var out []unit
	for _, id := range l.ids {
		f := b.fixture(id)
		if f == nil || notDischarging(f.Kind) {
			continue
		}
		c, m := choose(b.en, f)
		if m != nil {
			return nil, m
		}
		u, m := c.unit(f, system)
		if m != nil {
			return nil, m
		}
		out = append(out, u)
	}
	return out, nil
}

// total and greatest of units, end by end.
func total(units []unit) (sum, single sdk.Band) {
	for _, u := range units {
		sum = sdk.Band{Low: sum.Low + u.band.Low, Value: sum.Value + u.band.Value, High: sum.High + u.band.High}
		single = sdk.Band{Low: max(single.Low, u.band.Low), Value: max(single.Value, u.band.Value), High: max(single.High, u.band.High)}
	}
	return sum, single
}

func (b book) sumFigure(l load, system string) (reply.Figure, *reply.Missing) {
	units, m := b.units(l, system)
	if m != nil {
		return reply.Figure{}, m
	}
	sum, _ := total(units)
	parts := []string{}
	for _, u := range units {
		parts = append(parts, fmt.Sprintf("%s %s (%s)", u.id, reply.Value(u.band.Value, "l/s"), u.row))
	}
	numbers := strings.Join(parts, " + ") + " = " + reply.Range(sum, "l/s")
	return reply.Number(sum, "sum of the discharge units", numbers, unitsSource(units)), nil
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

// designFlow is K times the root of the units, and not less than the largest
// single one. A use that nobody told leaves K open; where every K of the table
// gives the same flow that is told all the same, else the use is asked for.
func (b book) designFlow(l load, system string) (reply.Figure, *reply.Missing) {
	units, m := b.units(l, system)
	if m != nil {
		return reply.Figure{}, m
	}
	sum, single := total(units)
	flow := func(k float64) sdk.Band {
		at := func(sum, single float64) float64 { return max(k*math.Sqrt(sum), single) }
		return sdk.Band{Low: at(sum.Low, single.Low), Value: at(sum.Value, single.Value), High: at(sum.High, single.High)}
	}
	k, told := b.en.factor(b.plan.House.Use)
	if !told {
		least, greatest := b.en.factors()
		if flow(least) != flow(greatest) {
			return reply.Figure{}, reply.NotTold("house.use", "Nobody has told what the building is used for, which the frequency factor depends on.")
		}
		k = greatest
	}
	q := flow(k)
	numbers := fmt.Sprintf("%s x root of %s = %s; largest single unit %s; flow %s", reply.Value(k, "1"), reply.Value(sum.Value, "l/s"),
		reply.Value(k*math.Sqrt(sum.Value), "l/s"), reply.Value(single.Value, "l/s"), reply.Range(q, "l/s"))
	source := unitsSource(units) + "; table 3; 6.3 (not less than the largest unit: from memory)"
	return reply.Number(q, "flow = K x root of the sum of discharge units, at least the largest single unit", numbers, source), nil
}
