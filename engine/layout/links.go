package layout

import (
	"strconv"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// lines cuts every line of the supply into the links between neighbours on its
// path. What is told of its whole length, rise and bends holds for a line of
// one step only: nobody knows how several share it.
func (r *reader) lines() {
	for _, p := range pairs(r.doc.Lookup("supply", "lines")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		path := texts(n.Get("path"))
		common := r.waterPipe(n.Get("pipe"), nil, state)
		common.Line, common.Known = p.Key, r.knownLine(n, state)
		switch steps := len(path) - 1; {
		case steps == 1:
			r.lengths(&common, n.Get("length"), n, state)
		case text(n.Get("bends")) == none:
			common.Bends = []plan.Bend{}
		}
		for i := 1; i < len(path); i++ {
			link := common
			link.ID, link.A, link.B = p.Key, path[i-1], path[i]
			if len(path) > 2 {
				link.ID += "/" + strconv.Itoa(i)
			}
			r.plan.Links = append(r.plan.Links, link)
		}
		if length := n.Get("length"); length != nil && len(path) > 2 {
			r.warn(length.At, "the length of line %s is told for the whole of it, so that of its %d steps is not known; tell each step as a line of its own", p.Key, len(path)-1)
		}
	}
}

// knownLine: whoever lays a line knows its course; only of an old one it must
// be asked.
func (r *reader) knownLine(n *document.Node, state plan.State) string {
	if state == plan.New || state == plan.Laid {
		return orElse(n.Get("known"), "seen")
	}
	return word(n.Get("known"))
}

func (r *reader) lengths(l *plan.Link, length, n *document.Node, state plan.State) {
	l.Length = r.length(length, state)
	l.Rise = r.read(n.Get("rise"), quantity.Length, placed, state)
	l.Bends = r.bends(n.Get("bends"))
}

// waterPipe is what links of one pipe have in common: own is said at the link
// itself and goes before what is said for all.
func (r *reader) waterPipe(all, own *document.Node, state plan.State) plan.Link {
	get := func(key string) *document.Node {
		if n := own.Get(key); n != nil {
			return n
		}
		return all.Get(key)
	}
	l := plan.Link{
		State: state, MadeOf: word(get("made_of")), Insulated: word(get("insulated")), Place: word(get("place")),
		Clips: r.length(get("clips"), state), Bonded: word(get("bonded")), Carries: unknown,
	}
	measured := all
	for _, key := range []string{"size", "outer", "bore", "girth"} {
		if own.Get(key) != nil {
			measured = own
		}
	}
	l.Size = r.waterSize(measured.Get("size"), measured, l.MadeOf, state)
	return l
}

// manifolds makes a link of every home run.
func (r *reader) manifolds() {
	for _, p := range pairs(r.doc.Lookup("supply", "manifolds")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		for _, to := range pairs(n.Get("to")) {
			l := r.waterPipe(n.Get("pipe"), to.Value.Get("pipe"), state)
			l.ID, l.Line, l.A, l.B = p.Key+"~"+to.Key, p.Key, p.Key, to.Key
			l.Known = "seen" // one follows a home run from the manifold
			length := to.Value
			if length != nil && length.Kind == document.Map {
				length = length.Get("length")
			}
			r.lengths(&l, length, to.Value, state)
			r.lay.places[l.ID] = to.KeyAt
			r.plan.Links = append(r.plan.Links, l)
		}
	}
}
