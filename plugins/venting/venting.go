// Package venting measures traps, the way from them to air, stacks' heads and
// vents. It judges nothing: how deep, how far, how many and by what.
//
// What an absent section of vents means is decided per quantity, since the
// plan cannot tell "no vents" from "not asked yet":
//   - open_vents and stack_vented of a plan without any vent are gaps;
//   - vented_by, to_vent and vent_drop_bores of new and laid pipes are answered:
//     what a design does not show is not built. Along existing pipes they are
//     gaps, since an old house has vents nobody wrote down;
//   - a vent whose pipe is not known may sit on any existing pipe.
//
// A vent surely serves when it airs drainage and is seen, proved, new or laid;
// a guessed one, or one of which nobody knows what it airs, only may. An air
// admittance valve airs drainage by its nature.
package venting

import (
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "venting"
	version = "1"
)

// Measurer answers for traps, stacks, vents and what they serve.
type Measurer struct{}

var methods = []method{
	{"seal", traps(seal)},
	{"trap_bore", traps(trapBore)},
	{"trap_kind", traps(trapKind)},
	{"trap_reach", traps(trapReach)},
	{"trap_cleaning", traps(trapCleaning)},
	{"traps_in_series", traps(trapsInSeries)},
	{"outlet_to_weir", traps(outletToWeir)},
	{"to_stack", traps(toStack)},
	{"vented_by", kinds(traps(trapVentedBy), branches(branchVentedBy))},
	{"to_vent", traps(toVent)},
	{"vent_drop_bores", traps(ventDropBores)},
	{"foot_bend", stacks(footBend)},
	{"stack_offset", stacks(stackOffset)},
	{"stack_vented", stacks(stackVented)},
	{"storeys", kinds(house(storeys), each(storeysOfPipes))},
	{"dwellings", kinds(house(dwellings), each(dwellingsOfPipes))},
	{"open_vents", house(openVents)},
	{"vent_class_step", vents(ventClassStep)},
	{"vent_ratio", vents(ventRatio)},
	{"above_roof", vents(aboveRoof)},
	{"vent_end", vents(ventEnd)},
	{"vent_cage", vents(ventCage)},
	{"vent_reach", vents(ventReach)},
	{"vent_standard", vents(ventStandard)},
	{"vent_place", vents(ventPlace)},
	{"free_area", vents(freeArea)},
	{"above_opening", terminals(aboveOpening)},
	{"aside_opening", terminals(asideOpening)},
	{"vent_from_trap", vents(ventFromTrap)},
	{"over_spill", vents(overSpill)},
}

func traps(f func(*site, plan.Trap) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, t := range s.plan.Traps {
			if t.State != plan.Removed {
				put(t.ID, f(s, t))
			}
		}
	}
}

func branches(f func(*site, *plan.Pipe) answer) each {
	return func(s *site, put func(string, answer)) {
		for i := range s.plan.Branches {
			if p := &s.plan.Branches[i]; p.State != plan.Removed {
				put(p.ID, f(s, p))
			}
		}
	}
}

func stacks(f func(*site, plan.Stack) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, x := range s.plan.Stacks {
			if x.State != plan.Removed {
				put(x.ID, f(s, x))
			}
		}
	}
}

func vents(f func(*site, plan.Vent) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, v := range s.plan.Vents {
			if v.State != plan.Removed {
				put(v.ID, f(s, v))
			}
		}
	}
}

func terminals(f func(*site, plan.TerminalOpening) answer) each {
	return func(s *site, put func(string, answer)) {
		for _, o := range s.plan.TerminalOpenings {
			if o.State != plan.Removed {
				put(o.ID, f(s, o))
			}
		}
	}
}

// houseID is the subject id of the building.
const houseID = "house"

func house(f func(*site) answer) each {
	return func(s *site, put func(string, answer)) { put(houseID, f(s)) }
}
