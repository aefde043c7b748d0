package venting

import (
	"slices"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// mill is a house of our own: a basin whose waste joins the kitchen sink's,
// which ends at the stack north.
func mill() *plan.Plan {
	return &plan.Plan{
		Fixtures: []plan.Fixture{{ID: "basin", Kind: "washbasin", Trap: "basin.trap"}, {ID: "sink", Kind: "kitchen_sink", Trap: "sink.trap"}},
		Traps: []plan.Trap{
			{ID: "basin.trap", Fixture: "basin", Kinds: []string{"p"}, Branch: "basin.waste"},
			{ID: "sink.trap", Fixture: "sink", Kinds: []string{"bottle"}, Branch: "sink.waste/1"},
		},
		Branches: []plan.Pipe{
			{ID: "basin.waste", Whole: "basin.waste", State: plan.New, Serves: []string{"basin"}, To: plan.Junction{Kind: "branch", ID: "sink.waste/2"}},
			{ID: "sink.waste/1", Whole: "sink.waste", State: plan.New, Serves: []string{"sink"}, To: plan.Junction{Kind: "branch", ID: "sink.waste/2"}},
			{ID: "sink.waste/2", Whole: "sink.waste", State: plan.New, Serves: []string{"basin", "sink"},
				Upstream: []string{"sink.waste/1", "basin.waste"}, To: plan.Junction{Kind: "stack", ID: "north"}},
		},
		Drains: []plan.Pipe{{ID: "yard", Whole: "yard", To: plan.Junction{Kind: "sewer"}}},
		Stacks: []plan.Stack{{ID: "north", State: plan.Existing, Serves: []string{"basin", "sink"}, To: "yard"}},
	}
}

const (
	basinWaste = iota
	sinkWaste1
	sinkWaste2
)

// vented adds a branch vent that surely serves.
func vented(p *plan.Plan, from string, along, at *plan.Reading) *plan.Plan {
	p.Vents = append(p.Vents, plan.Vent{ID: "riser", State: plan.New, Kind: "pipe", Airs: "drain", Ends: "roof", From: from, FromKind: "branch", Along: along, FromAt: at})
	return p
}

func sized(bore *plan.Reading) *plan.Size {
	return &plan.Size{Bore: bore, Source: "stock table", Basis: "memory"}
}

// trap, vent and opening are the plan with one reading set.
func trap(set func(*plan.Trap, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := mill()
		set(&p.Traps[0], r[0])
		return p
	}
}

func vent(set func(*plan.Vent, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := vented(mill(), "basin.waste", nil, nil)
		set(&p.Vents[0], r[0])
		return p
	}
}

func terminal(set func(*plan.TerminalOpening, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		o := plan.TerminalOpening{Pair: plan.Pair{ID: "riser~skylight", A: "riser", B: "skylight"}}
		set(&o, r[0])
		return &plan.Plan{TerminalOpenings: []plan.TerminalOpening{o}}
	}
}

// lengths is the mill with a basin waste of a near-level and an upright leg.
func lengths(r []*plan.Reading) *plan.Plan {
	p := mill()
	p.Branches[basinWaste].Legs = []plan.Leg{{Along: r[0], Drop: r[1]}, {Drop: r[2], Steep: true}}
	p.Branches[sinkWaste2].Legs = []plan.Leg{{Length: r[3]}}
	return p
}

func bored(r []*plan.Reading) *plan.Plan {
	p := vented(mill(), "basin.waste", nil, nil)
	p.Vents[0].Size, p.Branches[basinWaste].Size = sized(r[0]), sized(r[1])
	return p
}

// arm is a basin waste of one leg, with the vent at r[0] along it.
func arm(leg func([]*plan.Reading) plan.Leg) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := vented(mill(), "basin.waste", r[0], nil)
		p.Branches[basinWaste].Size = sized(r[1])
		p.Branches[basinWaste].Legs = []plan.Leg{leg(r[2:])}
		return p
	}
}

// unvented is a sink waste straight to the stack, as one leg.
func unvented(leg func([]*plan.Reading) plan.Leg) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := mill()
		p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
		p.Branches[sinkWaste1].Size = sized(r[0])
		p.Branches[sinkWaste1].Legs = []plan.Leg{leg(r[1:])}
		return p
	}
}

func houseOf(set func(*plan.House, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := vented(mill(), "basin.waste", nil, nil)
		set(&p.House, r[0])
		return p
	}
}

var storeysIn = houseOf(func(h *plan.House, r *plan.Reading) { h.Storeys = r })
var dwellingsIn = houseOf(func(h *plan.House, r *plan.Reading) { h.Dwellings = r })

var bench = replytest.Bench{Measurer: Measurer}

func TestProbes(t *testing.T) { dried.Prove(t, slices.Concat(probes, moreProbes)) }

var probes = []replytest.Probe{
	{Quantity: "seal", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(50, 3)}, Build: trap(func(t *plan.Trap, r *plan.Reading) { t.Seal = r }),
		Want: sdk.Band{Low: 47, Value: 50, High: 53}, Needs: []string{"basin.trap.seal"}},
	{Quantity: "trap_bore", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(32, 1)}, Build: trap(func(t *plan.Trap, r *plan.Reading) { t.Size = sized(r) }),
		Want: sdk.Band{Low: 31, Value: 32, High: 33}, Needs: []string{"basin.trap.size"}},
	{Quantity: "traps_in_series", Subject: "basin.trap", Build: func([]*plan.Reading) *plan.Plan { return mill() },
		Want: sdk.Band{Low: 1, Value: 1, High: 1}},
	// 600 ± 10 less 560 ± 3
	{Quantity: "outlet_to_weir", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(600, 10), replytest.Taped(560, 3)},
		Build: func(r []*plan.Reading) *plan.Plan {
			p := mill()
			p.Fixtures[0].OutletAt, p.Traps[0].Weir = r[0], r[1]
			return p
		},
		Want: sdk.Band{Low: 27, Value: 40, High: 53}, Needs: []string{"basin.outlet.level", "basin.trap.weir"}},
	// √(795² + 17²) + 295 + 1490, √(800² + 20²) + 300 + 1500, √(805² + 23²) + 305 + 1510
	{Quantity: "to_stack", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(800, 5), replytest.Taped(20, 3), replytest.Taped(300, 5), replytest.Taped(1500, 10)}, Build: lengths,
		Want: sdk.Band{Low: 2580.181741, Value: 2600.249961, High: 2620.328504}, Needs: []string{"basin.waste.length", "", "basin.waste.length", "sink.waste.length"}},
	// 800 ± 5 at 20 ± 2 mm/m: 795 x √(1 + 0.018²), 800 x √(1 + 0.020²), 805 x √(1 + 0.022²)
	{About: "by its fall", Quantity: "to_stack", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(800, 5), replytest.Taped(20, 2)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Along: r[0], Fall: r[1]} }),
		Want:  sdk.Band{Low: 795.128779, Value: 800.159984, High: 805.194786}, Needs: []string{"", "sink.waste.length", ""}},
	// 600 ± 5 and 400 ± 10
	{Quantity: "to_vent", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(600, 5), replytest.Taped(400, 10)},
		Build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", r[1], nil)
			p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: r[0]}}
			return p
		},
		Want: sdk.Band{Low: 985, Value: 1000, High: 1015}, Needs: []string{"sink.waste.length", "vents.riser.from.distance"}},
	{About: "to the stack", Quantity: "to_vent", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(900, 10)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0]} }),
		Want:  sdk.Band{Low: 890, Value: 900, High: 910}, Needs: []string{"", "sink.waste.length"}},
	// (560 - 520 ± 6) over 36 ± 1: 34/37, 40/36, 46/35
	{About: "by levels", Quantity: "vent_drop_bores", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(560, 3), replytest.Taped(520, 3), replytest.Taped(36, 1)},
		Build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "basin.waste", nil, r[1])
			p.Traps[0].Weir, p.Branches[basinWaste].Size = r[0], sized(r[2])
			return p
		},
		Want: sdk.Band{Low: 0.918918919, Value: 1.111111111, High: 1.314285714}, Needs: []string{"basin.trap.weir", "vents.riser.from.level", "basin.waste.size"}},
	// 500 ± 10 along at 20 ± 2 mm/m, sin(atan f): 490 x 0.0179971 / 37, 500 x 0.0199960 / 36, 510 x 0.0219947 / 35
	{About: "by a fall", Quantity: "vent_drop_bores", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(500, 10), replytest.Taped(36, 1), replytest.Taped(20, 2)},
		Build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Fall: r[0]} }),
		Want:  sdk.Band{Low: 0.238339775, Value: 0.277722239, High: 0.320493946}, Needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level"}},
	// 490 x 30/2420 / 37, 500 x 36/2400 / 36, 510 x 42/2380 / 35
	{About: "by a drop over a length", Quantity: "vent_drop_bores", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(500, 10), replytest.Taped(36, 1), replytest.Taped(36, 6), replytest.Taped(2400, 20)},
		Build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0], Length: r[1]} }),
		Want:  sdk.Band{Low: 0.164172437, Value: 0.208333333, High: 0.257142857},
		Needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level", "vents.riser.from.level"}},
	// the same over a level distance: 30/2420 and 42/2380 as sin(atan)
	{About: "by a drop over a level distance", Quantity: "vent_drop_bores", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(500, 10), replytest.Taped(36, 1), replytest.Taped(36, 6), replytest.Taped(2400, 20)},
		Build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0], Along: r[1]} }),
		Want:  sdk.Band{Low: 0.164159823, Value: 0.208309900, High: 0.257102824},
		Needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level", "vents.riser.from.level"}},
	// to the stack: 36 ± 6 over 40 ± 1
	{About: "to the stack", Quantity: "vent_drop_bores", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(36, 6)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0]} }),
		Want:  sdk.Band{Low: 30. / 41, Value: 0.9, High: 42. / 39}, Needs: []string{"sink.waste.size", "sink.waste.drop"}},
	// 1000 ± 5 long at 20 ± 2 mm/m: 995 x 0.0179971 / 41, 1000 x 0.0199960 / 40, 1005 x 0.0219947 / 39
	{About: "to the stack, by a fall", Quantity: "vent_drop_bores", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(1000, 5), replytest.Taped(20, 2)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		Want:  sdk.Band{Low: 0.436758482, Value: 0.499900030, High: 0.566785940}, Needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// level or rising: 1005 x -0.0149983 / 39, 1000 x -0.0049999 / 40, 1005 x 0.0049999 / 39
	{About: "to the stack, perhaps rising", Quantity: "vent_drop_bores", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(1000, 5), replytest.Taped(-5, 10)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		Want:  sdk.Band{Low: -0.386495, Value: -0.124998, High: 0.128844}, Needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// rising: 1005 x -0.0219947 / 39, 1000 x -0.0199960 / 40, 995 x -0.0179971 / 41
	{About: "to the stack, rising", Quantity: "vent_drop_bores", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(1000, 5), replytest.Taped(-20, 2)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		Want:  sdk.Band{Low: -0.566785940, Value: -0.499900030, High: -0.436758482}, Needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// all but level, 2 ± 5 mm: 795, √(800² + 2²), √(805² + 7²)
	{About: "all but level", Quantity: "to_stack", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(800, 5), replytest.Taped(2, 5)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Along: r[0], Drop: r[1]} }),
		Want:  sdk.Band{Low: 795, Value: 800.0025, High: 805.030434}, Needs: []string{"", "sink.waste.length", ""}},
	// a pipe that rises: -20 ± 5 over 40 ± 1
	{About: "upwards", Quantity: "vent_drop_bores", Subject: "sink.trap", In: []plan.Reading{replytest.Taped(40, 1), replytest.Taped(-20, 5)},
		Build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0]} }),
		Want:  sdk.Band{Low: -25. / 39, Value: -0.5, High: -15. / 41}, Needs: []string{"sink.waste.size", "sink.waste.drop"}},
	{Quantity: "storeys", Subject: "house", In: []plan.Reading{replytest.Taped(2, 0)}, Build: storeysIn, Want: sdk.Band{Low: 2, Value: 2, High: 2}, Needs: []string{"house.storeys"}},
	{Quantity: "storeys", Subject: "north", In: []plan.Reading{replytest.Taped(2, 0)}, Build: storeysIn, Want: sdk.Band{Low: 2, Value: 2, High: 2}, Needs: []string{"house.storeys"}},
	{Quantity: "storeys", Subject: "sink.waste/2", In: []plan.Reading{replytest.Taped(2, 0)}, Build: storeysIn, Want: sdk.Band{Low: 2, Value: 2, High: 2}, Needs: []string{"house.storeys"}},
	{Quantity: "storeys", Subject: "riser", In: []plan.Reading{replytest.Taped(2, 0)}, Build: storeysIn, Want: sdk.Band{Low: 2, Value: 2, High: 2}, Needs: []string{"house.storeys"}},
	{Quantity: "dwellings", Subject: "house", In: []plan.Reading{replytest.Taped(1, 0)}, Build: dwellingsIn, Want: sdk.Band{Low: 1, Value: 1, High: 1}, Needs: []string{"house.dwellings"}},
	{Quantity: "dwellings", Subject: "yard", In: []plan.Reading{replytest.Taped(1, 0)}, Build: dwellingsIn, Want: sdk.Band{Low: 1, Value: 1, High: 1}, Needs: []string{"house.dwellings"}},
	{Quantity: "open_vents", Subject: "house", Build: func([]*plan.Reading) *plan.Plan { return vented(mill(), "north", nil, nil) },
		Want: sdk.Band{Low: 1, Value: 1, High: 1}},
	// 43 to 45 mm is class 40 or 50, 94 to 98 mm class 90 or 100
	{Quantity: "vent_class_step", Subject: "riser", In: []plan.Reading{replytest.Taped(44, 1), replytest.Taped(96, 2)}, Build: bored,
		Want: sdk.Band{Low: -60, Value: -50, High: -40}, Needs: []string{"vents.riser.size", "basin.waste.size"}},
	// 33/46.9, 34/46.4, 35/45.9
	{Quantity: "vent_ratio", Subject: "riser", In: []plan.Reading{replytest.Taped(34, 1), replytest.Taped(46.4, 0.5)}, Build: bored,
		Want: sdk.Band{Low: 0.703624733, Value: 0.732758621, High: 0.762527233}, Needs: []string{"vents.riser.size", "basin.waste.size"}},
	{Quantity: "above_roof", Subject: "riser", In: []plan.Reading{replytest.Taped(450, 100)}, Build: vent(func(v *plan.Vent, r *plan.Reading) { v.AboveRoof = r }),
		Want: sdk.Band{Low: 350, Value: 450, High: 550}, Needs: []string{"vents.riser.ends.above_roof"}},
	{Quantity: "free_area", Subject: "riser", In: []plan.Reading{replytest.Taped(3000, 100)}, Build: vent(func(v *plan.Vent, r *plan.Reading) { v.Kind, v.FreeArea = "valve", r }),
		Want: sdk.Band{Low: 2900, Value: 3000, High: 3100}, Needs: []string{"vents.riser.free_area"}},
	{Quantity: "above_opening", Subject: "riser~skylight", In: []plan.Reading{replytest.Taped(600, 300)}, Build: terminal(func(o *plan.TerminalOpening, r *plan.Reading) { o.Below = r }),
		Want: sdk.Band{Low: 300, Value: 600, High: 900}, Needs: []string{"vents.riser.ends.openings.skylight.below"}},
	{Quantity: "aside_opening", Subject: "riser~skylight", In: []plan.Reading{replytest.Taped(1400, 300)}, Build: terminal(func(o *plan.TerminalOpening, r *plan.Reading) { o.Aside = r }),
		Want: sdk.Band{Low: 1100, Value: 1400, High: 1700}, Needs: []string{"vents.riser.ends.openings.skylight.aside"}},
	// the sink's own trap, not the basin's: 600 ± 5 and 400 ± 10
	{Quantity: "vent_from_trap", Subject: "riser", In: []plan.Reading{replytest.Taped(600, 5), replytest.Taped(400, 10)},
		Build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", r[1], nil)
			p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: r[0]}}
			return p
		},
		Want: sdk.Band{Low: 985, Value: 1000, High: 1015}, Needs: []string{"sink.waste.length", "vents.riser.from.distance"}},
	// 1100 ± 3 less the higher of 890 ± 20 and 900 ± 5: at least 895, at most 910
	{Quantity: "over_spill", Subject: "riser", In: []plan.Reading{replytest.Taped(1100, 3), replytest.Taped(890, 20), replytest.Taped(900, 5)},
		Build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", nil, nil)
			p.Vents[0].EndsAt, p.Fixtures[0].Rim, p.Fixtures[1].Rim = r[0], r[1], r[2]
			return p
		},
		Want: sdk.Band{Low: 187, Value: 200, High: 208}, Needs: []string{"vents.riser.ends.level", "basin.rim", "sink.rim"}},
}
