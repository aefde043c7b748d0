package layout

import (
	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// vents reads air pipes and valves and ties each to what it airs.
func (r *reader) vents() {
	switch n := r.doc.Get("vents"); {
	case n == nil:
	case n.Kind == document.Map:
		r.plan.VentsTold = "listed"
	default:
		r.plan.VentsTold = text(n)
	}
	for _, p := range pairs(r.doc.Get("vents")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		v := plan.Vent{
			ID: p.Key, State: state, Kind: "pipe", FromKind: unknown, Trap: text(n.Get("for")), MadeOf: word(n.Get("made_of")),
			Reach: word(n.Get("reach")), Place: word(n.Get("place")), Standard: text(n.Get("standard")),
			FreeArea: r.print(n.Get("free_area"), quantity.Area, state),
			Airs:     word(n.Get("airs")), Known: word(n.Get("known")),
		}
		if kind := text(n.Get("kind")); kind != "" {
			v.Kind = kind
		}
		if state == plan.New || state == plan.Laid {
			// Whoever builds a vent knows what it airs and that it is there;
			// only of an old pipe it must be asked.
			v.Airs, v.Known = orElse(n.Get("airs"), "drain"), orElse(n.Get("known"), "seen")
		}
		size, sizeState := r.built(p.Key, n, "size", state)
		v.Size = r.size(size, v.MadeOf, sizeState)
		v.Legs = r.course(p.Key, n, state).legs
		r.ventFrom(&v, n.Get("from"), state)
		r.ventEnds(&v, n.Get("ends"), state)
		r.plan.Vents = append(r.plan.Vents, v)
	}
}

func orElse(n *document.Node, otherwise string) string {
	if t := text(n); t != "" {
		return t
	}
	return otherwise
}

func (r *reader) ventFrom(v *plan.Vent, n *document.Node, state plan.State) {
	if n == nil {
		return
	}
	id := text(n)
	if n.Kind == document.Map {
		id = text(n.Get("pipe"))
		v.FromAt = r.level(n.Get("level"), state)
	}
	if id == unknown || id == "" {
		return
	}
	distance := r.length(n.Get("distance"), state)
	switch r.ids[id].kind {
	case "stack":
		v.From, v.FromKind = id, "stack"
		s := &r.plan.Stacks[r.stack[id]]
		s.Vents = append(s.Vents, v.ID)
	case "waste", "drain":
		v.FromKind = map[string]string{"waste": "branch", "drain": "drain"}[r.ids[id].kind]
		v.From, v.Along = r.locate(id, distance)
		if distance == nil && len(r.segments[id]) > 1 {
			r.warn(n.At, "others join %s, and nobody told at what distance vent %s leaves it: it is taken to leave before them", id, v.ID)
		}
		if total := sum(r.pipes[id].Legs, lengthOf); distance != nil && total != nil && distance.Low > total.High {
			r.fault(n.At, "vent %s leaves %s after %s, which is only %s long", v.ID, id, show(distance, "mm"), show(total, "mm"))
		}
		if piece := r.pieces[v.From]; piece != nil {
			piece.Vented = append(piece.Vented, v.ID)
		}
	default:
		r.unknownID(n.At, id, "stack, drain or waste", "stack", "drain", "waste")
	}
}

// locate finds the piece of a pipe at a distance along it, and the distance
// along the piece. Without a distance it is the first one.
func (r *reader) locate(id string, distance *plan.Reading) (string, *plan.Reading) {
	pieces := r.segments[id]
	if len(pieces) == 0 {
		return id, distance
	}
	at := pieces[0]
	if distance == nil {
		return at.id, nil
	}
	blurred := len(pieces) > 1 && pieces[1].from == nil
	for _, s := range pieces[1:] {
		if s.from != nil && s.from.Value <= distance.Value+samePlace {
			at, blurred = s, false
		}
	}
	if blurred {
		return at.id, nil // the place of the first junction is not known
	}
	along := distance.Minus(*at.from)
	along.How = distance.How
	return at.id, positive(along)
}

func (r *reader) ventEnds(v *plan.Vent, n *document.Node, state plan.State) {
	v.Ends, v.Roof, v.Cage = word(n), word(n.Get("roof")), word(n.Get("cage"))
	if n == nil || n.Kind != document.Map {
		return
	}
	v.Ends = word(n.Get("where"))
	if v.Ends == unknown && n.Get("to") != nil {
		v.Ends = "stack_vent"
	}
	above, aboveState := r.built(v.ID, n, "above_roof", state)
	v.AboveRoof = r.length(above, aboveState)
	v.EndsAt = r.level(n.Get("level"), state)
	for _, p := range pairs(n.Get("openings")) {
		opens := word(p.Value.Get("kind"))
		if opens == unknown && p.Value.Get("kind") == nil && oneOf(p.Key, []string{"window", "roof_window", "door", "air_intake"}) {
			opens = p.Key
		}
		id := v.ID + "~" + p.Key
		r.plan.TerminalOpenings = append(r.plan.TerminalOpenings, plan.TerminalOpening{
			Pair:  plan.Pair{ID: id, State: state, A: v.ID, B: p.Key},
			Opens: opens, Aside: r.length(p.Value.Get("aside"), plan.Existing), Below: r.read(p.Value.Get("below"), quantity.Length, placed, plan.Existing),
		})
		r.lay.places[id+"~"] = p.KeyAt
	}
}

// access reads the places to rod from.
func (r *reader) access() {
	for _, p := range pairs(r.doc.Get("access")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		a := plan.Access{
			ID: p.Key, State: state, Pipe: text(n.Get("pipe")), Level: r.level(n.Get("level"), state), Distance: r.length(n.Get("distance"), state),
			Size: r.size(n.Get("size"), unknown, state), Reach: word(n.Get("reach")),
		}
		if kind := r.ids[a.Pipe].kind; a.Pipe != "" && a.Pipe != unknown && kind != "stack" && kind != "drain" && kind != "waste" {
			r.unknownID(n.Get("pipe").At, a.Pipe, "stack, drain or waste", "stack", "drain", "waste")
		}
		if a.Distance != nil {
			r.onPipe(n.Get("distance").At, a)
		}
		r.plan.Access = append(r.plan.Access, a)
	}
}

// onPipe refuses an access point beyond the end of the pipe that it opens.
func (r *reader) onPipe(at finding.Position, a plan.Access) {
	p := r.pipes[a.Pipe]
	if p == nil {
		return
	}
	if whole := sum(p.Legs, lengthOf); whole != nil && a.Distance.Low > whole.High {
		r.fault(at, "access point %s lies %s along %s, which is %s long", a.ID, show(a.Distance, "mm"), a.Pipe, show(whole, "mm"))
	}
}

// tests reads what was witnessed, as the record tells it: no band is put
// around a record.
func (r *reader) tests() {
	for _, p := range pairs(r.doc.Get("tests")) {
		n := p.Value
		r.plan.Tests = append(r.plan.Tests, plan.Test{
			ID: p.Key, What: word(n.Get("what")), SeenBy: text(n.Get("seen_by")),
			Pressure: r.read(n.Get("pressure"), quantity.Pressure, asTold, plan.Laid),
			Held:     r.read(n.Get("held"), quantity.Time, asTold, plan.Laid),
			Fell:     r.read(n.Get("fell"), quantity.Pressure, asTold, plan.Laid),
			SealLeft: r.read(n.Get("seal_left"), quantity.Length, asTold, plan.Laid),
		})
	}
}
