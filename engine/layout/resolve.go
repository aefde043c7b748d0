package layout

import (
	"strings"

	"fallrule/plugins/sdk/plan"
)

// ends are the words that say where a pipe leads without an id.
var ends = map[string]string{
	"public_sewer": "sewer", "own_treatment": "treatment", "cesspool": "treatment",
	"gully": "gully", "hopper": "hopper", "outside": "outside", unknown: unknown,
}

// resolve links pipes, stacks and trap boxes to what they end in, cuts the
// pipes where others join and says what each piece carries. False: the pipes
// run in a ring, and nothing can be said of what flows.
func (r *reader) resolve() bool {
	parent := map[string]string{}
	for _, p := range r.inOrder {
		if p.to == nil {
			continue
		}
		p.parent = r.link(p.to, p.State, p.ID)
		parent[p.ID] = p.parent
		r.joinTo(p.parent, p.to, &join{pipe: p})
	}
	for i := range r.plan.Stacks {
		s := &r.plan.Stacks[i]
		t := r.stackTo[s.ID]
		if t == nil {
			continue
		}
		to := r.link(t, s.State, s.ID)
		parent[s.ID] = to
		j := &join{stack: s.ID}
		r.joinTo(to, t, j)
		if p := r.pipes[to]; p != nil && j.atStart {
			r.footIs(p, s, t)
		}
	}
	for _, p := range r.inOrder {
		if p.fixture != "" && r.ids[p.fixture].kind == "box" {
			parent[p.fixture] = p.ID
		}
	}
	if r.rings(parent) {
		return false
	}
	for _, p := range r.inOrder {
		r.cut(p)
	}
	r.connect()
	return true
}

// footIs: the invert after a stack's foot bend is where its drain starts.
func (r *reader) footIs(p *pipe, s *plan.Stack, t *target) {
	if apart(p.Level, s.Foot) {
		r.fault(t.at, "stack %s has its foot at %s and its drain %s starts at %s: one of them is wrong", s.ID, show(s.Foot, "mm"), p.ID, show(p.Level, "mm"))
	}
	if p.Level == nil {
		p.Level = s.Foot
	}
}

// link finds what a target names: the id of a pipe, stack or trap box, or ""
// when it leaves the plan.
func (r *reader) link(t *target, state plan.State, who string) string {
	known, found := r.ids[t.id]
	if !found {
		if kind, isEnd := ends[t.id]; isEnd {
			t.junction.Kind = kind
			return ""
		}
	}
	kinds := map[string]string{"waste": "branch", "drain": "drain", "stack": "stack", "box": "trap_box"}
	kind, can := kinds[known.kind]
	if !can {
		r.unknownID(t.at, t.id, "stack, drain, waste or trap box", "stack", "drain", "waste", "box")
		return ""
	}
	t.junction.Kind = kind
	if r.stateOf(t.id) == plan.Removed && state != plan.Removed {
		r.fault(t.at, "%s runs into %s, which is removed", who, t.id)
	}
	return t.id
}

func (r *reader) stateOf(id string) plan.State {
	if p, found := r.pipes[id]; found {
		return p.State
	}
	if i, found := r.fixture[id]; found {
		return r.plan.Fixtures[i].State
	}
	if i, found := r.stack[id]; found {
		return r.plan.Stacks[i].State
	}
	return plan.New
}

// joinTo notes what ends in a pipe. A removed one does not cut the pipe that
// stays: nothing flows there any more. What runs into a drain without a word
// of where is taken to run into its beginning, so that all of it carries all.
func (r *reader) joinTo(id string, t *target, j *join) {
	p, found := r.pipes[id]
	if !found || j.pipe != nil && j.pipe.State == plan.Removed && p.State != plan.Removed {
		return
	}
	j.distance = t.junction.Distance
	j.atStart = p.drain && !t.placed || j.distance != nil && j.distance.Value <= 0
	p.joins = append(p.joins, j)
}

// rings names every ring of pipes that run into each other. Each thing ends in
// one other, so walking on from each finds them.
func (r *reader) rings(parent map[string]string) bool {
	const walked, done = 1, 2
	mark := map[string]int{}
	found := false
	for _, start := range r.drainage() {
		var way []string
		id := start
		for id != "" && mark[id] == 0 {
			mark[id] = walked
			way = append(way, id)
			id = parent[id]
		}
		if id != "" && mark[id] == walked {
			found = true
			r.ring(way, id)
		}
		for _, w := range way {
			mark[w] = done
		}
	}
	return found
}

// drainage are all things that water runs through, in the document's order.
func (r *reader) drainage() []string {
	var all []string
	for _, p := range r.inOrder {
		all = append(all, p.ID)
	}
	for _, s := range r.plan.Stacks {
		all = append(all, s.ID)
	}
	return all
}

func (r *reader) ring(way []string, from string) {
	for i, id := range way {
		if id == from {
			way = way[i:]
			break
		}
	}
	at := r.lay.places[from]
	if p, isPipe := r.pipes[from]; isPipe && p.to != nil {
		at = p.to.at
	}
	r.fault(at, "water cannot run in a ring: %s", strings.Join(append(append([]string{}, way...), from), " runs into "))
}

// connect gives every piece what flows into it and every stack its entries,
// and works out what each serves.
func (r *reader) connect() {
	f := flow{r: r, stacksInto: map[string][]string{}, pipesInto: map[string][]string{}}
	for _, p := range r.inOrder {
		pieces := r.segments[p.ID]
		last := r.pieces[pieces[len(pieces)-1].id]
		switch last.To.Kind {
		case "stack", "trap_box":
			last.To.ID = p.parent
			f.pipesInto[p.parent] = append(f.pipesInto[p.parent], last.ID)
		case "branch", "drain":
			if last.To.ID == "" {
				last.To.ID, _ = r.locate(p.parent, last.To.Distance)
			}
		}
	}
	for _, p := range r.inOrder {
		r.feed(p, &f)
	}
	for i := range r.plan.Stacks {
		s := &r.plan.Stacks[i]
		s.Entries = f.pipesInto[s.ID]
		if t := r.stackTo[s.ID]; t != nil && r.ids[t.id].kind == "stack" {
			f.stacksInto[t.id] = append(f.stacksInto[t.id], s.ID)
			s.To = t.id
		}
	}
	for i := range r.plan.Stacks {
		s := &r.plan.Stacks[i]
		s.Serves = f.ofStack(s.ID)
	}
	for _, p := range r.inOrder {
		for _, piece := range r.segments[p.ID] {
			out := r.pieces[piece.id]
			out.Serves = f.ofPiece(piece.id)
			out.Fixture = r.oneKind(out.Serves)
		}
	}
	r.parts()
}

// feed notes what joins at the beginning of each piece of a pipe.
func (r *reader) feed(p *pipe, f *flow) {
	pieces := r.segments[p.ID]
	for i := 1; i < len(pieces); i++ {
		r.pieces[pieces[i].id].Upstream = []string{pieces[i-1].id}
	}
	first := r.pieces[pieces[0].id]
	if p.fixture != "" && r.ids[p.fixture].kind == "box" {
		first.Upstream = append(first.Upstream, f.pipesInto[p.fixture]...)
	}
	for _, j := range p.joins {
		if j.pipe == nil {
			into := r.stackJoins(p, j)
			f.stacksInto[into] = append(f.stacksInto[into], j.stack)
			continue
		}
		parts := r.segments[j.pipe.ID]
		last := r.pieces[parts[len(parts)-1].id]
		if into := r.pieces[last.To.ID]; into != nil {
			into.Upstream = append(into.Upstream, last.ID)
		}
	}
}

// stackJoins is the piece that a stack runs into.
func (r *reader) stackJoins(p *pipe, j *join) string {
	into, _ := r.locate(p.ID, j.distance)
	r.plan.Stacks[r.stack[j.stack]].To = into
	return into
}

// parts tells fixtures and traps where their water goes.
func (r *reader) parts() {
	for i := range r.plan.Fixtures {
		f := &r.plan.Fixtures[i]
		if p, found := r.pipes[f.Waste]; found && r.ids[p.parent].kind == "box" {
			f.Into = p.parent
		}
	}
	for i := range r.plan.Traps {
		t := &r.plan.Traps[i]
		if pieces := r.segments[t.Fixture+".waste"]; len(pieces) > 0 {
			t.Branch = pieces[0].id
		}
	}
}

// flow works out what runs through what, once each.
type flow struct {
	r          *reader
	stacksInto map[string][]string // by piece or stack
	pipesInto  map[string][]string // by stack or trap box: last pieces
}

func (f *flow) ofStack(id string) []string {
	if known, done := f.r.served[id]; done {
		return known
	}
	var out []string
	for _, piece := range f.pipesInto[id] {
		out = append(out, f.ofPiece(piece)...)
	}
	for _, s := range f.stacksInto[id] {
		out = append(out, f.ofStack(s)...)
	}
	f.r.served[id] = out
	return out
}

func (f *flow) ofPiece(id string) []string {
	if known, done := f.r.served[id]; done {
		return known
	}
	piece := f.r.pieces[id]
	var out []string
	if whole := f.r.pipes[piece.Whole]; whole.fixture != "" && f.r.segments[whole.ID][0].id == id {
		out = f.own(whole.fixture)
	}
	for _, up := range piece.Upstream {
		out = append(out, f.ofPiece(up)...)
	}
	for _, s := range f.stacksInto[id] {
		out = append(out, f.ofStack(s)...)
	}
	f.r.served[id] = out
	return out
}

// own is the fixture at the beginning of its waste; a trap box that others run
// into is none of its own.
func (f *flow) own(id string) []string {
	fixture := f.r.plan.Fixtures[f.r.fixture[id]]
	if fixture.State == plan.Removed || fixture.Kind == "trap_box" && len(f.pipesInto[id]) > 0 {
		return nil
	}
	return []string{id}
}

// oneKind is the kind of all those fixtures, or mixed, or unknown.
func (r *reader) oneKind(ids []string) string {
	kind, doubt := "", false
	for _, id := range ids {
		switch k := r.plan.Fixtures[r.fixture[id]].Kind; {
		case k == unknown:
			doubt = true
		case kind == "":
			kind = k
		case kind != k:
			return "mixed"
		}
	}
	if doubt || kind == "" {
		return unknown
	}
	return kind
}
