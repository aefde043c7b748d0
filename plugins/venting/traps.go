package venting

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// seal of a trap that is none is nothing, exactly.
func seal(_ *site, t plan.Trap) reply.Answer {
	if t.Seal == nil && len(t.Kinds) == 1 && t.Kinds[0] == "none" {
		return reply.Number(plan.Exactly(0), func() sdk.Working {
			return sdk.Working{Formula: "no trap, so no seal", Numbers: "0 mm", Source: t.ID + ".kind"}
		})
	}
	return reply.AsRead(t.Seal, "mm", t.ID+".seal", "the seal of trap "+t.ID)
}

func trapBore(_ *site, t plan.Trap) reply.Answer {
	return sizes.BoreAnswer(t.Size, t.ID+".size", "the bore of trap "+t.ID)
}

func trapKind(_ *site, t plan.Trap) reply.Answer {
	if len(t.Kinds) == 0 || slices.ContainsFunc(t.Kinds, func(k string) bool { return !reply.Allowed("trap_kind", k) }) {
		return reply.Answer{Gap: reply.NotTold(t.ID+".kind", "how trap "+t.ID+" is made is not told")}
	}
	return reply.State("as told", t.ID+".kind", t.Kinds...)
}

func trapReach(_ *site, t plan.Trap) reply.Answer {
	return reply.Word("trap_reach", t.Reach, t.ID+".reach", "how one gets at trap "+t.ID)
}

func trapCleaning(_ *site, t plan.Trap) reply.Answer {
	return reply.Word("trap_cleaning", t.Cleaning, t.ID+".cleaning", "how trap "+t.ID+" is cleaned")
}

func outletToWeir(s *site, t plan.Trap) reply.Answer {
	if len(t.Kinds) == 1 && t.Kinds[0] == "built_in" {
		return reply.Answer{Gap: reply.Outside("the trap of fixture " + t.Fixture + " is built in and has no outlet above its weir")}
	}
	outlet, gap := reply.Read(s.fixtures[t.Fixture].OutletAt, t.Fixture+".outlet.level", "the level of the outlet of fixture "+t.Fixture)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	weir, gap := reply.Read(t.Weir, t.ID+".weir", "the level of the weir of trap "+t.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	below := outlet.Minus(weir)
	return reply.Number(below, func() sdk.Working {
		return sdk.Working{Formula: "outlet to weir = level of the outlet - level of the weir", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", reply.Reading(outlet, "mm"), reply.Reading(weir, "mm"), reply.Reading(below, "mm"))}
	})
}

// seals is how many seals one trap holds: one, none, or either. A trap whose
// seal, weir or size was read is one even when its kind is not told.
func seals(t plan.Trap) (plan.Reading, bool) {
	if len(t.Kinds) == 0 || slices.Contains(t.Kinds, "unknown") {
		return plan.Exactly(1), t.Seal != nil || t.Weir != nil || t.Size != nil
	}
	r := plan.Exactly(1)
	if slices.Contains(t.Kinds, "none") {
		r.Low, r.Value = 0, 0
		if len(t.Kinds) == 1 {
			r.High = 0
		}
	}
	return r, true
}

// trapsInSeries counts the closed way only: beyond a stack, a drain or an open
// gully the water meets air. A trap of no fixture is a running trap in the pipe.
func trapsInSeries(s *site, t plan.Trap) reply.Answer {
	way := s.fromTrap(t)
	if way.gap != nil {
		return reply.Answer{Gap: way.gap}
	}
	passed := []plan.Trap{t}
	for _, box := range way.boxes {
		if in, told := s.traps[box.Trap]; told && in.State != plan.Removed {
			passed = append(passed, in)
		}
	}
	for _, p := range way.pipes {
		for _, other := range s.trapsAt[p.ID] {
			if other.Fixture == "" && other.ID != t.ID {
				passed = append(passed, other)
			}
		}
	}
	count := plan.Exactly(0)
	var ids []string
	for _, x := range passed {
		n, told := seals(x)
		if !told {
			return reply.Answer{Gap: reply.NotTold(x.ID+".kind", "whether trap "+x.ID+" holds a seal is not told")}
		}
		count = count.Plus(n)
		ids = append(ids, x.ID+" "+reply.Reading(n, "1"))
	}
	return reply.Number(count, func() sdk.Working {
		return sdk.Working{Formula: "traps the water passes before it meets air", Numbers: strings.Join(ids, " + ") + " = " + reply.Reading(count, "1"), Source: name}
	})
}
