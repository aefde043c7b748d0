package venting

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// site is the plan with its things by id and its vents by what they air.
type site struct {
	plan     *plan.Plan
	classes  sizes.Table
	fixtures map[string]plan.Fixture
	traps    map[string]plan.Trap
	trapsAt  map[string][]plan.Trap // by the segment after them, removed ones left out
	branches map[string]*plan.Pipe
	drains   map[string]*plan.Pipe
	stacks   map[string]plan.Stack
	ventsOn  map[string][]plan.Vent // by segment or stack, removed ones left out
	airs     map[string]string      // by vent, the segment or stack it starts from
	loose    []plan.Vent            // of which nobody knows what pipe they start from
	groups   []group                // limits of self-siphonage
	drying   plan.Reading           // what an unused seal loses a day, mm
}

func survey(p *plan.Plan) (*site, error) {
	classes, err := sizes.Load()
	if err != nil {
		return nil, err
	}
	groups, err := loadGroups()
	if err != nil {
		return nil, err
	}
	s := &site{plan: p, classes: classes, groups: groups, drying: drying,
		fixtures: map[string]plan.Fixture{}, traps: map[string]plan.Trap{}, trapsAt: map[string][]plan.Trap{},
		branches: map[string]*plan.Pipe{}, drains: map[string]*plan.Pipe{}, stacks: map[string]plan.Stack{},
		ventsOn: map[string][]plan.Vent{}, airs: map[string]string{},
	}
	for _, f := range p.Fixtures {
		s.fixtures[f.ID] = f
	}
	for _, t := range p.Traps {
		s.traps[t.ID] = t
		if t.State != plan.Removed && t.Branch != "" {
			s.trapsAt[t.Branch] = append(s.trapsAt[t.Branch], t)
		}
	}
	for i := range p.Branches {
		s.branches[p.Branches[i].ID] = &p.Branches[i]
	}
	for i := range p.Drains {
		s.drains[p.Drains[i].ID] = &p.Drains[i]
	}
	for _, x := range p.Stacks {
		s.stacks[x.ID] = x
	}
	s.hang(p)
	return s, nil
}

// hang puts every vent to the pipe it airs. The vent's own word counts, and a
// pipe's or stack's list for one that has none.
func (s *site) hang(p *plan.Plan) {
	for _, list := range [][]plan.Pipe{p.Branches, p.Drains} {
		for _, b := range list {
			for _, id := range b.Vented {
				s.airs[id] = b.ID
			}
		}
	}
	for _, x := range p.Stacks {
		for _, id := range x.Vents {
			s.airs[id] = x.ID
		}
	}
	for _, v := range p.Vents {
		if v.State == plan.Removed {
			continue
		}
		if v.From != "" {
			s.airs[v.ID] = v.From
		}
		at := s.airs[v.ID]
		if !s.pipe(at) {
			delete(s.airs, v.ID)
			s.loose = append(s.loose, v)
			continue
		}
		s.ventsOn[at] = append(s.ventsOn[at], v)
	}
}

// ventsTold tells whether the vents of the plan are all that there are: listed,
// or told to be none.
func (s *site) ventsTold() bool {
	return s.plan.VentsTold == "none" || s.plan.VentsTold == "listed" || len(s.plan.Vents) > 0
}

// pipe tells whether an id is that of a segment or stack in the plan.
func (s *site) pipe(id string) bool {
	_, stack := s.stacks[id]
	return stack || s.branches[id] != nil || s.drains[id] != nil
}

// pathOf is a pipe's place in the words of the document.
func (s *site) pathOf(p *plan.Pipe) string {
	if s.drains[p.ID] != nil {
		return reply.DrainPath(p)
	}
	return reply.BranchPath(p)
}

func ventPath(v plan.Vent, word string) string { return "vents." + v.ID + "." + word }

// wordsOf are the words of what a vent is, seen from the pipe it airs.
func wordsOf(v plan.Vent) []string {
	switch v.Kind {
	case "pipe":
		return []string{"branch_vent"}
	case "valve":
		return []string{"valve"}
	}
	return []string{"branch_vent", "valve"}
}

// may tells whether a vent may air drainage at all.
func may(v plan.Vent) bool {
	return v.State != plan.Removed && (v.Kind == "valve" || v.Airs == "drain" || v.Airs == "unknown" || v.Airs == "")
}

// sure tells whether it surely does, and is surely there.
func sure(v plan.Vent) bool {
	there := v.State != plan.Existing || v.Known == "seen" || v.Known == "proved"
	return may(v) && there && (v.Kind == "valve" || v.Airs == "drain")
}

// toAir tells whether a vent's end lies in the open air.
func toAir(v plan.Vent) (surely, perhaps bool) {
	switch v.Ends {
	case "roof", "wall", "eaves", "outside":
		return true, true
	case "loft", "indoors", "stack_vent":
		return false, false
	}
	return false, true
}

// route is the way of the water from one segment on, over trap boxes, to where
// it leaves the branches.
type route struct {
	pipes []*plan.Pipe
	boxes []plan.Fixture
	end   plan.Junction
	gap   *sdk.Gap // why the way cannot be followed to its end
}

// follow walks from a segment on. An open end (gully, hopper, sewer, outside,
// treatment) ends the way as a stack or drain does.
func (s *site) follow(segment string) route {
	var r route
	seen := map[string]bool{}
	for {
		p, known := s.branches[segment]
		if !known || seen[segment] {
			r.gap = s.lost(r, segment)
			return r
		}
		seen[segment] = true
		r.pipes = append(r.pipes, p)
		switch p.To.Kind {
		case "branch":
			segment = p.To.ID
		case "trap_box":
			box := s.fixtures[p.To.ID]
			r.boxes = append(r.boxes, box)
			segment = s.traps[box.Trap].Branch
			if segment == "" {
				r.gap = reply.NotTold(p.To.ID+".waste", "the waste of trap box "+p.To.ID+" is not told")
				return r
			}
		case "", "unknown":
			r.gap = s.lost(r, segment)
			return r
		default:
			r.end = p.To
			return r
		}
	}
}

func (s *site) lost(r route, segment string) *sdk.Gap {
	path := segment
	if n := len(r.pipes); n > 0 {
		path = s.pathOf(r.pipes[n-1])
	}
	return reply.NotTold(path+".to", "where pipe "+path+" ends is not told")
}

// fromTrap follows the water from a trap.
func (s *site) fromTrap(t plan.Trap) route {
	if t.Branch == "" {
		path := t.Fixture + ".waste"
		return route{gap: reply.NotTold(path, "the waste pipe of fixture "+t.Fixture+" is not told")}
	}
	return s.follow(t.Branch)
}
