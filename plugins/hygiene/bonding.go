package hygiene

import (
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

// bonding tells whether the work breaks a metal path that was there: a pipe
// goes, is cut, or is opened because another joins it or leaves it. It errs
// towards needed: what lies beyond the break is not looked at, and of the pipes
// that a cut may lie in each counts as cut.
func bonding(s *site, l plan.Link) reply.Answer {
	const source = "practice of pipe work: bridge before a metal pipe is cut, take the bridge off last"
	why := s.opened(l)
	switch {
	case (l.State == plan.New || l.State == plan.Laid) && len(s.cuts[l.ID]) == 0: // what is to be cut is there, whatever is told
		return reply.State("nothing that was there is cut: the pipe comes with the work", source, "not_needed")
	case why == "":
		return reply.State("the pipe stays whole", source, "not_needed")
	}
	switch l.MadeOf {
	case "", "unknown":
		return reply.Answer{Gap: reply.NotTold(linkPath(l, "made_of"), "what pipe "+l.ID+" is made of is not told, and "+why)}
	case "plastic", "multilayer":
		return reply.State(why+", but "+l.MadeOf+" is no metal path", source, "not_needed")
	}
	return reply.State(why+", and "+l.MadeOf+" may carry a current", source, "needed")
}

// opened says what opens a pipe that was there, or nothing.
func (s *site) opened(l plan.Link) string {
	if l.State == plan.Removed {
		return "it is taken out"
	}
	if cuts := s.cuts[l.ID]; len(cuts) > 0 {
		return "it is, or may be, the pipe of cut " + strings.Join(cuts, ", ")
	}
	for _, node := range []string{l.A, l.B} {
		if s.goes[node] {
			return "what it feeds, " + node + ", is taken off"
		}
		for _, o := range s.at[node] {
			if o.ID == l.ID || o.State == plan.Existing || s.ends[node] && !sameSide(o, l, node) {
				continue
			}
			if o.State == plan.Removed {
				return "pipe " + o.ID + " is taken off it"
			}
			return "pipe " + o.ID + " joins it"
		}
	}
	return ""
}

// sameSide tells whether two pipes meet a heater or source at the same side, in
// or out: a new hot pipe does not open the cold one.
func sameSide(a, b plan.Link, node string) bool { return (a.B == node) == (b.B == node) }
