package supply

import (
	"fmt"
	"slices"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/supply/pipeflow"
)

// contentOf the pipes of a hot draw-off's ways from the heater on, l.
func (s *site) contentOf(d *plan.DrawOff) (plan.Reading, []string, *sdk.Gap) {
	if d.Water != "hot" {
		return plan.Reading{}, nil, reply.Outside("the draw-off " + d.ID + " is not a hot one")
	}
	all, gap := s.waysTo(d)
	if gap != nil {
		return plan.Reading{}, nil, gap
	}
	var list []plan.Reading
	var parts []string
	for _, w := range all {
		v, texts, gap := s.contentOn(w)
		if gap != nil {
			return plan.Reading{}, nil, gap
		}
		if len(list) == 0 || v.Value > list[0].Value {
			parts = texts
		}
		list = append(list, v)
	}
	v, gap := overWays(d, all, list, more)
	return v, parts, gap
}

// contentOn one way. Where a circulating line may keep part of it warm, the
// plan does not tell which part, so the least is nothing.
func (s *site) contentOn(w way) (plan.Reading, []string, *sdk.Gap) {
	heater, from := s.heaterOf(w)
	sum, parts := plan.Exactly(0), []string{}
	for _, t := range s.stretches(w.links[from:]) {
		d, gap := s.boreOf(t.links[0])
		if gap != nil {
			return sum, nil, gap
		}
		length, gap := s.lengthOver(t)
		if gap != nil {
			return sum, nil, gap
		}
		at := func(d, length float64) float64 { return pipeflow.Content(d*mm, length*mm) / litre }
		v := plan.Reading{Low: at(d.Low, length.Low), Value: at(d.Value, length.Value), High: at(d.High, length.High)}
		sum = sum.Plus(v)
		parts = append(parts, fmt.Sprintf("%s π/4 × (%s)² × %s: %.3f l", t.name(), reply.Value(d.Value, "mm"), reply.Value(length.Value, "mm"), v.Value))
	}
	if heater.Circulates == "circulates" || heater.Circulates != "without" && !instant(heater) {
		sum.Low = 0
	}
	return sum, parts, nil
}

// instant heaters warm water as it is drawn and feed no circulating line.
func instant(h *plan.Heater) bool {
	return h.Kind == "gas_instant" || h.Kind == "electric_instant" || h.Kind == "combi"
}

func (s *site) deadLeg(d *plan.DrawOff) reply.Answer {
	v, parts, gap := s.contentOf(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(v, func() sdk.Working {
		formula := "sum of π/4 × bore² × length from the heater to the draw-off"
		if v.Low == 0 {
			formula += "; less where a circulating line keeps part of it warm"
		}
		return sdk.Working{Formula: formula + onTrust(s.found[d.ID].all), Numbers: reply.Sum(parts, litres(v)), Source: "geometry"}
	})
}

// litres writes a content to the hundredth.
func litres(v plan.Reading) string {
	if fmt.Sprintf("%.2f", v.Low) == fmt.Sprintf("%.2f", v.High) {
		return fmt.Sprintf("%.2f l", v.Value)
	}
	return fmt.Sprintf("%.2f l (%.2f l to %.2f l)", v.Value, v.Low, v.High)
}

// hotWait is the content over the flow measured at the tap, or else the one
// printed on it.
func (s *site) hotWait(d *plan.DrawOff) reply.Answer {
	v, _, gap := s.contentOf(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	q := s.flowAt(d)
	if q == nil {
		q = d.Rating
	}
	if q == nil {
		return reply.Answer{Gap: reply.NotRead(d.ID+".flow", "the flow of "+d.ID+" is not measured")}
	}
	t, ok := interval.Quotient(interval.AtLeast(v, 0), *q)
	if !ok {
		return reply.Answer{Gap: reply.Outside("the draw-off " + d.ID + " gives no water")}
	}
	return reply.Number(t, func() sdk.Working {
		return sdk.Working{Formula: "content of the dead leg / flow of the draw-off; the pipe's wall, which is warmed too, takes longer", Numbers: fmt.Sprintf("%s / %s = %s", litres(v), reply.Reading(*q, "l/s"), reply.Reading(t, "s")), Source: "plug flow"}
	})
}

// mixed is the temperature of equal parts of hot and cold of a fixture.
func (s *site) mixed(f plan.Fixture) reply.Answer {
	var cold, hot *plan.DrawOff
	for _, d := range s.drawOffs {
		switch {
		case d.Fixture != f.ID:
		case d.Water == "hot":
			hot = d
		default:
			cold = d
		}
	}
	if cold == nil || hot == nil {
		return reply.Answer{Gap: reply.Outside("no hot and cold water to be mixed is told at " + f.ID)}
	}
	c, gap := reply.Read(cold.Temperature, cold.ID+".temperature", "the temperature of the cold water at "+f.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	h, how, gap := s.hottest(hot)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	m := c.Plus(h).Times(0.5)
	return reply.Number(m, func() sdk.Working {
		return sdk.Working{Formula: "(cold + hot) / 2, equal parts", Numbers: fmt.Sprintf("(%s + %s, %s) / 2 = %s", reply.Value(c.Value, "°C"), reply.Value(h.Value, "°C"), how, degrees(m)),
			Source: "heat balance, equal density and heat capacity"}
	})
}

func degrees(r plan.Reading) string {
	if r.Low == r.High {
		return fmt.Sprintf("%.1f °C", r.Value)
	}
	return fmt.Sprintf("%.1f °C (%.1f °C to %.1f °C)", r.Value, r.Low, r.High)
}

// hottest is the temperature read at a hot draw-off, or else what the heaters
// on its ways are set to.
func (s *site) hottest(d *plan.DrawOff) (plan.Reading, string, *sdk.Gap) {
	if d.Temperature != nil {
		return *d.Temperature, "read at the tap", nil
	}
	all, gap := s.waysTo(d)
	if gap != nil {
		return plan.Reading{}, "", reply.NotRead(d.ID+".temperature", "the temperature of the hot water at "+d.ID+" is not measured")
	}
	out, gap := s.setting(all)
	return out, "the heater's setting", gap
}

// setting of the last heaters on ways: from the lowest to the highest, the
// highest shown.
func (s *site) setting(all []way) (plan.Reading, *sdk.Gap) {
	var out plan.Reading
	for i, w := range all {
		h, _ := s.heaterOf(w)
		set, gap := reply.Read(h.Set, heaterPath(h.ID)+".set", "what "+h.ID+" is set to")
		switch {
		case gap != nil:
			return out, gap
		case i == 0:
			out = set
		case set.Value > out.Value:
			out = interval.Hull(set, out)
		default:
			out = interval.Hull(out, set)
		}
	}
	return out, nil
}

// laidAt is the temperature a run grows from, °C.
const laidAt = 10.0

// expansion of a hot run: coefficient × length × (setting - 10 °C).
func (s *site) expansion(l *plan.Link) reply.Answer {
	switch l.Carries {
	case "cold":
		return reply.Answer{Gap: reply.Outside("the pipe " + l.ID + " carries no hot water")}
	case "hot":
	default:
		return reply.Answer{Gap: reply.NotTold(place(l, "path"), "whether the pipe "+l.ID+" carries hot water is not told")}
	}
	length, gap := s.lengthOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	m, known := s.expands(l.MadeOf)
	if !known {
		return reply.Answer{Gap: reply.NotTold(place(l, "pipe.made_of"), "nobody has told what the pipe "+l.ID+" is made of")}
	}
	set, gap := s.settingOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	alpha := plan.Reading{Low: m.Low, Value: m.Value, High: m.High}
	warms := interval.AtLeast(set.Minus(plan.Exactly(laidAt)), 0)
	grows := interval.Product(interval.Product(alpha, length.Times(mm)), warms)
	return reply.Number(grows, func() sdk.Working {
		return sdk.Working{Formula: "coefficient × length × (setting of the heater - 10 °C)", Numbers: fmt.Sprintf("%g (%g to %g) mm/(m K) × %s × %g K = %s", m.Value, m.Low, m.High,
			reply.Value(length.Value, "mm"), warms.Value, reply.Reading(grows, "mm")), Source: "coefficient: " + m.Source + " (" + m.Basis + ")"}
	})
}

// settingOf the heaters that may warm a pipe: those on the ways over it, or
// all of the house where no way is told.
func (s *site) settingOf(l *plan.Link) (plan.Reading, *sdk.Gap) {
	var over []way
	for _, d := range s.drawOffs {
		for _, w := range s.found[d.ID].all {
			if _, from := s.heaterOf(w); from >= 0 && slices.Contains(w.links[from:], l) {
				over = append(over, w)
			}
		}
	}
	if len(over) == 0 {
		return plan.Reading{}, reply.NotTold("supply.lines", "no way of pipes from a heater over "+l.ID+" to a draw-off is told")
	}
	return s.setting(over)
}
