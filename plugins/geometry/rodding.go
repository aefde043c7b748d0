package geometry

import (
	"slices"

	"fallrule/plugins/course"
	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// may is what is known of one way to rod a pipe.
type may int

const (
	cannot may = iota
	unclear
	can
)

// way is the best way to rod a pipe from one kind of place: how sure it is, the
// word that would settle it, and the thing one rods from.
type way struct {
	may
	needs, by string
}

// better keeps the surer of two ways, the first of equals.
func (w way) better(o way) way {
	if o.may > w.may {
		return o
	}
	return w
}

// ways to rod the whole pipe of a segment: by taking off what stands at its
// start, and from access points on it.
func (ix *index) ways(n *node) (start, on way) {
	for _, t := range ix.starts[n.path] {
		m, word := comesOff(t)
		start = start.better(way{m, t.ID + "." + word, t.ID})
	}
	for _, a := range ix.accessOn(n) {
		by := "access point " + a.ID
		if a.Distance != nil {
			by += " at " + reply.Reading(*a.Distance, "mm") + " from its start"
		}
		on = on.better(way{reached(a.Reach), "access." + a.ID + ".reach", by})
	}
	return start, on
}

// rodding: reachable when one can get at an access point on the whole pipe, or
// take off (or open by its eye) a trap or fixture at its start; unreachable when
// all of these are known and none serves. A drain has no trap, so without an
// access point told it is unreachable only where the drain itself is told so.
func (ix *index) rodding(n *node) reply.Answer {
	const formula = "an access point on the pipe, or a trap or fixture at its start that comes off"
	best := ix.bestWay(n)
	switch best.may {
	case can:
		return reply.Words([]string{"reachable"}, reply.By(formula, best.by, best.needs))
	case unclear:
		return reply.Answer{Gap: notTellingWays(n, best)}
	}
	return reply.Words([]string{"unreachable"}, reply.By(formula, "none", n.path))
}

func (ix *index) bestWay(n *node) way {
	start, on := ix.ways(n)
	best := on.better(start)
	if best.may == cannot && len(ix.starts[n.path]) == 0 && n.pipe.Reach != "none" {
		return way{may: unclear, needs: "access"}
	}
	return best
}

func notTellingWays(n *node, w way) *sdk.Gap {
	return reply.NotTold(w.needs, "nobody has told from where "+n.path+" can be rodded")
}

// rodLength is the longest stretch from a place to rod from. Rods go in where
// the pipe starts and come to the end of this segment, or go in at an access
// point and come both ways. One that nobody told the place of at worst shortens
// nothing; at best those share the segment evenly, each half of its part, and
// the start one part more.
func (ix *index) rodLength(n *node) reply.Answer {
	start, on := ix.ways(n)
	if start.may != can && on.may != can {
		if best := ix.bestWay(n); best.may == unclear {
			return reply.Answer{Gap: notTellingWays(n, best)}
		}
		return reply.Answer{Gap: reply.Outside("pipe " + n.path + " can be rodded from nowhere")}
	}
	own, gap := lengthOf(n)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	from, far, gap := ix.reachOf(n)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	places := ix.placesOn(n, start)
	out, by := interval.Greater(far, beyond(n, own)), on.by
	if len(places.known) > 0 {
		out, by = places.farthest(from, far), places.text()
	}
	if places.loose == 0 {
		return reply.Number(out, reply.By("longest stretch from the nearest place to rod from, up to the end of this piece", by+": "+reply.Reading(out, "mm"), source))
	}
	parts := 2 * (places.loose + len(places.known))
	if start.may == can {
		parts--
	}
	out.Low = min(out.Low, own.Low/float64(parts))
	return reply.Number(out, reply.By("longest stretch to rod, wherever on the pipe an access point lies whose distance is not told", by+": "+reply.Reading(out, "mm"), source))
}

// reachOf a segment: how far along the whole pipe it begins and ends.
func (ix *index) reachOf(n *node) (from, to plan.Reading, gap *sdk.Gap) {
	if up := ix.before(n); up != nil {
		if from, gap = ix.fromStart(up); gap != nil {
			return from, to, gap
		}
	}
	to, gap = ix.fromStart(n)
	return from, to, gap
}

// beyond is the length from a segment's start to the end of its whole pipe.
func beyond(n *node, own plan.Reading) plan.Reading {
	if n.pipe.Beyond != nil {
		return *n.pipe.Beyond
	}
	return own
}

func lengthOf(n *node) (plan.Reading, *sdk.Gap) {
	l := course.Of(*n.pipe, n.path).Length()
	if l.Gap != nil {
		return plan.Reading{}, l.Gap
	}
	return l.Reading(), nil
}

// fromStart is the length from the start of the whole pipe to the end of one of
// its segments. For the last one the first segment may tell it in one figure.
func (ix *index) fromStart(n *node) (plan.Reading, *sdk.Gap) {
	sum, at := plan.Reading{How: plan.Computed}, n
	for range len(ix.byID) { // no longer, if pieces run in a ring
		l, gap := lengthOf(at)
		if gap != nil {
			return sum, gap
		}
		sum = sum.Plus(l)
		up := ix.before(at)
		if up == nil {
			break
		}
		at = up
	}
	if at != n && !ix.straightOn(n) && at.pipe.Beyond != nil {
		return *at.pipe.Beyond, nil
	}
	return sum, nil
}

// before is the segment of the same whole pipe that flows into this one.
func (ix *index) before(n *node) *node {
	for _, id := range n.pipe.Upstream {
		if up := ix.byID[id]; up != nil && up.path == n.path && up != n {
			return up
		}
	}
	return nil
}

func reached(reach string) may {
	switch reach {
	case "none":
		return cannot
	case "", "unknown":
		return unclear
	}
	return can
}

// untrapped tells whether it was said that an outlet has no trap.
func untrapped(t *plan.Trap) bool { return len(t.Kinds) == 1 && t.Kinds[0] == "none" }

// comesOff tells whether a trap opens its pipe, and which word would settle it.
func comesOff(t *plan.Trap) (m may, settles string) {
	switch {
	case untrapped(t):
		return can, "kind" // one rods from the open outlet
	case t.Cleaning == "lift_fixture" || t.Reach == "lift_fixture":
		return can, "cleaning"
	case t.Cleaning == "none" || t.Reach == "none":
		return cannot, "cleaning"
	case !slices.Contains([]string{"removable", "eye"}, t.Cleaning):
		return unclear, "cleaning"
	}
	return reached(t.Reach), "reach"
}
