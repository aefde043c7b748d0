package records

import (
	"slices"
	"testing"

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

var probes = []probe{
	{quantity: "flush", subject: "closet", in: []plan.Reading{taped(6, 0.5)},
		build: func(r []*plan.Reading) *plan.Plan { p := inn(); p.Fixtures[closet].Flush = r[0]; return p },
		want:  sdk.Band{Low: 5.5, Value: 6, High: 6.5}, needs: []string{"closet.flush"}},
	{quantity: "air_test_pressure", subject: "house", in: []plan.Reading{taped(1, 0.1)}, build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Pressure = r }),
		want: sdk.Band{Low: 0.9, Value: 1, High: 1.1}, needs: []string{"tests.t1.pressure"}},
	{quantity: "air_test_held", subject: "house", in: []plan.Reading{taped(180, 5)}, build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Held = r }),
		want: sdk.Band{Low: 175, Value: 180, High: 185}, needs: []string{"tests.t1.held"}},
	{quantity: "air_test_loss", subject: "house", in: []plan.Reading{taped(0.2, 0.1)}, build: tested("drains_air", func(t *plan.Test, r *plan.Reading) { t.Fell = r }),
		want: sdk.Band{Low: 0.1, Value: 0.2, High: 0.3}, needs: []string{"tests.t1.fell"}},
	{quantity: "water_test_pressure", subject: "house", in: []plan.Reading{taped(30, 1)}, build: tested("drains_water", func(t *plan.Test, r *plan.Reading) { t.Pressure = r }),
		want: sdk.Band{Low: 29, Value: 30, High: 31}, needs: []string{"tests.t1.pressure"}},
	{quantity: "water_test_held", subject: "house", in: []plan.Reading{taped(900, 5)}, build: tested("drains_water", func(t *plan.Test, r *plan.Reading) { t.Held = r }),
		want: sdk.Band{Low: 895, Value: 900, High: 905}, needs: []string{"tests.t1.held"}},
	{quantity: "seal_left", subject: "house", in: []plan.Reading{taped(30, 2)}, build: tested("discharge", func(t *plan.Test, r *plan.Reading) { t.SealLeft = r }),
		want: sdk.Band{Low: 28, Value: 30, High: 32}, needs: []string{"tests.t1.seal_left"}},
}

func wantWords(t *testing.T, p *plan.Plan, quantity, subject string, want ...string) {
	t.Helper()
	if got := measured(t, p, quantity, subject).States; !slices.Equal(got, want) {
		t.Errorf("%s of %s: %v, want %v", quantity, subject, got, want)
	}
}

func wantGap(t *testing.T, p *plan.Plan, quantity, subject string, because sdk.Because, needs string) {
	t.Helper()
	if g := gap(t, p, quantity, subject); g.Because != because || g.Needs != needs {
		t.Errorf("%s of %s: %s, asks for %q; want %s, %q", quantity, subject, g.Because, g.Needs, because, needs)
	}
}

func TestTestNotMadeIsNotYet(t *testing.T) {
	for quantity, needs := range map[string]string{"air_test_pressure": "tests.drains_air", "air_test_held": "tests.drains_air",
		"air_test_loss": "tests.drains_air", "water_test_pressure": "tests.drains_water", "water_test_held": "tests.drains_water", "seal_left": "tests.discharge"} {
		wantGap(t, inn(), quantity, "house", sdk.NotYet, needs)
	}
}

func TestRepeatedTestsSpanAllResults(t *testing.T) {
	first, second := taped(0.2, 0.1), taped(0.6, 0.1)
	p := &plan.Plan{Tests: []plan.Test{{ID: "t1", What: "drains_air", Fell: &first}, {ID: "t2", What: "drains_air", Fell: &second}, {ID: "t3", What: "drains_air", Fell: reading(0)}}}
	if got := band(t, p, "air_test_loss", "house"); got.Low != 0 || got.Value != 0.2 || !near(got.High, 0.7) {
		t.Errorf("loss of three tests: %v, want 0 to 0.7", got)
	}
	p.Tests[1].Fell = nil
	wantGap(t, p, "air_test_loss", "house", sdk.NotMeasured, "tests.t2.fell")
	if first != taped(0.2, 0.1) {
		t.Error("the plan's own reading was changed")
	}
}

func TestHouseFacts(t *testing.T) {
	p := inn()
	wantWords(t, p, "roof_water", "house", "separate")
	wantWords(t, p, "notified", "house", "not_yet")
	p.House = plan.House{RoofWater: "unknown"}
	wantGap(t, p, "roof_water", "house", sdk.NotTold, "house.roof_water")
	wantGap(t, p, "notified", "house", sdk.NotTold, "work.notified")
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
			wantWords(t, p, "has_trap", "tub", x.has...)
			wantWords(t, p, "own_trap", "tub", x.own...)
		})
	}
}

func TestTrapsNobodyTold(t *testing.T) {
	p := inn()
	p.Traps[tub].Kinds, p.Fixtures[basin].Trap = nil, ""
	wantWords(t, p, "has_trap", "tub", "fitted") // the box has one
	wantGap(t, p, "own_trap", "tub", sdk.NotTold, "tub.trap.kind")
	wantGap(t, p, "has_trap", "basin", sdk.NotTold, "basin.trap.kind")
	p.Traps[tub].Kinds, p.Traps[box].Kinds = []string{"none"}, nil
	wantGap(t, p, "has_trap", "tub", sdk.NotTold, "box.trap.kind")
	wantGap(t, p, "own_trap", "tub", sdk.NotTold, "box.trap.kind")
	p.Traps[box].Seal = reading(50) // a seal was read, so it is a trap
	wantWords(t, p, "own_trap", "tub", "shared")
}

// A trap that stands under another fixture is shared.
func TestTrapUnderAnotherFixtureIsShared(t *testing.T) {
	p := inn()
	p.Fixtures[basin].Trap = "closet.trap"
	wantWords(t, p, "own_trap", "basin", "shared")
}

func TestTapNeedsNoTrap(t *testing.T) {
	p := inn()
	p.Fixtures[basin].Kind = "tap"
	wantGap(t, p, "has_trap", "basin", sdk.OutOfRange, "")
	wantGap(t, p, "own_trap", "basin", sdk.OutOfRange, "")
	wantGap(t, p, "overflow", "basin", sdk.OutOfRange, "")
}

func TestOverflowAndFlush(t *testing.T) {
	p := inn()
	wantWords(t, p, "overflow", "basin", "fitted")
	wantGap(t, p, "overflow", "tub", sdk.NotTold, "tub.overflow")
	wantGap(t, p, "flush", "basin", sdk.OutOfRange, "")
}

func TestStubOfARemovedFixture(t *testing.T) {
	p := inn()
	wantWords(t, p, "stub_closed", "stand", "capped")
	p.Fixtures[stand].Stub = "undecided"
	wantWords(t, p, "stub_closed", "stand", "open")
	p.Fixtures[stand].Stub = "unknown"
	wantGap(t, p, "stub_closed", "stand", sdk.NotTold, "stand.waste.stub_closed_by")
	wantGap(t, p, "stub_closed", "basin", sdk.OutOfRange, "")
	for _, g := range ask(t, p, "overflow").Gaps {
		if g.Subject == "stand" {
			t.Error("the overflow of a removed fixture is asked for")
		}
	}
}

func TestBasinWithWC(t *testing.T) {
	p := inn()
	wantWords(t, p, "basin_with_wc", "closet", "present")
	wantGap(t, p, "basin_with_wc", "basin", sdk.OutOfRange, "")
	p.Fixtures[basin].Room = "front" // may open to the back room
	wantWords(t, p, "basin_with_wc", "closet", "present", "absent")
	p.Fixtures[basin].Room = "yard" // a storey below
	wantWords(t, p, "basin_with_wc", "closet", "absent")
	p.Fixtures[basin].Room = ""
	wantWords(t, p, "basin_with_wc", "closet", "present", "absent")
	p.Fixtures[closet].Room = ""
	wantGap(t, p, "basin_with_wc", "closet", sdk.NotTold, "closet.room")
	p.Fixtures[closet].Kind = "unknown"
	wantGap(t, p, "basin_with_wc", "closet", sdk.NotTold, "closet.kind")
}

func TestStrangePlanIsRefused(t *testing.T) {
	for _, p := range []*plan.Plan{nil, {Version: plan.Version + 1}} {
		if _, err := (Measurer{}).Measure(t.Context(), sdk.Request{Plan: p}); err == nil {
			t.Errorf("a plan of another version is measured: %v", p)
		}
	}
}
