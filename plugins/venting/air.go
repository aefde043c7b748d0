package venting

import (
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// connection is a place where air may reach a trap: a vent on a pipe of its
// way, or the way's end.
type connection struct {
	vent   *plan.Vent   // nil at the way's end
	before []*plan.Pipe // segments passed whole
	on     *plan.Pipe   // segment the vent sits on, nil at the end
	sure   bool
}

// connections are all vents on the way up to the first segment that surely has
// one, or else up to the end. The gap says why they cannot be told.
func (s *site) connections(way route) ([]connection, *sdk.Gap) {
	var found []connection
	for i, p := range way.pipes {
		surely := false
		for _, v := range s.ventsOn[p.ID] {
			if may(v) {
				found = append(found, connection{vent: &v, before: way.pipes[:i], on: p, sure: sure(v)})
				surely = surely || sure(v)
			}
		}
		if surely {
			return found, nil
		}
		if gap := s.hidden(p); gap != nil {
			return nil, gap
		}
	}
	if way.gap != nil {
		return nil, way.gap
	}
	return append(found, connection{before: way.pipes, sure: true}), nil
}

// hidden asks for the vents that nobody may have written down: any on an
// existing pipe when nobody told of vents, or one that may sit on this pipe.
func (s *site) hidden(p *plan.Pipe) *sdk.Gap {
	if p.State == plan.Existing && !s.ventsTold() {
		return reply.NotTold("vents", "what vents the existing pipe "+s.pathOf(p)+" has is not told")
	}
	if v := s.looseOn(p); v != nil {
		return reply.NotTold(ventPath(*v, "from"), "what pipe vent "+v.ID+" starts from is not told")
	}
	return nil
}

// looseOn is a vent of unknown start that may sit on a pipe: an existing vent
// on an existing pipe only, for a new pipe's vents are drawn with it.
func (s *site) looseOn(p *plan.Pipe) *plan.Vent {
	for i, v := range s.loose {
		branch := v.FromKind == "" || v.FromKind == "unknown" || v.FromKind == "branch"
		if may(v) && branch && (v.State != plan.Existing || p.State == plan.Existing) {
			return &s.loose[i]
		}
	}
	return nil
}

func trapVentedBy(s *site, t plan.Trap) reply.Answer {
	return s.ventedBy(s.fromTrap(t), nil)
}

// branchVentedBy counts a vent on an earlier segment of the same pipe too: its
// air reaches the whole pipe.
func branchVentedBy(s *site, p *plan.Pipe) reply.Answer {
	return s.ventedBy(s.follow(p.ID), s.earlier(p, map[string]bool{}))
}

// earlier are the segments of the same whole pipe upstream.
func (s *site) earlier(p *plan.Pipe, seen map[string]bool) []*plan.Pipe {
	var out []*plan.Pipe
	for _, id := range p.Upstream {
		up, known := s.branches[id]
		if known && up.Whole == p.Whole && !seen[id] {
			seen[id] = true
			out = append(out, up)
			out = append(out, s.earlier(up, seen)...)
		}
	}
	return out
}

// met is a vent that may serve, and the segment of the way that it sits on.
type met struct {
	vent plan.Vent
	on   *plan.Pipe
}

// vents are those on the first segment that surely has one, and those that may
// serve before it; surely tells whether there is such a segment.
func (s *site) vents(pipes []*plan.Pipe) (list []met, surely bool, gap *sdk.Gap) {
	for _, p := range pipes {
		for _, v := range s.ventsOn[p.ID] {
			if may(v) {
				list = append(list, met{v, p})
			}
		}
		if slices.ContainsFunc(s.ventsOn[p.ID], sure) {
			return list, true, nil
		}
		if v := s.looseOn(p); v != nil {
			list = append(list, met{*v, p})
		} else if gap := s.hidden(p); gap != nil {
			return nil, false, gap
		}
	}
	return list, false, nil
}

func names(list []met) string {
	var ids []string
	for _, m := range list {
		ids = append(ids, m.vent.ID)
	}
	return strings.Join(ids, ", ")
}

// ventedBy names the vents on the first segment that surely has one, and those
// that may serve before it. Without one it is the stack, when the pipe itself ends at a stack, and
// nothing when it joins another pipe, a box, a drain or an open end.
func (s *site) ventedBy(way route, earlier []*plan.Pipe) reply.Answer {
	pipes := slices.Clone(way.pipes)
	if len(pipes) > 0 {
		pipes = slices.Insert(pipes, 1, earlier...)
	}
	list, surely, gap := s.vents(pipes)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var words []string
	for _, m := range list {
		words = append(words, wordsOf(m.vent)...)
	}
	if surely {
		return reply.State("vents on the way: "+names(list), name, distinct(words)...)
	}
	if way.gap != nil {
		return reply.Answer{Gap: way.gap}
	}
	last := "none"
	if way.end.Kind == "stack" && len(way.boxes) == 0 && oneWhole(way.pipes) {
		last = "stack"
	}
	return reply.State(withoutOne(way, list), name, distinct(append(words, last))...)
}

// withoutOne words a way that has no vent which surely serves.
func withoutOne(way route, list []met) string {
	if len(list) > 0 {
		return "vents that may serve: " + names(list)
	}
	return "no vent on the way, which ends at a " + way.end.Kind
}

func oneWhole(pipes []*plan.Pipe) bool {
	for _, p := range pipes {
		if p.Whole != pipes[0].Whole {
			return false
		}
	}
	return true
}

func distinct(words []string) []string {
	var out []string
	for _, w := range words {
		if !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}

// lengths sums whole segments.
func (s *site) lengths(pipes []*plan.Pipe) (plan.Reading, *sdk.Gap) {
	sum := plan.Exactly(0)
	for _, stretch := range stretches(pipes) {
		l, gap := s.stretchLength(stretch)
		if gap != nil {
			return sum, gap
		}
		sum = sum.Plus(l)
	}
	return sum, nil
}

// stretches groups neighbours that are pieces of one pipe.
func stretches(pipes []*plan.Pipe) [][]*plan.Pipe {
	var out [][]*plan.Pipe
	for i, p := range pipes {
		if i > 0 && p.Whole == pipes[i-1].Whole {
			out[len(out)-1] = append(out[len(out)-1], p)
			continue
		}
		out = append(out, []*plan.Pipe{p})
	}
	return out
}

// stretchLength takes pieces up to their pipe's end as the one length they are:
// where the pipe is cut is one reading, and counts once.
func (s *site) stretchLength(pieces []*plan.Pipe) (plan.Reading, *sdk.Gap) {
	last := pieces[len(pieces)-1]
	if first := pieces[0]; first.Beyond != nil && !strings.HasPrefix(last.To.ID, last.Whole+"/") {
		return *first.Beyond, nil
	}
	sum := plan.Exactly(0)
	for _, p := range pieces {
		l, gap := s.lengthOf(p)
		if gap != nil {
			return sum, gap
		}
		sum = sum.Plus(l)
	}
	return sum, nil
}

// distance from the trap to a connection, along the pipes.
func (s *site) distance(c connection) (plan.Reading, *sdk.Gap) {
	sum, gap := s.lengths(c.before)
	if gap != nil || c.vent == nil {
		return sum, gap
	}
	along, gap := reply.Read(c.vent.Along, ventPath(*c.vent, "from.distance"), "how far along its pipe vent "+c.vent.ID+" starts")
	return sum.Plus(along), gap
}

// toStack is the developed length; what a trap box takes up itself is left out.
func toStack(s *site, t plan.Trap) reply.Answer {
	way := s.fromTrap(t)
	if way.gap != nil {
		return reply.Answer{Gap: way.gap}
	}
	sum, gap := s.lengths(way.pipes)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(sum, func() sdk.Working {
		return sdk.Working{Formula: "sum of the lengths from the trap to the " + way.end.Kind, Numbers: reply.Sum(s.parts(way.pipes), reply.Reading(sum, "mm")), Source: name}
	})
}

// parts writes the lengths that are added.
func (s *site) parts(pipes []*plan.Pipe) []string {
	var parts []string
	for _, stretch := range stretches(pipes) {
		l, _ := s.stretchLength(stretch)
		name := stretch[0].ID
		if len(stretch) > 1 {
			name += " to its end"
		}
		parts = append(parts, name+" "+reply.Reading(l, "mm"))
	}
	return parts
}

// partsTo adds how far along its own pipe a vent starts.
func (s *site) partsTo(c connection) []string {
	parts := s.parts(c.before)
	if c.vent != nil && c.vent.Along != nil {
		parts = append(parts, "along "+c.on.ID+" "+reply.Reading(*c.vent.Along, "mm"))
	}
	return parts
}

// toVent is the least distance to a vent that surely serves, or to the end; a
// vent that only may serve can bring it nearer and so lowers the low end alone.
func toVent(s *site, t plan.Trap) reply.Answer {
	list, gap := s.connections(s.fromTrap(t))
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var nearest *plan.Reading
	var perhaps []plan.Reading
	var numbers []string
	for _, c := range list {
		d, gap := s.distance(c)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		numbers = append(numbers, place(c)+": "+reply.Sum(s.partsTo(c), reply.Reading(d, "mm")))
		switch {
		case !c.sure:
			perhaps = append(perhaps, d)
		case nearest == nil:
			nearest = &d
		default:
			*nearest = interval.Lesser(*nearest, d)
		}
	}
	for _, d := range perhaps {
		nearest.Low = min(nearest.Low, d.Low)
	}
	return reply.Number(*nearest, func() sdk.Working {
		return sdk.Working{Formula: "length along the pipes to the nearest vent, or else to the end", Numbers: strings.Join(numbers, "; "), Source: name}
	})
}

func place(c connection) string {
	if c.vent == nil {
		return "the end"
	}
	if c.sure {
		return "vent " + c.vent.ID
	}
	return "vent " + c.vent.ID + " (may serve)"
}
