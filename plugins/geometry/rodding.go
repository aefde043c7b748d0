package geometry

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

// may is what is known of one way to rod a pipe.
type may int

const (
	cannot may = iota
	unclear
	can
)

// rodding: reachable when one can get at an access point on the whole pipe, or
// take off (or open by its eye) a trap or fixture at its start; unreachable when
// all of these are known and none serves. A drain has no trap, so without an
// access point told it is unreachable only where the drain itself is told so.
func (ix *index) rodding(n *node) reply.Answer {
	const formula = "an access point on the pipe, or a trap or fixture at its start that comes off"
	best, needs, by := cannot, "", ""
	look := func(m may, needed, what string) {
		if m > best {
			best, needs, by = m, needed, what
		}
	}
	for _, a := range ix.accessOn(n) {
		look(reached(a.Reach), "access."+a.ID+".reach", "access point "+a.ID)
	}
	traps := ix.starts[n.path]
	for _, t := range traps {
		m, word := comesOff(t)
		look(m, t.ID+"."+word, t.ID)
	}
	if best == cannot && len(traps) == 0 && n.pipe.Reach != "none" {
		best, needs = unclear, "access"
	}
	switch best {
	case can:
		return reply.Words([]string{"reachable"}, reply.By(formula, by, needs))
	case unclear:
		return reply.Answer{Gap: reply.NotTold(needs, "nobody has told from where "+n.path+" can be rodded")}
	}
	return reply.Words([]string{"unreachable"}, reply.By(formula, "none", n.path))
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
