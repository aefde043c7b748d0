package layout

import (
	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// timber reads joists, each over what is common to all, and their openings.
func (r *reader) timber() {
	common := r.doc.Lookup("joists", "common")
	joists := map[string]plan.Joist{}
	for _, p := range pairs(r.doc.Lookup("joists", "at")) {
		j := r.joist(p, common)
		joists[j.ID] = j
		r.plan.Joists = append(r.plan.Joists, j)
	}
	for _, p := range pairs(r.doc.Lookup("joists", "openings")) {
		r.plan.Openings = append(r.plan.Openings, r.opening(p, joists))
	}
}

func (r *reader) joist(p document.Pair, common *document.Node) plan.Joist {
	own := p.Value
	get := func(key string) *document.Node {
		if n := own.Get(key); n != nil {
			return n
		}
		return common.Get(key)
	}
	state := stateOf(own, stateOf(common, plan.Existing))
	at := own
	if own != nil && own.Kind == document.Map {
		at = own.Get("at")
	}
	return plan.Joist{
		ID: p.Key, State: state, Floor: text(get("floor")), Member: word(get("member")), Grade: word(get("grade")), Looks: word(get("looks")),
		Width:  r.sane(get("width"), r.length(get("width"), state), joistWidths),
		Depth:  r.sane(get("depth"), r.length(get("depth"), state), joistDepths),
		Span:   r.sane(get("span"), r.length(get("span"), state), joistSpans),
		Spaced: r.length(get("spaced"), state), At: r.length(at, state),
		Along: word(get("along")), Bearing: r.length(get("bearing"), state), Loads: texts(get("loads")),
	}
}

func (r *reader) opening(p document.Pair, joists map[string]plan.Joist) plan.Opening {
	n, state := p.Value, stateOf(p.Value, plan.New)
	o := plan.Opening{
		ID: p.Key, State: state, Joist: text(n.Get("joist")), Member: unknown, Shape: word(n.Get("shape")), For: text(n.Get("for")),
		Length: r.length(n.Get("length"), state), FromTop: r.length(n.Get("from_top"), state), Distance: r.length(n.Get("distance"), state),
	}
	depth, depthState := r.built(p.Key, n, "depth", state)
	o.Depth = r.length(depth, depthState)
	diameter, diameterState := r.built(p.Key, n, "diameter", state)
	o.Diameter = r.gauge(diameter, diameterState)
	r.from[p.Key] = text(n.Get("from"))
	if j, found := joists[o.Joist]; found {
		o.Member = j.Member
		r.fits(n, o, j)
	}
	return o
}

// fits refuses an opening that its joist has no place for.
func (r *reader) fits(n *document.Node, o plan.Opening, j plan.Joist) {
	if o.Distance != nil && j.Span != nil && o.Distance.Low > j.Span.High {
		r.fault(n.Get("distance").At, "opening %s lies %s from the wall, beyond the span of %s, which is %s", o.ID, show(o.Distance, "mm"), j.ID, show(j.Span, "mm"))
	}
	if o.Shape == "cut_through" || j.Depth == nil {
		return
	}
	if o.Depth != nil && o.Shape != "bite_side" && o.Depth.Low > j.Depth.High {
		r.fault(n.At, "opening %s is %s deep, more than joist %s, which is %s", o.ID, show(o.Depth, "mm"), j.ID, show(j.Depth, "mm"))
	}
	if o.Diameter != nil && o.Diameter.Low > j.Depth.High {
		r.fault(n.At, "opening %s is %s across, more than the depth of joist %s, which is %s", o.ID, show(o.Diameter, "mm"), j.ID, show(j.Depth, "mm"))
	}
}

// walls reads walls and sleeves; walls exist unless told otherwise.
func (r *reader) walls() {
	for _, p := range pairs(r.doc.Get("walls")) {
		if p.Key == "sleeves" || p.Key == "chases" {
			continue
		}
		state := stateOf(p.Value, plan.Existing)
		r.plan.Walls = append(r.plan.Walls, plan.Wall{
			ID: p.Key, State: state, MadeOf: word(p.Value.Get("made_of")), Hides: list(texts(p.Value.Get("hides"))),
			Thickness: r.sane(p.Value.Get("thickness"), r.read(p.Value.Get("thickness"), quantity.Length, taped, state), wallsThick),
		})
	}
	r.chases()
	for _, p := range pairs(r.doc.Lookup("walls", "sleeves")) {
		state := stateOf(p.Value, plan.New)
		bore, boreState := r.built(p.Key, p.Value, "bore", state)
		r.plan.Sleeves = append(r.plan.Sleeves, plan.Sleeve{
			ID: p.Key, State: state, Wall: text(p.Value.Get("wall")), For: text(p.Value.Get("for")), Bore: r.gauge(bore, boreState),
		})
	}
}

// chases reads the slots cut into walls.
func (r *reader) chases() {
	for _, p := range pairs(r.doc.Lookup("walls", "chases")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		r.plan.Chases = append(r.plan.Chases, plan.Chase{
			ID: p.Key, State: state, Wall: text(n.Get("wall")), Runs: word(n.Get("runs")), For: text(n.Get("for")),
			Depth: r.length(n.Get("depth"), state), Width: r.length(n.Get("width"), state), Length: r.length(n.Get("length"), state),
		})
	}
}

// built is the node of a figure: today's reading in as_built stands in for the
// planned one, and is held to what a reading of laid work can be.
func (r *reader) built(id string, n *document.Node, key string, state plan.State) (*document.Node, plan.State) {
	if today := r.today[id].Get(key); today != nil {
		if state == plan.New {
			state = plan.Laid
		}
		return today, state
	}
	return n.Get(key), state
}
