package layout

import (
	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// runs reads a course told piece by piece. Whole is the pipe, whose `bend` and
// `fall` stand for what a piece leaves out.
func (r *reader) runs(list, whole *document.Node, state plan.State) []plan.Leg {
	legs := make([]plan.Leg, len(list.Items))
	for i, n := range list.Items {
		legs[i] = r.piece(n, state)
	}
	over := levelLength(legs)
	for i, n := range list.Items {
		if legs[i].Steep {
			continue
		}
		legs[i].Fall = r.readOver(n.Get("fall"), quantity.Fall, taped, state, over)
		r.oneSlope(n, &legs[i])
	}
	r.spread(legs, whole, state, over)
	for i := range legs {
		finish(&legs[i])
	}
	r.corners(legs, list, whole, state)
	return legs
}

// piece reads one run without its fall.
func (r *reader) piece(n *document.Node, state plan.State) plan.Leg {
	distance := func(key string) *plan.Reading { return r.sane(n.Get(key), r.length(n.Get(key), state), runLengths) }
	leg := plan.Leg{Along: distance("along"), Length: distance("length"), Drop: r.level(n.Get("drop"), state), Bubble: bubble(n)}
	upright := distance("down")
	if up := distance("up"); up != nil && upright == nil {
		rise := up.Times(-1)
		rise.How = up.How
		upright = &rise
	}
	if upright == nil {
		return leg
	}
	if leg.Drop != nil {
		r.fault(n.At, "a run tells its height twice, as drop and as down or up")
	}
	leg.Drop = upright
	leg.Steep = leg.Along == nil && leg.Length == nil
	return leg
}

// bubble is what a spirit level showed; "" when nobody laid one on.
func bubble(n *document.Node) string {
	if b := text(n.Get("bubble")); b != unknown {
		return b
	}
	return ""
}

// oneSlope keeps one of fall and drop, told both: the drop, which is read
// directly. They must agree.
func (r *reader) oneSlope(n *document.Node, leg *plan.Leg) {
	if leg.Fall == nil || leg.Drop == nil {
		return
	}
	both := *leg
	both.Fall = nil
	finish(&both)
	if f := fallOf(both); apart(f, leg.Fall) {
		r.fault(n.At, "the drop gives a fall of %s and the fall is told as %s: one of them is wrong", show(f, "mm/m"), show(leg.Fall, "mm/m"))
	}
	leg.Fall = nil
}

// way is the distance told of a near-level piece, level or along the pipe.
func way(leg plan.Leg) *plan.Reading {
	if leg.Along != nil {
		return leg.Along
	}
	return leg.Length
}

// levelLength is the length of the near-level pieces, as far as told.
func levelLength(legs []plan.Leg) *plan.Reading {
	var over *plan.Reading
	for _, leg := range legs {
		l := way(leg)
		if leg.Steep || l == nil {
			continue
		}
		if over == nil {
			over = l
			continue
		}
		total := over.Plus(*l)
		over = &total
	}
	return over
}

// spread gives the pieces that tell no slope the pipe's own: its fall, or what
// its whole drop leaves after the vertical pieces, by level distance.
func (r *reader) spread(legs []plan.Leg, whole *document.Node, state plan.State, over *plan.Reading) {
	told, steep := false, plan.Reading{}
	for _, leg := range legs {
		switch {
		case leg.Steep && leg.Drop != nil:
			steep = steep.Plus(*leg.Drop)
		case leg.Fall != nil || leg.Drop != nil:
			told = true
		case way(leg) == nil:
			told = true // its share cannot be told
		}
	}
	fall := r.readOver(whole.Get("fall"), quantity.Fall, taped, state, over)
	drop := r.level(whole.Get("drop"), state)
	for i := range legs {
		leg := &legs[i]
		if leg.Steep || leg.Fall != nil || leg.Drop != nil {
			continue
		}
		switch {
		case fall != nil:
			f := *fall
			leg.Fall = &f
		case drop != nil && !told && over != nil && over.Value > 0:
			left := drop.Minus(steep)
			leg.Drop = share(left, way(*leg).Value/over.Value)
		}
	}
}

// corners gives every leg the bends at its end. A corner between two pieces is
// there by itself; only how it is made need be told.
func (r *reader) corners(legs []plan.Leg, list, whole *document.Node, state plan.State) {
	made := r.bend(whole.Get("bend"), state)
	if all := whole.Get("bends"); all != nil && !anyBend(list) {
		if len(legs) > 0 {
			legs[len(legs)-1].Bends = r.bends(all)
		}
		return
	}
	for i, n := range list.Items {
		switch own, last := n.Get("bend"), i == len(legs)-1; {
		case own != nil:
			legs[i].Bends = r.bend(own, state)
		case last, legs[i].Steep && legs[i+1].Steep:
			legs[i].Bends = []plan.Bend{}
		case legs[i].Steep != legs[i+1].Steep:
			legs[i].Bends = corner(90, made)
		case len(made) > 0:
			legs[i].Bends = made
		default:
			legs[i].Bends = unknownBends()
		}
	}
}

func anyBend(list *document.Node) bool {
	for _, n := range list.Items {
		if n.Get("bend") != nil {
			return true
		}
	}
	return false
}
