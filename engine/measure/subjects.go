package measure

import (
	"slices"

	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// House is the id of the one subject of kind "buildings".
const House = "house"

// subjectsOf lists the ids of each kind, by the names of the rules' input, in
// the plan's order.
func subjectsOf(p *plan.Plan) map[string][]string {
	return map[string][]string{
		"buildings":         {House},
		"rooms":             ids(p.Rooms, func(s plan.Room) string { return s.ID }),
		"joists":            ids(p.Joists, func(s plan.Joist) string { return s.ID }),
		"openings":          ids(p.Openings, func(s plan.Opening) string { return s.ID }),
		"walls":             ids(p.Walls, func(s plan.Wall) string { return s.ID }),
		"sleeves":           ids(p.Sleeves, func(s plan.Sleeve) string { return s.ID }),
		"fixtures":          ids(p.Fixtures, func(s plan.Fixture) string { return s.ID }),
		"traps":             ids(p.Traps, func(s plan.Trap) string { return s.ID }),
		"branches":          ids(p.Branches, func(s plan.Pipe) string { return s.ID }),
		"drains":            ids(p.Drains, func(s plan.Pipe) string { return s.ID }),
		"stacks":            ids(p.Stacks, func(s plan.Stack) string { return s.ID }),
		"vents":             ids(p.Vents, func(s plan.Vent) string { return s.ID }),
		"access":            ids(p.Access, func(s plan.Access) string { return s.ID }),
		"entry_pairs":       ids(p.EntryPairs, func(s plan.EntryPair) string { return s.ID }),
		"opening_pairs":     ids(p.OpeningPairs, func(s plan.Pair) string { return s.ID }),
		"terminal_openings": ids(p.TerminalOpenings, func(s plan.TerminalOpening) string { return s.ID }),
		"sources":           ids(p.Sources, func(s plan.Source) string { return s.ID }),
		"heaters":           ids(p.Heaters, func(s plan.Heater) string { return s.ID }),
		"valves":            ids(p.Valves, func(s plan.Valve) string { return s.ID }),
		"links":             ids(p.Links, func(s plan.Link) string { return s.ID }),
		"draw_offs":         ids(p.DrawOffs, func(s plan.DrawOff) string { return s.ID }),
		"fans":              ids(p.Fans, func(s plan.Fan) string { return s.ID }),
		"electrics":         ids(p.Electrics, func(s plan.Electric) string { return s.ID }),
		"crossings":         ids(p.Crossings, func(s plan.Crossing) string { return s.ID }),
		"chases":            ids(p.Chases, func(s plan.Chase) string { return s.ID }),
	}
}

// removedOf are the subjects that the work takes away. A measurer need not
// answer for them; what it says all the same (what closes a stub) is kept.
func removedOf(p *plan.Plan) map[string]bool {
	gone := map[string]bool{}
	mark(gone, p.Fixtures, func(s plan.Fixture) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Traps, func(s plan.Trap) (string, plan.State) { return s.ID, s.State })
	mark(gone, slices.Concat(p.Branches, p.Drains), func(s plan.Pipe) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Stacks, func(s plan.Stack) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Vents, func(s plan.Vent) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Openings, func(s plan.Opening) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Joists, func(s plan.Joist) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.EntryPairs, func(s plan.EntryPair) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.OpeningPairs, func(s plan.Pair) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.TerminalOpenings, func(s plan.TerminalOpening) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Sources, func(s plan.Source) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Heaters, func(s plan.Heater) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Valves, func(s plan.Valve) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Links, func(s plan.Link) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.DrawOffs, func(s plan.DrawOff) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Fans, func(s plan.Fan) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Electrics, func(s plan.Electric) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Crossings, func(s plan.Crossing) (string, plan.State) { return s.ID, s.State })
	mark(gone, p.Chases, func(s plan.Chase) (string, plan.State) { return s.ID, s.State })
	return gone
}

// mark notes those of a list that are removed.
func mark[S any](gone map[string]bool, list []S, of func(S) (string, plan.State)) {
	for _, s := range list {
		if id, state := of(s); state == plan.Removed {
			gone[id] = true
		}
	}
}

func ids[S any](list []S, id func(S) string) []string {
	all := make([]string, len(list))
	for i, s := range list {
		all[i] = id(s)
	}
	return all
}

// index is the subjects one quantity has, and each one's place. Quantities of
// the same kinds share it.
type index struct {
	ids   []string
	place map[string]int32
	gone  []bool // taken away by the work
}

type indexes struct {
	kinds map[string][]string
	gone  map[string]bool
	made  []madeIndex
}

type madeIndex struct {
	of []string
	*index
}

func (x *indexes) of(q schema.Quantity) *index {
	for _, known := range x.made {
		if slices.Equal(known.of, q.Of) {
			return known.index
		}
	}
	made := &index{place: map[string]int32{}}
	for _, kind := range q.Of {
		for _, id := range x.kinds[kind] {
			if _, twice := made.place[id]; !twice {
				made.place[id] = int32(len(made.ids))
				made.ids = append(made.ids, id)
				made.gone = append(made.gone, x.gone[id])
			}
		}
	}
	x.made = append(x.made, madeIndex{q.Of, made})
	return made
}
