package venting

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// ventFromTrap is how far along the pipes a branch vent or valve starts from
// the trap it serves: the one it was put in for; else the trap at the head of
// its own pipe; else the only one upstream.
func ventFromTrap(s *site, v plan.Vent) reply.Answer {
	id := s.airs[v.ID]
	p, branch := s.branches[id]
	_, stack := s.stacks[id]
	_, drain := s.drains[id]
	switch {
	case stack || drain:
		return reply.Answer{Gap: reply.Outside("vent " + v.ID + " starts from a stack or drain, not from a trap's branch")}
	case !branch:
		return reply.Answer{Gap: fromGap(v)}
	}
	t, gap := s.trapFor(v, p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	way := s.fromTrap(t)
	at := slices.Index(way.pipes, p)
	if at < 0 {
		return reply.Answer{Gap: reply.NotTold(ventPath(v, "for"), "the water of trap "+t.ID+" does not pass vent "+v.ID)}
	}
	c := connection{vent: &v, before: way.pipes[:at], on: p, sure: true}
	sum, gap := s.distance(c)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(sum, func() sdk.Working {
		return sdk.Working{Formula: "length along the pipes from trap " + t.ID + " to the vent", Numbers: reply.Sum(s.partsTo(c), reply.Reading(sum, "mm")), Source: name}
	})
}

func (s *site) trapFor(v plan.Vent, p *plan.Pipe) (plan.Trap, *sdk.Gap) {
	ask := ventPath(v, "for")
	if v.Trap != "" {
		if t, known := s.traps[v.Trap]; known {
			return t, nil
		}
		return plan.Trap{}, reply.NotTold(ask, "trap "+v.Trap+" of vent "+v.ID+" is not in the layout")
	}
	up := s.upstream(p, map[string]bool{})
	own := slices.DeleteFunc(slices.Clone(up), func(t plan.Trap) bool { return s.branches[t.Branch].Whole != p.Whole })
	switch {
	case len(own) == 1:
		return own[0], nil
	case len(up) == 1:
		return up[0], nil
	case len(up) == 0:
		return plan.Trap{}, reply.NotTold(ask, "no trap is told whose water passes vent "+v.ID)
	}
	return plan.Trap{}, reply.NotTold(ask, "which of several traps vent "+v.ID+" serves is not told")
}

// upstream are the traps whose water passes a segment within closed pipes.
func (s *site) upstream(p *plan.Pipe, seen map[string]bool) []plan.Trap {
	if seen[p.ID] {
		return nil
	}
	seen[p.ID] = true
	out := slices.Clone(s.trapsAt[p.ID])
	for _, id := range p.Upstream {
		if up, known := s.branches[id]; known {
			out = append(out, s.upstream(up, seen)...)
		}
	}
	return out
}
