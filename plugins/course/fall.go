package course

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// piece is a near-level leg: it drops by fixed (mm) plus rate (mm/m) times its
// level distance along (mm). One of fixed and rate is nought.
type piece struct{ fixed, rate, along plan.Reading }

// Fall is the drop of the near-level legs over their level distance, the run
// taken whole; legs of 45° and more are drops and left out. When the levels of
// both ends are told, the errors of the levels between them cancel, and what
// the levels allow narrows what the legs' own drops allow.
func (r Run) Fall() reply.Answer {
	if len(r.Legs) == 0 {
		if r.Start != nil && r.End != nil {
			return reply.Answer{Gap: r.noLength()}
		}
		return reply.Answer{Gap: r.noDrop()}
	}
	if !slices.ContainsFunc(r.Legs, func(l plan.Leg) bool { return !l.Steep }) {
		return reply.Answer{Gap: r.allSteep()}
	}
	legs, missing := r.byLegs()
	levels, along, known := r.byLevels()
	switch {
	case missing != nil && !known:
		return reply.Answer{Gap: missing}
	case missing != nil:
		legs = levels
	case known:
		var ok bool
		if legs, ok = both(levels, legs, 1000*rounding/along.Value); !ok {
			return reply.Answer{Gap: r.contradicts()}
		}
	}
	return reply.Number(legs, func() sdk.Working {
		numbers := reply.Reading(legs, "mm/m")
		if drop, ok := r.nearLevelDrop(); ok && along.Value > 0 {
			numbers = fmt.Sprintf("%s / %s = %s", reply.Value(drop, "mm"), reply.Value(along.Value, "mm"), numbers)
		}
		return sdk.Working{Formula: "fall = drop / level distance, over the near-level legs", Numbers: numbers, Source: source}
	})
}

// byLegs is the fall from the legs' own figures, mm/m.
func (r Run) byLegs() (plan.Reading, *sdk.Gap) {
	pieces, bare := []piece{}, []plan.Reading{}
	for _, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		p, ok := pieceOf(leg)
		switch {
		case ok:
			pieces = append(pieces, p)
		case leg.Fall != nil:
			bare = append(bare, *leg.Fall)
		case leg.Drop == nil:
			return plan.Reading{}, r.noDrop()
		default:
			return plan.Reading{}, r.noLength()
		}
	}
	if len(bare) == 0 {
		return mean(pieces), nil
	}
	for _, p := range pieces {
		bare = append(bare, mean([]piece{p}))
	}
	return hull(bare), nil
}

// ToldWhole tells whether a leg's figure is its length along the pipe, as one
// tells a pipe as a whole, and its level distance follows from that.
func ToldWhole(leg plan.Leg) bool {
	follows := leg.Along == nil || leg.Along.How == plan.Computed
	return !leg.Steep && leg.Length != nil && leg.Length.How != plan.Computed && follows
}

// pieceOf fails when the level distance is not known.
func pieceOf(leg plan.Leg) (piece, bool) {
	if leg.Fall == nil && leg.Drop != nil && ToldWhole(leg) {
		if along, ok := levelUnder(*leg.Length, *leg.Drop); ok {
			// the drop is in both, so its fall is worked out before the two part
			return piece{rate: quotient(*leg.Drop, *leg.Length), along: along}, true
		}
	}
	switch {
	case leg.Fall != nil && leg.Along != nil:
		return piece{rate: *leg.Fall, along: *leg.Along}, true
	case leg.Fall != nil && leg.Length != nil:
		return piece{rate: *leg.Fall, along: interval.Product(cosine(*leg.Fall), *leg.Length)}, true
	case leg.Drop != nil && leg.Along != nil:
		return piece{fixed: *leg.Drop, along: *leg.Along}, true
	}
	return piece{}, false
}

// quotient is the fall in mm/m of a drop told with a length along the pipe.
func quotient(drop, length plan.Reading) plan.Reading {
	f := func(d, l float64) float64 {
		if math.IsInf(l, 1) {
			return 0
		}
		return 1000 * d / math.Sqrt(l*l-d*d)
	}
	out := plan.Reading{Value: f(drop.Value, length.Value), Low: f(drop.Low, length.High), High: f(drop.High, length.Low), How: plan.Computed}
	if drop.Low < 0 {
		out.Low = f(drop.Low, length.Low)
	}
	if drop.High < 0 {
		out.High = f(drop.High, length.High)
	}
	return out
}

// cosine is the level distance per length along the pipe of a fall in mm/m.
func cosine(fall plan.Reading) plan.Reading {
	f := func(v float64) float64 { return 1000 / math.Hypot(1000, v) }
	d := interval.Magnitude(fall)
	return plan.Reading{Low: f(d.High), Value: f(d.Value), High: f(d.Low), How: plan.Computed}
}

// mean fall of pieces in mm/m, each weighted by its level distance, with the
// least and the greatest that any combination of the readings allows.
func mean(pieces []piece) plan.Reading {
	drop, along := 0.0, 0.0
	turned := make([]piece, len(pieces))
	for i, p := range pieces {
		drop += 1000*p.fixed.Value + p.rate.Value*p.along.Value
		along += p.along.Value
		turned[i] = piece{p.fixed.Times(-1), p.rate.Times(-1), p.along}
	}
	return plan.Reading{Low: least(pieces), Value: drop / along, High: -least(turned), How: plan.Computed}
}

// least mean fall. Drops and rates are at their low ends; then the mean is
// least when pieces that fall less than some threshold are long and the others
// short, so the thresholds between them are all that need be tried.
func least(pieces []piece) float64 {
	slices.SortFunc(pieces, func(a, b piece) int { return cmp.Compare(a.rate.Low, b.rate.Low) })
	best := math.Inf(1)
	for long := range len(pieces) + 1 {
		drop, along := 0.0, 0.0
		for i, p := range pieces {
			a := max(p.along.Low, 0)
			if i < long {
				a = min(p.along.High, endless)
			}
			drop += 1000*p.fixed.Low + interval.Times(p.rate.Low, a)
			along += a
		}
		switch {
		case along > 0:
			best = min(best, drop/along)
		case drop < 0:
			return math.Inf(-1)
		}
	}
	return best
}

// endless stands for a level distance with no known end, mm.
const endless = 1e9

// byLevels is the fall from the levels of both ends less the steep drops, mm/m,
// and the level distance it is over.
func (r Run) byLevels() (fall, along plan.Reading, ok bool) {
	along = plan.Reading{How: plan.Computed}
	for _, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		a, known := alongOf(leg)
		if !known {
			return plan.Reading{}, plan.Reading{}, false
		}
		along = along.Plus(a)
	}
	steep, known := r.sumDrops(true)
	if !known || r.Start == nil || r.End == nil || along.Value <= 0 {
		return plan.Reading{}, along, false
	}
	return mean([]piece{{fixed: r.Start.Minus(*r.End).Minus(steep), along: along}}), along, true
}

// alongOf is the level distance of a near-level leg; of one with a length and
// no drop, between that length and the one of a leg of 45°.
func alongOf(leg plan.Leg) (plan.Reading, bool) {
	if p, ok := pieceOf(leg); ok {
		return p.along, true
	}
	switch {
	case leg.Along != nil:
		return *leg.Along, true
	case leg.Length != nil && leg.Drop == nil:
		return plan.Reading{Low: leg.Length.Low / math.Sqrt2, Value: leg.Length.Value, High: leg.Length.High, How: plan.Computed}, true
	}
	return plan.Reading{}, false
}

// nearLevelDrop is the value of the drop that the fall is made of, for the
// working.
func (r Run) nearLevelDrop() (float64, bool) {
	total := 0.0
	for _, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		d, ok := dropOf(leg)
		if !ok {
			return 0, false
		}
		total += d.Value
	}
	return total, true
}

// hull of falls whose weights nobody told.
func hull(falls []plan.Reading) plan.Reading {
	out := plan.Reading{Low: math.Inf(1), High: math.Inf(-1), How: plan.Computed}
	for _, f := range falls {
		out.Low, out.High = min(out.Low, f.Low), max(out.High, f.High)
		out.Value += f.Value / float64(len(falls))
	}
	return out
}
