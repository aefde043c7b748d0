package layout

import (
	"math"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// point is a corner: x, y and the level. Nil was not told.
type point [3]*plan.Reading

// points reads a course told by its corners.
func (r *reader) points(list, whole *document.Node, state plan.State) (legs []plan.Leg, corners []point) {
	for _, n := range list.Items {
		p, ok := r.point(n, state)
		if !ok {
			return nil, nil
		}
		corners = append(corners, p)
	}
	if len(corners) < 2 {
		return nil, nil
	}
	legs = between(corners)
	made := r.bend(whole.Get("bend"), state)
	for i := 0; i+1 < len(legs); i++ {
		legs[i].Bends = corner(turn(corners[i], corners[i+1], corners[i+2]), made)
		legs[i].Bubble = bubble(whole)
	}
	legs[len(legs)-1].Bends = []plan.Bend{} // it ends in the junction
	return legs, corners
}

func (r *reader) point(n *document.Node, state plan.State) (p point, ok bool) {
	if n.Kind != document.List || len(n.Items) < 2 || len(n.Items) > 3 {
		f := document.Fault{At: n.At, What: "a point has two or three values", Allowed: "[0.38 m, 0.55 m, 45 mm]"}
		if n.Kind == document.List && len(n.Items) > 3 {
			f.What = "a point of more than three values: did a decimal comma split one?"
			f.DidYouMean = quantity.CommaSplit(texts(n))
		}
		r.add(f)
		return p, false
	}
	for i, item := range n.Items {
		if i == 2 {
			p[i] = r.level(item, state)
			continue
		}
		if p[i] = r.read(item, quantity.Length, placed, state); p[i] == nil {
			return p, false
		}
	}
	return p, true
}

// within is half the width of a reading's band.
func within(v *plan.Reading) float64 {
	if v == nil {
		return 0
	}
	return (v.High - v.Low) / 2
}

// direction of the level way from a to b: its length and unit vector.
func direction(a, b point) (along float64, u [2]float64) {
	dx, dy := b[0].Value-a[0].Value, b[1].Value-a[1].Value
	along = math.Hypot(dx, dy)
	if along > 0 {
		u = [2]float64{dx / along, dy / along}
	}
	return along, u
}

// between makes the legs. The band of a run of near-level legs is that of its
// corners read once each, shared out by length: levels in the middle of a run
// do not count, they were read but cancel.
func between(corners []point) []plan.Leg {
	legs := make([]plan.Leg, len(corners)-1)
	for i := range legs {
		along, _ := direction(corners[i], corners[i+1])
		legs[i].Along = &plan.Reading{Low: along, Value: along, High: along, How: plan.Computed}
		if a, b := corners[i][2], corners[i+1][2]; a != nil && b != nil {
			drop := a.Value - b.Value
			legs[i].Drop = &plan.Reading{Low: drop, Value: drop, High: drop, How: plan.Computed}
			legs[i].Steep = math.Abs(drop) >= along
		}
	}
	for first := 0; first < len(legs); {
		last := first
		for !legs[first].Steep && legs[first].Drop != nil && last+1 < len(legs) && !legs[last+1].Steep && legs[last+1].Drop != nil {
			last++
		}
		widenRun(legs[first:last+1], corners[first:last+2])
		first = last + 1
	}
	for i := range legs {
		finish(&legs[i])
	}
	return legs
}

// widenRun puts the bands of a run's corners on its legs.
func widenRun(legs []plan.Leg, corners []point) {
	var aside, total float64
	for k, c := range corners {
		var before, after [2]float64
		if k > 0 {
			_, before = direction(corners[k-1], c)
		}
		if k+1 < len(corners) {
			_, after = direction(c, corners[k+1])
		}
		aside += weigh(math.Abs(before[0]-after[0]), within(c[0])) + weigh(math.Abs(before[1]-after[1]), within(c[1]))
	}
	for _, leg := range legs {
		total += leg.Along.Value
	}
	height := within(corners[0][2]) + within(corners[len(corners)-1][2])
	for i := range legs {
		part := 1 / float64(len(legs))
		if total > 0 {
			part = legs[i].Along.Value / total
		}
		spreadBy(legs[i].Along, weigh(part, aside))
		legs[i].Along.Low = math.Max(0, legs[i].Along.Low)
		if legs[i].Drop != nil {
			spreadBy(legs[i].Drop, weigh(part, height))
		}
	}
}

// weigh is a part of a band; no part of an open one is nothing.
func weigh(part, by float64) float64 {
	if part == 0 {
		return 0
	}
	return part * by
}

func spreadBy(v *plan.Reading, by float64) { v.Low, v.High = v.Value-by, v.Value+by }

// turn is the angle between the ways into and out of a corner, degrees.
func turn(a, b, c point) float64 {
	in, out := vector(a, b), vector(b, c)
	dot := in[0]*out[0] + in[1]*out[1] + in[2]*out[2]
	size := math.Sqrt(in[0]*in[0]+in[1]*in[1]+in[2]*in[2]) * math.Sqrt(out[0]*out[0]+out[1]*out[1]+out[2]*out[2])
	if size == 0 {
		return 0
	}
	return math.Acos(math.Max(-1, math.Min(1, dot/size))) * 180 / math.Pi
}

func vector(a, b point) [3]float64 {
	v := [3]float64{b[0].Value - a[0].Value, b[1].Value - a[1].Value, 0}
	if a[2] != nil && b[2] != nil {
		v[2] = b[2].Value - a[2].Value
	}
	return v
}
