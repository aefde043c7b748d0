package walls

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// house of our own: a brick wall with a sleeve for the waste of a bath and a
// chase beside it.
func house(thick, bore, outer, deep *plan.Reading) *plan.Plan {
	return &plan.Plan{
		Walls:    []plan.Wall{{ID: "rear", State: plan.Existing, MadeOf: "brick", Thickness: thick}},
		Sleeves:  []plan.Sleeve{{ID: "s1", Wall: "rear", Bore: bore, For: "bath.waste"}},
		Chases:   []plan.Chase{{ID: "c1", Wall: "rear", Depth: deep}},
		Branches: []plan.Pipe{{ID: "bath.waste/1", Whole: "bath.waste", Size: &plan.Size{Outer: outer}}},
	}
}

var bench = replytest.Bench{Measurer: Measurer}

func TestProbes(t *testing.T) {
	bench.Prove(t, []replytest.Probe{
		// 78/395, 80/380, 82/365
		{Quantity: "core_ratio", Subject: "s1", In: []plan.Reading{replytest.Taped(80, 2), replytest.Taped(380, 15)},
			Build: func(r []*plan.Reading) *plan.Plan { return house(r[1], r[0], nil, nil) },
			Want:  sdk.Band{Low: 0.197468354, Value: 0.210526316, High: 0.224657534}, Needs: []string{"walls.sleeves.s1.bore", "walls.rear.thickness"}},
		// (78 - 50.5)/2, (80 - 50)/2, (82 - 49.5)/2
		{Quantity: "sleeve_room", Subject: "s1", In: []plan.Reading{replytest.Taped(80, 2), replytest.Taped(50, 0.5)},
			Build: func(r []*plan.Reading) *plan.Plan { return house(nil, r[0], r[1], nil) },
			Want:  sdk.Band{Low: 13.75, Value: 15, High: 16.25}, Needs: []string{"walls.sleeves.s1.bore", "bath.waste.size"}},
		// 28/395, 30/380, 32/365
		{Quantity: "chase_ratio", Subject: "c1", In: []plan.Reading{replytest.Taped(30, 2), replytest.Taped(380, 15)},
			Build: func(r []*plan.Reading) *plan.Plan { return house(r[1], nil, nil, r[0]) },
			Want:  sdk.Band{Low: 0.070886076, Value: 0.078947368, High: 0.087671233}, Needs: []string{"walls.chases.c1.depth", "walls.rear.thickness"}},
	})
}

// A pipe that grows midway: any of its pieces may lie in the wall.
func TestPiecesThatDiffer(t *testing.T) {
	bore, narrow, wide := plan.Exactly(80), plan.Exactly(40), plan.Exactly(50)
	p := house(nil, &bore, &narrow, nil)
	p.Branches = append(p.Branches, plan.Pipe{ID: "bath.waste/2", Whole: "bath.waste", Size: &plan.Size{Outer: &wide}})
	if got := bench.Band(t, p, "sleeve_room", "s1"); got != (sdk.Band{Low: 15, Value: 15, High: 20}) {
		t.Errorf("room round a pipe of 40 and 50 mm in 80: %v, want 15 to 20", got)
	}
}

func TestWhatIsNotToldIsAsked(t *testing.T) {
	d := plan.Exactly(80)
	p := house(&d, &d, &d, &d)
	p.Sleeves[0].Wall, p.Sleeves[0].For, p.Chases[0].Wall = "", "", "gone"
	bench.WantGap(t, p, "core_ratio", "s1", sdk.NotTold, "walls.sleeves.s1.wall")
	bench.WantGap(t, p, "sleeve_room", "s1", sdk.NotTold, "walls.sleeves.s1.for")
	bench.WantGap(t, p, "chase_ratio", "c1", sdk.NotTold, "walls.chases.c1.wall")
	nought := plan.Exactly(0)
	bench.WantGap(t, house(&nought, &d, &d, &d), "core_ratio", "s1", sdk.NotMeasured, "walls.rear.thickness")
}

// Drains, stacks, vents and supply lines pass walls as branches do.
func TestEveryKindOfPipePasses(t *testing.T) {
	bore, outer := plan.Exactly(150), plan.Exactly(110)
	size := &plan.Size{Outer: &outer}
	p := house(nil, &bore, &outer, nil)
	p.Drains = []plan.Pipe{{ID: "main", Whole: "main", Size: size}}
	p.Stacks, p.Vents = []plan.Stack{{ID: "stack", Size: size}}, []plan.Vent{{ID: "vent", Size: size}}
	p.Links, p.Fans = []plan.Link{{ID: "c1/1", Line: "c1", Size: size}}, []plan.Fan{{ID: "fan", Duct: size}}
	sizes := map[string]string{"main": "drains.main.size", "stack": "stacks.stack.size", "vent": "vents.vent.size", "c1": "supply.lines.c1.size", "fan": "air.fan.duct"}
	for id, needs := range sizes {
		p.Sleeves[0].For = id
		size.Outer = nil
		bench.WantGap(t, p, "sleeve_room", "s1", sdk.NotMeasured, needs)
		size.Outer = &outer
		if got := bench.Band(t, p, "sleeve_room", "s1"); got.Value != 20 {
			t.Errorf("room round %s: %v, want 20", id, got)
		}
	}
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestOneAnswerEach(t *testing.T) {
	bench.AnswersOnce(t, &plan.Plan{
		Sleeves: []plan.Sleeve{{ID: "s"}, {ID: "gone", State: plan.Removed}},
		Chases:  []plan.Chase{{ID: "c"}, {ID: "gone_chase", State: plan.Removed}},
	}, map[string]string{"sleeves": "s", "chases": "c"})
}
