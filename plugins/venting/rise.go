package venting

import (
	"fmt"
	"slices"

	"fallrule/plugins/course"
	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// ventRise is how far over the highest rim it serves a vent first turns level.
// Below that rim a blocked waste would fill it, and what settles in its level
// piece never washes out. A vent that turns at once has a negative rise.
func ventRise(s *site, v plan.Vent) reply.Answer {
	rim, gap := s.highestRim(v)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	start, gap := reply.Read(v.FromAt, ventPath(v, "from.level"), "the level at which vent "+v.ID+" starts")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	up, gap := upright(v)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	rise := start.Plus(up).Minus(rim)
	return reply.Number(rise, func() sdk.Working {
		return sdk.Working{Formula: "level of the connection + upright height before the first level piece - highest rim it serves", Source: name,
			Numbers: fmt.Sprintf("%s + %s - %s = %s", reply.Reading(start, "mm"), reply.Reading(up, "mm"), reply.Reading(rim, "mm"), reply.Reading(rise, "mm"))}
	})
}

// upright is how much a vent rises, mm, in its pieces of 45° and steeper before
// the first that lies flatter. Its whole length alone tells no course.
func upright(v plan.Vent) (plan.Reading, *sdk.Gap) {
	ask := reply.NotRead(ventPath(v, "runs"), "how far vent "+v.ID+" rises before it turns level is not told")
	first := slices.IndexFunc(v.Legs, func(l plan.Leg) bool { return !l.Steep })
	switch {
	case len(v.Legs) == 0:
		return plan.Reading{}, ask
	case first < 0:
		first = len(v.Legs)
	case v.Legs[first].Along == nil && v.Legs[first].Drop == nil && v.Legs[first].Fall == nil:
		return plan.Reading{}, ask
	}
	if first == 0 {
		return plan.Exactly(0), nil
	}
	drop, gap := course.Run{Path: "vents." + v.ID, Legs: v.Legs[:first]}.LegDrops()
	if gap != nil {
		return plan.Reading{}, ask
	}
	return drop.Times(-1), nil
}

// highestRim is the level of the highest rim whose water passes where a vent
// starts. Trap boxes and taps have no rim that water could spill over.
func (s *site) highestRim(v plan.Vent) (plan.Reading, *sdk.Gap) {
	served, gap := s.served(v)
	if gap != nil {
		return plan.Reading{}, gap
	}
	var highest *plan.Reading
	for _, id := range served {
		f := s.fixtures[id]
		if f.Kind == "trap_box" || f.Kind == "tap" {
			continue
		}
		rim, gap := reply.Read(f.Rim, id+".rim", "the level of the rim of fixture "+id)
		if gap != nil {
			return plan.Reading{}, gap
		}
		if highest != nil {
			rim = interval.Greater(*highest, rim)
		}
		highest = &rim
	}
	if highest == nil {
		return plan.Reading{}, reply.Outside("vent " + v.ID + " serves no fixture with a rim")
	}
	return *highest, nil
}
