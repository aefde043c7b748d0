package supply

import (
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// served is what a pipe brings water to: certain are the draw-offs that get it
// over no other way, possible are all that may get it.
type served struct{ certain, possible []*plan.DrawOff }

func (s *site) served(l *plan.Link) (served, *sdk.Gap) {
	var out served
	for _, d := range s.drawOffs {
		known := s.found[d.ID]
		over := 0
		for _, w := range known.all {
			if slices.Contains(w.links, l) {
				over++
			}
		}
		certain := slices.Contains(l.Serves, d.ID) || over > 0 && over == len(known.all) && !known.tangled
		if certain {
			out.certain = append(out.certain, d)
		}
		if certain || over > 0 || known.tangled {
			out.possible = append(out.possible, d)
		}
	}
	if len(out.possible) == 0 {
		return served{}, reply.NotTold(place(l, "path"), "nobody has told which draw-offs the pipe "+l.ID+" brings water to")
	}
	return out, nil
}

// tap is what one draw-off counts by EN 806-3.
type tap struct {
	id          string
	units, flow plan.Reading // flow in l/s
	row         demandRow
}

func (s *site) kindOf(d *plan.DrawOff) (string, *sdk.Gap) {
	kind := d.Serves
	if f := s.fixtures[d.Fixture]; (kind == "" || kind == "unknown") && f != nil {
		kind = f.Kind
	}
	if kind == "" || kind == "unknown" {
		return "", reply.NotTold(d.Fixture+".kind", "nobody has told what kind of fixture "+d.Fixture+" is")
	}
	return kind, nil
}

func (s *site) rowsOf(d *plan.DrawOff, rows []demandRow, of string) ([]demandRow, *sdk.Gap) {
	kind, gap := s.kindOf(d)
	if gap != nil {
		return nil, gap
	}
	found := rowsFor(rows, kind, s.house.Use)
	if len(found) == 0 {
		return nil, reply.Outside(fmt.Sprintf("the table of %s has no row for %s, which is a %s", of, d.ID, kind))
	}
	return found, nil
}

// tapOf counts a draw-off: its units by the table, its flow by the table or,
// where more is printed on it, by that.
func (s *site) tapOf(d *plan.DrawOff) (tap, *sdk.Gap) {
	rows, gap := s.rowsOf(d, s.Loading, "loading units")
	if gap != nil {
		return tap{}, gap
	}
	t := tap{id: d.ID, row: rows[0], units: span(rows, func(r demandRow) float64 { return r.Units }),
		flow: span(rows, func(r demandRow) float64 { return r.Flow })}
	if d.Rating != nil {
		t.flow = interval.Greater(t.flow, *d.Rating)
	}
	return t, nil
}

func (s *site) tapsOf(list []*plan.DrawOff) ([]tap, *sdk.Gap) {
	var out []tap
	for _, d := range list {
		t, gap := s.tapOf(d)
		if gap != nil {
			return nil, gap
		}
		out = append(out, t)
	}
	return out, nil
}

// demands of a pipe: its units, its largest draw-off and the sum of all, from
// the least it serves for certain to the most that it may serve.
type demands struct {
	units, largest, sum plan.Reading
	taps                []tap
	open                bool // not certain which draw-offs
}

func (s *site) demandsOf(l *plan.Link) (demands, *sdk.Gap) {
	to, gap := s.served(l)
	if gap != nil {
		return demands{}, gap
	}
	most, gap := s.tapsOf(to.possible)
	if gap != nil {
		return demands{}, gap
	}
	least, _ := s.tapsOf(to.certain) // among the possible, so without a gap
	out := demands{taps: most, open: len(least) < len(most)}
	for _, t := range most {
		out.units, out.largest, out.sum = out.units.Plus(t.units), interval.Greater(out.largest, t.flow), out.sum.Plus(t.flow)
	}
	var units, largest, sum plan.Reading
	for _, t := range least {
		units, largest, sum = units.Plus(t.units), interval.Greater(largest, t.flow), sum.Plus(t.flow)
	}
	out.units.Low, out.largest.Low, out.sum.Low = units.Low, largest.Low, sum.Low
	return out, nil
}

func (s *site) loadingUnits(l *plan.Link) reply.Answer {
	d, gap := s.demandsOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(d.units, func() sdk.Working {
		parts := []string{}
		for _, t := range d.taps {
			parts = append(parts, fmt.Sprintf("%s %s", t.id, reply.Value(t.units.Value, "1")))
		}
		return sdk.Working{Formula: "sum of the loading units of the draw-offs" + d.doubt(), Numbers: reply.Sum(parts, reply.Reading(d.units, "1")), Source: "EN 806-3:2006, table 2"}
	})
}

func (d demands) doubt() string {
	if d.open {
		return "; the least without those that may get their water another way"
	}
	return ""
}

// supplyFlow is the curve's flow, not less than the largest draw-off and not
// more than all together.
func (s *site) supplyFlow(l *plan.Link) reply.Answer {
	d, gap := s.demandsOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	q, within := s.designFlow(d)
	if !within {
		return reply.Answer{Gap: reply.Outside("the pipe " + l.ID + " has more loading units than the curve of design flows knows")}
	}
	return reply.Number(q, func() sdk.Working {
		onCurve, _ := s.Curve.at(d.units.Value)
		return sdk.Working{
			Formula: "flow of the loading units by the curve, not less than the largest draw-off, not more than all together",
			Numbers: fmt.Sprintf("loading units %s: %s by the curve; largest %s, all %s; = %s", reply.Value(d.units.Value, "1"), reply.Value(onCurve, "l/s"),
				reply.Value(d.largest.Value, "l/s"), reply.Value(d.sum.Value, "l/s"), reply.Reading(q, "l/s")),
			Source: "EN 806-3:2006, table 2; curve: " + s.Curve.Source,
		}
	})
}

// designFlow of demands, l/s; false beyond the curve. More units or a larger
// draw-off never give less, so the ends go by the ends. The band is wider than
// the readings make it by what the remembered curve may be off.
func (s *site) designFlow(d demands) (plan.Reading, bool) {
	at := func(units, largest, sum, off float64) (float64, bool) {
		q, ok := s.Curve.at(units)
		return max(min(q*off, sum), largest), ok
	}
	low, okLow := at(d.units.Low, d.largest.Low, d.sum.Low, 1-s.Curve.Off)
	value, okValue := at(d.units.Value, d.largest.Value, d.sum.Value, 1)
	high, okHigh := at(d.units.High, d.largest.High, d.sum.High, 1+s.Curve.Off)
	return plan.Reading{Low: low, Value: value, High: high, How: plan.Computed}, okLow && okValue && okHigh
}

// appliance is a fixture that a pipe brings cold water to, hot, or both.
type appliance struct {
	draw      *plan.DrawOff
	cold, hot bool
}

// appliances are the fixtures of draw-offs, in order.
func appliances(list []*plan.DrawOff) []appliance {
	var out []appliance
	for _, d := range list {
		i := slices.IndexFunc(out, func(a appliance) bool { return a.draw.Fixture == d.Fixture })
		if i < 0 {
			i, out = len(out), append(out, appliance{draw: d})
		}
		out[i].hot = out[i].hot || d.Water == "hot"
		out[i].cold = out[i].cold || d.Water != "hot"
	}
	return out
}

// collective is from how many appliances on the newer French formula holds;
// below, the older one does. The limit is from memory.
const collective = 6

// together is the share of all base flows that runs at once.
func together(x int) float64 {
	if x < collective {
		return older(x)
	}
	return 0.8 / math.Sqrt(float64(x-1))
}

// older is the share by NF P 41-201 to 204; all of two.
func older(x int) float64 {
	if x <= 2 {
		return 1
	}
	return max(0.20, 1/math.Sqrt(float64(x-1)))
}

// hotel is the factor on simultaneity in a hotel.
const hotel = 1.25
