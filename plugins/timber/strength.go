package timber

import (
	"fmt"
	"math"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/timber/ec5"
)

const bendingSource = "EN 1995-1-1, 6.1.6, kmod 0.8, gammaM 1.3, 1.35 permanent and 1.5 variable load, boards hold the joist upright"
const shearSource = "EN 1995-1-1, 6.1.7, kmod 0.8, gammaM 1.3, kcr 0.67 (from memory)"

// use of a strength: what acts over what the timber bears, without end where
// nothing is left.
func use(acts, bears float64) float64 {
	if bears <= 0 {
		return math.Inf(1)
	}
	return acts / bears
}

// moment at x, N m, factored.
func (s state) moment(span, x float64) float64 {
	return ec5.Moment(s.load.spread(span, ec5.GammaG, ec5.GammaQ), span, x)
}

func bendingBefore(s *site, j plan.Joist) reply.Answer {
	m, gap := s.memberOf(j)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	r := m.bound(func(s state, span float64) float64 {
		return use(s.moment(span, span/2), s.whole().W*s.bends())
	})
	return m.answer(r, "M / (W fm,d), M = q L²/8, W = b h²/6, fm,d = kh kmod fm,k / gammaM",
		m.bendingNumbers(m.span.Value/2, m.told.whole()), bendingSource)
}

// bendingNumbers at a place, for a section.
func (m member) bendingNumbers(x float64, net ec5.Section) string {
	q, span := m.told.load.spread(m.span.Value, ec5.GammaG, ec5.GammaQ), m.span.Value
	return fmt.Sprintf("q %s kN/m, M at %s m of %s m %s kN m / (W %.0f cm³ × %.2f N/mm²)",
		kilo(q), metres(x), metres(span), kilo(ec5.Moment(q, span, x)), net.W*1e6, m.told.bends()/1e6)
}

// bendingAfter is at the section of the opening nearest to mid span, where the
// moment is greatest. A notch in the lower edge within the span tears at its
// root, which no net section shows.
func bendingAfter(s *site, o plan.Opening) reply.Answer {
	m, c, gap := s.beamAndCut(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if _, side := c.atBearing(m); o.Shape == "notch_bottom" && !side {
		return reply.Answer{Gap: tears(o)}
	}
	worst := func(s state, p spot, length float64) float64 {
		from, to := reach(p, length)
		return s.moment(p.span, min(max(p.span/2, from), to))
	}
	if c.hole {
		worst = func(s state, p spot, _ float64) float64 { return s.moment(p.span, p.at) }
	}
	better, told, least := c.net(m)
	here := spot{c.at.Value, m.span.Value}
	r := plan.Reading{Value: use(worst(m.told, here, c.length.Value), told.W*m.told.bends()), How: plan.Computed}
	r.Low, r.High = ends(spots(c.at, m.span),
		func(p spot) float64 { return use(worst(m.better, p, c.length.Low), better.W*m.better.bends()) },
		func(p spot) float64 { return use(worst(m.worse, p, c.length.High), least.W*m.worse.bends()) })
	from, to := reach(here, c.length.Value)
	x := min(max(here.span/2, from), to)
	if c.hole {
		x = here.at
	}
	return m.answer(r, "M / (W net fm,d), M = q x (L - x)/2 where the opening is nearest to mid span; W net of a notch b (h - d)²/6, of a hole at most b (h² - d²)/6",
		m.bendingNumbers(x, told), bendingSource+"; "+c.alone())
}

func tears(o plan.Opening) *sdk.Gap {
	return reply.Outside("notch " + o.ID + " in the lower edge lies in tension and may tear the joist along the grain: ask an engineer")
}

// alone says what one opening's figure leaves out.
func (c cut) alone() string { return "opening " + c.opening.ID + " by itself" }

func shearBefore(s *site, j plan.Joist) reply.Answer {
	m, gap := s.memberOf(j)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	r := m.bound(func(s state, span float64) float64 {
		return use(ec5.ShearStress(s.load.shear(span, 0), s.whole(), ec5.Kcr), s.shears())
	})
	v := m.told.load.shear(m.span.Value, 0)
	return m.answer(r, "1.5 V / (kcr b h fv,d), V at the bearing, fv,d = kmod fv,k / gammaM",
		fmt.Sprintf("1.5 × %s kN / (0.67 × %s × %s mm × %.2f N/mm²)", kilo(v), milli(m.told.width), milli(m.told.depth), m.told.shears()/1e6), shearSource)
}

func shearAfter(s *site, o plan.Opening) reply.Answer {
	m, c, gap := s.beamAndCut(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	corner, side := c.atBearing(m)
	switch {
	case side:
		return c.shearAtBearing(m, corner)
	case o.Shape == "notch_bottom":
		return reply.Answer{Gap: tears(o)}
	}
	return c.shearInSpan(m)
}

// shearAtBearing is the whole reaction over what the notch leaves, less kv.
func (c cut) shearAtBearing(m member, corner plan.Reading) reply.Answer {
	if gap := c.tooDeep(m); gap != nil {
		return reply.Answer{Gap: gap}
	}
	ratio := func(s state, span, deep, x float64) float64 {
		net, _ := ec5.EdgeNotch(s.width, s.depth, deep)
		kv := ec5.Kv(ec5.KnSolid, s.depth, net.Depth, x, 0)
		return use(ec5.ShearStress(s.load.shear(span, 0), net, ec5.Kcr), kv*s.shears())
	}
	r := plan.Reading{
		Low:   ratio(m.better, m.span.Low, c.size.Low, corner.Low),
		Value: ratio(m.told, m.span.Value, c.size.Value, corner.Value),
		High:  ratio(m.worse, m.span.High, c.size.High, corner.High), How: plan.Computed,
	}
	left := m.told.depth - c.size.Value
	kv := ec5.Kv(ec5.KnSolid, m.told.depth, left, corner.Value, 0)
	return m.answer(r, "1.5 V / (kcr b h left kv fv,d), V at the bearing",
		fmt.Sprintf("1.5 × %s kN / (0.67 × %s × %s mm × %.3f × %.2f N/mm²)", kilo(m.told.load.shear(m.span.Value, 0)), milli(m.told.width), milli(left), kv, m.told.shears()/1e6),
		shearSource+", 6.5.2")
}

// shearInSpan is at the edge of the opening that is nearer to a bearing, all
// that may move standing where it is worst for it.
func (c cut) shearInSpan(m member) reply.Answer {
	acts := func(s state, p spot, length float64) float64 {
		from, to := reach(p, length)
		return max(s.load.shear(p.span, from), s.load.shear(p.span, to))
	}
	ratio := func(s state, force, deep float64) float64 {
		net, ok := ec5.EdgeNotch(s.width, s.depth, deep)
		if !ok {
			return math.Inf(1)
		}
		return use(ec5.ShearStress(force, net, ec5.Kcr)*c.peak(s.depth, deep), s.shears())
	}
	here := spot{c.at.Value, m.span.Value}
	force := acts(m.told, here, c.length.Value)
	r := plan.Reading{Value: ratio(m.told, force, c.size.Value), How: plan.Computed}
	r.Low, r.High = ends(spots(c.at, m.span),
		func(p spot) float64 { return ratio(m.better, acts(m.better, p, c.length.Low), c.size.Low) },
		func(p spot) float64 { return ratio(m.worse, acts(m.worse, p, c.length.High), c.size.High) })
	formula, source := "1.5 V / (kcr b h left fv,d), V at the edge nearer to a bearing", shearSource+", "+c.alone()
	if c.hole {
		formula = "ktau 1.5 V / (kcr b (h - d) fv,d), ktau = 1.85 (1 + d/h) (d/h)^0.2, at least 1"
		source += ", peak at a hole by the German annex, made for glulam and borrowed here"
	}
	return m.answer(r, formula, fmt.Sprintf("%.2f × 1.5 × %s kN / (0.67 × %s × %s mm × %.2f N/mm²)",
		c.peak(m.told.depth, c.size.Value), kilo(force), milli(m.told.width), milli(m.told.depth-c.size.Value), m.told.shears()/1e6), source)
}

// peak of the shear stress beside a hole; 1 under a notch in the upper edge.
func (c cut) peak(depth, deep float64) float64 {
	if !c.hole {
		return 1
	}
	return ec5.HoleShearFactor(depth, deep, deep)
}
