package venting

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// seal of a trap that is none is nothing, exactly.
func seal(_ *site, t plan.Trap) answer {
	if t.Seal == nil && len(t.Kinds) == 1 && t.Kinds[0] == "none" {
		return number(plan.Exactly(0), func() sdk.Working {
			return sdk.Working{Formula: "no trap, so no seal", Numbers: "0 mm", Source: t.ID + ".kind"}
		})
	}
	return asRead(t.Seal, "mm", t.ID+".seal", "the seal of trap "+t.ID)
}

func trapBore(_ *site, t plan.Trap) answer {
	return boreAnswer(t.Size, t.ID+".size", "the bore of trap "+t.ID)
}

func boreAnswer(size *plan.Size, path, what string) answer {
	bore, gap := boreOf(size, path, what)
	if gap != nil {
		return answer{gap: gap}
	}
	return number(bore, func() sdk.Working {
		return sdk.Working{Formula: "as read or by the stock table", Numbers: strings.TrimSpace(size.Stamp+" "+show(bore, "mm")) + how(bore), Source: source(size, path)}
	})
}

func boreOf(size *plan.Size, path, what string) (plan.Reading, *sdk.Gap) {
	if size == nil {
		return read(nil, path, what)
	}
	return read(size.Bore, path, what)
}

// source of a bore: the stock table with how well it is confirmed, or the
// reading's place.
func source(size *plan.Size, path string) string {
	if size.Source == "" {
		return path
	}
	if size.Basis == "" {
		return size.Source
	}
	return size.Source + " (" + size.Basis + ")"
}

func trapKind(_ *site, t plan.Trap) answer {
	if len(t.Kinds) == 0 || slices.ContainsFunc(t.Kinds, func(k string) bool { return !allowed("trap_kind", k) }) {
		return missing(sdk.NotTold, t.ID+".kind", "how trap "+t.ID+" is made is not told")
	}
	return state("as told", t.ID+".kind", t.Kinds...)
}

func trapReach(_ *site, t plan.Trap) answer {
	return word("trap_reach", t.Reach, t.ID+".reach", "how one gets at trap "+t.ID)
}

func trapCleaning(_ *site, t plan.Trap) answer {
	return word("trap_cleaning", t.Cleaning, t.ID+".cleaning", "how trap "+t.ID+" is cleaned")
}

func outletToWeir(s *site, t plan.Trap) answer {
	if len(t.Kinds) == 1 && t.Kinds[0] == "built_in" {
		return without("the trap of fixture " + t.Fixture + " is built in and has no outlet above its weir")
	}
	outlet, gap := read(s.fixtures[t.Fixture].OutletAt, t.Fixture+".outlet.level", "the level of the outlet of fixture "+t.Fixture)
	if gap != nil {
		return answer{gap: gap}
	}
	weir, gap := read(t.Weir, t.ID+".weir", "the level of the weir of trap "+t.ID)
	if gap != nil {
		return answer{gap: gap}
	}
	below := outlet.Minus(weir)
	return number(below, func() sdk.Working {
		return sdk.Working{Formula: "outlet to weir = level of the outlet - level of the weir", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", show(outlet, "mm"), show(weir, "mm"), show(below, "mm"))}
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
func trapsInSeries(s *site, t plan.Trap) answer {
	way := s.fromTrap(t)
	if way.gap != nil {
		return answer{gap: way.gap}
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
			return missing(sdk.NotTold, x.ID+".kind", "whether trap "+x.ID+" holds a seal is not told")
		}
		count = count.Plus(n)
		ids = append(ids, x.ID+" "+show(n, "1"))
	}
	return number(count, func() sdk.Working {
		return sdk.Working{Formula: "traps the water passes before it meets air", Numbers: strings.Join(ids, " + ") + " = " + show(count, "1"), Source: name}
	})
}
