package layout

import (
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// fixtures reads fixtures with what they have inside.
func (r *reader) fixtures() {
	for _, p := range pairs(r.doc.Get("fixtures")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		f := plan.Fixture{
			ID: p.Key, State: state, Kind: word(n.Get("kind")), Room: text(n.Get("room")),
			Plug: word(n.Get("plug")), Overflow: word(n.Get("overflow")), Pumped: pumped(n), Use: word(n.Get("use")),
			Flush: r.sane(n.Get("flush"), r.print(n.Get("flush"), quantity.Volume, state), flushes),
			Load:  r.sane(n.Get("load"), r.print(n.Get("load"), quantity.Mass, state), loads),
			Rim:   r.sane(n.Get("rim"), r.level(n.Get("rim"), state), rimHeights),
			At:    r.position(n.Get("at"), state), Takes: r.sides(n.Get("takes"), state), Mixer: mixer(n.Get("mixer")),
		}
		if f.Plug == unknown && f.Kind == "shower" {
			f.Plug = "without" // what a shower tray has unless somebody says otherwise
		}
		r.outlet(&f, n.Get("outlet"))
		if state == plan.Removed && f.Kind != "tap" {
			f.Stub = word(n.Lookup("waste", "stub_closed_by"))
		}
		at := place(p, "waste")
		waste := r.waste(&f, n, at)
		if f.Kind != "tap" {
			r.trap(&f, n, waste)
		}
		r.fixture[f.ID] = len(r.plan.Fixtures)
		r.plan.Fixtures = append(r.plan.Fixtures, f)
	}
}

// place is where a key of a fixture stands, or else the fixture.
func place(p document.Pair, key string) finding.Position {
	for _, part := range pairs(p.Value) {
		if part.Key == key {
			return part.KeyAt
		}
	}
	return p.KeyAt
}

// pumped is told, or follows from the kind: machines pump, and whoever has a
// macerator must say so.
func pumped(n *document.Node) string {
	if told := text(n.Get("pumped")); told != "" {
		return told
	}
	switch text(n.Get("kind")) {
	case "washing_machine", "dishwasher":
		return "pumped"
	case "", unknown:
		return unknown
	}
	return "gravity"
}

func (r *reader) outlet(f *plan.Fixture, n *document.Node) {
	f.OutletAt = r.level(n.Get("level"), f.State)
	f.Outlet = r.print(n.Get("bore"), quantity.Length, f.State)
	size := n.Get("size")
	switch written := text(size); {
	case f.Outlet != nil:
	case strings.HasSuffix(written, "in") || strings.HasSuffix(written, `"`):
		f.Outlet = r.gauge(size, f.State) // a thread's inch size, the same in every market
	default:
		if s := r.size(size, unknown, f.State); s != nil {
			f.Outlet = s.Bore
		}
	}
}

// waste reads a fixture's pipe; nil when it has none or nobody told.
func (r *reader) waste(f *plan.Fixture, n *document.Node, at finding.Position) *pipe {
	w := n.Get("waste")
	if w == nil || w.Kind != document.Map {
		to := n.Get("to")
		if to == nil {
			r.noWay(f, w, at)
			return nil
		}
		w = &document.Node{Kind: document.Map, At: to.At, Pairs: []document.Pair{{Key: "to", KeyAt: to.At, Value: to}}}
	}
	f.Waste = f.ID + ".waste"
	p := r.newPipe(f.Waste, w, at, f.State)
	p.fixture = f.ID
	r.leads(p)
	return p
}

// noWay says that a fixture's water has no way out.
func (r *reader) noWay(f *plan.Fixture, w *document.Node, at finding.Position) {
	if f.Kind == "tap" {
		return
	}
	told := text(w)
	if told == none || told == unknown {
		if f.State == plan.New || f.State == plan.Laid {
			r.warn(at, "%s has no waste, so nothing can be said of how its water leaves", f.ID)
		}
		return
	}
	r.add(document.Fault{
		At: at, What: f.ID + " has no way out: it drains and has no `waste`", Allowed: "waste: { size: …, length: …, drop: …, to: … }, or waste: none",
		Warning: f.State == plan.Existing || f.State == plan.Removed,
	})
}

// trap reads a fixture's water seal. It is there as a subject even when nobody
// told of it: a forgotten word costs findings and gives no pass.
func (r *reader) trap(f *plan.Fixture, n *document.Node, waste *pipe) {
	t := n.Get("trap")
	id := f.ID + ".trap"
	f.Trap = id
	state := stateOf(t, f.State)
	out := plan.Trap{
		ID: id, State: state, Fixture: f.ID, Serves: f.Kind, Kinds: trapKinds(f.Kind, t),
		Reach: word(t.Get("reach")), Cleaning: word(t.Get("cleaning")),
		Size: r.size(t.Get("size"), word(t.Get("made_of")), state), Height: r.print(t.Get("height"), quantity.Length, state),
	}
	seal, sealState := r.built(id, t, "seal", state)
	out.Seal = r.sane(seal, r.print(seal, quantity.Length, sealState), sealDepths)
	weir, weirState := r.built(id, t, "weir", state)
	out.Weir = r.level(weir, weirState)
	if waste != nil {
		r.weir(&out, waste, weir)
	}
	r.plan.Traps = append(r.plan.Traps, out)
}

// weir and start of the pipe are one level, except at a water closet, whose
// trap lies inside.
func (r *reader) weir(t *plan.Trap, waste *pipe, at *document.Node) {
	if len(t.Kinds) == 1 && (t.Kinds[0] == "built_in" || t.Kinds[0] == none) {
		return
	}
	if apart(t.Weir, waste.Level) {
		r.fault(at.At, "the trap's weir lies at %s and its pipe starts at %s: one of them is wrong", show(t.Weir, "mm"), show(waste.Level, "mm"))
	}
	switch {
	case waste.Level == nil:
		waste.Level = t.Weir
	case t.Weir == nil:
		t.Weir = waste.Level
	}
}

// trapKinds are the kinds a trap may be; nil when nobody knows. A water closet
// holds its own seal, a trap box is one.
func trapKinds(fixture string, t *document.Node) []string {
	if text(t) == none {
		return []string{none}
	}
	var kinds []string
	for _, k := range texts(t.Get("kind")) {
		if k == unknown {
			return nil
		}
		kinds = append(kinds, k)
	}
	switch {
	case len(kinds) > 0:
		return kinds
	case text(t.Get("built_in")) == "true", fixture == "wc" && text(t) != unknown:
		return []string{"built_in"}
	case fixture == "trap_box":
		return []string{"trap_box"}
	}
	return nil
}
