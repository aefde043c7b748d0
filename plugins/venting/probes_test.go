package venting

import (
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

var probes = []probe{
	{quantity: "seal", subject: "basin.trap", in: []plan.Reading{taped(50, 3)}, build: trap(func(t *plan.Trap, r *plan.Reading) { t.Seal = r }),
		want: sdk.Band{Low: 47, Value: 50, High: 53}, needs: []string{"basin.trap.seal"}},
	{quantity: "trap_bore", subject: "basin.trap", in: []plan.Reading{taped(32, 1)}, build: trap(func(t *plan.Trap, r *plan.Reading) { t.Size = sized(r) }),
		want: sdk.Band{Low: 31, Value: 32, High: 33}, needs: []string{"basin.trap.size"}},
	{quantity: "traps_in_series", subject: "basin.trap", build: func([]*plan.Reading) *plan.Plan { return mill() },
		want: sdk.Band{Low: 1, Value: 1, High: 1}},
	// 600 ± 10 less 560 ± 3
	{quantity: "outlet_to_weir", subject: "basin.trap", in: []plan.Reading{taped(600, 10), taped(560, 3)},
		build: func(r []*plan.Reading) *plan.Plan {
			p := mill()
			p.Fixtures[0].OutletAt, p.Traps[0].Weir = r[0], r[1]
			return p
		},
		want: sdk.Band{Low: 27, Value: 40, High: 53}, needs: []string{"basin.outlet.level", "basin.trap.weir"}},
	// √(795² + 17²) + 295 + 1490, √(800² + 20²) + 300 + 1500, √(805² + 23²) + 305 + 1510
	{quantity: "to_stack", subject: "basin.trap", in: []plan.Reading{taped(800, 5), taped(20, 3), taped(300, 5), taped(1500, 10)}, build: lengths,
		want: sdk.Band{Low: 2580.181741, Value: 2600.249961, High: 2620.328504}, needs: []string{"basin.waste.length", "", "basin.waste.length", "sink.waste.length"}},
	// 800 ± 5 at 20 ± 2 mm/m: 795 x √(1 + 0.018²), 800 x √(1 + 0.020²), 805 x √(1 + 0.022²)
	{about: "by its fall", quantity: "to_stack", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(800, 5), taped(20, 2)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Along: r[0], Fall: r[1]} }),
		want:  sdk.Band{Low: 795.128779, Value: 800.159984, High: 805.194786}, needs: []string{"", "sink.waste.length", ""}},
	// 600 ± 5 and 400 ± 10
	{quantity: "to_vent", subject: "sink.trap", in: []plan.Reading{taped(600, 5), taped(400, 10)},
		build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", r[1], nil)
			p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: r[0]}}
			return p
		},
		want: sdk.Band{Low: 985, Value: 1000, High: 1015}, needs: []string{"sink.waste.length", "vents.riser.from.distance"}},
	{about: "to the stack", quantity: "to_vent", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(900, 10)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0]} }),
		want:  sdk.Band{Low: 890, Value: 900, High: 910}, needs: []string{"", "sink.waste.length"}},
	// (560 - 520 ± 6) over 36 ± 1: 34/37, 40/36, 46/35
	{about: "by levels", quantity: "vent_drop_bores", subject: "basin.trap", in: []plan.Reading{taped(560, 3), taped(520, 3), taped(36, 1)},
		build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "basin.waste", nil, r[1])
			p.Traps[0].Weir, p.Branches[basinWaste].Size = r[0], sized(r[2])
			return p
		},
		want: sdk.Band{Low: 0.918918919, Value: 1.111111111, High: 1.314285714}, needs: []string{"basin.trap.weir", "vents.riser.from.level", "basin.waste.size"}},
	// 500 ± 10 along at 20 ± 2 mm/m, sin(atan f): 490 x 0.0179971 / 37, 500 x 0.0199960 / 36, 510 x 0.0219947 / 35
	{about: "by a fall", quantity: "vent_drop_bores", subject: "basin.trap", in: []plan.Reading{taped(500, 10), taped(36, 1), taped(20, 2)},
		build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Fall: r[0]} }),
		want:  sdk.Band{Low: 0.238339775, Value: 0.277722239, High: 0.320493946}, needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level"}},
	// 490 x 30/2420 / 37, 500 x 36/2400 / 36, 510 x 42/2380 / 35
	{about: "by a drop over a length", quantity: "vent_drop_bores", subject: "basin.trap", in: []plan.Reading{taped(500, 10), taped(36, 1), taped(36, 6), taped(2400, 20)},
		build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0], Length: r[1]} }),
		want:  sdk.Band{Low: 0.164172437, Value: 0.208333333, High: 0.257142857},
		needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level", "vents.riser.from.level"}},
	// the same over a level distance: 30/2420 and 42/2380 as sin(atan)
	{about: "by a drop over a level distance", quantity: "vent_drop_bores", subject: "basin.trap", in: []plan.Reading{taped(500, 10), taped(36, 1), taped(36, 6), taped(2400, 20)},
		build: arm(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0], Along: r[1]} }),
		want:  sdk.Band{Low: 0.164159823, Value: 0.208309900, High: 0.257102824},
		needs: []string{"vents.riser.from.distance", "basin.waste.size", "vents.riser.from.level", "vents.riser.from.level"}},
	// to the stack: 36 ± 6 over 40 ± 1
	{about: "to the stack", quantity: "vent_drop_bores", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(36, 6)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0]} }),
		want:  sdk.Band{Low: 30. / 41, Value: 0.9, High: 42. / 39}, needs: []string{"sink.waste.size", "sink.waste.drop"}},
	// 1000 ± 5 long at 20 ± 2 mm/m: 995 x 0.0179971 / 41, 1000 x 0.0199960 / 40, 1005 x 0.0219947 / 39
	{about: "to the stack, by a fall", quantity: "vent_drop_bores", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(1000, 5), taped(20, 2)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		want:  sdk.Band{Low: 0.436758482, Value: 0.499900030, High: 0.566785940}, needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// level or rising: 1005 x -0.0149983 / 39, 1000 x -0.0049999 / 40, 1005 x 0.0049999 / 39
	{about: "to the stack, perhaps rising", quantity: "vent_drop_bores", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(1000, 5), taped(-5, 10)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		want:  sdk.Band{Low: -0.386495, Value: -0.124998, High: 0.128844}, needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// rising: 1005 x -0.0219947 / 39, 1000 x -0.0199960 / 40, 995 x -0.0179971 / 41
	{about: "to the stack, rising", quantity: "vent_drop_bores", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(1000, 5), taped(-20, 2)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Length: r[0], Fall: r[1]} }),
		want:  sdk.Band{Low: -0.566785940, Value: -0.499900030, High: -0.436758482}, needs: []string{"sink.waste.size", "sink.waste.drop", "sink.waste.drop"}},
	// all but level, 2 ± 5 mm: 795, √(800² + 2²), √(805² + 7²)
	{about: "all but level", quantity: "to_stack", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(800, 5), taped(2, 5)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Along: r[0], Drop: r[1]} }),
		want:  sdk.Band{Low: 795, Value: 800.0025, High: 805.030434}, needs: []string{"", "sink.waste.length", ""}},
	// a pipe that rises: -20 ± 5 over 40 ± 1
	{about: "upwards", quantity: "vent_drop_bores", subject: "sink.trap", in: []plan.Reading{taped(40, 1), taped(-20, 5)},
		build: unvented(func(r []*plan.Reading) plan.Leg { return plan.Leg{Drop: r[0]} }),
		want:  sdk.Band{Low: -25. / 39, Value: -0.5, High: -15. / 41}, needs: []string{"sink.waste.size", "sink.waste.drop"}},
	{quantity: "storeys", subject: "house", in: []plan.Reading{taped(2, 0)}, build: storeysIn, want: sdk.Band{Low: 2, Value: 2, High: 2}, needs: []string{"house.storeys"}},
	{quantity: "storeys", subject: "north", in: []plan.Reading{taped(2, 0)}, build: storeysIn, want: sdk.Band{Low: 2, Value: 2, High: 2}, needs: []string{"house.storeys"}},
	{quantity: "storeys", subject: "sink.waste/2", in: []plan.Reading{taped(2, 0)}, build: storeysIn, want: sdk.Band{Low: 2, Value: 2, High: 2}, needs: []string{"house.storeys"}},
	{quantity: "storeys", subject: "riser", in: []plan.Reading{taped(2, 0)}, build: storeysIn, want: sdk.Band{Low: 2, Value: 2, High: 2}, needs: []string{"house.storeys"}},
	{quantity: "dwellings", subject: "house", in: []plan.Reading{taped(1, 0)}, build: dwellingsIn, want: sdk.Band{Low: 1, Value: 1, High: 1}, needs: []string{"house.dwellings"}},
	{quantity: "dwellings", subject: "yard", in: []plan.Reading{taped(1, 0)}, build: dwellingsIn, want: sdk.Band{Low: 1, Value: 1, High: 1}, needs: []string{"house.dwellings"}},
	{quantity: "open_vents", subject: "house", build: func([]*plan.Reading) *plan.Plan { return vented(mill(), "north", nil, nil) },
		want: sdk.Band{Low: 1, Value: 1, High: 1}},
	// 43 to 45 mm is class 40 or 50, 94 to 98 mm class 90 or 100
	{quantity: "vent_class_step", subject: "riser", in: []plan.Reading{taped(44, 1), taped(96, 2)}, build: bored,
		want: sdk.Band{Low: -60, Value: -50, High: -40}, needs: []string{"vents.riser.size", "basin.waste.size"}},
	// 33/46.9, 34/46.4, 35/45.9
	{quantity: "vent_ratio", subject: "riser", in: []plan.Reading{taped(34, 1), taped(46.4, 0.5)}, build: bored,
		want: sdk.Band{Low: 0.703624733, Value: 0.732758621, High: 0.762527233}, needs: []string{"vents.riser.size", "basin.waste.size"}},
	{quantity: "above_roof", subject: "riser", in: []plan.Reading{taped(450, 100)}, build: vent(func(v *plan.Vent, r *plan.Reading) { v.AboveRoof = r }),
		want: sdk.Band{Low: 350, Value: 450, High: 550}, needs: []string{"vents.riser.ends.above_roof"}},
	{quantity: "free_area", subject: "riser", in: []plan.Reading{taped(3000, 100)}, build: vent(func(v *plan.Vent, r *plan.Reading) { v.Kind, v.FreeArea = "valve", r }),
		want: sdk.Band{Low: 2900, Value: 3000, High: 3100}, needs: []string{"vents.riser.free_area"}},
	{quantity: "above_opening", subject: "riser~skylight", in: []plan.Reading{taped(600, 300)}, build: terminal(func(o *plan.TerminalOpening, r *plan.Reading) { o.Below = r }),
		want: sdk.Band{Low: 300, Value: 600, High: 900}, needs: []string{"vents.riser.ends.openings.skylight.below"}},
	{quantity: "aside_opening", subject: "riser~skylight", in: []plan.Reading{taped(1400, 300)}, build: terminal(func(o *plan.TerminalOpening, r *plan.Reading) { o.Aside = r }),
		want: sdk.Band{Low: 1100, Value: 1400, High: 1700}, needs: []string{"vents.riser.ends.openings.skylight.aside"}},
	// the sink's own trap, not the basin's: 600 ± 5 and 400 ± 10
	{quantity: "vent_from_trap", subject: "riser", in: []plan.Reading{taped(600, 5), taped(400, 10)},
		build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", r[1], nil)
			p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: r[0]}}
			return p
		},
		want: sdk.Band{Low: 985, Value: 1000, High: 1015}, needs: []string{"sink.waste.length", "vents.riser.from.distance"}},
	// 1100 ± 3 less the higher of 890 ± 20 and 900 ± 5: at least 895, at most 910
	{quantity: "over_spill", subject: "riser", in: []plan.Reading{taped(1100, 3), taped(890, 20), taped(900, 5)},
		build: func(r []*plan.Reading) *plan.Plan {
			p := vented(mill(), "sink.waste/2", nil, nil)
			p.Vents[0].EndsAt, p.Fixtures[0].Rim, p.Fixtures[1].Rim = r[0], r[1], r[2]
			return p
		},
		want: sdk.Band{Low: 187, Value: 200, High: 208}, needs: []string{"vents.riser.ends.level", "basin.rim", "sink.rim"}},
}
