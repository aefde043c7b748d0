package venting

import (
	"fmt"
	"strings"
	"unicode"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// bores are those of a vent and of the pipe it airs.
func (s *site) bores(v plan.Vent) (vent, pipe plan.Reading, gap *sdk.Gap) {
	vent, gap = sizes.Bore(v.Size, ventPath(v, "size"), "the bore of vent "+v.ID)
	if gap != nil {
		return vent, pipe, gap
	}
	size, path := s.sizeAired(v)
	if path == "" {
		return vent, pipe, fromGap(v)
	}
	pipe, gap = sizes.Bore(size, path, "the bore of the pipe that vent "+v.ID+" airs")
	return vent, pipe, gap
}

func fromGap(v plan.Vent) *sdk.Gap {
	return reply.NotTold(ventPath(v, "from"), "what pipe vent "+v.ID+" starts from is not told")
}

// sizeAired is the size of the pipe a vent airs and its place in the document,
// "" when nobody knows the pipe.
func (s *site) sizeAired(v plan.Vent) (*plan.Size, string) {
	id := s.airs[v.ID]
	if x, is := s.stacks[id]; is {
		return x.Size, "stacks." + id + ".size"
	}
	for _, list := range []map[string]*plan.Pipe{s.branches, s.drains} {
		if p, is := list[id]; is {
			return p.Size, s.pathOf(p) + ".size"
		}
	}
	return nil, ""
}

func ventClassStep(s *site, v plan.Vent) reply.Answer {
	vent, pipe, gap := s.bores(v)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	own, aired := s.classes.Class(vent), s.classes.Class(pipe)
	step := own.Minus(aired)
	return reply.Number(step, func() sdk.Working {
		return sdk.Working{Formula: "size class of the vent - size class of the pipe it airs", Source: sizes.Source,
			Numbers: fmt.Sprintf("%s less %s: %s - %s = %s", reply.Reading(vent, "mm"), reply.Reading(pipe, "mm"), reply.Reading(own, "mm"), reply.Reading(aired, "mm"), reply.Reading(step, "mm"))}
	})
}

func ventRatio(s *site, v plan.Vent) reply.Answer {
	vent, pipe, gap := s.bores(v)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	ratio, ok := interval.Quotient(interval.AtLeast(vent, 0), pipe)
	if !ok {
		_, path := s.sizeAired(v)
		return reply.Answer{Gap: reply.NotRead(path, "the bore of the pipe that vent "+v.ID+" airs must be more than nothing")}
	}
	return reply.Number(ratio, func() sdk.Working {
		return sdk.Working{Formula: "bore of the vent / bore of the pipe it airs", Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(vent, "mm"), reply.Reading(pipe, "mm"), reply.Reading(ratio, "1"))}
	})
}

// aboveRoof asks where a vent ends before it asks how high.
func aboveRoof(_ *site, v plan.Vent) reply.Answer {
	switch {
	case v.AboveRoof != nil || v.Ends == "roof":
		return reply.AsRead(v.AboveRoof, "mm", ventPath(v, "ends.above_roof"), "the height of vent "+v.ID+" over the roof")
	case v.Ends == "" || v.Ends == "unknown":
		return ventEnd(nil, v)
	}
	return reply.Answer{Gap: reply.Outside("vent " + v.ID + " does not end over a roof")}
}

func ventEnd(_ *site, v plan.Vent) reply.Answer {
	return reply.Word("vent_end", v.Ends, ventPath(v, "ends.where"), "where vent "+v.ID+" ends")
}

func ventCage(_ *site, v plan.Vent) reply.Answer {
	if v.Kind == "valve" {
		return reply.Answer{Gap: reply.Outside("valve " + v.ID + " has no terminal")}
	}
	return reply.Word("vent_cage", v.Cage, ventPath(v, "ends.cage"), "whether the terminal of vent "+v.ID+" has a cage")
}

// ofValve answers for a valve only: an open pipe has nothing of the kind.
func ofValve(v plan.Vent, f func() reply.Answer) reply.Answer {
	if v.Kind == "pipe" {
		return reply.Answer{Gap: reply.Outside("vent " + v.ID + " is an open pipe, not a valve")}
	}
	return f()
}

func ventReach(_ *site, v plan.Vent) reply.Answer {
	return ofValve(v, func() reply.Answer {
		return reply.Word("vent_reach", v.Reach, ventPath(v, "reach"), "how one gets at valve "+v.ID)
	})
}

// ventStandard knows EN 12380 under any national body's letters.
func ventStandard(_ *site, v plan.Vent) reply.Answer {
	return ofValve(v, func() reply.Answer {
		path := ventPath(v, "standard")
		if v.Standard == "" || v.Standard == "unknown" {
			return reply.Answer{Gap: reply.NotTold(path, "the product standard stamped on valve "+v.ID+" is not told")}
		}
		plain := strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return unicode.ToLower(r)
			}
			return -1
		}, v.Standard)
		if strings.Contains(plain, "en12380") {
			return reply.State("stamped "+v.Standard, path, "en_12380")
		}
		return reply.State("stamped "+v.Standard, path, "other")
	})
}

func ventPlace(_ *site, v plan.Vent) reply.Answer {
	return ofValve(v, func() reply.Answer {
		return reply.Word("vent_place", v.Place, ventPath(v, "place"), "whether valve "+v.ID+" sits heated, unheated or outside")
	})
}

func freeArea(_ *site, v plan.Vent) reply.Answer {
	return ofValve(v, func() reply.Answer {
		return reply.AsRead(v.FreeArea, "mm²", ventPath(v, "free_area"), "the free opening that lets air to valve "+v.ID)
	})
}

func aboveOpening(_ *site, o plan.TerminalOpening) reply.Answer {
	return reply.AsRead(o.Below, "mm", terminalPath(o, "below"), "how far the top edge of "+o.B+" lies below the end of vent "+o.A)
}

func asideOpening(_ *site, o plan.TerminalOpening) reply.Answer {
	return reply.AsRead(o.Aside, "mm", terminalPath(o, "aside"), "the level distance from the end of vent "+o.A+" to "+o.B)
}

func terminalPath(o plan.TerminalOpening, word string) string {
	return "vents." + o.A + ".ends.openings." + o.B + "." + word
}

// overSpill is the height of a vent's end over the highest rim of what it
// serves.
func overSpill(s *site, v plan.Vent) reply.Answer {
	highest, gap := s.highestRim(v)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	end, gap := reply.Read(v.EndsAt, ventPath(v, "ends.level"), "the level at which vent "+v.ID+" ends")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	height := end.Minus(highest)
	return reply.Number(height, func() sdk.Working {
		return sdk.Working{Formula: "level of the vent's end - highest rim it serves", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", reply.Reading(end, "mm"), reply.Reading(highest, "mm"), reply.Reading(height, "mm"))}
	})
}

// served are the fixtures whose water passes where a vent starts.
func (s *site) served(v plan.Vent) ([]string, *sdk.Gap) {
	id := s.airs[v.ID]
	if x, is := s.stacks[id]; is {
		return x.Serves, nil
	}
	for _, list := range []map[string]*plan.Pipe{s.branches, s.drains} {
		if p, is := list[id]; is {
			return p.Serves, nil
		}
	}
	return nil, fromGap(v)
}
