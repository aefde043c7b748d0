package venting

import (
	"math"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// head is a vent of the stack north.
func head(id, kind, airs, known, ends string) plan.Vent {
	return plan.Vent{ID: id, State: plan.Existing, Kind: kind, Airs: airs, Known: known, Ends: ends, From: "north", FromKind: "stack"}
}

func TestStackVented(t *testing.T) {
	seen := head("seen", "pipe", "drain", "seen", "roof")
	guess := head("guess", "pipe", "unknown", "guessed", "eaves")
	valve := head("valve", "valve", "drain", "seen", "loft")
	for _, x := range []struct {
		about string
		vents []plan.Vent
		want  []string
	}{
		{"seen", []plan.Vent{seen}, []string{"open"}},
		{"proved", []plan.Vent{head("v", "pipe", "drain", "proved", "wall")}, []string{"open"}},
		{"seen beside a guess", []plan.Vent{guess, seen, valve}, []string{"open"}},
		{"a guess alone", []plan.Vent{guess}, []string{"open", "none"}},
		{"seen, but nobody knows what it airs", []plan.Vent{head("v", "pipe", "unknown", "seen", "roof")}, []string{"open", "none"}},
		{"a valve", []plan.Vent{valve}, []string{"valve"}},
		{"a valve and a guess", []plan.Vent{valve, guess}, []string{"open", "valve"}},
		{"a guessed valve", []plan.Vent{head("v", "valve", "drain", "guessed", "loft")}, []string{"valve", "none"}},
		{"into another stack's vent", []plan.Vent{head("v", "pipe", "drain", "seen", "stack_vent")}, []string{"open"}},
		{"into the loft", []plan.Vent{head("v", "pipe", "drain", "seen", "loft")}, []string{"none"}},
		{"end not known", []plan.Vent{head("v", "pipe", "drain", "seen", "unknown")}, []string{"open", "none"}},
		{"a flue", []plan.Vent{head("v", "pipe", "flue", "seen", "roof")}, []string{"none"}},
		{"of a drain", []plan.Vent{{ID: "v", Kind: "pipe", Airs: "drain", Ends: "roof", From: "yard", FromKind: "drain"}}, []string{"none"}},
		{"of a stack that is not in the plan", []plan.Vent{{ID: "v", Kind: "pipe", Airs: "drain", Ends: "roof", From: "south", FromKind: "stack"}}, []string{"open", "none"}},
		{"of nobody knows which stack", []plan.Vent{{ID: "v", State: plan.Existing, Kind: "pipe", Airs: "drain", Known: "seen", Ends: "roof", FromKind: "unknown"}}, []string{"open", "none"}},
		{"removed", []plan.Vent{{ID: "v", State: plan.Removed, Kind: "pipe", Airs: "drain", Known: "seen", Ends: "roof", From: "north"}}, []string{"none"}},
	} {
		t.Run(x.about, func(t *testing.T) {
			p := mill()
			p.Vents = x.vents
			wantWords(t, p, "stack_vented", "north", x.want...)
		})
	}
	wantGap(t, mill(), "stack_vented", "north", sdk.NotTold, "vents")
}

// A stack that lists its vents is aired by them though they do not name it.
func TestListedVentBelongsToItsStack(t *testing.T) {
	p := mill()
	v := head("v", "pipe", "drain", "seen", "roof")
	v.From = ""
	p.Vents, p.Stacks[0].Vents = []plan.Vent{v}, []string{"v"}
	wantWords(t, p, "stack_vented", "north", "open")
}

func TestOpenVentsWidenUpwardsOnly(t *testing.T) {
	p := mill()
	p.Vents = []plan.Vent{
		head("a", "pipe", "drain", "seen", "roof"), head("b", "pipe", "drain", "guessed", "roof"),
		head("c", "pipe", "unknown", "seen", "eaves"), head("d", "valve", "drain", "seen", "loft"),
		head("e", "pipe", "room", "seen", "roof"), head("f", "pipe", "drain", "proved", "indoors"),
		head("g", "pipe", "drain", "proved", "unknown"),
	}
	if got := band(t, p, "open_vents", "house"); got != (sdk.Band{Low: 1, Value: 1, High: 4}) {
		t.Errorf("open vents: %v, want a for certain and b, c, g perhaps", got)
	}
	p.Vents[0].State = plan.Removed
	if got := band(t, p, "open_vents", "house"); got != (sdk.Band{Low: 0, Value: 0, High: 3}) {
		t.Errorf("open vents after the only seen one goes: %v, want 0 to 3", got)
	}
	wantGap(t, mill(), "open_vents", "house", sdk.NotTold, "vents")
}

// EN 12056-2:2000, Table 1: least bores, read in a public quotation.
func TestClassOfABore(t *testing.T) {
	for bore, want := range map[float64]float64{25.9: 0, 26: 30, 33.9: 30, 34: 40, 46.4: 50, 75: 80, 78.9: 80, 95.9: 90, 96: 100, 103: 100, 290: 300, 400: 300} {
		if got := classOf(plan.Exactly(bore)).Value; got != want {
			t.Errorf("class of %g mm: %g, want %g", bore, got, want)
		}
	}
	open := classOf(plan.Reading{Low: 96, Value: 100, High: math.Inf(1)})
	if open.Low != 100 || !math.IsInf(open.High, 1) {
		t.Errorf("class of at least 96 mm: %v, want 100 and no end", open)
	}
}

func TestVentOfADrainAndOfNothing(t *testing.T) {
	bore := plan.Exactly(100)
	p := vented(mill(), "yard", nil, nil)
	p.Vents[0].Size, p.Drains[0].Size = sized(&bore), sized(&bore)
	if got := band(t, p, "vent_class_step", "riser"); got.Value != 0 {
		t.Errorf("class step of like sizes: %v, want 0", got)
	}
	p.Drains[0].Size = nil
	wantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "drains.yard.size")
	p.Vents[0].From = "north"
	wantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "stacks.north.size")
	p.Vents[0].From = ""
	for _, quantity := range []string{"vent_ratio", "vent_class_step", "vent_from_trap", "over_spill"} {
		wantGap(t, p, quantity, "riser", sdk.NotTold, "vents.riser.from")
	}
}

func TestVentFromTrapKnowsWhichTrap(t *testing.T) {
	own, joined, at := taped(600, 0), taped(800, 0), taped(400, 0)
	p := vented(mill(), "sink.waste/2", &at, nil)
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &own}}
	p.Branches[basinWaste].Legs = []plan.Leg{{Length: &joined}}
	p.Vents[0].Trap = "basin.trap"
	if got := band(t, p, "vent_from_trap", "riser"); got.Value != 1200 {
		t.Errorf("from the told trap: %v, want 1200", got)
	}
	p.Vents[0].Trap = "other.trap"
	wantGap(t, p, "vent_from_trap", "riser", sdk.NotTold, "vents.riser.for")
	p.Vents[0].Trap, p.Branches[sinkWaste2].Whole = "", "collector"
	wantGap(t, p, "vent_from_trap", "riser", sdk.NotTold, "vents.riser.for")
	p.Traps[0].State = plan.Removed
	if got := band(t, p, "vent_from_trap", "riser"); got.Value != 1000 {
		t.Errorf("from the only trap: %v, want 1000", got)
	}
}

func TestOverSpillLeavesOutWhatHasNoRim(t *testing.T) {
	end := taped(500, 3)
	p := vented(mill(), "basin.waste", nil, nil)
	p.Vents[0].EndsAt, p.Fixtures[0].Kind = &end, "trap_box"
	wantGap(t, p, "over_spill", "riser", sdk.OutOfRange, "")
}

// A near-level leg told by its level distance alone stands less than 45°.
func TestLengthWithoutADrop(t *testing.T) {
	along := taped(1000, 10)
	p := mill()
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Along: &along}}
	if got := band(t, p, "to_stack", "sink.trap"); got.Low != 990 || got.Value != 1000 || !near(got.High, 1010*math.Sqrt2) {
		t.Errorf("length of a level distance: %v, want 990 to 1428", got)
	}
	p.Branches[sinkWaste1].Legs[0].Steep = true
	wantGap(t, p, "to_stack", "sink.trap", sdk.NotMeasured, "sink.waste.drop")
}

func TestNoTrapHasNoSeal(t *testing.T) {
	p := mill()
	p.Traps[0].Kinds = []string{"none"}
	if got := band(t, p, "seal", "basin.trap"); got != (sdk.Band{}) {
		t.Errorf("seal of no trap: %v, want 0", got)
	}
}

func TestReadingsThatContradictAreNoNumber(t *testing.T) {
	p := mill()
	p.Traps[0].Seal = &plan.Reading{Low: 60, Value: 50, High: 40}
	wantGap(t, p, "seal", "basin.trap", sdk.OutOfRange, "")
}

func TestPipesOfNoBoreAreAsked(t *testing.T) {
	nothing, bore, drop := plan.Exactly(0), plan.Exactly(40), plan.Exactly(20)
	p := vented(mill(), "basin.waste", nil, nil)
	p.Vents[0].Size, p.Branches[basinWaste].Size = sized(&bore), sized(&nothing)
	wantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "basin.waste.size")
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Size, p.Branches[sinkWaste1].Legs = sized(&nothing), []plan.Leg{{Drop: &drop}}
	wantGap(t, p, "vent_drop_bores", "sink.trap", sdk.NotMeasured, "sink.waste.size")
}

// A run of at least 3 m, the end hidden: the stack is at least as far.
func TestOpenEndStaysOpen(t *testing.T) {
	long := plan.Reading{Low: 3000, Value: 3000, High: math.Inf(1)}
	p := mill()
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &long}}
	if got := band(t, p, "to_stack", "sink.trap"); got.Low != 3000 || !math.IsInf(got.High, 1) {
		t.Errorf("to_stack of a hidden end: %v, want 3000 and no end", got)
	}
}

func TestRemovedIsLeftOut(t *testing.T) {
	p := mill()
	p.Traps[0].State = plan.Removed
	for _, g := range ask(t, p, "seal").Gaps {
		if g.Subject == "basin.trap" {
			t.Error("the seal of a removed trap is asked for")
		}
	}
}

func TestStrangePlanIsRefused(t *testing.T) {
	for _, p := range []*plan.Plan{nil, {Version: plan.Version + 1}} {
		if _, err := (Measurer{}).Measure(t.Context(), sdk.Request{Plan: p}); err == nil {
			t.Errorf("a plan of another version is measured: %v", p)
		}
	}
}
