package venting

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// drying is what an unused seal loses a day, mm. "About 1 mm" is DIN 1986-100
// as quoted by the trade press (read); half of it in a cool still room and
// twice in a warm draughty one is common practice, no source.
var drying = plan.Reading{Low: 0.5, Value: 1, High: 2, How: plan.Computed}

// dryDays is how long a seal of a fixture that is seldom used stands until 25 mm
// are left, what DIN 1986-100 wants to stay (read).
func dryDays(s *site, t plan.Trap) reply.Answer {
	if s.fixtures[t.Fixture].Use == "continuous" {
		return reply.Answer{Gap: reply.Outside("fixture " + t.Fixture + " is used all the time, so its seal is refilled")}
	}
	depth := seal(s, t)
	if depth.Gap != nil {
		return depth
	}
	spare := interval.AtLeast(depth.Reading().Minus(plan.Exactly(sealKept)), 0)
	days, ok := interval.Quotient(spare, s.drying)
	if !ok {
		return reply.Answer{Gap: reply.Outside("a seal that does not dry stands for ever")}
	}
	return reply.Number(days, func() sdk.Working {
		return sdk.Working{Formula: "(seal - 25 mm) / what dries a day",
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(spare, "mm"), reply.Reading(s.drying, "mm"), reply.Reading(days, "1")),
			Source:  "DIN 1986-100: about 1 mm a day; its spread is common practice, no source"}
	})
}
