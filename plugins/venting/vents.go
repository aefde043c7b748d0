package venting

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// leastBore is the least inner diameter in mm of every nominal size, EN
// 12056-2:2000, Table 1 (read in a public quotation of it).
var leastBore = []struct{ size, bore float64 }{
	{30, 26}, {40, 34}, {50, 44}, {56, 49}, {60, 56}, {70, 68}, {80, 75}, {90, 79},
	{100, 96}, {125, 113}, {150, 146}, {200, 184}, {225, 207}, {250, 230}, {300, 290},
}

// classOf is the greatest nominal size whose least bore a bore has; 0 is
// below all. An open end stays open.
func classOf(bore plan.Reading) plan.Reading {
	class := func(b float64) float64 {
		if math.IsInf(b, 0) {
			return b
		}
		size := 0.0
		for _, row := range leastBore {
			if b >= row.bore {
				size = row.size
			}
		}
		return size
	}
	return plan.Reading{Low: class(bore.Low), Value: class(bore.Value), High: class(bore.High), How: plan.Computed}
}

// bores are those of a vent and of the pipe it airs.
func (s *site) bores(v plan.Vent) (vent, pipe plan.Reading, gap *sdk.Gap) {
	vent, gap = boreOf(v.Size, ventPath(v, "size"), "the bore of vent "+v.ID)
	if gap != nil {
		return vent, pipe, gap
	}
	size, path := s.sizeAired(v)
	if path == "" {
		return vent, pipe, fromGap(v)
	}
	pipe, gap = boreOf(size, path, "the bore of the pipe that vent "+v.ID+" airs")
	return vent, pipe, gap
}

func fromGap(v plan.Vent) *sdk.Gap {
	return missing(sdk.NotTold, ventPath(v, "from"), "what pipe vent "+v.ID+" starts from is not told").gap
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

func ventClassStep(s *site, v plan.Vent) answer {
	vent, pipe, gap := s.bores(v)
	if gap != nil {
		return answer{gap: gap}
	}
	step := classOf(vent).Minus(classOf(pipe))
	return number(step, func() sdk.Working {
		return sdk.Working{Formula: "size class of the vent - size class of the pipe it airs", Source: "EN 12056-2:2000, Table 1",
			Numbers: fmt.Sprintf("%s less %s: %s - %s = %s", show(vent, "mm"), show(pipe, "mm"), show(classOf(vent), "mm"), show(classOf(pipe), "mm"), show(step, "mm"))}
	})
}

func ventRatio(s *site, v plan.Vent) answer {
	vent, pipe, gap := s.bores(v)
	if gap != nil {
		return answer{gap: gap}
	}
	ratio, ok := over(atLeast(vent, 0), pipe)
	if !ok {
		_, path := s.sizeAired(v)
		return missing(sdk.NotMeasured, path, "the bore of the pipe that vent "+v.ID+" airs must be more than nothing")
	}
	return number(ratio, func() sdk.Working {
		return sdk.Working{Formula: "bore of the vent / bore of the pipe it airs", Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", show(vent, "mm"), show(pipe, "mm"), show(ratio, "1"))}
	})
}

// aboveRoof asks where a vent ends before it asks how high.
func aboveRoof(_ *site, v plan.Vent) answer {
	switch {
	case v.AboveRoof != nil || v.Ends == "roof":
		return asRead(v.AboveRoof, "mm", ventPath(v, "ends.above_roof"), "the height of vent "+v.ID+" over the roof")
	case v.Ends == "" || v.Ends == "unknown":
		return ventEnd(nil, v)
	}
	return without("vent " + v.ID + " does not end over a roof")
}

func ventEnd(_ *site, v plan.Vent) answer {
	return word("vent_end", v.Ends, ventPath(v, "ends.where"), "where vent "+v.ID+" ends")
}

func ventCage(_ *site, v plan.Vent) answer {
	if v.Kind == "valve" {
		return without("valve " + v.ID + " has no terminal")
	}
	return word("vent_cage", v.Cage, ventPath(v, "ends.cage"), "whether the terminal of vent "+v.ID+" has a cage")
}

// ofValve answers for a valve only: an open pipe has nothing of the kind.
func ofValve(v plan.Vent, f func() answer) answer {
	if v.Kind == "pipe" {
		return without("vent " + v.ID + " is an open pipe, not a valve")
	}
	return f()
}

func ventReach(_ *site, v plan.Vent) answer {
	return ofValve(v, func() answer {
		return word("vent_reach", v.Reach, ventPath(v, "reach"), "how one gets at valve "+v.ID)
	})
}

// ventStandard knows EN 12380 under any national body's letters.
func ventStandard(_ *site, v plan.Vent) answer {
	return ofValve(v, func() answer {
		path := ventPath(v, "standard")
		if v.Standard == "" || v.Standard == "unknown" {
			return missing(sdk.NotTold, path, "the product standard stamped on valve "+v.ID+" is not told")
		}
		plain := strings.Map(func(r rune) rune {
			if unicode.IsLetter(r) || unicode.IsDigit(r) {
				return unicode.ToLower(r)
			}
			return -1
		}, v.Standard)
		if strings.Contains(plain, "en12380") {
			return state("stamped "+v.Standard, path, "en_12380")
		}
		return state("stamped "+v.Standard, path, "other")
	})
}

func ventPlace(_ *site, v plan.Vent) answer {
	return ofValve(v, func() answer {
		return word("vent_place", v.Place, ventPath(v, "place"), "whether valve "+v.ID+" sits heated, unheated or outside")
	})
}

func freeArea(_ *site, v plan.Vent) answer {
	return ofValve(v, func() answer {
		return asRead(v.FreeArea, "mm²", ventPath(v, "free_area"), "the free opening that lets air to valve "+v.ID)
	})
}

func aboveOpening(_ *site, o plan.TerminalOpening) answer {
	return asRead(o.Below, "mm", terminalPath(o, "below"), "how far the top edge of "+o.B+" lies below the end of vent "+o.A)
}

func asideOpening(_ *site, o plan.TerminalOpening) answer {
	return asRead(o.Aside, "mm", terminalPath(o, "aside"), "the level distance from the end of vent "+o.A+" to "+o.B)
}

func terminalPath(o plan.TerminalOpening, word string) string {
	return "vents." + o.A + ".ends.openings." + o.B + "." + word
}

// overSpill is the height of a vent's end over the highest rim of what it
// serves. Trap boxes and taps have no rim that water could spill over.
func overSpill(s *site, v plan.Vent) answer {
	served, gap := s.served(v)
	if gap != nil {
		return answer{gap: gap}
	}
	end, gap := read(v.EndsAt, ventPath(v, "ends.level"), "the level at which vent "+v.ID+" ends")
	if gap != nil {
		return answer{gap: gap}
	}
	var highest *plan.Reading
	for _, id := range served {
		f := s.fixtures[id]
		if f.Kind == "trap_box" || f.Kind == "tap" {
			continue
		}
		rim, gap := read(f.Rim, id+".rim", "the level of the rim of fixture "+id)
		if gap != nil {
			return answer{gap: gap}
		}
		if highest == nil {
			highest = &rim
		}
		highest = &plan.Reading{Low: max(highest.Low, rim.Low), Value: max(highest.Value, rim.Value), High: max(highest.High, rim.High), How: plan.Computed}
	}
	if highest == nil {
		return without("vent " + v.ID + " serves no fixture with a rim")
	}
	height := end.Minus(*highest)
	return number(height, func() sdk.Working {
		return sdk.Working{Formula: "level of the vent's end - highest rim it serves", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", show(end, "mm"), show(*highest, "mm"), show(height, "mm"))}
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
