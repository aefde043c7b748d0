// Package venting measures traps, the way from them to air, stacks' heads and
// vents. It judges nothing: how deep, how far, how many and by what, and how
// likely a seal is to be lost.
//
// A section of vents is all there is, and so is the word that there is none.
// What it means that nobody wrote one is decided per quantity:
//   - open_vents and stack_vented are gaps;
//   - vented_by, to_vent and vent_drop_bores of new and laid pipes are answered:
//     what a design does not show is not built. Along existing pipes they are
//     gaps, since an old house has vents nobody wrote down.
//
// A listed vent whose pipe is not known may sit on any existing pipe.
//
// A vent surely serves when it airs drainage and is seen, proved, new or laid;
// a guessed one, or one of which nobody knows what it airs, only may. An air
// admittance valve airs drainage by its nature.
package venting

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "venting"
	version = "1"
)

// Measurer answers for traps, stacks, vents and what they serve.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("seal", reply.Traps(seal)),
	reply.Measure("trap_bore", reply.Traps(trapBore)),
	reply.Measure("trap_kind", reply.Traps(trapKind)),
	reply.Measure("trap_reach", reply.Traps(trapReach)),
	reply.Measure("trap_cleaning", reply.Traps(trapCleaning)),
	reply.Measure("traps_in_series", reply.Traps(trapsInSeries)),
	reply.Measure("outlet_to_weir", reply.Traps(outletToWeir)),
	reply.Measure("to_stack", reply.Traps(toStack)),
	reply.Measure("vented_by", reply.Traps(trapVentedBy), reply.Branches(branchVentedBy)),
	reply.Measure("to_vent", reply.Traps(toVent)),
	reply.Measure("vent_drop_bores", reply.Traps(ventDropBores)),
	reply.Measure("foot_bend", reply.Stacks(footBend)),
	reply.Measure("stack_offset", reply.Stacks(stackOffset)),
	reply.Measure("stack_vented", reply.Stacks(stackVented)),
	reply.Measure("storeys", reply.House(storeys), reply.Stacks(ofHouse[plan.Stack](storeys)), reply.Branches(ofHouse[*plan.Pipe](storeys)), reply.Vents(ofHouse[plan.Vent](storeys))),
	reply.Measure("dwellings", reply.House(dwellings), reply.Stacks(ofHouse[plan.Stack](dwellings)), reply.Branches(ofHouse[*plan.Pipe](dwellings)), reply.Drains(ofHouse[*plan.Pipe](dwellings))),
	reply.Measure("open_vents", reply.House(openVents)),
	reply.Measure("vent_class_step", reply.Vents(ventClassStep)),
	reply.Measure("vent_ratio", reply.Vents(ventRatio)),
	reply.Measure("above_roof", reply.Vents(aboveRoof)),
	reply.Measure("vent_end", reply.Vents(ventEnd)),
	reply.Measure("vent_cage", reply.Vents(ventCage)),
	reply.Measure("vent_reach", reply.Vents(ventReach)),
	reply.Measure("vent_standard", reply.Vents(ventStandard)),
	reply.Measure("vent_place", reply.Vents(ventPlace)),
	reply.Measure("free_area", reply.Vents(freeArea)),
	reply.Measure("above_opening", reply.TerminalOpenings(aboveOpening)),
	reply.Measure("aside_opening", reply.TerminalOpenings(asideOpening)),
	reply.Measure("vent_from_trap", reply.Vents(ventFromTrap)),
	reply.Measure("over_spill", reply.Vents(overSpill)),
	reply.Measure("vent_rise", reply.Vents(ventRise)),
	reply.Measure("how_vented", reply.Traps(howVented)),
	reply.Measure("siphonage", reply.Traps(siphonage)),
	reply.Measure("induced", reply.Traps(induced)),
	reply.Measure("shared_trap", reply.Traps(sharedTrap)),
	reply.Measure("upstream_of_wc", reply.Branches(upstreamOfWC)),
	reply.Measure("dry_days", reply.Traps(dryDays)),
}}
