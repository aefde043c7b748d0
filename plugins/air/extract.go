package air

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// extract is the flow of a room's fans, l/s, and how it adds up; or the gap.
func (s *site) extract(r plan.Room) (plan.Reading, []string, *sdk.Gap) {
	sum, parts := plan.Exactly(0), []string{}
	if !s.told {
		return sum, nil, reply.NotTold("air.fan", "whether room "+r.ID+" has a fan is not told")
	}
	for _, f := range s.fans {
		if f.Room == "" {
			return sum, nil, reply.NotTold(path(f)+".room", "what room fan "+f.ID+" draws from is not told")
		}
		if f.Room != r.ID {
			continue
		}
		flow, gap := reply.Read(f.Flow, path(f)+".flow", "the flow of fan "+f.ID)
		if gap != nil {
			return sum, nil, gap
		}
		sum = sum.Plus(interval.AtLeast(flow, 0))
		parts = append(parts, f.ID+" "+reply.Reading(flow, "l/s")+reply.How(flow))
	}
	return sum, parts, nil
}

func extractFlow(s *site, r plan.Room) reply.Answer {
	sum, parts, gap := s.extract(r)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(sum, func() sdk.Working {
		numbers := "no fan: 0 l/s"
		if len(parts) > 0 {
			numbers = reply.Sum(parts, reply.Reading(sum, "l/s"))
		}
		return sdk.Working{Formula: "sum of the flows of the room's fans", Numbers: numbers, Source: "air"}
	})
}

// cubicMetre in mm³.
const cubicMetre = 1e9

// hourly turns l/s into m³/h.
const hourly = 3.6

// airChanges is how often in an hour the fans move the room's volume.
func airChanges(s *site, r plan.Room) reply.Answer {
	flow, _, gap := s.extract(r)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if flow.High == 0 {
		return reply.Count(0, reply.By("flow over volume", "no fan: 0 l/s", "air"))
	}
	volume, gap := volumeOf(r)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	changes, ok := interval.Quotient(flow.Times(hourly), volume)
	if !ok {
		return reply.Answer{Gap: reply.Outside("the readings leave the room no volume: measure again")}
	}
	return reply.Number(changes, func() sdk.Working {
		return sdk.Working{
			Formula: "air changes = flow in m³/h over length x width x height",
			Numbers: fmt.Sprintf("%s m³/h / %s m³ = %s", reply.Reading(flow.Times(hourly), "1"), reply.Reading(volume, "1"), reply.Reading(changes, "1")),
			Source:  "rooms." + r.ID,
		}
	})
}

// volumeOf a room in m³: its plan's two sides and its height.
func volumeOf(r plan.Room) (plan.Reading, *sdk.Gap) {
	at := "rooms." + r.ID
	if len(r.Sides) < 2 {
		return plan.Reading{}, reply.NotRead(at+".size", "the plan of room "+r.ID+" is not measured")
	}
	height, gap := reply.Read(r.Height, at+".height", "the height of room "+r.ID)
	if gap != nil {
		return plan.Reading{}, gap
	}
	volume := interval.AtLeast(height, 0)
	for _, side := range r.Sides[:2] {
		volume = interval.Product(volume, interval.AtLeast(side, 0))
	}
	return volume.Times(1 / cubicMetre), nil
}
