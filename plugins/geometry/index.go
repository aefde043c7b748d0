package geometry

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
	"fallrule/schema"
)

// index finds the parts of a plan by id. Removed parts are not in it.
type index struct {
	catalogue schema.Catalogue
	classes   sizes.Table
	byID      map[string]*node
	stacks    map[string]*plan.Stack
	fixtures  map[string]*plan.Fixture
	traps     map[string][]*plan.Trap   // by the segment they stand before
	starts    map[string][]*plan.Trap   // by the path of the whole pipe they stand before
	access    map[string][]*plan.Access // by the pipe they lie on
	into      map[string][]*plan.Stack  // by the drain they run into
}

// node is a segment of a branch or drain.
type node struct {
	pipe *plan.Pipe
	kind string // branches | drains
	path string // in the words of the document
}

func survey(p *plan.Plan) (*index, error) {
	catalogue, err := schema.Quantities()
	if err != nil {
		return nil, err
	}
	classes, err := sizes.Load()
	if err != nil {
		return nil, err
	}
	ix := &index{catalogue: catalogue, classes: classes, byID: map[string]*node{}, stacks: map[string]*plan.Stack{}, fixtures: map[string]*plan.Fixture{}, traps: map[string][]*plan.Trap{},
		starts: map[string][]*plan.Trap{}, access: map[string][]*plan.Access{}, into: map[string][]*plan.Stack{}}
	ix.addPipes(p.Branches, "branches", reply.BranchPath)
	ix.addPipes(p.Drains, "drains", reply.DrainPath)
	for i := range p.Stacks {
		if s := &p.Stacks[i]; s.State != plan.Removed {
			ix.stacks[s.ID] = s
			ix.into[s.To] = append(ix.into[s.To], s)
		}
	}
	for i := range p.Fixtures {
		ix.fixtures[p.Fixtures[i].ID] = &p.Fixtures[i]
	}
	for i := range p.Traps {
		t := &p.Traps[i]
		if t.State != plan.Removed && t.Branch != "" {
			ix.traps[t.Branch] = append(ix.traps[t.Branch], t)
			if n := ix.byID[t.Branch]; n != nil {
				ix.starts[n.path] = append(ix.starts[n.path], t)
			}
		}
	}
	for i := range p.Access {
		if a := &p.Access[i]; a.State != plan.Removed {
			ix.access[a.Pipe] = append(ix.access[a.Pipe], a)
		}
	}
	return ix, nil
}

func (ix *index) addPipes(pipes []plan.Pipe, kind string, path func(*plan.Pipe) string) {
	for i := range pipes {
		p := &pipes[i]
		if p.State == plan.Removed {
			continue
		}
		ix.byID[p.ID] = &node{pipe: p, kind: kind, path: path(p)}
	}
}

// first tells whether no segment of the same whole pipe lies before this one.
func (ix *index) first(n *node) bool {
	return !slices.ContainsFunc(n.pipe.Upstream, func(id string) bool {
		up := ix.byID[id]
		return up != nil && up.path == n.path
	})
}

// accessOn a segment or the whole pipe it is of.
func (ix *index) accessOn(n *node) []*plan.Access {
	on := ix.access[n.pipe.ID]
	if n.pipe.Whole != n.pipe.ID {
		on = append(slices.Clone(on), ix.access[n.pipe.Whole]...)
	}
	return on
}

// stacksInto a drain: told by its segment, or by the whole and then into its
// beginning.
func (ix *index) stacksInto(n *node) []*plan.Stack {
	if n.kind != "drains" {
		return nil
	}
	into := ix.into[n.pipe.ID]
	if n.pipe.Whole != n.pipe.ID && ix.first(n) {
		into = append(slices.Clone(into), ix.into[n.pipe.Whole]...)
	}
	return into
}

// straightOn tells whether a segment ends in the next one of its own pipe, so
// in no junction of its own.
func (ix *index) straightOn(n *node) bool {
	next := ix.byID[n.pipe.To.ID]
	return next != nil && next != n && next.path == n.path
}

// carriesWC tells whether a water closet lies upstream of a segment.
func (ix *index) carriesWC(n *node) bool {
	return slices.ContainsFunc(n.pipe.Serves, func(id string) bool {
		f := ix.fixtures[id]
		return f != nil && f.Kind == "wc"
	})
}
