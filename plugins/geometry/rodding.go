package geometry

import (
	"slices"

	"fallrule/plugins/geometry/reply"
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
func (b book) rodding(n *node) (reply.Figure, *reply.Missing) {
	const formula = "an access point on the pipe, or a trap or fixture at its start that comes off"
	best, needs, by := cannot, "", ""
	look := func(m may, needed, what string) {
		if m > best {
			best, needs, by = m, needed, what
		}
	}
	for _, a := range b.index.accessOn(n) {
		look(reached(a.Reach), "access."+a.ID+".reach", "access point "+a.ID)
	}
	traps := b.index.starts[n.path]
	for _, t := range traps {
		m, word := comesOff(t)
		look(m, t.ID+"."+word, t.ID)
	}
	if best == cannot && len(traps) == 0 && n.pipe.Reach != "none" {
		best, needs = unclear, "access"
	}
	switch best {
	case can:
		return reply.Words([]string{"reachable"}, formula, by, "layout"), nil
	case unclear:
		return reply.Figure{}, reply.NotTold(needs, "Nobody has told from where "+n.path+" can be rodded.")
	}
	return reply.Words([]string{"unreachable"}, formula, "none", "layout"), nil
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

// comesOff tells whether a trap opens its pipe, and which word would settle it.
func comesOff(t *plan.Trap) (m may, settles string) {
	switch {
	case t.Cleaning == "lift_fixture" || t.Reach == "lift_fixture":
		return can, "cleaning"
	case t.Cleaning == "none" || t.Reach == "none":
		return cannot, "cleaning"
	case !slices.Contains([]string{"removable", "eye"}, t.Cleaning):
		return unclear, "cleaning"
	}
	return reached(t.Reach), "reach"
}
