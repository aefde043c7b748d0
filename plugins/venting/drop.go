package venting

import (
	"fmt"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// ventDropBores is the drop from the weir to where the air comes in, over the
// bore of the pipe after the trap. Where it is not sure which of several vents
// serves, the band spans the drops to all of them.
func ventDropBores(s *site, t plan.Trap) reply.Answer {
	way := s.fromTrap(t)
	list, gap := s.connections(way)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if len(way.pipes) == 0 {
		return reply.Answer{Gap: way.gap}
	}
	path := s.pathOf(way.pipes[0])
	bore, gap := sizes.Bore(way.pipes[0].Size, path+".size", "the bore of pipe "+path)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	drop, numbers, gap := s.drops(t, list)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	bores, ok := interval.Quotient(drop, bore)
	if !ok {
		return reply.Answer{Gap: reply.NotRead(path+".size", "the bore of pipe "+path+" must be more than nothing")}
	}
	return reply.Number(bores, func() sdk.Working {
		return sdk.Working{Formula: "drop from the weir to the vent / bore of the pipe", Source: name,
			Numbers: fmt.Sprintf("%s; %s / %s = %s", numbers, reply.Reading(drop, "mm"), reply.Reading(bore, "mm"), reply.Reading(bores, "1"))}
	})
}

// drops spans the drops to all connections, about the first that is sure.
func (s *site) drops(t plan.Trap, list []connection) (plan.Reading, string, *sdk.Gap) {
	var all plan.Reading
	var numbers []string
	first, settled := true, false
	for _, c := range list {
		d, gap := s.dropTo(t, c)
		if gap != nil {
			return all, "", gap
		}
		numbers = append(numbers, place(c)+" "+reply.Reading(d, "mm"))
		switch {
		case first:
			all = d
		case c.sure && !settled:
			all = interval.Hull(d, all)
		default:
			all = interval.Hull(all, d)
		}
		first, settled = false, settled || c.sure
	}
	return all, strings.Join(numbers, ", "), nil
}

// dropTo is the drop from a trap's weir to a connection: by two levels when
// both are told, else by the drops of the pipes between.
func (s *site) dropTo(t plan.Trap, c connection) (plan.Reading, *sdk.Gap) {
	at, path := s.levelOf(c)
	if t.Weir != nil && at != nil {
		return t.Weir.Minus(*at), nil
	}
	drop, gap := s.dropBy(c)
	switch {
	case gap == nil:
		return drop, nil
	case t.Weir != nil:
		return reply.Read(nil, path, "the level at "+path)
	case at != nil:
		return reply.Read(nil, t.ID+".weir", "the level of the weir of trap "+t.ID)
	}
	return drop, gap
}

// levelOf is the level of a connection as told, and its place in the document.
func (s *site) levelOf(c connection) (*plan.Reading, string) {
	if c.vent != nil {
		return c.vent.FromAt, ventPath(*c.vent, "from.level")
	}
	last := c.before[len(c.before)-1]
	return last.To.Level, s.pathOf(last) + ".to.level"
}

// dropBy adds the drops of the segments up to a connection.
func (s *site) dropBy(c connection) (plan.Reading, *sdk.Gap) {
	sum := plan.Exactly(0)
	for _, p := range c.before {
		d, gap := s.run(p).LegDrops()
		if gap != nil {
			return sum, gap
		}
		sum = sum.Plus(d)
	}
	if c.vent == nil {
		return sum, nil
	}
	along, gap := reply.Read(c.vent.Along, ventPath(*c.vent, "from.distance"), "how far along its pipe vent "+c.vent.ID+" starts")
	if gap != nil {
		return sum, gap
	}
	d, ok := s.run(c.on).DropAlong(along)
	if !ok {
		return reply.Read(nil, ventPath(*c.vent, "from.level"), "the level at which vent "+c.vent.ID+" starts")
	}
	return sum.Plus(d), nil
}
