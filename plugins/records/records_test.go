package records

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// inn is a house of our own: a water closet and a basin in the back room, a
// tub that runs into a trap box, and a wash stand that goes.
func inn() *plan.Plan {
	return &plan.Plan{
		House: plan.House{RoofWater: "separate", Notified: "not_yet"},
		Rooms: []plan.Room{{ID: "back", Storey: reading(1)}, {ID: "front", Storey: reading(1)}, {ID: "yard", Storey: reading(0)}},
		Fixtures: []plan.Fixture{
			{ID: "closet", Kind: "wc", Room: "back", Trap: "closet.trap", Overflow: "without"},
			{ID: "basin", Kind: "washbasin", Room: "back", Trap: "basin.trap", Overflow: "fitted"},
			{ID: "tub", Kind: "bath", Trap: "tub.trap", Into: "box"},
			{ID: "box", Kind: "trap_box", Trap: "box.trap"},
			{ID: "stand", Kind: "washbasin", State: plan.Removed, Room: "back", Stub: "capped"},
		},
		Traps: []plan.Trap{
			{ID: "closet.trap", Fixture: "closet", Kinds: []string{"built_in"}},
			{ID: "basin.trap", Fixture: "basin", Kinds: []string{"bottle"}},
			{ID: "tub.trap", Fixture: "tub", Kinds: []string{"none"}},
			{ID: "box.trap", Fixture: "box", Kinds: []string{"trap_box"}},
		},
	}
}

func reading(v float64) *plan.Reading { r := plan.Exactly(v); return &r }

const (
	closet = iota
	basin
	tub
	box
	stand
)

func tested(what string, set func(*plan.Test, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		test := plan.Test{ID: "t1", What: what}
		set(&test, r[0])
		return &plan.Plan{Tests: []plan.Test{test}}
	}
}

var bench = replytest.Bench{Measurer: Measurer}

func TestProbes(t *testing.T) { bench.Prove(t, probes) }

var probes = []replytest.Probe{
	{Quantity: "flush", Subject: "closet", In: []plan.Reading{replytest.Taped(6, 0.5)},
		Build: func(r []*plan.Reading) *plan.Plan { p := inn(); p.Fixtures[closet].Flush = r[0]; return p },
		Want:  sdk.Band{Low: 5.5, Value: 6, High: 6.5}, Needs: []string{"closet.flush"}},
	{Quantity: "air_test_pressure", Subject: "house", In: []plan.Reading{replytest.Taped(1, 0.1)}, Build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Pressure = r }),
		Want: sdk.Band{Low: 0.9, Value: 1, High: 1.1}, Needs: []string{"tests.t1.pressure"}},
	{Quantity: "air_test_held", Subject: "house", In: []plan.Reading{replytest.Taped(180, 5)}, Build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Held = r }),
		Want: sdk.Band{Low: 175, Value: 180, High: 185}, Needs: []string{"tests.t1.held"}},
	{Quantity: "air_test_loss", Subject: "house", In: []plan.Reading{replytest.Taped(0.2, 0.1)}, Build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Fell = r }),
		Want: sdk.Band{Low: 0.1, Value: 0.2, High: 0.3}, Needs: []string{"tests.t1.fell"}},
	{Quantity: "water_test_pressure", Subject: "house", In: []plan.Reading{replytest.Taped(30, 1)}, Build: tested("drains_water", func(t *plan.Test, r *plan.Reading) { t.Pressure = r }),
		Want: sdk.Band{Low: 29, Value: 30, High: 31}, Needs: []string{"tests.t1.pressure"}},
	{Quantity: "water_test_held", Subject: "house", In: []plan.Reading{replytest.Taped(900, 5)}, Build: tested("drains_water", func(t *plan.Test, r *plan.Reading) { t.Held = r }),
		Want: sdk.Band{Low: 895, Value: 900, High: 905}, Needs: []string{"tests.t1.held"}},
	{Quantity: "seal_left", Subject: "house", In: []plan.Reading{replytest.Taped(30, 2)}, Build: tested("discharge", func(t *plan.Test, r *plan.Reading) { t.SealLeft = r }),
		Want: sdk.Band{Low: 28, Value: 30, High: 32}, Needs: []string{"tests.t1.seal_left"}},
}

func TestTestNotMadeIsNotYet(t *testing.T) {
	for quantity, needs := range map[string]string{"air_test_pressure": "tests.drains_air", "air_test_held": "tests.drains_air",
		"air_test_loss": "tests.drains_air", "water_test_pressure": "tests.drains_water", "water_test_held": "tests.drains_water", "seal_left": "tests.discharge"} {
		bench.WantGap(t, inn(), quantity, "house", sdk.NotYet, needs)
	}
}

func TestRepeatedTestsSpanAllResults(t *testing.T) {
	first, second := replytest.Taped(0.2, 0.1), replytest.Taped(0.6, 0.1)
	p := &plan.Plan{Tests: []plan.Test{{ID: "t1", What: "drains_air", Fell: &first}, {ID: "t2", What: "drains_air", Fell: &second}, {ID: "t3", What: "drains_air", Fell: reading(0)}}}
	if got := bench.Band(t, p, "air_test_loss", "house"); got.Low != 0 || got.Value != 0.2 || !replytest.Near(got.High, 0.7) {
		t.Errorf("loss of three tests: %v, want 0 to 0.7", got)
	}
	p.Tests[1].Fell = nil
	bench.WantGap(t, p, "air_test_loss", "house", sdk.NotMeasured, "tests.t2.fell")
	if first != replytest.Taped(0.2, 0.1) {
		t.Error("the plan's own reading was changed")
	}
}

func TestHouseFacts(t *testing.T) {
	p := inn()
	bench.WantWords(t, p, "roof_water", "house", "separate")
	bench.WantWords(t, p, "notified", "house", "not_yet")
	p.House = plan.House{RoofWater: "unknown"}
	bench.WantGap(t, p, "roof_water", "house", sdk.NotTold, "house.roof_water")
	bench.WantGap(t, p, "notified", "house", sdk.NotTold, "work.notified")
}

func TestTraps(t *testing.T) {
	for _, x := range []struct {
		about    string
		kinds    []string // of the tub's trap
		box      []string // of the box's
		has, own []string
	}{
		{"box only", []string{"none"}, []string{"trap_box"}, []string{"fitted"}, []string{"shared"}},
		{"own only", []string{"p"}, []string{"none"}, []string{"fitted"}, []string{"own"}},
		{"both", []string{"p"}, []string{"trap_box"}, []string{"fitted"}, []string{"own"}},
		{"neither", []string{"none"}, []string{"none"}, []string{"none"}, []string{"none"}},
		{"own perhaps, box", []string{"p", "none"}, []string{"trap_box"}, []string{"fitted"}, []string{"own", "shared"}},
		{"own perhaps, no box", []string{"p", "none"}, []string{"none"}, []string{"fitted", "none"}, []string{"own", "none"}},
		{"both perhaps", []string{"p", "none"}, []string{"trap_box", "none"}, []string{"fitted", "none"}, []string{"own", "shared", "none"}},
	} {
		t.Run(x.about, func(t *testing.T) {
			p := inn()
			p.Traps[tub].Kinds, p.Traps[box].Kinds = x.kinds, x.box
			bench.WantWords(t, p, "has_trap", "tub", x.has...)
			bench.WantWords(t, p, "own_trap", "tub", x.own...)
		})
	}
}

func TestTrapsNobodyTold(t *testing.T) {
	p := inn()
	p.Traps[tub].Kinds, p.Fixtures[basin].Trap = nil, ""
	bench.WantWords(t, p, "has_trap", "tub", "fitted") // the box has one
	bench.WantGap(t, p, "own_trap", "tub", sdk.NotTold, "tub.trap.kind")
	bench.WantGap(t, p, "has_trap", "basin", sdk.NotTold, "basin.trap.kind")
	p.Traps[tub].Kinds, p.Traps[box].Kinds = []string{"none"}, nil
	bench.WantGap(t, p, "has_trap", "tub", sdk.NotTold, "box.trap.kind")
	bench.WantGap(t, p, "own_trap", "tub", sdk.NotTold, "box.trap.kind")
	p.Traps[box].Seal = reading(50) // a seal was read, so it is a trap
	bench.WantWords(t, p, "own_trap", "tub", "shared")
}

// A trap that stands under another fixture is shared.
func TestTrapUnderAnotherFixtureIsShared(t *testing.T) {
	p := inn()
	p.Fixtures[basin].Trap = "closet.trap"
	bench.WantWords(t, p, "own_trap", "basin", "shared")
}

func TestTapNeedsNoTrap(t *testing.T) {
	p := inn()
	p.Fixtures[basin].Kind = "tap"
	bench.WantGap(t, p, "has_trap", "basin", sdk.OutOfRange, "")
	bench.WantGap(t, p, "own_trap", "basin", sdk.OutOfRange, "")
	bench.WantGap(t, p, "overflow", "basin", sdk.OutOfRange, "")
}

func TestOverflowAndFlush(t *testing.T) {
	p := inn()
	bench.WantWords(t, p, "overflow", "basin", "fitted")
	bench.WantGap(t, p, "overflow", "tub", sdk.NotTold, "tub.overflow")
	bench.WantGap(t, p, "flush", "basin", sdk.OutOfRange, "")
}

func TestStubOfARemovedFixture(t *testing.T) {
	p := inn()
	bench.WantWords(t, p, "stub_closed", "stand", "capped")
	p.Fixtures[stand].Stub = "undecided"
	bench.WantWords(t, p, "stub_closed", "stand", "open")
	p.Fixtures[stand].Stub = "unknown"
	bench.WantGap(t, p, "stub_closed", "stand", sdk.NotTold, "stand.waste.stub_closed_by")
	bench.WantGap(t, p, "stub_closed", "basin", sdk.OutOfRange, "")
	for _, g := range bench.Ask(t, p, "overflow").Gaps {
		if g.Subject == "stand" {
			t.Error("the overflow of a removed fixture is asked for")
		}
	}
}

func TestBasinWithWC(t *testing.T) {
	p := inn()
	bench.WantWords(t, p, "basin_with_wc", "closet", "present")
	bench.WantGap(t, p, "basin_with_wc", "basin", sdk.OutOfRange, "")
	p.Fixtures[basin].Room = "front" // may open to the back room
	bench.WantWords(t, p, "basin_with_wc", "closet", "present", "absent")
	p.Fixtures[basin].Room = "yard" // a storey below
	bench.WantWords(t, p, "basin_with_wc", "closet", "absent")
	p.Fixtures[basin].Room = ""
	bench.WantWords(t, p, "basin_with_wc", "closet", "present", "absent")
	p.Fixtures[closet].Room = ""
	bench.WantGap(t, p, "basin_with_wc", "closet", sdk.NotTold, "closet.room")
	p.Fixtures[closet].Kind = "unknown"
	bench.WantGap(t, p, "basin_with_wc", "closet", sdk.NotTold, "closet.kind")
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestOneAnswerEach(t *testing.T) {
	bench.AnswersOnce(t, &plan.Plan{Fixtures: []plan.Fixture{{ID: "f"}}}, map[string]string{"fixtures": "f", "buildings": "house"})
}
