package venting

import (
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func footBend(_ *site, x plan.Stack) reply.Answer {
	return reply.Word("foot_bend", x.FootBend, "stacks."+x.ID+".foot.bend", "how the bend at the foot of stack "+x.ID+" is made")
}

func stackOffset(_ *site, x plan.Stack) reply.Answer {
	return reply.Word("stack_offset", x.HasOffset, "stacks."+x.ID+".offset", "whether stack "+x.ID+" has an offset")
}

// stackVented counts as open a pipe that surely airs drainage and may end in
// the open air or in another stack's vent; one that ends in a room or loft does
// not. A pipe that only may leaves the words without it possible as well.
func stackVented(s *site, x plan.Stack) reply.Answer {
	if !s.ventsTold() {
		return reply.Answer{Gap: reply.NotTold("vents", "what vents the head of stack "+x.ID+" is not told")}
	}
	list := s.ventsOn[x.ID]
	var ids []string
	mayOpen, mayValve, valve := false, false, false
	for _, v := range list {
		if !may(v) {
			continue
		}
		ids = append(ids, v.ID)
		open, perhaps := opens(v)
		if open {
			return reply.State("open vent: "+v.ID, ventPath(v, "known"), "open")
		}
		mayOpen = mayOpen || perhaps
		mayValve = mayValve || v.Kind != "pipe"
		valve = valve || v.Kind == "valve" && sure(v)
	}
	for _, v := range s.loose {
		if may(v) && v.FromKind != "branch" && v.FromKind != "drain" {
			ids = append(ids, v.ID)
			mayOpen, mayValve = mayOpen || v.Kind != "valve", mayValve || v.Kind != "pipe"
		}
	}
	var words []string
	if mayOpen {
		words = append(words, "open")
	}
	if mayValve {
		words = append(words, "valve")
	}
	if !valve {
		words = append(words, "none")
	}
	formula := "no vent starts from it"
	if len(ids) > 0 {
		formula = "vents that may air it: " + strings.Join(ids, ", ")
	}
	return reply.State(formula, name, words...)
}

// opens tells whether a vent surely, or perhaps, leaves a stack's head open.
func opens(v plan.Vent) (surely, perhaps bool) {
	if v.Kind == "valve" || !may(v) {
		return false, false
	}
	end, mayEnd := toAir(v)
	if v.Ends == "stack_vent" {
		end, mayEnd = true, true
	}
	return v.Kind == "pipe" && sure(v) && end, mayEnd
}

// openVents counts as certain only what surely airs drainage and surely ends
// in the open air; whatever may do so widens the band upwards.
func openVents(s *site) reply.Answer {
	if !s.ventsTold() {
		return reply.Answer{Gap: reply.NotTold("vents", "what vents the house has is not told")}
	}
	count := plan.Exactly(0)
	var stay, perhaps []string
	for _, v := range s.plan.Vents {
		end, mayEnd := toAir(v)
		switch {
		case v.Kind == "valve" || !may(v) || !mayEnd:
		case v.Kind == "pipe" && sure(v) && end:
			count = count.Plus(plan.Exactly(1))
			stay = append(stay, v.ID)
		default:
			count.High++
			perhaps = append(perhaps, v.ID)
		}
	}
	return reply.Number(count, func() sdk.Working {
		text := reply.Reading(count, "1") + ": " + strings.Join(stay, ", ")
		if len(perhaps) > 0 {
			text += "; perhaps " + strings.Join(perhaps, ", ")
		}
		return sdk.Working{Formula: "open drain vents that stay", Numbers: text, Source: name}
	})
}

func storeys(s *site) reply.Answer {
	r := s.plan.House.Storeys
	if r == nil {
		return reply.Answer{Gap: reply.NotTold("house.storeys", "how many storeys the house has is not told")}
	}
	return reply.AsRead(r, "1", "house.storeys", "")
}

func dwellings(s *site) reply.Answer {
	r := s.plan.House.Dwellings
	if r == nil {
		return reply.Answer{Gap: reply.NotTold("house.dwellings", "how many dwellings the house has is not told")}
	}
	return reply.AsRead(r, "1", "house.dwellings", "")
}

// ofHouse answers for a subject what holds of the whole house.
func ofHouse[T any](f func(*site) reply.Answer) func(*site, T) reply.Answer {
	return func(s *site, _ T) reply.Answer { return f(s) }
}
