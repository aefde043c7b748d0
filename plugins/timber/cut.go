package timber

import (
	"fmt"
	"math"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/timber/ec5"
)

// cut is an opening with the readings that a net section needs, m.
type cut struct {
	opening plan.Opening
	hole    bool
	size    plan.Reading // depth of the notch, diameter of the hole
	length  plan.Reading // along the joist
	at      plan.Reading // its middle, from one bearing face
	fromTop plan.Reading // of a hole's centre
}

// cutOf is the opening as a cut, or the gap of what it lacks. What no net
// section describes is for an engineer: nothing is left of a joist cut through,
// and a bite out of the flank twists it.
func (s *site) cutOf(o plan.Opening) (cut, *sdk.Gap) {
	c := cut{opening: o}
	switch o.Shape {
	case "cut_through":
		return c, reply.Outside("a joist cut through at " + o.ID + " carries nothing there: ask an engineer before it is loaded")
	case "bite_side":
		return c, reply.Outside("a bite out of the flank twists the joist: ask an engineer about " + o.ID)
	case "hole":
		return s.holeCut(c)
	case "notch_top", "notch_bottom", "end_notch":
		return s.notchCut(c)
	}
	return c, shapeGap(o)
}

func (s *site) notchCut(c cut) (cut, *sdk.Gap) {
	o := c.opening
	depth, gap := size(o.Depth, openingPath(o.ID, "depth"), "the depth of notch "+o.ID)
	if gap != nil {
		return c, gap
	}
	length, gap := size(o.Length, openingPath(o.ID, "length"), "the length of notch "+o.ID+" along the joist")
	if gap != nil {
		return c, gap
	}
	c.size, c.length = depth.Times(0.001), length.Times(0.001)
	return s.placed(c)
}

func (s *site) holeCut(c cut) (cut, *sdk.Gap) {
	o := c.opening
	diameter, gap := size(o.Diameter, openingPath(o.ID, "diameter"), "the diameter of hole "+o.ID)
	if gap != nil {
		return c, gap
	}
	fromTop, gap := size(o.FromTop, openingPath(o.ID, "from_top"), "the distance of hole "+o.ID+" from the joist's top edge")
	if gap != nil {
		return c, gap
	}
	c.hole, c.fromTop = true, fromTop.Times(0.001)
	c.size = diameter.Times(0.001)
	c.length = c.size
	return s.placed(c)
}

// placed puts the cut where it is told, and refuses one beyond the joist or
// as deep as it.
func (s *site) placed(c cut) (cut, *sdk.Gap) {
	o := c.opening
	at, gap := distanceOf(o)
	if gap != nil {
		return c, gap
	}
	if !at.Closed() {
		return c, reply.NotRead(openingPath(o.ID, "distance"), "the distance of opening "+o.ID+" is known from one side only")
	}
	c.at = at.Times(0.001)
	if j := s.joists[o.Joist]; j.Span != nil && at.Value > j.Span.Value {
		return c, reply.NotRead(openingPath(o.ID, "distance"), "opening "+o.ID+" is told farther from the bearing than its joist is long")
	} else if j.Depth != nil && !c.inside(j.Depth.Value/1000) {
		return c, reply.NotRead(openingPath(o.ID, "depth"), "opening "+o.ID+" leaves nothing of the joist's depth, or breaks its edge")
	}
	return c, nil
}

// inside tells whether the cut as told leaves timber where it must.
func (c cut) inside(depth float64) bool {
	_, ok := c.section(1, depth, c.size.Value, c.fromTop.Value)
	return ok
}

// section is the net one of a joist that size, with the cut that deep and, of
// a hole, its centre there.
func (c cut) section(b, h, deep, fromTop float64) (ec5.Section, bool) {
	if c.hole {
		return ec5.Hole(b, h, deep, fromTop-h/2)
	}
	return ec5.EdgeNotch(b, h, deep)
}

// net is what the cut leaves at best, as told and at worst. Of what leaves
// nothing W and I are 0. A hole leaves most where its centre is nearest to mid
// depth and least where it is farthest.
func (c cut) net(m member) (better, told, worse ec5.Section) {
	told, _ = c.section(m.told.width, m.told.depth, c.size.Value, c.fromTop.Value)
	best := min(max(m.better.depth/2, c.fromTop.Low), c.fromTop.High)
	better, _ = c.section(m.better.width, m.better.depth, c.size.Low, best)
	worse, _ = c.section(m.worse.width, m.worse.depth, c.size.High, c.fromTop.Low)
	if other, _ := c.section(m.worse.width, m.worse.depth, c.size.High, c.fromTop.High); other.I < worse.I {
		worse = other
	}
	return better, told, worse
}

// beamAndCut are an opening and the joist it is in.
func (s *site) beamAndCut(o plan.Opening) (member, cut, *sdk.Gap) {
	j, gap := s.joistOf(o)
	if gap != nil {
		return member{}, cut{}, gap
	}
	if gap = forEngineer(j); gap != nil {
		return member{}, cut{}, gap
	}
	c, gap := s.cutOf(o)
	if gap != nil {
		return member{}, cut{}, gap
	}
	m, gap := s.memberOf(j)
	return m, c, gap
}

// reach is the part of the span, m, that the cut takes about its middle.
func reach(p spot, length float64) (from, to float64) {
	return max(p.at-length/2, 0), min(p.at+length/2, p.span)
}

// bearingLine is how far behind the bearing's face the reaction is taken, m:
// the middle of the bearing as told, else of one of 100 mm (common practice, no
// source).
func (m member) bearingLine() plan.Reading {
	if b := m.joist.Bearing; b != nil && b.Closed() && b.Low >= 0 {
		return b.Times(0.001 / 2)
	}
	return plan.Exactly(0.05)
}

// atBearing tells whether a notch is one that kv speaks of: an end notch, or
// one in the lower edge that begins within one depth of the bearing's face; and
// how far its inner corner is from the line of the reaction, m.
func (c cut) atBearing(m member) (corner plan.Reading, side bool) {
	near := c.at
	if m.span.Value-c.at.Value < near.Value {
		near = m.span.Minus(c.at)
	}
	from := near.Value - c.length.Value/2
	side = c.opening.Shape == "end_notch" || c.opening.Shape == "notch_bottom" && from <= m.told.depth
	corner = interval.AtLeast(near.Plus(c.length.Times(0.5)), 0).Plus(m.bearingLine())
	return corner, side
}

// tooDeep is the gap of a notch at a bearing that may take more than half of
// the depth: there kv says nothing that can be relied on.
func (c cut) tooDeep(m member) *sdk.Gap {
	if c.size.High > m.worse.depth/2 {
		return reply.Outside("notch " + c.opening.ID + " at the bearing may be deeper than half of the joist: ask an engineer")
	}
	return nil
}

// kvOf answers with the notch factor.
func kvOf(s *site, o plan.Opening) reply.Answer {
	switch o.Shape {
	case "hole", "notch_top":
		return reply.Number(plan.Exactly(1), reply.By("1, not a notch on the side of a bearing", "1", "EN 1995-1-1, 6.5.2"))
	}
	m, c, gap := s.beamAndCut(o)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	corner, side := c.atBearing(m)
	if !side {
		return reply.Number(plan.Exactly(1), reply.By("1, away from a bearing (a notch in the lower edge there is for an engineer all the same)", "1", "EN 1995-1-1, 6.5.2"))
	}
	if gap := c.tooDeep(m); gap != nil {
		return reply.Answer{Gap: gap}
	}
	kv := func(h, deep, x float64) float64 { return ec5.Kv(ec5.KnSolid, h, h-deep, x, 0) }
	low, _ := alongBand(m.worse.depth, m.better.depth, func(h float64) float64 { return kv(h, c.size.High, corner.High) })
	_, high := alongBand(m.worse.depth, m.better.depth, func(h float64) float64 { return kv(h, c.size.Low, corner.Low) })
	r := plan.Reading{Low: low, Value: kv(m.told.depth, c.size.Value, corner.Value), High: high, How: plan.Computed}
	return reply.Number(r, func() sdk.Working {
		return sdk.Working{
			Formula: "kv = min(1, 5 / (√h (√(α(1-α)) + 0.8 (x/h) √(1/α - α²)))), h in mm, α = depth left / h, square cut",
			Numbers: fmt.Sprintf("h %s mm, left %s mm, x %s mm with the reaction %s mm behind the bearing's face: %s",
				milli(m.told.depth), milli(m.told.depth-c.size.Value), milli(corner.Value), milli(m.bearingLine().Value), reply.Reading(r, "1")),
			Source: "EN 1995-1-1, 6.5.2, expressions 6.60 to 6.62, solid timber",
		}
	})
}

func milli(m float64) string { return fmt.Sprintf("%.0f", m*1000) }

// alongBand is the least and the greatest of a smooth function over a narrow
// band: thirty-two steps, then the best of them closed in on from both sides.
func alongBand(low, high float64, f func(float64) float64) (least, greatest float64) {
	const steps = 32
	least, greatest = math.Inf(1), math.Inf(-1)
	step := (high - low) / steps
	lowest, highest := low, low
	for i := range steps + 1 {
		x := low + float64(i)*step
		if v := f(x); v < least {
			least, lowest = v, x
		}
		if v := f(x); v > greatest {
			greatest, highest = v, x
		}
	}
	closer := func(about, sign float64) float64 {
		a, b := max(about-step, low), min(about+step, high)
		for range 60 {
			c, d := a+(b-a)/3, b-(b-a)/3
			if sign*f(c) < sign*f(d) {
				a = c
			} else {
				b = d
			}
		}
		return f((a + b) / 2)
	}
	return min(least, closer(lowest, -1)), max(greatest, closer(highest, 1))
}
