package reply

import (
	"fallrule/plugins/sdk/plan"
)

// Each hands over the answer for every subject of one kind. Those that are
// removed are left out; only AllFixtures has them.
type Each[S any] func(p *plan.Plan, site S, put func(subject string, a Answer))

// HouseID is the subject id of the building.
const HouseID = "house"

// House answers for the building.
func House[S any](f func(S) Answer) Each[S] {
	return func(_ *plan.Plan, site S, put func(string, Answer)) { put(HouseID, f(site)) }
}

// Fixtures answers for the fixtures that stay or come.
func Fixtures[S any](f func(S, plan.Fixture) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Fixture { return p.Fixtures }, func(x *plan.Fixture) (string, plan.State) { return x.ID, x.State }, f)
}

// AllFixtures answers for the removed ones as well: they leave stubs.
func AllFixtures[S any](f func(S, plan.Fixture) Answer) Each[S] {
	return func(p *plan.Plan, site S, put func(string, Answer)) {
		for _, x := range p.Fixtures {
			put(x.ID, f(site, x))
		}
	}
}

// Traps answers for the traps.
func Traps[S any](f func(S, plan.Trap) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Trap { return p.Traps }, func(x *plan.Trap) (string, plan.State) { return x.ID, x.State }, f)
}

// BranchPath is a branch's place in the words of the document: the whole pipe.
func BranchPath(p *plan.Pipe) string {
	if p.Whole == "" {
		return p.ID
	}
	return p.Whole
}

// DrainPath is the same of a drain.
func DrainPath(p *plan.Pipe) string { return "drains." + BranchPath(p) }

// Pipes answers for the segments of branches and of drains.
func Pipes[S any](f func(S, *plan.Pipe) Answer) Each[S] {
	return func(p *plan.Plan, site S, put func(string, Answer)) {
		Branches(f)(p, site, put)
		Drains(f)(p, site, put)
	}
}

// Branches answers for the segments of branches.
func Branches[S any](f func(S, *plan.Pipe) Answer) Each[S] {
	return pipes(func(p *plan.Plan) []plan.Pipe { return p.Branches }, f)
}

// Drains answers for the segments of drains.
func Drains[S any](f func(S, *plan.Pipe) Answer) Each[S] {
	return pipes(func(p *plan.Plan) []plan.Pipe { return p.Drains }, f)
}

// Stacks answers for the stacks.
func Stacks[S any](f func(S, plan.Stack) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Stack { return p.Stacks }, func(x *plan.Stack) (string, plan.State) { return x.ID, x.State }, f)
}

// Vents answers for vents and valves.
func Vents[S any](f func(S, plan.Vent) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Vent { return p.Vents }, func(x *plan.Vent) (string, plan.State) { return x.ID, x.State }, f)
}

// Access answers for the access points.
func Access[S any](f func(S, plan.Access) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Access { return p.Access }, func(x *plan.Access) (string, plan.State) { return x.ID, x.State }, f)
}

// EntryPairs answers for branches that enter a stack opposite one another.
func EntryPairs[S any](f func(S, plan.EntryPair) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.EntryPair { return p.EntryPairs }, func(x *plan.EntryPair) (string, plan.State) { return x.ID, x.State }, f)
}

// TerminalOpenings answers for a vent's end and an opening near it.
func TerminalOpenings[S any](f func(S, plan.TerminalOpening) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.TerminalOpening { return p.TerminalOpenings }, func(x *plan.TerminalOpening) (string, plan.State) { return x.ID, x.State }, f)
}

// Joists answers for the joists.
func Joists[S any](f func(S, plan.Joist) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Joist { return p.Joists }, func(x *plan.Joist) (string, plan.State) { return x.ID, x.State }, f)
}

// Openings answers for the openings in joists.
func Openings[S any](f func(S, plan.Opening) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Opening { return p.Openings }, func(x *plan.Opening) (string, plan.State) { return x.ID, x.State }, f)
}

// OpeningPairs answers for neighbours in one joist.
func OpeningPairs[S any](f func(S, plan.Pair) Answer) Each[S] {
	return staying(func(p *plan.Plan) []plan.Pair { return p.OpeningPairs }, func(x *plan.Pair) (string, plan.State) { return x.ID, x.State }, f)
}

// pipes go by pointer: the measurers know a segment by it.
func pipes[S any](list func(*plan.Plan) []plan.Pipe, f func(S, *plan.Pipe) Answer) Each[S] {
	return func(p *plan.Plan, site S, put func(string, Answer)) {
		all := list(p)
		for i := range all {
			if all[i].State != plan.Removed {
				put(all[i].ID, f(site, &all[i]))
			}
		}
	}
}

func staying[S, T any](list func(*plan.Plan) []T, key func(*T) (string, plan.State), f func(S, T) Answer) Each[S] {
	return func(p *plan.Plan, site S, put func(string, Answer)) {
		for _, x := range list(p) {
			if id, state := key(&x); state != plan.Removed {
				put(id, f(site, x))
			}
		}
	}
}
