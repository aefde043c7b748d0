package venting

import (
	"math"
	"testing"

	"fallrule/plugins/reply/replytest"
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
			bench.WantWords(t, p, "stack_vented", "north", x.want...)
		})
	}
	bench.WantGap(t, mill(), "stack_vented", "north", sdk.NotTold, "vents")
}

// A stack that lists its vents is aired by them though they do not name it.
func TestListedVentBelongsToItsStack(t *testing.T) {
	p := mill()
	v := head("v", "pipe", "drain", "seen", "roof")
	v.From = ""
	p.Vents, p.Stacks[0].Vents = []plan.Vent{v}, []string{"v"}
	bench.WantWords(t, p, "stack_vented", "north", "open")
}

func TestOpenVentsWidenUpwardsOnly(t *testing.T) {
	p := mill()
	p.Vents = []plan.Vent{
		head("a", "pipe", "drain", "seen", "roof"), head("b", "pipe", "drain", "guessed", "roof"),
		head("c", "pipe", "unknown", "seen", "eaves"), head("d", "valve", "drain", "seen", "loft"),
		head("e", "pipe", "room", "seen", "roof"), head("f", "pipe", "drain", "proved", "indoors"),
		head("g", "pipe", "drain", "proved", "unknown"),
	}
	if got := bench.Band(t, p, "open_vents", "house"); got != (sdk.Band{Low: 1, Value: 1, High: 4}) {
		t.Errorf("open vents: %v, want a for certain and b, c, g perhaps", got)
	}
	p.Vents[0].State = plan.Removed
	if got := bench.Band(t, p, "open_vents", "house"); got != (sdk.Band{Low: 0, Value: 0, High: 3}) {
		t.Errorf("open vents after the only seen one goes: %v, want 0 to 3", got)
	}
	bench.WantGap(t, mill(), "open_vents", "house", sdk.NotTold, "vents")
}

func TestVentOfADrainAndOfNothing(t *testing.T) {
	bore := plan.Exactly(100)
	p := vented(mill(), "yard", nil, nil)
	p.Vents[0].Size, p.Drains[0].Size = sized(&bore), sized(&bore)
	if got := bench.Band(t, p, "vent_class_step", "riser"); got.Value != 0 {
		t.Errorf("class step of like sizes: %v, want 0", got)
	}
	p.Drains[0].Size = nil
	bench.WantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "drains.yard.size")
	p.Vents[0].From = "north"
	bench.WantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "stacks.north.size")
	p.Vents[0].From = ""
	for _, quantity := range []string{"vent_ratio", "vent_class_step", "vent_from_trap", "over_spill"} {
		bench.WantGap(t, p, quantity, "riser", sdk.NotTold, "vents.riser.from")
	}
}

func TestVentFromTrapKnowsWhichTrap(t *testing.T) {
	own, joined, at := replytest.Taped(600, 0), replytest.Taped(800, 0), replytest.Taped(400, 0)
	p := vented(mill(), "sink.waste/2", &at, nil)
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &own}}
	p.Branches[basinWaste].Legs = []plan.Leg{{Length: &joined}}
	p.Vents[0].Trap = "basin.trap"
	if got := bench.Band(t, p, "vent_from_trap", "riser"); got.Value != 1200 {
		t.Errorf("from the told trap: %v, want 1200", got)
	}
	p.Vents[0].Trap = "other.trap"
	bench.WantGap(t, p, "vent_from_trap", "riser", sdk.NotTold, "vents.riser.for")
	p.Vents[0].Trap, p.Branches[sinkWaste2].Whole = "", "collector"
	bench.WantGap(t, p, "vent_from_trap", "riser", sdk.NotTold, "vents.riser.for")
	p.Traps[0].State = plan.Removed
	if got := bench.Band(t, p, "vent_from_trap", "riser"); got.Value != 1000 {
		t.Errorf("from the only trap: %v, want 1000", got)
	}
}

func TestOverSpillLeavesOutWhatHasNoRim(t *testing.T) {
	end := replytest.Taped(500, 3)
	p := vented(mill(), "basin.waste", nil, nil)
	p.Vents[0].EndsAt, p.Fixtures[0].Kind = &end, "trap_box"
	bench.WantGap(t, p, "over_spill", "riser", sdk.OutOfRange, "")
}

// A near-level leg told by its level distance alone stands less than 45°.
func TestLengthWithoutADrop(t *testing.T) {
	along := replytest.Taped(1000, 10)
	p := mill()
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Along: &along}}
	if got := bench.Band(t, p, "to_stack", "sink.trap"); got.Low != 990 || got.Value != 1000 || !replytest.Near(got.High, 1010*math.Sqrt2) {
		t.Errorf("length of a level distance: %v, want 990 to 1428", got)
	}
	p.Branches[sinkWaste1].Legs[0].Steep = true
	bench.WantGap(t, p, "to_stack", "sink.trap", sdk.NotMeasured, "sink.waste.drop")
}

func TestNoTrapHasNoSeal(t *testing.T) {
	p := mill()
	p.Traps[0].Kinds = []string{"none"}
	if got := bench.Band(t, p, "seal", "basin.trap"); got != (sdk.Band{}) {
		t.Errorf("seal of no trap: %v, want 0", got)
	}
}

func TestReadingsThatContradictAreNoNumber(t *testing.T) {
	p := mill()
	p.Traps[0].Seal = &plan.Reading{Low: 60, Value: 50, High: 40}
	bench.WantGap(t, p, "seal", "basin.trap", sdk.OutOfRange, "")
}

func TestPipesOfNoBoreAreAsked(t *testing.T) {
	nothing, bore, drop := plan.Exactly(0), plan.Exactly(40), plan.Exactly(20)
	p := vented(mill(), "basin.waste", nil, nil)
	p.Vents[0].Size, p.Branches[basinWaste].Size = sized(&bore), sized(&nothing)
	bench.WantGap(t, p, "vent_ratio", "riser", sdk.NotMeasured, "basin.waste.size")
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Size, p.Branches[sinkWaste1].Legs = sized(&nothing), []plan.Leg{{Drop: &drop}}
	bench.WantGap(t, p, "vent_drop_bores", "sink.trap", sdk.NotMeasured, "sink.waste.size")
}

// A run of at least 3 m, the end hidden: the stack is at least as far.
func TestOpenEndStaysOpen(t *testing.T) {
	long := plan.Reading{Low: 3000, Value: 3000, High: math.Inf(1)}
	p := mill()
	p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &long}}
	if got := bench.Band(t, p, "to_stack", "sink.trap"); got.Low != 3000 || !math.IsInf(got.High, 1) {
		t.Errorf("to_stack of a hidden end: %v, want 3000 and no end", got)
	}
}

func TestRemovedIsLeftOut(t *testing.T) {
	p := mill()
	p.Traps[0].State = plan.Removed
	for _, g := range bench.Ask(t, p, "seal").Gaps {
		if g.Subject == "basin.trap" {
			t.Error("the seal of a removed trap is asked for")
		}
	}
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }

// Told that there is no vent, or with a list that is all there is, nothing
// stays hidden; told nothing, old pipes are asked about.
func TestVentsToldOrNot(t *testing.T) {
	whole := replytest.Taped(900, 10)
	old := func(told string) *plan.Plan {
		p := mill()
		p.VentsTold = told
		for i := range p.Branches {
			p.Branches[i].State = plan.Existing
		}
		p.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
		p.Branches[sinkWaste1].Legs = []plan.Leg{{Length: &whole}}
		return p
	}
	for _, told := range []string{"none", "listed"} {
		p := old(told)
		bench.WantWords(t, p, "stack_vented", "north", "none")
		bench.WantWords(t, p, "vented_by", "sink.trap", "stack")
		bench.WantWords(t, p, "vented_by", "sink.waste/1", "stack")
		bench.WantWords(t, p, "vented_by", "basin.trap", "none")
		for quantity, want := range map[string]sdk.Band{"open_vents": {}, "to_vent": {Low: 890, Value: 900, High: 910}} {
			subject := map[string]string{"open_vents": "house", "to_vent": "sink.trap"}[quantity]
			if got := bench.Band(t, p, quantity, subject); got != want {
				t.Errorf("%s with vents %s: %v, want %v", quantity, told, got, want)
			}
		}
	}
	for _, told := range []string{"", "unknown"} {
		p := old(told)
		bench.WantGap(t, p, "stack_vented", "north", sdk.NotTold, "vents")
		bench.WantGap(t, p, "open_vents", "house", sdk.NotTold, "vents")
		for _, quantity := range []string{"vented_by", "to_vent"} {
			bench.WantGap(t, p, quantity, "sink.trap", sdk.NotTold, "vents")
		}
	}
	p := old("listed")
	p.Vents = []plan.Vent{head("v", "pipe", "drain", "seen", "roof")}
	bench.WantWords(t, p, "stack_vented", "north", "open")
	bench.WantWords(t, p, "vented_by", "sink.trap", "stack")
	if got := bench.Band(t, p, "open_vents", "house"); got != (sdk.Band{Low: 1, Value: 1, High: 1}) {
		t.Errorf("open vents of a list of one: %v", got)
	}
}

func TestOneAnswerEach(t *testing.T) {
	bench.AnswersOnce(t, &plan.Plan{
		Traps:            []plan.Trap{{ID: "t"}, {ID: "gone", State: plan.Removed}},
		Branches:         []plan.Pipe{{ID: "b"}, {ID: "gone_branch", State: plan.Removed}},
		Drains:           []plan.Pipe{{ID: "d"}, {ID: "gone_drain", State: plan.Removed}},
		Stacks:           []plan.Stack{{ID: "s"}, {ID: "gone_stack", State: plan.Removed}},
		Vents:            []plan.Vent{{ID: "v"}, {ID: "gone_vent", State: plan.Removed}},
		TerminalOpenings: []plan.TerminalOpening{{Pair: plan.Pair{ID: "v~w", A: "v", B: "w"}}},
	}, map[string]string{"traps": "t", "branches": "b", "drains": "d", "stacks": "s", "vents": "v", "terminal_openings": "v~w", "buildings": "house"})
}
