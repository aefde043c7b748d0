package geometry

import (
	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// cornerTurn is the most that the bends of one corner turn together, degrees:
// a right angle and what fittings of 45° and 88° may add to it.
const cornerTurn = 95

// bendsTold are all bends, in order: the gap that asks for them when no leg
// says anything of bends. Legs that say that there is none are straight.
func bendsTold(path string, legs []plan.Leg) ([]plan.Bend, *sdk.Gap) {
	var out []plan.Bend
	told := false
	for _, leg := range legs {
		told = told || leg.Bends != nil
		out = append(out, leg.Bends...)
	}
	if !told {
		return nil, reply.NotRead(path+".bends", "nobody has told the bends of "+path)
	}
	return out, nil
}

func countBends(path string, legs []plan.Leg) reply.Answer {
	bends, gap := bendsTold(path, legs)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	for _, bend := range bends {
		if bend.Angle == nil && (bend.Made == "" || bend.Made == "unknown") {
			return reply.Answer{Gap: reply.NotRead(path+".bend", "nobody has told how a corner of "+path+" is made: it may be one bend or two")}
		}
	}
	n := float64(len(bends))
	return reply.Count(n, reply.By("bends as made, counted", reply.Value(n, "1"), source))
}

// angles of the bends.
func angles(path string, bends []plan.Bend) ([]plan.Reading, *sdk.Gap) {
	var out []plan.Reading
	for _, bend := range bends {
		if bend.Angle == nil {
			return nil, reply.NotRead(path+".bend", "nobody has told by what angle a bend of "+path+" turns")
		}
		out = append(out, *bend.Angle)
	}
	return out, nil
}

func turn(path string, legs []plan.Leg) reply.Answer {
	bends, gap := bendsTold(path, legs)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return turnOf(path, bends, "turn = sum of the angles of all bends")
}

func turnOf(path string, bends []plan.Bend, formula string) reply.Answer {
	all, gap := angles(path, bends)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	total, parts := plan.Reading{}, []string{}
	for _, a := range all {
		total = total.Plus(a)
		parts = append(parts, reply.Value(a.Value, "°"))
	}
	numbers := "no bends: 0°"
	if len(parts) > 0 {
		numbers = reply.Sum(parts, reply.Reading(total, "°"))
	}
	return reply.Number(total, reply.By(formula, numbers, source))
}

// turnAfterFirst leaves out the connection bend where the pipe starts at a
// trap: the first bend, or the several that make the first corner together.
func (ix *index) turnAfterFirst(n *node) reply.Answer {
	bends, gap := bendsTold(n.path, n.pipe.Legs)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if len(ix.traps[n.pipe.ID]) == 0 {
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

func sharpest(path string, legs []plan.Leg) reply.Answer {
	bends, gap := bendsTold(path, legs)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	all, gap := angles(path, bends)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	most := plan.Exactly(0)
	for _, a := range all {
		most = interval.Greater(most, a)
	}
	return reply.Number(most, reply.By("greatest angle of a single bend; none is 0", reply.Reading(most, "°"), source))
}

// bendRadius is the least radius. A straight pipe has none: the catalogue's
// greatest radius stands for it.
func (ix *index) bendRadius(n *node) reply.Answer {
	bends, gap := bendsTold(n.path, n.pipe.Legs)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	const formula = "least radius of its bends, centre line"
	if len(bends) == 0 {
		return ix.farthest("bend_radius", formula, "it is straight")
	}
	var least plan.Reading
	for i, bend := range bends {
		r, gap := reply.Read(bend.Radius, n.path+".bend.radius", "the radius of a bend of "+n.path)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if i == 0 {
			least = r
		}
		least = interval.Lesser(least, r)
	}
	return reply.Number(least, reply.By(formula, reply.Reading(least, "mm"), source))
}
