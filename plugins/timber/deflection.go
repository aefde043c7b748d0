package timber

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/timber/ec5"
)

// sagLimit is the span over the sag that a share of 1 stands for.
const sagLimit = 300

const sagSource = "unit load method, mean stiffness, characteristic load, EN 1995-1-1, 7.2"

// sag over L/300 of a joist in one state: whole, m.
func (s state) sag(span float64) float64 {
	bending, shear := s.beam(span).Deflection(s.load.spread(span, 1, 1))
	return (bending + shear) * sagLimit / span
}

func deflectionBefore(s *site, j plan.Joist) reply.Answer {
	m, gap := s.memberOf(j)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return m.answer(m.bound(state.sag), "w / (L/300), w = 5 q L⁴/(384 E I) + 1.2 q L²/(8 G A)", m.sagNumbers(nil), sagSource)
}

// deflectionAfter has all openings of the joist in it, each over its own
// length; what lies over one another counts twice, the safe way.
func deflectionAfter(s *site, j plan.Joist) reply.Answer {
	if gap := forEngineer(j); gap != nil {
		return reply.Answer{Gap: gap}
	}
	var cuts []cut
	for _, o := range s.plan.Openings {
		if o.Joist != j.ID || o.State == plan.Removed {
			continue
		}
		c, gap := s.cutOf(o)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		cuts = append(cuts, c)
	}
	m, gap := s.memberOf(j)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return m.answer(m.sagWith(cuts), "w / (L/300), w of the whole joist and of each opening ∫ M m dx (1/I net - 1/I)/E over its length", m.sagNumbers(cuts), sagSource)
}

// sagWith is the sag over L/300 with the cuts, each at the place in its band
// where it matters least, as told, and where it matters most. Longest and
// shortest span are both tried.
func (m member) sagWith(cuts []cut) plan.Reading {
	r := plan.Reading{Low: math.Inf(1), Value: m.told.sag(m.span.Value), High: math.Inf(-1), How: plan.Computed}
	for _, c := range cuts {
		_, told, _ := c.net(m)
		r.Value += m.told.added(spot{c.at.Value, m.span.Value}, c.length.Value, told)
	}
	for _, span := range []float64{m.span.Low, m.span.High} {
		low, high := m.better.sag(span), m.worse.sag(span)
		for _, c := range cuts {
			better, _, worse := c.net(m)
			least, most := ends(spots(c.at, plan.Exactly(span)),
				func(p spot) float64 { return m.better.added(p, c.length.Low, better) },
				func(p spot) float64 { return m.worse.added(p, c.length.High, worse) })
			low, high = low+least, high+most
		}
		r.Low, r.High = min(r.Low, low), max(r.High, high)
	}
	return r
}

// added by a cut that leaves this much, over L/300.
func (s state) added(p spot, length float64, net ec5.Section) float64 {
	if net.I <= 0 {
		return math.Inf(1)
	}
	from, to := reach(p, length)
	return s.beam(p.span).AddedByCut(s.load.spread(p.span, 1, 1), from, to, net.I) * sagLimit / p.span
}

// sagNumbers in mm, each part by itself.
func (m member) sagNumbers(cuts []cut) string {
	span := m.span.Value
	q := m.told.load.spread(span, 1, 1)
	bending, shear := m.told.beam(span).Deflection(q)
	parts := []string{fmt.Sprintf("%.2f mm bending + %.2f mm shear", bending*1000, shear*1000)}
	for _, c := range cuts {
		_, told, _ := c.net(m)
		parts = append(parts, fmt.Sprintf("%s %.2f mm", c.opening.ID, m.told.added(spot{c.at.Value, span}, c.length.Value, told)*span/sagLimit*1000))
	}
	return fmt.Sprintf("q %s kN/m, E %.0f N/mm², I %.0f cm⁴: (%s) / %.1f mm",
		kilo(q), m.told.class.Stiffness/1e6, m.told.whole().I*1e8, strings.Join(parts, " + "), span/sagLimit*1000)
}
