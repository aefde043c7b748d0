package layout

import (
	"math"
	"slices"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// course is the way of a pipe.
type course struct {
	legs   []plan.Leg
	levels []*plan.Reading // of the corners, when points tell them
	points []point         // the corners themselves
	whole  bool            // told in whole figures: nobody knows where along it its bends are
	told   *plan.Reading   // its whole length, when told beside its runs or points
}

// course reads a pipe's way as its runs, its points or its whole figures tell
// it, and holds what is told twice against itself. Today's readings of laid
// work stand in for the planned ones.
func (r *reader) course(id string, n *document.Node, state plan.State) course {
	today := r.today[id]
	if today.Get("runs") != nil || today.Get("points") != nil {
		n, today = today, nil
		if state == plan.New {
			state = plan.Laid
		}
	}
	var c course
	runs, points := n.Get("runs"), n.Get("points")
	switch {
	case points != nil && points.Kind == document.List && len(points.Items) > 0:
		c.legs, c.points = r.points(points, n, state)
		for _, p := range c.points {
			c.levels = append(c.levels, p[2])
		}
		c.told = r.agree(c.legs, n, state, "points")
		if runs != nil && runs.Kind == document.List {
			r.runsAgree(c.legs, r.runs(runs, n, state), runs.At)
		}
	case runs != nil && runs.Kind == document.List && len(runs.Items) > 0:
		c.legs = r.runs(runs, n, state)
		c.told = r.agree(c.legs, n, state, "runs")
	default:
		c.legs, c.whole = r.whole(n, state), true
	}
	if today != nil {
		c.legs = r.rebuilt(c.legs, today)
		if length := r.length(today.Get("length"), plan.Laid); length != nil && len(c.legs) > 1 {
			c.told = length
		}
	}
	return c
}

// whole makes one leg of a pipe told in whole figures, all its bends at the
// end. Told with fall and a greater drop than that fall makes, the rest of the
// drop is a vertical piece of its own.
func (r *reader) whole(n *document.Node, state plan.State) []plan.Leg {
	leg := plan.Leg{
		Length: r.sane(n.Get("length"), r.length(n.Get("length"), state), wholeLengths),
		Drop:   r.level(n.Get("drop"), state), Bubble: bubble(n), Bends: r.bends(n.Get("bends")),
	}
	if rise := r.length(n.Get("rise"), state); rise != nil && leg.Drop == nil {
		drop := rise.Times(-1)
		drop.How = rise.How
		leg.Drop = &drop
	}
	leg.Fall = r.readOver(n.Get("fall"), quantity.Fall, taped, state, leg.Length)
	if upright, level, split := withUpright(leg); split {
		return []plan.Leg{upright, level}
	}
	if d := leg.Drop; d != nil && leg.Length != nil && math.Max(d.Low, -d.High) > leg.Length.High+1e-6 {
		r.fault(n.Get("length").At, "the pipe drops %s over a length of %s: one of them is wrong", show(d, "mm"), show(leg.Length, "mm"))
		return nil
	}
	r.oneSlope(n, &leg)
	if leg.Length == nil && leg.Drop == nil && leg.Fall == nil && leg.Bubble == "" && len(leg.Bends) == 0 {
		return nil
	}
	finish(&leg)
	return []plan.Leg{leg}
}

// leastUpright is the shortest vertical piece that whole figures may hide, mm:
// no two bends fit into less. A smaller difference is a contradiction.
const leastUpright = 80.0

// withUpright splits a whole leg: with level length a and vertical v,
// a + v = length and fall·a + v = drop.
func withUpright(leg plan.Leg) (upright, level plan.Leg, split bool) {
	if leg.Fall == nil || leg.Drop == nil || leg.Length == nil || !leg.Fall.Closed() || !leg.Drop.Closed() || !leg.Length.Closed() {
		return leg, leg, false
	}
	f, d, l := leg.Fall.Times(0.001), *leg.Drop, *leg.Length
	if f.High >= 0.5 || d.Low <= f.High*l.High+leastUpright || d.High >= l.Low {
		return leg, leg, false
	}
	along := plan.Reading{
		Low: math.Max(0, (l.Low-d.High)/(1-f.Low)), Value: (l.Value - d.Value) / (1 - f.Value), High: (l.High - d.Low) / (1 - f.High), How: plan.Computed,
	}
	down := plan.Reading{Low: math.Max(0, l.Low-along.High), Value: l.Value - along.Value, High: l.High - along.Low, How: plan.Computed}
	upright, level = plan.Leg{Drop: &down, Steep: true}, leg
	level.Along, level.Length, level.Drop = &along, nil, nil
	finish(&upright)
	finish(&level)
	return upright, level, true
}

// agree holds whole figures, told beside runs or points, against their sums,
// and gives the whole length when it is told.
func (r *reader) agree(legs []plan.Leg, n *document.Node, state plan.State, by string) *plan.Reading {
	r.agreeOn(r.length(n.Get("length"), state), sum(legs, lengthOf), n.Get("length"), "length", by, "mm")
	r.agreeOn(r.level(n.Get("drop"), state), sum(legs, dropOf), n.Get("drop"), "drop", by, "mm")
	if level := nearLevel(legs); len(level) > 0 {
		drop, along := sum(level, dropOf), sum(level, alongOf)
		if drop != nil && along != nil && n.Get("fall") != nil {
			over := plan.Leg{Drop: drop, Along: along}
			told := r.readOver(n.Get("fall"), quantity.Fall, taped, state, along)
			r.agreeOn(told, fallOf(over), n.Get("fall"), "fall", by, "mm/m")
		}
	}
	whole := r.length(n.Get("length"), state)
	if whole != nil {
		narrow(legs, *whole)
	}
	r.agreeOnBends(legs, n, by)
	return whole
}

func (r *reader) agreeOnBends(legs []plan.Leg, n *document.Node, by string) {
	all, made := r.bends(n.Get("bends")), turnOf(legs)
	if n.Get("bends") == nil || made == nil {
		return
	}
	if told := turnOf([]plan.Leg{{Bends: all}}); told != nil && math.Abs(*told-*made) > 20 {
		r.warn(n.Get("bends").At, "the bends told here turn %.0f° and those of the %s %.0f°: the %s count", *told, by, *made, by)
	}
}

func (r *reader) agreeOn(told, made *plan.Reading, n *document.Node, what, by, unit string) {
	if !apart(told, made) {
		return
	}
	r.fault(n.At, "the %s is told as %s and the %s add up to %s: one of them is wrong", what, show(told, unit), by, show(made, unit))
}

func (r *reader) runsAgree(byPoints, byRuns []plan.Leg, at finding.Position) {
	for _, c := range []struct {
		what string
		of   func(plan.Leg) *plan.Reading
	}{{"length", lengthOf}, {"drop", dropOf}} {
		a, b := sum(byPoints, c.of), sum(byRuns, c.of)
		if apart(a, b) {
			r.fault(at, "by its points the pipe's %s is %s and by its runs %s: one of them is wrong", c.what, show(a, "mm"), show(b, "mm"))
		}
	}
}

// narrow takes a whole length that is told more exactly than its pieces: each
// leg is as long as the whole leaves when the others are as short or as long
// as they may be, and no longer or shorter than it was read.
func narrow(legs []plan.Leg, told plan.Reading) {
	total := sum(legs, lengthOf)
	if total == nil || total.Value <= 0 || apart(total, &told) || told.High-told.Low >= total.High-total.Low {
		return
	}
	read := slices.Clone(legs)
	for i, leg := range read {
		others := plan.Exactly(0)
		for j, other := range read {
			if j != i {
				others = others.Plus(*other.Length)
			}
		}
		legs[i].Length = cutBy(*leg.Length, told.Minus(others))
		if leg.Along != nil && leg.Drop != nil && !leg.Steep {
			legs[i].Along = cutBy(*leg.Along, besideDrop(*legs[i].Length, *leg.Drop))
		}
	}
}

// cutBy cuts a band by another; a band that the other leaves nothing of stays.
func cutBy(own, other plan.Reading) *plan.Reading {
	low, high := math.Max(own.Low, other.Low), math.Min(own.High, other.High)
	if low > high {
		return &own
	}
	return &plan.Reading{Low: low, Value: math.Min(math.Max(own.Value, low), high), High: high, How: own.How}
}

// besideDrop is the level distance of a straight piece of a length that drops
// by so much.
func besideDrop(length, drop plan.Reading) plan.Reading {
	least, most := math.Min(math.Abs(drop.Low), math.Abs(drop.High)), math.Max(math.Abs(drop.Low), math.Abs(drop.High))
	if drop.Low <= 0 && drop.High >= 0 {
		least = 0
	}
	side := func(l, d float64) float64 { return math.Sqrt(math.Max(0, l*l-d*d)) }
	return plan.Reading{Low: side(length.Low, most), Value: side(length.Value, drop.Value), High: side(length.High, least), How: plan.Computed}
}

// rebuilt puts today's whole figures over the planned legs.
func (r *reader) rebuilt(legs []plan.Leg, today *document.Node) []plan.Leg {
	if len(legs) == 0 || len(legs) == 1 && !legs[0].Steep {
		return r.replaced(legs, today)
	}
	if length := r.length(today.Get("length"), plan.Laid); length != nil {
		rescale(legs, *length)
	}
	over := levelLength(legs)
	if fall := r.readOver(today.Get("fall"), quantity.Fall, taped, plan.Laid, over); fall != nil {
		for i := range legs {
			if !legs[i].Steep {
				legs[i].Fall, legs[i].Drop = fall, nil
			}
		}
	}
	if drop := r.level(today.Get("drop"), plan.Laid); drop != nil && over != nil && over.Value > 0 {
		left := *drop
		for _, leg := range legs {
			if leg.Steep && leg.Drop != nil {
				left = left.Minus(*leg.Drop)
			}
		}
		for i := range legs {
			if !legs[i].Steep && legs[i].Along != nil {
				legs[i].Drop, legs[i].Fall = share(left, legs[i].Along.Value/over.Value), nil
			}
		}
	}
	r.rebent(legs, today)
	return legs
}

// replaced is rebuilt for a pipe of one near-level leg.
func (r *reader) replaced(legs []plan.Leg, today *document.Node) []plan.Leg {
	fresh := r.whole(today, plan.Laid)
	if len(fresh) != 1 {
		if len(fresh) == 0 {
			return legs
		}
		return fresh
	}
	if len(legs) == 0 {
		return fresh
	}
	leg, old := fresh[0], legs[0]
	if leg.Drop == nil && leg.Fall == nil {
		leg.Drop, leg.Fall = old.Drop, old.Fall
	}
	if today.Get("length") == nil {
		leg.Length, leg.Along = old.Length, old.Along
	} else {
		leg.Along = nil
	}
	if today.Get("bends") == nil {
		leg.Bends = old.Bends
	}
	if leg.Bubble == "" {
		leg.Bubble = old.Bubble
	}
	finish(&leg)
	return []plan.Leg{leg}
}

// rescale stretches legs to a length read of the whole.
func rescale(legs []plan.Leg, length plan.Reading) {
	total := sum(legs, lengthOf)
	if total == nil || total.Value <= 0 {
		return
	}
	for i := range legs {
		part := legs[i].Length.Value / total.Value
		legs[i].Length = share(length, part)
		if legs[i].Along != nil && !legs[i].Steep && legs[i].Along.Value > 0 {
			legs[i].Along = share(length, legs[i].Along.Value/total.Value)
		}
	}
}

func (r *reader) rebent(legs []plan.Leg, today *document.Node) {
	if today.Get("bends") != nil {
		for i := range legs {
			legs[i].Bends = nil
		}
		legs[len(legs)-1].Bends = r.bends(today.Get("bends"))
	}
	if b := bubble(today); b != "" {
		for i := range legs {
			if !legs[i].Steep {
				legs[i].Bubble = b
			}
		}
	}
}
