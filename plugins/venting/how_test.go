package venting

import (
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// headed is the mill with a seen open vent at the head of its stack.
func headed() *plan.Plan {
	p := mill()
	p.Vents = []plan.Vent{head("top", "pipe", "drain", "seen", "roof")}
	return p
}

// twins is two basins whose wastes meet and run on as a third pipe.
func twins(kind string) *plan.Plan {
	p := headed()
	p.Fixtures[1].Kind = kind
	p.Branches[sinkWaste2].Whole = "shared"
	return p
}

func TestHowVented(t *testing.T) {
	on := func(p *plan.Plan, from string, change func(*plan.Vent)) *plan.Plan {
		p = vented(p, from, nil, nil)
		if change != nil {
			change(&p.Vents[len(p.Vents)-1])
		}
		return p
	}
	alone := headed()
	alone.Branches[sinkWaste1].To = plan.Junction{Kind: "stack", ID: "north"}
	unheaded := mill()
	unheaded.VentsTold = "none"
	gully := headed()
	gully.Branches[sinkWaste2].To = plan.Junction{Kind: "gully"}
	high, low := plan.Exactly(500), plan.Exactly(400)
	stepped := twins("washbasin")
	stepped.Branches[basinWaste].To.Level, stepped.Branches[sinkWaste1].To.Level = &high, &low
	for _, x := range []struct {
		about, subject string
		plan           *plan.Plan
		want           []string
	}{
		{"its own pipe to a vented stack", "sink.trap", alone, []string{"stack"}},
		{"a shared pipe to a vented stack", "basin.trap", headed(), []string{"wet"}},
		{"the same, seen from the other", "sink.trap", headed(), []string{"wet"}},
		{"to a stack with no vent", "basin.trap", unheaded, []string{"none"}},
		{"to a gully", "basin.trap", gully, []string{"none"}},
		{"a vent on its own pipe", "basin.trap", on(headed(), "basin.waste", nil), []string{"branch_vent"}},
		{"a valve on its own pipe", "basin.trap", on(headed(), "basin.waste", func(v *plan.Vent) { v.Kind = "valve" }), []string{"valve"}},
		{"a vent on the shared pipe", "basin.trap", on(headed(), "sink.waste/2", nil), []string{"wet"}},
		{"a valve on the shared pipe", "basin.trap", on(headed(), "sink.waste/2", func(v *plan.Vent) { v.Kind = "valve" }), []string{"valve"}},
		{"a vent where two basins meet", "basin.trap", on(twins("washbasin"), "sink.waste/2", nil), []string{"common"}},
		{"a vent where basin and sink meet", "basin.trap", on(twins("kitchen_sink"), "sink.waste/2", nil), []string{"wet"}},
		{"a vent where a basin and nobody knows what meet", "basin.trap", on(twins("unknown"), "sink.waste/2", nil), []string{"wet", "common"}},
		{"two basins that meet at two levels", "basin.trap", on(stepped, "sink.waste/2", nil), []string{"wet"}},
		{"a guessed vent on its own pipe", "basin.trap", on(headed(), "basin.waste", func(v *plan.Vent) { v.State, v.Known = plan.Existing, "guessed" }), []string{"branch_vent", "wet"}},
	} {
		t.Run(x.about, func(t *testing.T) { bench.WantWords(t, x.plan, "how_vented", x.subject, x.want...) })
	}
}

func TestHowVentedAsksForWhatIsHidden(t *testing.T) {
	bench.WantGap(t, mill(), "how_vented", "basin.trap", sdk.NotTold, "vents")
	p := headed()
	p.Branches[sinkWaste2].To.ID = "south"
	bench.WantGap(t, p, "how_vented", "basin.trap", sdk.NotTold, "sink.waste.to")
	p.Branches[basinWaste].To = plan.Junction{Kind: "unknown"}
	bench.WantGap(t, p, "how_vented", "basin.trap", sdk.NotTold, "basin.waste.to")
}

func TestVentRiseNeedsACourse(t *testing.T) {
	at, whole, rim := plan.Exactly(500), plan.Exactly(3000), plan.Exactly(900)
	p := vented(mill(), "sink.waste/1", nil, &at)
	p.Fixtures[1].Rim = &rim
	bench.WantGap(t, p, "vent_rise", "riser", sdk.NotMeasured, "vents.riser.runs")
	p.Vents[0].Legs = []plan.Leg{{Length: &whole}}
	bench.WantGap(t, p, "vent_rise", "riser", sdk.NotMeasured, "vents.riser.runs")
	p.Fixtures[1].Kind = "tap"
	bench.WantGap(t, p, "vent_rise", "riser", sdk.OutOfRange, "")
	p.Vents[0].From = ""
	bench.WantGap(t, p, "vent_rise", "riser", sdk.NotTold, "vents.riser.from")
}

func TestSharedTrap(t *testing.T) {
	p := mill()
	p.Fixtures[0].Trap, p.Fixtures[0].Into = "", "box"
	p.Traps = p.Traps[1:]
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "box", Kind: "trap_box", Trap: "box.trap"},
		plan.Fixture{ID: "tray", Kind: "shower", Into: "box"}, plan.Fixture{ID: "old", Kind: "bath", Into: "box", State: plan.Removed})
	p.Traps = append(p.Traps, plan.Trap{ID: "box.trap", Fixture: "box"}, plan.Trap{ID: "running", Branch: "sink.waste/2"}, plan.Trap{ID: "lost"})
	for trap, want := range map[string]float64{"box.trap": 2, "sink.trap": 1, "running": 2} {
		if got := bench.Band(t, p, "shared_trap", trap); got.Value != want || got.Low != want || got.High != want {
			t.Errorf("fixtures on %s: %v, want %g", trap, got, want)
		}
	}
	bench.WantGap(t, p, "shared_trap", "lost", sdk.NotTold, "lost.branch")
}

// A trap of its own before the box: both run into the box's seal as well.
func TestTrapBehindATrapSharesTheBox(t *testing.T) {
	p := mill()
	p.Branches[basinWaste].To = plan.Junction{Kind: "trap_box", ID: "box"}
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "box", Kind: "trap_box", Trap: "box.trap"})
	p.Traps = append(p.Traps, plan.Trap{ID: "box.trap", Fixture: "box"})
	if got := bench.Band(t, p, "shared_trap", "box.trap"); got.Value != 1 {
		t.Errorf("fixtures on the box: %v, want the basin", got)
	}
}

func TestUpstreamOfWC(t *testing.T) {
	kindsOf := func(basin, sink string) *plan.Plan {
		p := mill()
		p.Fixtures[0].Kind, p.Fixtures[1].Kind = basin, sink
		return p
	}
	meeting := kindsOf("wc", "bath")
	meeting.Branches[sinkWaste2].Whole = "shared"
	for _, x := range []struct {
		about   string
		plan    *plan.Plan
		subject string
		want    []string
	}{
		{"a closet joins a bath's pipe", kindsOf("wc", "bath"), "sink.waste/2", []string{"upstream"}},
		{"above the junction", kindsOf("wc", "bath"), "sink.waste/1", []string{"apart"}},
		{"a basin joins the closet's pipe", kindsOf("washbasin", "wc"), "sink.waste/2", []string{"apart"}},
		{"both meet at one place", meeting, "sink.waste/2", []string{"apart"}},
		{"no closet", kindsOf("washbasin", "bath"), "sink.waste/2", []string{"apart"}},
		{"nobody knows what joins", kindsOf("unknown", "bath"), "sink.waste/2", []string{"upstream", "apart"}},
	} {
		t.Run(x.about, func(t *testing.T) { bench.WantWords(t, x.plan, "upstream_of_wc", x.subject, x.want...) })
	}
}

// Below a junction where a closet joined, every piece of the way has it.
func TestUpstreamOfWCHoldsDownstream(t *testing.T) {
	p := mill()
	p.Fixtures[0].Kind = "wc"
	p.Branches[sinkWaste2].To = plan.Junction{Kind: "branch", ID: "collector"}
	p.Branches = append(p.Branches, plan.Pipe{ID: "collector", Whole: "collector", Upstream: []string{"sink.waste/2"}, Serves: []string{"basin", "sink"}, To: plan.Junction{Kind: "stack", ID: "north"}})
	bench.WantWords(t, p, "upstream_of_wc", "collector", "upstream")
	p.Fixtures[1].State = plan.Removed
	bench.WantWords(t, p, "upstream_of_wc", "collector", "apart")
}

func TestUsedSealsDoNotDry(t *testing.T) {
	p := mill()
	p.Fixtures[0].Use = "continuous"
	bench.WantGap(t, p, "dry_days", "basin.trap", sdk.OutOfRange, "")
}
