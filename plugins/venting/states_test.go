package venting

import (
	"context"
	"slices"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

func TestWordsAreAnsweredAsTold(t *testing.T) {
	p := vented(mill(), "north", nil, nil)
	p.Vents[0].Kind, p.Vents[0].Reach, p.Vents[0].Standard, p.Vents[0].Place = "valve", "hatch", "BS EN 12380:2002", "heated"
	p.Stacks[0].FootBend, p.Stacks[0].HasOffset = "two_45", "straight"
	p.Traps[0].Kinds, p.Traps[0].Reach, p.Traps[0].Cleaning = []string{"p", "bottle"}, "by_hand", "removable"
	p.Vents = append(p.Vents, plan.Vent{ID: "old", Kind: "pipe", From: "north", Ends: "eaves", Cage: "without"})
	bench.WantWords(t, p, "vent_reach", "riser", "hatch")
	bench.WantWords(t, p, "vent_standard", "riser", "en_12380")
	bench.WantWords(t, p, "vent_place", "riser", "heated")
	bench.WantWords(t, p, "foot_bend", "north", "two_45")
	bench.WantWords(t, p, "stack_offset", "north", "straight")
	bench.WantWords(t, p, "trap_kind", "basin.trap", "p", "bottle")
	bench.WantWords(t, p, "trap_reach", "basin.trap", "by_hand")
	bench.WantWords(t, p, "trap_cleaning", "basin.trap", "removable")
	bench.WantWords(t, p, "vent_end", "old", "eaves")
	bench.WantWords(t, p, "vent_cage", "old", "without")
	p.Vents[0].Standard = "DIN 1988"
	bench.WantWords(t, p, "vent_standard", "riser", "other")
}

func TestUntoldWordIsAsked(t *testing.T) {
	p := mill()
	p.Traps[0].Kinds = nil
	p.Vents = []plan.Vent{{ID: "v", Kind: "valve", From: "north", Place: "boxed", Reach: "unknown", Ends: "unknown"}, {ID: "w", Kind: "pipe", From: "north"}}
	for _, x := range []struct{ quantity, subject, needs string }{
		{"trap_kind", "basin.trap", "basin.trap.kind"}, {"trap_reach", "basin.trap", "basin.trap.reach"},
		{"trap_cleaning", "basin.trap", "basin.trap.cleaning"}, {"foot_bend", "north", "stacks.north.foot.bend"},
		{"stack_offset", "north", "stacks.north.offset"}, {"vent_end", "v", "vents.v.ends.where"},
		{"vent_reach", "v", "vents.v.reach"}, {"vent_standard", "v", "vents.v.standard"},
		{"vent_place", "v", "vents.v.place"}, {"vent_cage", "w", "vents.w.ends.cage"},
		{"above_roof", "w", "vents.w.ends.where"}, {"traps_in_series", "basin.trap", "basin.trap.kind"},
	} {
		bench.WantGap(t, p, x.quantity, x.subject, sdk.NotTold, x.needs)
	}
}

// What a subject cannot have is no open question.
func TestWhatCannotBeIsOutsideTheTable(t *testing.T) {
	p := vented(mill(), "north", nil, nil)
	p.Vents = append(p.Vents, plan.Vent{ID: "v", Kind: "valve", From: "basin.waste", Ends: "indoors", Airs: "drain"})
	p.Traps[0].Kinds = []string{"built_in"}
	for _, x := range []struct{ quantity, subject string }{
		{"vent_reach", "riser"}, {"vent_standard", "riser"}, {"vent_place", "riser"}, {"free_area", "riser"},
		{"vent_cage", "v"}, {"above_roof", "v"}, {"vent_from_trap", "riser"}, {"outlet_to_weir", "basin.trap"},
	} {
		bench.WantGap(t, p, x.quantity, x.subject, sdk.OutOfRange, "")
	}
}

func TestVentedBy(t *testing.T) {
	riser := func(from string, change func(*plan.Vent)) *plan.Plan {
		p := vented(mill(), from, nil, nil)
		change(&p.Vents[0])
		return p
	}
	keep := func(*plan.Vent) {}
	guessed := func(v *plan.Vent) { v.State, v.Known = plan.Existing, "guessed" }
	for _, x := range []struct {
		about, subject string
		plan           *plan.Plan
		want           []string
	}{
		{"its own pipe ends at the stack, though others join it", "sink.trap", mill(), []string{"stack"}},
		{"it joins another pipe", "basin.trap", mill(), []string{"none"}},
		{"it joins another pipe", "basin.waste", mill(), []string{"none"}},
		{"the shared piece ends at the stack", "sink.waste/2", mill(), []string{"stack"}},
		{"a vent on its pipe", "basin.trap", riser("basin.waste", keep), []string{"branch_vent"}},
		{"a vent on the pipe it joins", "basin.trap", riser("sink.waste/2", keep), []string{"branch_vent"}},
		{"a valve", "basin.waste", riser("basin.waste", func(v *plan.Vent) { v.Kind, v.Airs = "valve", "unknown" }), []string{"valve"}},
		{"nobody knows what it is", "basin.waste", riser("basin.waste", func(v *plan.Vent) { v.Kind = "unknown" }), []string{"branch_vent", "valve"}},
		{"a vent at the head of its own pipe", "sink.waste/2", riser("sink.waste/1", keep), []string{"branch_vent"}},
		{"a vent of another pipe upstream", "sink.waste/2", riser("basin.waste", keep), []string{"stack"}},
		{"a guessed vent", "basin.trap", riser("basin.waste", guessed), []string{"branch_vent", "none"}},
		{"a guessed vent", "sink.trap", riser("sink.waste/2", guessed), []string{"branch_vent", "stack"}},
		{"a removed vent", "basin.trap", riser("basin.waste", func(v *plan.Vent) { v.State = plan.Removed }), []string{"none"}},
		{"a flue", "basin.trap", riser("basin.waste", func(v *plan.Vent) { v.Airs = "flue" }), []string{"none"}},
		{"a stack's vent", "basin.trap", riser("north", keep), []string{"none"}},
	} {
		t.Run(x.about+": "+x.subject, func(t *testing.T) { bench.WantWords(t, x.plan, "vented_by", x.subject, x.want...) })
	}
}

func TestVentedByAtADrainOrOpenEndIsNone(t *testing.T) {
	for _, end := range []string{"drain", "gully", "hopper", "sewer", "outside", "treatment"} {
		p := mill()
		p.Branches[sinkWaste1].To = plan.Junction{Kind: end}
		bench.WantWords(t, p, "vented_by", "sink.trap", "none")
	}
}

func TestHiddenVentsAreAsked(t *testing.T) {
	existing := func() *plan.Plan {
		p := mill()
		p.Branches[sinkWaste2].State = plan.Existing
		return p
	}
	for _, quantity := range []string{"vented_by", "to_vent", "vent_drop_bores"} {
		bench.WantGap(t, existing(), quantity, "basin.trap", sdk.NotTold, "vents")
	}
	loose := existing()
	loose.Vents = []plan.Vent{{ID: "v_old", State: plan.Existing, Kind: "pipe", Airs: "unknown", FromKind: "unknown"}}
	bench.WantWords(t, loose, "vented_by", "basin.trap", "branch_vent", "none")
	bench.WantGap(t, loose, "to_vent", "basin.trap", sdk.NotTold, "vents.v_old.from")
	loose.Branches[sinkWaste2].State = plan.New
	bench.WantWords(t, loose, "vented_by", "basin.trap", "none")
}

func TestUnknownWayIsAsked(t *testing.T) {
	p := mill()
	p.Branches[basinWaste].To = plan.Junction{Kind: "unknown"}
	p.Traps[1].Branch = ""
	for _, quantity := range []string{"to_stack", "to_vent", "vented_by", "traps_in_series", "vent_drop_bores"} {
		bench.WantGap(t, p, quantity, "basin.trap", sdk.NotTold, "basin.waste.to")
		bench.WantGap(t, p, quantity, "sink.trap", sdk.NotTold, "sink.waste")
	}
}

// A way that runs in a circle is asked for, not walked for ever.
func TestCircleIsAsked(t *testing.T) {
	p := mill()
	p.Branches[sinkWaste2].To = plan.Junction{Kind: "branch", ID: "sink.waste/1"}
	bench.WantGap(t, p, "to_stack", "sink.trap", sdk.NotTold, "sink.waste.to")
}

// A guessed vent can only bring the air nearer: it lowers the low end alone.
func TestGuessedVentLowersToVentOnly(t *testing.T) {
	whole, at := replytest.Taped(900, 10), replytest.Taped(400, 10)
	p := vented(mill(), "sink.waste/1", &at, nil)
	p.Vents[0].State, p.Vents[0].Known = plan.Existing, "guessed"
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &whole}}
	if got := bench.Band(t, p, "to_vent", "sink.trap"); got != (sdk.Band{Low: 390, Value: 900, High: 910}) {
		t.Errorf("to_vent with a guessed vent: %v, want 390 to 910 about 900", got)
	}
	p.Vents[0].Known = "seen"
	if got := bench.Band(t, p, "to_vent", "sink.trap"); got != (sdk.Band{Low: 390, Value: 400, High: 410}) {
		t.Errorf("to_vent with a seen vent: %v, want 400 ± 10", got)
	}
	nearer := replytest.Taped(150, 20)
	p.Vents = append(p.Vents, plan.Vent{ID: "second", Kind: "valve", From: "sink.waste/1", Along: &nearer})
	if got := bench.Band(t, p, "to_vent", "sink.trap"); got != (sdk.Band{Low: 130, Value: 150, High: 170}) {
		t.Errorf("to_vent with two vents: %v, want the nearer, 150 ± 20", got)
	}
}

// Drop to a guessed vent, 10 mm, or to the stack, 30 mm, over a bore of 40 mm.
func TestGuessedVentLeavesBothDropsPossible(t *testing.T) {
	weir, at, end, bore := plan.Exactly(100), plan.Exactly(90), plan.Exactly(70), plan.Exactly(40)
	p := vented(mill(), "sink.waste/1", nil, &at)
	p.Vents[0].State, p.Vents[0].Known = plan.Existing, "guessed"
	p.Traps[1].Weir = &weir
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north", Level: &end}
	p.Branches[sinkWaste1].Size = sized(&bore)
	if got := bench.Band(t, p, "vent_drop_bores", "sink.trap"); got != (sdk.Band{Low: 0.25, Value: 0.75, High: 0.75}) {
		t.Errorf("drop with a guessed vent: %v, want 0.25 to 0.75 about 0.75", got)
	}
}

func TestTrapsInSeries(t *testing.T) {
	p := mill()
	p.Branches[basinWaste].To = plan.Junction{Kind: "trap_box", ID: "box"}
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "box", Kind: "trap_box", Trap: "box.trap"})
	p.Traps = append(p.Traps, plan.Trap{ID: "box.trap", Fixture: "box", Kinds: []string{"trap_box"}, Branch: "box.waste"})
	p.Branches = append(p.Branches, plan.Pipe{ID: "box.waste", Whole: "box.waste", To: plan.Junction{Kind: "stack", ID: "north"}})
	count := func(want sdk.Band) {
		t.Helper()
		if got := bench.Band(t, p, "traps_in_series", "basin.trap"); got != want {
			t.Errorf("traps in series: %v, want %v", got, want)
		}
	}
	count(sdk.Band{Low: 2, Value: 2, High: 2})
	bench.WantWords(t, p, "vented_by", "basin.trap", "none")
	bench.WantWords(t, p, "vented_by", "box.trap", "stack")
	p.Traps[0].Kinds = []string{"none"}
	count(sdk.Band{Low: 1, Value: 1, High: 1})
	p.Traps[0].Kinds = []string{"p", "none"}
	count(sdk.Band{Low: 1, Value: 1, High: 2})
	p.Traps[0].Kinds = []string{"p"}
	p.Traps = append(p.Traps, plan.Trap{ID: "running", Kinds: []string{"running"}, Branch: "box.waste"})
	count(sdk.Band{Low: 3, Value: 3, High: 3})
	p.Fixtures[2].Trap = ""
	bench.WantGap(t, p, "traps_in_series", "basin.trap", sdk.NotTold, "box.waste")
}

// Every word is one of the catalogue's.
func TestWordsAreInTheCatalogue(t *testing.T) {
	catalogue, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	p := vented(mill(), "north", nil, nil)
	p.Vents[0].Reach = "lift_fixture"
	p.Vents[0].Kind = "valve"
	p.Version = plan.Version
	for _, name := range catalogue.Names {
		q := catalogue.ByName[name]
		out, err := Measurer.Measure(context.Background(), sdk.Request{Plan: p, Quantities: []string{name}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range out.Measurements {
			for _, w := range m.States {
				if !slices.Contains(q.Words, w) {
					t.Errorf("%s of %s: %s is no word of the catalogue", name, m.Subject, w)
				}
			}
		}
	}
	bench.WantGap(t, p, "vent_reach", "riser", sdk.NotTold, "vents.riser.reach")
}
