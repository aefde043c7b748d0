package backflow

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// cistern tells whether a draw-off fills a cistern: its gap is the one inside,
// over the overflow, and has nothing to do with the rim of the pan below.
func (s *site) cistern(d plan.DrawOff) bool { return s.kind(d) == "wc" || s.kind(d) == "urinal" }

// gapOf is the height of the spout over the spill-over level, mm: as told, or
// the spout's level less the rim's.
func (s *site) gapOf(d plan.DrawOff) (plan.Reading, *sdk.Gap) {
	if d.Gap != nil {
		return *d.Gap, nil
	}
	rim := s.rim(d)
	switch {
	case s.cistern(d):
		return reply.Read(nil, d.ID+".gap", "the air gap of inlet "+d.ID+" inside its cistern")
	case s.kind(d) == "washing_machine" || s.kind(d) == "dishwasher" || s.kind(d) == "tap":
		return plan.Reading{}, reply.Outside("draw-off " + d.ID + " has no rim of a fixture under it")
	case d.Level == nil && rim == nil:
		return reply.Read(nil, d.ID+".gap", "the air between spout "+d.ID+" and the rim")
	case d.Level == nil:
		return reply.Read(nil, d.ID+".level", "the level of spout "+d.ID)
	case rim == nil:
		return reply.Read(nil, d.Fixture+".rim", "the level of the rim of fixture "+d.Fixture)
	}
	return d.Level.Minus(*rim), nil
}

func (s *site) rim(d plan.DrawOff) *plan.Reading {
	if d.Rim != nil {
		return d.Rim
	}
	return s.fixtures[d.Fixture].Rim
}

func airGap(s *site, d plan.DrawOff) reply.Answer {
	if d.Gap != nil {
		return reply.AsRead(d.Gap, "mm", d.ID+".gap", "")
	}
	height, gap := s.gapOf(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(height, func() sdk.Working {
		return sdk.Working{Formula: "level of the spout - level of the rim", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", reply.Reading(*d.Level, "mm"), reply.Reading(*s.rim(d), "mm"), reply.Reading(height, "mm"))}
	})
}

func boreOf(d plan.DrawOff) (plan.Reading, *sdk.Gap) {
	return sizes.Bore(d.Size, d.ID+".size", "the bore of draw-off "+d.ID)
}

func gapBores(s *site, d plan.DrawOff) reply.Answer {
	height, gap := s.gapOf(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	bore, gap := boreOf(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	bores, ok := interval.Quotient(height, bore)
	if !ok {
		return reply.Answer{Gap: reply.NotRead(d.ID+".size", "the bore of draw-off "+d.ID+" must be more than nothing")}
	}
	return reply.Number(bores, func() sdk.Working {
		return sdk.Working{Formula: "air gap / bore of the draw-off", Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(height, "mm"), reply.Reading(bore, "mm"), reply.Reading(bores, "1"))}
	})
}
