package layout

import (
	"slices"

	"fallrule/plugins/sdk/plan"
)

// facts looks through a plan for what its subjects are to each other.
type facts struct {
	plan    *plan.Plan
	others  map[string]bool
	fixture map[string]plan.Fixture
	branch  map[string]*plan.Pipe
	opening map[string]plan.Opening
	vent    map[string]plan.Vent
	firsts  map[string]string // kind of the fixture whose trap a segment begins at
}

// Input is what rules see of the layout.
func (l *Layout) Input() Input {
	f := facts{
		plan: l.Plan, others: l.others, fixture: map[string]plan.Fixture{}, branch: map[string]*plan.Pipe{},
		opening: map[string]plan.Opening{}, vent: map[string]plan.Vent{}, firsts: map[string]string{},
	}
	for _, x := range l.Plan.Fixtures {
		f.fixture[x.ID] = x
	}
	for i := range l.Plan.Branches {
		f.branch[l.Plan.Branches[i].ID] = &l.Plan.Branches[i]
	}
	for _, x := range l.Plan.Openings {
		f.opening[x.ID] = x
	}
	for _, x := range l.Plan.Vents {
		f.vent[x.ID] = x
	}
	for _, x := range l.Plan.Traps {
		f.firsts[x.Branch] = x.Serves
	}
	in := Input{Buildings: f.buildings(l.State("house")), Branches: f.branches(), Traps: f.traps(), Fixtures: f.fixtures()}
	f.pipes(&in)
	f.structure(&in)
	f.pairs(&in)
	f.water(&in)
	f.around(&in, f.roomUses())
	return in
}

func told(word string) string {
	if word == "" {
		return unknown
	}
	return word
}

func (f facts) buildings(state plan.State) []BuildingFacts {
	h := f.plan.House
	present := func(is bool) string {
		if is {
			return "present"
		}
		return "absent"
	}
	if state == "" {
		state = plan.New
	}
	p := f.plan
	return []BuildingFacts{{
		ID: "house", State: state, Country: told(h.Country), District: told(h.District), Use: told(h.Use), Owners: told(h.Owners),
		Listed: told(h.Listed), WasteGoesTo: told(h.WasteGoesTo), Work: told(h.Work), Stage: told(h.Stage),
		HasStack: present(len(p.Stacks) > 0), HasDrainage: present(len(p.Stacks)+len(p.Traps)+len(p.Branches)+len(p.Drains) > 0),
	}}
}

func (f facts) fixtures() []FixtureFacts {
	out := []FixtureFacts{}
	for _, x := range f.plan.Fixtures {
		out = append(out, FixtureFacts{
			ID: x.ID, State: x.State, Kind: told(x.Kind), Room: told(x.Room), Plug: told(x.Plug), Pumped: told(x.Pumped), Use: told(x.Use), Outlet: outletOf(x),
		})
	}
	return out
}

func (f facts) traps() []TrapFacts {
	out := []TrapFacts{}
	for _, x := range f.plan.Traps {
		if len(x.Kinds) == 1 && x.Kinds[0] == none {
			continue // told that there is no trap: a fact of the fixture, and nothing to ask of a trap
		}
		fixture := f.fixture[x.Fixture]
		out = append(out, TrapFacts{
			System: told(f.plan.House.System),
			ID:     x.ID, State: x.State, Fixture: x.Fixture, Serves: told(x.Serves), Use: told(fixture.Use), Outlet: outletOf(fixture), Plug: told(fixture.Plug),
		})
	}
	return out
}

// outletOf tells whether a water closet's outlet is over 80 mm.
func outletOf(x plan.Fixture) string {
	switch {
	case x.Kind == unknown || x.Kind == "":
		return unknown
	case x.Kind != "wc":
		return "not_wc"
	case x.Outlet == nil:
		return unknown
	case x.Outlet.High <= 80:
		return "up_to_80"
	case x.Outlet.Low > 80:
		return "over_80"
	}
	return unknown
}

// largestOutlet of the water closets among fixtures.
func (f facts) largestOutlet(ids []string) string {
	largest, doubt := "not_wc", false
	for _, id := range ids {
		switch outletOf(f.fixture[id]) {
		case "over_80":
			return "over_80"
		case "up_to_80":
			largest = "up_to_80"
		case unknown:
			doubt = true
		}
	}
	if doubt {
		return unknown
	}
	return largest
}

func (f facts) carries(ids []string) string {
	return carries(ids, func(id string) plan.Fixture { return f.fixture[id] })
}

func (f facts) branches() []BranchFacts {
	out := []BranchFacts{}
	for _, x := range f.plan.Branches {
		b := BranchFacts{
			System: told(f.plan.House.System),
			ID:     x.ID, State: x.State, Whole: x.Whole, Serves: x.Fixture, Shared: shared(x.Serves), Carries: f.carries(x.Serves),
			Outlet: f.largestOutlet(x.Serves), To: told(x.To.Kind), IntoWCBranch: f.intoWC(x), Place: told(x.Place), MadeOf: told(x.MadeOf), First: f.first(x),
			BuildingUse: told(f.plan.House.Use),
		}
		if len(x.Serves) == 0 {
			b.Serves = none
		}
		out = append(out, b)
	}
	return out
}

func shared(ids []string) string {
	switch len(ids) {
	case 0:
		return none
	case 1:
		return "one"
	}
	return "several"
}

// intoWC tells whether a branch joins one that a water closet runs through
// already.
func (f facts) intoWC(x plan.Pipe) string {
	if x.To.Kind == unknown {
		return unknown
	}
	into := f.branch[x.To.ID]
	if x.To.Kind != "branch" || into == nil {
		return "elsewhere"
	}
	answer := "elsewhere"
	for _, up := range into.Upstream {
		if up == x.ID || f.branch[up] == nil {
			continue
		}
		switch f.carries(f.branch[up].Serves) {
		case "wc":
			return "into_wc"
		case unknown:
			answer = unknown
		}
	}
	return answer
}

// first tells what a branch begins at.
func (f facts) first(x plan.Pipe) string {
	switch kind, begins := f.firsts[x.ID]; {
	case !begins:
		return "downstream"
	case kind == "trap_box":
		return "at_trap_box"
	}
	return "at_trap"
}

func (f facts) pipes(in *Input) {
	in.Drains, in.Stacks, in.Vents, in.Access = []DrainFacts{}, []StackFacts{}, []VentFacts{}, []AccessFacts{}
	for _, x := range f.plan.Drains {
		in.Drains = append(in.Drains, DrainFacts{
			System: told(f.plan.House.System),
			ID:     x.ID, State: x.State, Whole: x.Whole, Carries: f.ofMany(x.Serves, false), To: told(x.To.Kind), Place: told(x.Place), MadeOf: told(x.MadeOf),
		})
	}
	for _, x := range f.plan.Stacks {
		outlet := f.largestOutlet(x.Serves)
		if outlet != "over_80" && (len(x.Serves) == 0 || f.others[x.ID]) {
			outlet = unknown
		}
		in.Stacks = append(in.Stacks, StackFacts{
			System: told(f.plan.House.System),
			ID:     x.ID, State: x.State, Carries: f.ofMany(x.Serves, f.others[x.ID]), Outlet: outlet, Place: told(x.Place), MadeOf: told(x.MadeOf), Gains: f.gains(x.Serves),
		})
	}
	for _, x := range f.plan.Vents {
		in.Vents = append(in.Vents, VentFacts{
			ID: x.ID, State: x.State, Kind: told(x.Kind), From: told(x.FromKind), Airs: told(x.Airs), Roof: told(x.Roof), Known: told(x.Known),
		})
	}
	for _, x := range f.plan.Access {
		in.Access = append(in.Access, AccessFacts{ID: x.ID, State: x.State, Pipe: told(x.Pipe)})
	}
}

// ofMany is what a stack or drain carries: of one that nothing in the document
// runs into, or that others use as well, the half is not told.
func (f facts) ofMany(ids []string, others bool) string {
	c := f.carries(ids)
	if c == "waste" && (len(ids) == 0 || others) {
		return unknown
	}
	return c
}

// gains tells whether new work discharges into a stack.
func (f facts) gains(ids []string) string {
	if slices.ContainsFunc(ids, func(id string) bool { s := f.fixture[id].State; return s == plan.New || s == plan.Laid }) {
		return "gains"
	}
	return "unchanged"
}

func (f facts) structure(in *Input) {
	in.Rooms, in.Joists, in.Openings, in.Walls, in.Sleeves = []RoomFacts{}, []JoistFacts{}, []OpeningFacts{}, []WallFacts{}, []SleeveFacts{}
	uses := f.roomUses()
	for _, x := range f.plan.Rooms {
		in.Rooms = append(in.Rooms, RoomFacts{ID: x.ID, State: x.State, Heated: told(x.Heated), Window: told(x.Window), Use: uses[x.ID]})
	}
	looks := map[string]string{}
	for _, x := range f.plan.Joists {
		looks[x.ID] = told(x.Looks)
		in.Joists = append(in.Joists, JoistFacts{ID: x.ID, State: x.State, Member: told(x.Member), Looks: told(x.Looks)})
	}
	for _, x := range f.plan.Openings {
		in.Openings = append(in.Openings, OpeningFacts{ID: x.ID, State: x.State, Joist: told(x.Joist), Member: told(x.Member), Shape: told(x.Shape), Looks: looks[x.Joist]})
	}
	for _, x := range f.plan.Walls {
		in.Walls = append(in.Walls, WallFacts{ID: x.ID, State: x.State, MadeOf: told(x.MadeOf)})
	}
	for _, x := range f.plan.Sleeves {
		in.Sleeves = append(in.Sleeves, SleeveFacts{ID: x.ID, State: x.State, Wall: told(x.Wall)})
	}
}

func (f facts) pairs(in *Input) {
	in.OpeningPairs, in.EntryPairs, in.TerminalOpenings = []OpeningPairFacts{}, []EntryPairFacts{}, []TerminalOpeningFacts{}
	for _, x := range f.plan.OpeningPairs {
		a, b := f.opening[x.A], f.opening[x.B]
		in.OpeningPairs = append(in.OpeningPairs, OpeningPairFacts{
			ID: x.ID, State: x.State, A: x.A, B: x.B, Shapes: shapes(a.Shape, b.Shape), Member: told(a.Member),
		})
	}
	for _, x := range f.plan.EntryPairs {
		in.EntryPairs = append(in.EntryPairs, EntryPairFacts{
			ID: x.ID, State: x.State, A: x.A, B: x.B, Stack: x.Stack, Carries: told(x.Carries), Facing: told(x.Facing),
		})
	}
	for _, x := range f.plan.TerminalOpenings {
		v := f.vent[x.A]
		in.TerminalOpenings = append(in.TerminalOpenings, TerminalOpeningFacts{
			ID: x.ID, State: x.State, Vent: x.A, Airs: told(v.Airs), Kind: told(v.Kind), Opens: told(x.Opens),
		})
	}
}

func shapes(a, b string) string {
	switch {
	case a == unknown || b == unknown:
		return unknown
	case a == "hole" && b == "hole":
		return "holes"
	case a == "hole" || b == "hole":
		return "mixed"
	}
	return "notches"
}
