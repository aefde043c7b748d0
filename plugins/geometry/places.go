package geometry

import (
	"math"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

// places that a pipe can be rodded from: known are how far along the whole pipe
// they lie, mm; loose counts those that nobody told this of, or of which it is
// not sure that one gets at them.
type places struct {
	known []plan.Reading
	names []string
	loose int
}

func (ix *index) placesOn(n *node, start way) places {
	var p places
	if start.may == can {
		p.known, p.names = append(p.known, plan.Exactly(0)), append(p.names, start.by)
	}
	for _, a := range ix.accessOn(n) {
		m := reached(a.Reach)
		switch {
		case m == cannot:
		case m == can && a.Distance != nil && a.Distance.Closed():
			p.known, p.names = append(p.known, *a.Distance), append(p.names, "access point "+a.ID+" at "+reply.Reading(*a.Distance, "mm"))
		default:
			p.loose++
		}
	}
	return p
}

func (p places) text() string { return strings.Join(p.names, ", ") }

// farthest that any place between two ends of a pipe, mm from its start, is
// from the nearest of the known places. The low end takes every place wherever
// in its band it is nearest, all at once: for a place within the segment that is
// up to its own tolerance less than one place could give at both sides of it.
func (p places) farthest(from, to plan.Reading) plan.Reading {
	at := func(pick func(plan.Reading) float64, width, from, to float64) float64 {
		spots := make([]spot, len(p.known))
		for i, k := range p.known {
			spots[i] = spot{pick(k), width * (k.High - k.Low) / 2}
		}
		return farthest(spots, from, to)
	}
	middle := func(r plan.Reading) float64 { return (r.Low + r.High) / 2 }
	out := plan.Reading{How: plan.Computed}
	out.Value = at(func(r plan.Reading) float64 { return r.Value }, 0, from.Value, to.Value)
	out.High = at(middle, 1, min(from.Low, to.High), to.High)
	if from.High <= to.Low {
		out.Low = at(middle, -1, from.High, to.Low)
		return out
	}
	out.Low = math.Inf(1) // a piece that may be no longer than its readings are sure
	for _, k := range p.known {
		out.Low = min(out.Low, interval.Magnitude(k.Minus(to)).Low)
	}
	return out
}

// spot is a place to rod from, and what is added to every way from it.
type spot struct{ at, more float64 }

func (s spot) way(x float64) float64 { return max(0, math.Abs(x-s.at)+s.more) }

// farthest from its nearest spot is an end, or where the ways from two spots
// meet between them.
func farthest(spots []spot, from, to float64) float64 {
	tried := []float64{from, to}
	for i, a := range spots {
		for _, b := range spots[i+1:] {
			if b.at < a.at {
				a, b = b, a
			}
			tried = append(tried, min(max((a.at+b.at+b.more-a.more)/2, from), to))
		}
	}
	most := 0.0
	for _, x := range tried {
		least := math.Inf(1)
		for _, s := range spots {
			least = min(least, s.way(x))
		}
		most = max(most, least)
	}
	return most
}
