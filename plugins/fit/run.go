package fit

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/course"
	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// lying is a run in its floor: inverts at the ends of its near-level part, the
// boards' underside, and half of what is outside of it.
type lying struct {
	start, end, axis, under plan.Reading
	outside
	floor *plan.Floor
}

func (s *site) lie(p *plan.Pipe) (l lying, gap *sdk.Gap) {
	if l.floor, gap = s.floorOf(p); gap != nil {
		return l, gap
	}
	if l.outside, gap = widest(p); gap != nil {
		return l, gap
	}
	if l.axis, gap = axis(p); gap != nil {
		return l, gap
	}
	if l.start, l.end, gap = course.Of(*p, reply.BranchPath(p)).Bed(); gap != nil {
		return l, gap
	}
	l.under, gap = underside(l.floor)
	return l, gap
}

// boardsLeft is over the higher end of the run.
func (s *site) boardsLeft(p *plan.Pipe) reply.Answer {
	l, gap := s.lie(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	invert := interval.Greater(l.start, l.end)
	left := l.under.Minus(invert).Minus(l.axis).Minus(l.across.Times(0.5))
	return reply.Number(left, func() sdk.Working {
		numbers := fmt.Sprintf("%s - (%s + %s + %s) = %s; outside of %s", reply.Value(l.under.Value, "mm"), reply.Value(invert.Value, "mm"),
			reply.Value(l.axis.Value, "mm"), reply.Value(l.across.Value/2, "mm"), reply.Reading(left, "mm"), l.of)
		return sdk.Working{Formula: "room = level of the boards' underside - (invert at the run's higher end + half the bore + half the outside)", Numbers: numbers, Source: source}
	})
}

// voidLeft is under the lower end of the run.
func (s *site) voidLeft(p *plan.Pipe) reply.Answer {
	l, gap := s.lie(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	deep, gap := clear(l.floor)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	invert := interval.Lesser(l.start, l.end)
	stop := l.under.Minus(deep)
	left := invert.Plus(l.axis).Minus(l.across.Times(0.5)).Minus(stop)
	return reply.Number(left, func() sdk.Working {
		numbers := fmt.Sprintf("(%s + %s - %s) - (%s - %s) = %s; outside of %s", reply.Value(invert.Value, "mm"), reply.Value(l.axis.Value, "mm"), reply.Value(l.across.Value/2, "mm"),
			reply.Value(l.under.Value, "mm"), reply.Value(deep.Value, "mm"), reply.Reading(left, "mm"), l.of)
		return sdk.Working{Formula: "room = (invert at the run's lower end + half the bore - half the outside) - (level of the boards' underside - void)", Numbers: numbers, Source: source}
	})
}

// room is the height that a run has to fall in.
func (s *site) room(p *plan.Pipe) (room plan.Reading, numbers string, gap *sdk.Gap) {
	f, gap := s.floorOf(p)
	if gap != nil {
		return room, "", gap
	}
	high, within, gap := s.height(p, f)
	if gap != nil {
		return room, "", gap
	}
	o, gap := widest(p)
	if gap != nil {
		return room, "", gap
	}
	room = high.Minus(o.across)
	return room, fmt.Sprintf("%s, outside of %s: %s - %s = %s", within, o.of, reply.Value(high.Value, "mm"), reply.Value(o.across.Value, "mm"), reply.Reading(room, "mm")), nil
}

func (s *site) fallRoom(p *plan.Pipe) reply.Answer {
	room, numbers, gap := s.room(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(room, reply.By("room to fall in = height of the void (and of the joists crossed) - outside", numbers, source))
}

func (s *site) steepestFit(p *plan.Pipe) reply.Answer {
	room, numbers, gap := s.room(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	path := reply.BranchPath(p)
	along, gap := course.Of(*p, path).NearLevel()
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	fall, ok := interval.Quotient(room.Times(1000), along)
	if !ok {
		return reply.Answer{Gap: reply.NotRead(path+".length", "the level length of "+path+" must be more than nothing")}
	}
	return reply.Number(fall, func() sdk.Working {
		return sdk.Working{Formula: "steepest fall = room to fall in / level length", Source: source,
			Numbers: fmt.Sprintf("%s; %s / %s = %s", numbers, reply.Value(room.Value, "mm"), reply.Value(along.Value, "mm"), reply.Reading(fall, "mm/m"))}
	})
}

// lengthFits is nothing where the pipe itself does not fit.
func (s *site) lengthFits(p *plan.Pipe) reply.Answer {
	room, numbers, gap := s.room(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	path := reply.BranchPath(p)
	fall := course.Of(*p, path).Fall()
	switch {
	case fall.Gap != nil:
		return fall
	case fall.Band.High <= 0:
		return reply.Answer{Gap: reply.Outside("pipe " + path + " does not fall, so its fall uses up no room")}
	}
	length, ok := interval.Quotient(interval.AtLeast(room, 0).Times(1000), fall.Reading())
	if !ok {
		return reply.Answer{Gap: reply.NotRead(path+".drop", "it is not sure that "+path+" falls at all, so how long it may be is not known")}
	}
	return reply.Number(length, func() sdk.Working {
		return sdk.Working{Formula: "length that fits = room to fall in / fall of the run", Source: source,
			Numbers: fmt.Sprintf("%s; %s / %s = %s", numbers, reply.Value(room.Value, "mm"), reply.Value(fall.Band.Value, "mm/m"), reply.Reading(length, "mm"))}
	})
}

// joistsMet counts the joists that the run crosses, and those an opening of
// which is for it. Of a run told by points on a floor whose joists are all placed
// there are none but these, be it none at all. Where its course is not known the
// openings alone are known, and it may meet any other joist of the floor.
func (s *site) joistsMet(p *plan.Pipe) reply.Answer {
	f, gap := s.floorOf(p)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	path := reply.BranchPath(p)
	met := s.met(p)
	n := float64(len(met))
	const formula = "joists that the run crosses, counted"
	if s.measured[path] || p.Placed && s.allPlaced(f) {
		return reply.Count(n, reply.By(formula, strings.Join(append(met, reply.Value(n, "1")), ", "), path))
	}
	if len(met) == 0 {
		return reply.Answer{Gap: reply.NotRead(path+".points", "nobody has told the course of "+path+" across the floor, so which joists it meets is not known")}
	}
	most := n
	for _, j := range s.joists {
		if j.Floor == f.ID && !slices.Contains(met, j.ID) {
			most++
		}
	}
	out := plan.Reading{Low: n, Value: n, High: most, How: plan.Computed}
	return reply.Number(out, reply.By(formula, "openings for it in "+strings.Join(met, ", ")+": "+reply.Reading(out, "1"), path))
}

// allPlaced tells whether a floor has joists and of each is told where it lies
// and which way it runs.
func (s *site) allPlaced(f *plan.Floor) bool {
	some := false
	for _, j := range s.joists {
		if j.Floor != f.ID && (j.Floor != "" || len(s.floors) > 1) {
			continue
		}
		if j.At == nil || j.Along != "x" && j.Along != "y" {
			return false
		}
		some = true
	}
	return some
}

// met are the ids of the joists that a segment surely meets. An opening for a
// pipe that is cut into segments may be any segment's.
func (s *site) met(p *plan.Pipe) []string {
	var ids []string
	for _, c := range s.crossings[p.ID] {
		if !slices.Contains(ids, c.B) {
			ids = append(ids, c.B)
		}
	}
	for _, o := range s.openings {
		if o.For == p.ID && !slices.Contains(ids, o.Joist) {
			ids = append(ids, o.Joist)
		}
	}
	return ids
}

// cutFor tells whether an opening is for a segment or the whole pipe it is of.
func cutFor(o *plan.Opening, p *plan.Pipe) bool {
	return o.For != "" && (o.For == p.ID || o.For == reply.BranchPath(p))
}
