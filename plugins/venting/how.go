package venting

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// howVented tells by what way air reaches a trap. A vent on a piece that
// carries this trap's water alone is a branch vent. On a piece that carries
// another fixture's water too it is a wet vent: the water of one passes where
// the other's air comes from. It is a common vent when the other is one fixture
// of the same kind whose pipe meets this one's at the same place. A shared piece
// without a vent of its own that runs to a vented stack is a wet vent as well,
// one's own piece to a vented stack is vented by the stack.
func howVented(s *site, t plan.Trap) reply.Answer {
	way := s.fromTrap(t)
	list, surely, gap := s.vents(way.pipes)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var words []string
	for _, m := range list {
		words = append(words, s.howBy(t, way, m)...)
	}
	if surely {
		return reply.State("vents on the way: "+names(list), name, distinct(words)...)
	}
	if way.gap != nil {
		return reply.Answer{Gap: way.gap}
	}
	last, gap := s.howAtEnd(t, way)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.State(withoutOne(way, list), name, distinct(append(words, last...))...)
}

// howBy is what one vent on the way is to a trap.
func (s *site) howBy(t plan.Trap, way route, m met) []string {
	var words []string
	for _, w := range wordsOf(m.vent) {
		switch {
		case w == "valve":
			words = append(words, w)
		case len(s.others(m.on, t)) == 0:
			words = append(words, w)
		default:
			words = append(words, s.wetOrCommon(t, way, m.on)...)
		}
	}
	return words
}

// howAtEnd is what the end of a way without a vent is to a trap.
func (s *site) howAtEnd(t plan.Trap, way route) ([]string, *sdk.Gap) {
	if way.end.Kind != "stack" || len(way.boxes) > 0 {
		return []string{"none"}, nil
	}
	last := way.pipes[len(way.pipes)-1]
	x, known := s.stacks[way.end.ID]
	if !known {
		return nil, reply.NotTold(s.pathOf(last)+".to", "the stack that pipe "+s.pathOf(last)+" ends at is not told")
	}
	head := stackVented(s, x)
	if head.Gap != nil {
		return nil, head.Gap
	}
	vented := "stack"
	if len(s.others(last, t)) > 0 {
		vented = "wet"
	}
	var words []string
	for _, w := range head.Words {
		if w == "none" {
			words = append(words, w)
		} else {
			words = append(words, vented)
		}
	}
	return words, nil
}

// wetOrCommon tells the two apart on a piece that others' water passes. Kinds
// that nobody told leave both possible.
func (s *site) wetOrCommon(t plan.Trap, way route, on *plan.Pipe) []string {
	wet := []string{"wet"}
	others := s.others(on, t)
	at := slices.Index(way.pipes, on)
	if len(others) != 1 || at < 1 || len(s.others(way.pipes[at-1], t)) > 0 {
		return wet
	}
	own, other := s.fixtures[t.Fixture].Kind, others[0].Kind
	met := slices.IndexFunc(on.Upstream, func(id string) bool {
		p := s.branches[id]
		return p != nil && slices.Equal(p.Serves, []string{others[0].ID})
	})
	switch {
	case met < 0 || apart(way.pipes[at-1].To.Level, s.branches[on.Upstream[met]].To.Level):
		return wet
	case told(own) && told(other):
		if own == other {
			return []string{"common"}
		}
		return wet
	}
	return []string{"wet", "common"}
}

func told(word string) bool { return word != "" && word != "unknown" }

// apart tells whether two levels are surely not the same.
func apart(a, b *plan.Reading) bool {
	return a != nil && b != nil && (a.Low > b.High || b.Low > a.High)
}

// others are the fixtures whose water a segment carries besides that of a trap.
// A trap box is no fixture of its own: what runs into it is.
func (s *site) others(p *plan.Pipe, t plan.Trap) []plan.Fixture {
	var own []string
	if first := s.branches[t.Branch]; t.Fixture == "" && first != nil {
		own = first.Serves // a running trap's water is all that comes to it
	}
	var out []plan.Fixture
	for _, id := range p.Serves {
		f, known := s.fixtures[id]
		if !known {
			f = plan.Fixture{ID: id}
		}
		shares := id == t.Fixture || f.Trap != "" && f.Trap == t.ID || f.Into != "" && f.Into == t.Fixture || slices.Contains(own, id)
		if !shares && f.Kind != "trap_box" && f.State != plan.Removed {
			out = append(out, f)
		}
	}
	return out
}

// sharedTrap counts the fixtures whose water one seal holds back the air for.
func sharedTrap(s *site, t plan.Trap) reply.Answer {
	var ids []string
	for _, f := range s.plan.Fixtures {
		own := f.ID == t.Fixture || f.Trap != "" && f.Trap == t.ID
		if f.State != plan.Removed && f.Kind != "trap_box" && (own || s.runsInto(f, t.Fixture)) {
			ids = append(ids, f.ID)
		}
	}
	if first := s.branches[t.Branch]; t.Fixture == "" && len(ids) == 0 {
		if first == nil {
			return reply.Answer{Gap: reply.NotTold(t.ID+".branch", "what pipe trap "+t.ID+" sits in is not told")}
		}
		ids = first.Serves
	}
	return reply.Count(float64(len(ids)), func() sdk.Working {
		return sdk.Working{Formula: "fixtures that share the seal", Numbers: fmt.Sprintf("%d: %s", len(ids), strings.Join(ids, ", ")), Source: t.ID}
	})
}

// runsInto tells whether a fixture's waste ends in a trap box.
func (s *site) runsInto(f plan.Fixture, box string) bool {
	if box == "" {
		return false
	}
	if f.Into == box {
		return true
	}
	way := s.fromTrap(s.traps[f.Trap])
	return f.Trap != "" && len(way.boxes) > 0 && way.boxes[0].ID == box
}

// upstreamOfWC tells whether, in the closed pipes up to and with a segment,
// another fixture's water comes past the place where a water closet joins.
func upstreamOfWC(s *site, p *plan.Pipe) reply.Answer {
	surely, perhaps := s.aboveWC(p, map[string]bool{})
	switch {
	case surely:
		return reply.State("a fixture joins above a water closet", name, "upstream")
	case perhaps:
		return reply.State("a fixture of no told kind joins there", name, "upstream", "apart")
	}
	return reply.State("no fixture joins above a water closet", name, "apart")
}

// aboveWC looks at the junction where a segment starts: the piece of the same
// pipe comes through, the others join it there. Then it looks further up.
func (s *site) aboveWC(p *plan.Pipe, seen map[string]bool) (surely, perhaps bool) {
	if seen[p.ID] {
		return false, false
	}
	seen[p.ID] = true
	var through, joining kinds
	for _, id := range p.Upstream {
		up := s.branches[id]
		if up == nil {
			continue
		}
		above, maybe := s.aboveWC(up, seen)
		surely, perhaps = surely || above, perhaps || maybe
		if up.Whole == p.Whole {
			through = through.and(s.kindsIn(up))
		} else {
			joining = joining.and(s.kindsIn(up))
		}
	}
	surely = surely || joining.wc && through.other
	perhaps = perhaps || (joining.wc || joining.unknown) && (through.other || through.unknown)
	return surely, perhaps
}

// kinds tells what sorts of fixtures a piece carries the water of.
type kinds struct{ wc, other, unknown bool }

func (k kinds) and(o kinds) kinds {
	return kinds{k.wc || o.wc, k.other || o.other, k.unknown || o.unknown}
}

func (s *site) kindsIn(p *plan.Pipe) kinds {
	var k kinds
	for _, id := range p.Serves {
		switch f := s.fixtures[id]; {
		case f.State == plan.Removed || f.Kind == "trap_box":
		case !told(f.Kind):
			k.unknown = true
		case f.Kind == "wc":
			k.wc = true
		default:
			k.other = true
		}
	}
	return k
}
