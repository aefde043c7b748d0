package geometry

import (
	"fmt"
	"strings"

	"fallrule/plugins/geometry/course"
	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// cornerTurn is the most that the bends of one corner turn together, degrees:
// a right angle and what fittings of 45° and 88° may add to it.
const cornerTurn = 95

func (b book) bendsOf(n *node, put func(string, reply.Figure, *reply.Missing)) {
	legs := n.pipe.Legs
	f, m := countBends(n.path, legs)
	put("bends", f, m)
	f, m = turn(n.path, legs)
	put("turn", f, m)
	f, m = b.turnAfterFirst(n)
	put("turn_after_first", f, m)
	f, m = sharpest(n.path, legs)
	put("sharpest_bend", f, m)
	f, m = b.bendRadius(n)
	put("bend_radius", f, m)
}

// bendsTold are all bends, in order. A pipe told as a whole without a word on
// bends is a gap, not a straight pipe; an empty list says that there are none.
func bendsTold(path string, legs []plan.Leg) ([]plan.Bend, *reply.Missing) {
	var out []plan.Bend
	told := len(legs) > 0
	for _, leg := range legs {
		if len(legs) == 1 && leg.Bends == nil && course.ToldWhole(leg) {
			told = false
		}
		out = append(out, leg.Bends...)
	}
	if !told {
		return nil, reply.NotRead(path+".bends", "Nobody has told the bends of "+path+".")
	}
	return out, nil
}

func countBends(path string, legs []plan.Leg) (reply.Figure, *reply.Missing) {
	bends, m := bendsTold(path, legs)
	if m != nil {
		return reply.Figure{}, m
	}
	for _, bend := range bends {
		if bend.Angle == nil && (bend.Made == "" || bend.Made == "unknown") {
			return reply.Figure{}, reply.NotRead(path+".bend", "Nobody has told how a corner of "+path+" is made: it may be one bend or two.")
		}
	}
	n := float64(len(bends))
	return reply.Number(sdk.Band{Low: n, Value: n, High: n}, "bends as made, counted", reply.Value(n, "1"), source), nil
}

// angles of the bends.
func angles(path string, bends []plan.Bend) ([]plan.Reading, *reply.Missing) {
	var out []plan.Reading
	for _, bend := range bends {
		if bend.Angle == nil {
			return nil, reply.NotRead(path+".bend", "Nobody has told by what angle a bend of "+path+" turns.")
		}
		out = append(out, *bend.Angle)
	}
	return out, nil
}

func turn(path string, legs []plan.Leg) (reply.Figure, *reply.Missing) {
	bends, m := bendsTold(path, legs)
	if m != nil {
		return reply.Figure{}, m
	}
	return turnOf(path, bends, "turn = sum of the angles of all bends")
}

func turnOf(path string, bends []plan.Bend, formula string) (reply.Figure, *reply.Missing) {
	all, m := angles(path, bends)
	if m != nil {
		return reply.Figure{}, m
	}
	total, parts := plan.Reading{}, []string{}
	for _, a := range all {
		total = total.Plus(a)
		parts = append(parts, reply.Value(a.Value, "°"))
	}
	numbers := "no bends: 0°"
	if len(parts) > 0 {
		numbers = fmt.Sprintf("%s = %s", strings.Join(parts, " + "), reply.Reading(total, "°"))
	}
	return reply.Number(*sdk.BandOf(total), formula, numbers, source), nil
}

// turnAfterFirst leaves out the connection bend where the pipe starts at a
// trap: the first bend, or the several that make the first corner together.
func (b book) turnAfterFirst(n *node) (reply.Figure, *reply.Missing) {
	bends, m := bendsTold(n.path, n.pipe.Legs)
	if m != nil {
		return reply.Figure{}, m
	}
	if len(b.index.traps[n.pipe.ID]) == 0 {
		return turnOf(n.path, bends, "turn = sum of the angles of all bends; it starts at no trap, so none is a connection bend")
	}
	return turnOf(n.path, bends[firstCorner(n.pipe.Legs):], "turn = sum of the angles without the connection bend at the trap")
}

// firstCorner counts the bends of the first corner. Bends at the end of one leg
// of several are one corner; of a pipe told as a whole nobody knows which bends
// belong together, so one alone is left out, unless all are one corner.
func firstCorner(legs []plan.Leg) int {
	for _, leg := range legs {
		if len(leg.Bends) == 0 {
			continue
		}
		count, turned := 0, 0.0
		for _, bend := range leg.Bends {
			if bend.Angle == nil {
				break
			}
			if turned += bend.Angle.Value; turned > cornerTurn {
				break
			}
			count++
		}
		if len(legs) == 1 && count < len(leg.Bends) {
			count = 1
		}
		return max(count, 1)
	}
	return 0
}

func sharpest(path string, legs []plan.Leg) (reply.Figure, *reply.Missing) {
	bends, m := bendsTold(path, legs)
	if m != nil {
		return reply.Figure{}, m
	}
	all, m := angles(path, bends)
	if m != nil {
		return reply.Figure{}, m
	}
	most := sdk.Band{}
	for _, a := range all {
		most = sdk.Band{Low: max(most.Low, a.Low), Value: max(most.Value, a.Value), High: max(most.High, a.High)}
	}
	return reply.Number(most, "greatest angle of a single bend; none is 0", reply.Range(most, "°"), source), nil
}

// bendRadius is the least radius. A straight pipe has none: the catalogue's
// greatest radius stands for it.
func (b book) bendRadius(n *node) (reply.Figure, *reply.Missing) {
	bends, m := bendsTold(n.path, n.pipe.Legs)
	if m != nil {
		return reply.Figure{}, m
	}
	const formula = "least radius of its bends, centre line"
	if len(bends) == 0 {
		return b.farthest("bend_radius", formula, "it is straight"), nil
	}
	var least *sdk.Band
	for _, bend := range bends {
		r := bend.Radius
		switch {
		case r == nil:
			return reply.Figure{}, reply.NotRead(n.path+".bend.radius", "Nobody has told the radius of a bend of "+n.path+".")
		case least == nil:
			least = sdk.BandOf(*r)
		default:
			least = &sdk.Band{Low: min(least.Low, r.Low), Value: min(least.Value, r.Value), High: min(least.High, r.High)}
		}
	}
	return reply.Number(*least, formula, reply.Range(*least, "mm"), source), nil
}
