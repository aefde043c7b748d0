package discharge

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// removedFixtures are the fixtures that the work takes away, and where their
// water went.
type removedFixtures struct {
	fixtures map[string]*plan.Fixture
	passed   map[string][]string // ids of fixtures, by stack or segment of drain
	lost     string              // the first whose way nobody told
}

// into are the removed fixtures that ran into a stack or drain. One whose way
// nobody told may have run into any.
func (r removedFixtures) into(id string) ([]string, *sdk.Gap) {
	if r.lost != "" {
		return nil, reply.NotTold(r.lost+".waste.to", "nobody has told where the waste of the removed "+r.lost+" led")
	}
	return r.passed[id], nil
}

// ways lead from one thing that water passes to the next; wholes are entered at
// their first segment.
type ways struct {
	next, first map[string]string
	ends        map[string]string // word for what a segment ends in
	counts      map[string]bool   // stacks and segments of drains
}

func followRemoved(p *plan.Plan) removedFixtures {
	r := removedFixtures{fixtures: map[string]*plan.Fixture{}, passed: map[string][]string{}}
	w := waysOf(p)
	for i := range p.Fixtures {
		f := &p.Fixtures[i]
		if f.State != plan.Removed || notDischarging(f.Kind) {
			continue
		}
		r.fixtures[f.ID] = f
		passed, told := w.from(f.Waste)
		if !told && r.lost == "" {
			r.lost = f.ID
		}
		for _, id := range passed {
			r.passed[id] = append(r.passed[id], f.ID)
		}
	}
	return r
}

func waysOf(p *plan.Plan) ways {
	w := ways{next: map[string]string{}, first: map[string]string{}, ends: map[string]string{}, counts: map[string]bool{}}
	pipe := func(p *plan.Pipe) {
		w.next[p.ID], w.ends[p.ID] = p.To.ID, p.To.Kind
		if _, known := w.first[p.Whole]; !known && p.Whole != "" {
			w.first[p.Whole] = p.ID
		}
	}
	for i := range p.Branches {
		pipe(&p.Branches[i])
	}
	for i := range p.Drains {
		pipe(&p.Drains[i])
		w.counts[p.Drains[i].ID] = true
	}
	for i := range p.Stacks {
		w.next[p.Stacks[i].ID], w.counts[p.Stacks[i].ID] = p.Stacks[i].To, true
	}
	for i := range p.Fixtures { // a box passes on what runs into it
		if f := &p.Fixtures[i]; f.Kind == "trap_box" {
			w.next[f.ID] = f.Waste
		}
	}
	return w
}

// from are the stacks and drains that the water of a pipe passes, and whether it
// is told where it goes at all: one that runs to a gully passes none.
func (w ways) from(id string) (passed []string, told bool) {
	end := ""
	for range len(w.next) + 1 { // no longer, if pipes run in a ring
		if _, known := w.next[id]; !known {
			id = w.first[id]
		}
		if id == "" {
			break
		}
		if w.counts[id] {
			passed = append(passed, id)
		}
		end, id = w.ends[id], w.next[id]
	}
	return passed, len(passed) > 0 || end != "" && end != "unknown"
}
