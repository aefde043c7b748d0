package layout

import (
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/plugins/sdk/plan"
)

// records reads what people said or signed: answers and waivers.
func (r *reader) records() {
	for _, p := range pairs(r.doc.Get("answers")) {
		n := p.Value
		a := Answer{
			Is: text(n.Get("is")), How: text(n.Get("how")), Evidence: text(n.Get("evidence")), By: text(n.Get("by")), Date: text(n.Get("date")),
			Of: map[string]string{},
		}
		for _, of := range pairs(n.Get("of")) {
			a.Of[of.Key] = text(of.Value)
		}
		r.lay.Answers[p.Key] = a
	}
	for _, p := range pairs(r.doc.Get("waivers")) {
		r.waiver(p)
	}
}

// waiver holds the subject of a waiver against the plan: one with a slip in it
// would allow nothing, in silence.
func (r *reader) waiver(p document.Pair) {
	parts := strings.Split(p.Key, "/")
	if len(parts) < 3 {
		r.add(document.Fault{At: p.KeyAt, What: quoted(p.Key) + " names no finding", Allowed: "profile/rule/subject or profile/rule/subject/quantity"})
		return
	}
	if !r.waived(parts[2:]) {
		first, _, _ := strings.Cut(parts[2], "~")
		r.unknownID(p.KeyAt, first, "subject", everything...)
		return
	}
	n := p.Value
	r.lay.Waivers[p.Key] = finding.Waiver{By: text(n.Get("by")), Reference: text(n.Get("reference")), Date: text(n.Get("date"))}
}

// waived tells whether the rest of a waiver's key begins with a subject: an id,
// a piece of a pipe (bath.waste/2, c1/2), a home run, or a pair.
func (r *reader) waived(rest []string) bool {
	for n := len(rest); n > 0; n-- {
		id := strings.Join(rest[:n], "/")
		if _, known := r.ids[id]; known || r.pieces[id] != nil || r.isPair(id) {
			return len(rest)-n <= 1
		}
	}
	return false
}

func (r *reader) isPair(id string) bool {
	for _, p := range r.plan.EntryPairs {
		if p.ID == id {
			return true
		}
	}
	for _, p := range r.plan.OpeningPairs {
		if p.ID == id {
			return true
		}
	}
	for _, p := range r.plan.TerminalOpenings {
		if p.ID == id {
			return true
		}
	}
	for _, p := range r.plan.Crossings {
		if p.ID == id {
			return true
		}
	}
	for _, l := range r.plan.Links {
		if l.ID == id {
			return true
		}
	}
	return false
}

// index puts the pieces of pipes into the plan and makes every subject
// findable by its id.
func (r *reader) index() {
	for _, p := range r.inOrder {
		for _, s := range r.segments[p.ID] {
			if p.drain {
				r.plan.Drains = append(r.plan.Drains, *r.pieces[s.id])
			} else {
				r.plan.Branches = append(r.plan.Branches, *r.pieces[s.id])
			}
		}
	}
	l := r.lay
	l.subjects["house"] = subject{kind: "buildings", state: r.houseState(), at: l.places["house"]}
	for _, x := range r.plan.Rooms {
		r.subject("rooms", x.ID, x.State)
	}
	for _, x := range r.plan.Floors {
		r.subject("floors", x.ID, x.State)
	}
	for _, x := range r.plan.Joists {
		r.subject("joists", x.ID, x.State)
	}
	for _, x := range r.plan.Openings {
		r.subject("openings", x.ID, x.State)
	}
	for _, x := range r.plan.Walls {
		r.subject("walls", x.ID, x.State)
	}
	for _, x := range r.plan.Sleeves {
		r.subject("sleeves", x.ID, x.State)
	}
	for _, x := range r.plan.Chases {
		r.subject("chases", x.ID, x.State)
	}
	r.indexDrainage()
	r.indexSupply()
}

func (r *reader) indexSupply() {
	for _, x := range r.plan.Sources {
		r.subject("sources", x.ID, x.State)
	}
	for _, x := range r.plan.Heaters {
		r.subject("heaters", x.ID, x.State)
	}
	for _, x := range r.plan.Valves {
		r.subject("valves", x.ID, x.State)
	}
	for _, x := range r.plan.Links {
		r.subject("links", x.ID, x.State)
	}
	for _, x := range r.plan.DrawOffs {
		r.subject("draw_offs", x.ID, x.State)
	}
	for _, x := range r.plan.Fans {
		r.subject("fans", x.ID, x.State)
	}
	for _, x := range r.plan.Electrics {
		r.subject("electrics", x.ID, x.State)
	}
	for _, x := range r.plan.Crossings {
		r.pairSubject("crossings", x.Pair, r.lay.Position(x.B))
	}
}

func (r *reader) indexDrainage() {
	for _, x := range r.plan.Fixtures {
		r.subject("fixtures", x.ID, x.State)
	}
	for _, x := range r.plan.Traps {
		r.subject("traps", x.ID, x.State)
	}
	for _, x := range r.plan.Branches {
		r.subject("branches", x.ID, x.State)
	}
	for _, x := range r.plan.Drains {
		r.subject("drains", x.ID, x.State)
	}
	for _, x := range r.plan.Stacks {
		r.subject("stacks", x.ID, x.State)
	}
	for _, x := range r.plan.Vents {
		r.subject("vents", x.ID, x.State)
	}
	for _, x := range r.plan.Access {
		r.subject("access", x.ID, x.State)
	}
	for _, x := range r.plan.EntryPairs {
		r.pairSubject("entry_pairs", x.Pair, r.lay.Position(x.B))
	}
	for _, x := range r.plan.OpeningPairs {
		r.pairSubject("opening_pairs", x, r.lay.Position(x.B))
	}
	for _, x := range r.plan.TerminalOpenings {
		r.pairSubject("terminal_openings", x.Pair, r.lay.places[x.ID+"~"])
	}
}

func (r *reader) subject(kind, id string, state plan.State) {
	whole, _, _ := strings.Cut(id, "/")
	r.lay.subjects[id] = subject{kind: kind, state: state, at: r.lay.places[whole]}
}

func (r *reader) pairSubject(kind string, p plan.Pair, also finding.Position) {
	r.lay.subjects[p.ID] = subject{kind: kind, state: p.State, at: r.lay.Position(p.A), also: []finding.Position{also}}
}

// houseState is that of the work: a house is judged as new work while any is
// planned, which it is unless the document says all is laid.
func (r *reader) houseState() plan.State {
	if r.plan.House.Stage == "planned" {
		return plan.New
	}
	return plan.Laid
}
