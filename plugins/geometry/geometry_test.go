package geometry

import (
	"context"
	"math"
	"slices"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

func r(v, tolerance float64) *plan.Reading {
	out := plan.PlusMinus(v, tolerance, plan.Taped)
	return &out
}

func exact(v float64) *plan.Reading { return r(v, 0) }

func bends(degrees ...float64) []plan.Bend {
	out := []plan.Bend{}
	for _, d := range degrees {
		out = append(out, plan.Bend{Angle: exact(d)})
	}
	return out
}

func size(v, tolerance float64) *plan.Size { return &plan.Size{Bore: r(v, tolerance)} }

// measure asks for everything and finds one answer.
func measure(t *testing.T, p *plan.Plan) sdk.Response {
	t.Helper()
	resp, err := Measurer{}.Measure(context.Background(), sdk.Request{Plan: p, Quantities: quantities, Working: true})
	if err != nil {
		t.Fatal(err)
	}
	return resp
}

func find(resp sdk.Response, quantity, subject string) (sdk.Measurement, sdk.Gap) {
	for _, m := range resp.Measurements {
		if m.Quantity == quantity && m.Subject == subject {
			return m, sdk.Gap{}
		}
	}
	for _, g := range resp.Gaps {
		if g.Quantity == quantity && g.Subject == subject {
			return sdk.Measurement{}, g
		}
	}
	return sdk.Measurement{}, sdk.Gap{}
}

func wantBand(t *testing.T, resp sdk.Response, quantity, subject string, low, value, high float64) {
	t.Helper()
	m, g := find(resp, quantity, subject)
	if m.Band == nil {
		t.Errorf("%s of %s: no band, gap %+v", quantity, subject, g)
		return
	}
	near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 0.05 }
	if !near(m.Band.Low, low) || !near(m.Band.Value, value) || !near(m.Band.High, high) {
		t.Errorf("%s of %s: %+v, want %g, %g, %g", quantity, subject, *m.Band, low, value, high)
	}
	if m.Working.Formula == "" || m.Working.Numbers == "" || m.Working.Source == "" {
		t.Errorf("%s of %s: working %+v", quantity, subject, m.Working)
	}
}

func wantStates(t *testing.T, resp sdk.Response, quantity, subject string, states ...string) {
	t.Helper()
	if m, g := find(resp, quantity, subject); !slices.Equal(m.States, states) {
		t.Errorf("%s of %s: %v, want %v, gap %+v", quantity, subject, m.States, states, g)
	}
}

func wantGap(t *testing.T, resp sdk.Response, quantity, subject, needs string) {
	t.Helper()
	if m, g := find(resp, quantity, subject); g.Needs != needs || g.Text == "" || g.Because == "" {
		t.Errorf("%s of %s: gap %+v, want one that needs %s; measured %+v", quantity, subject, g, needs, m)
	}
}

// bath is a waste below boards: 1.22, 0.88 and 0.30 m near level after an
// upright piece, corners of two 45° bends each. Invented; worked by hand.
func bath() *plan.Plan {
	leg := func(along, drop float64, b ...float64) plan.Leg {
		return plan.Leg{Along: r(along, 20.0/3), Drop: r(drop, 6), Length: r(math.Hypot(along, drop), 20.0/3), Bends: bends(b...)}
	}
	return &plan.Plan{
		Version:  plan.Version,
		Fixtures: []plan.Fixture{{ID: "bath", Kind: "bath", State: plan.New}},
		Traps:    []plan.Trap{{ID: "bath.trap", Fixture: "bath", Branch: "bath.waste", Size: size(46, 0), Reach: "panel", Cleaning: "removable"}},
		Branches: []plan.Pipe{{
			ID: "bath.waste", Whole: "bath.waste", State: plan.New, Size: size(46.4, 0.3), MadeOf: "plastic", Serves: []string{"bath"},
			Level: r(42, 3), Clips: r(500, 10),
			Legs: []plan.Leg{
				{Along: exact(0), Drop: exact(120), Length: exact(120), Steep: true, Bends: bends(45, 45)},
				leg(1220, 18, 45, 45), leg(880, 13, 45, 45), leg(300, 5, 45, 45),
			},
			To: plan.Junction{Kind: "stack", ID: "main", Level: r(-114, 3), Angle: exact(87.5), Swept: "square", Side: "left"},
		}},
		Stacks: []plan.Stack{{
			ID: "main", State: plan.Existing, Size: size(100, 1), MadeOf: "cast_iron", Entries: []string{"bath.waste"},
			Foot: r(-544, 117), HasOffset: "straight", To: "yard",
		}},
	}
}

// 36 ± 6 mm over 2.40 m ± 20 mm: 30/2.42 = 12.4, 36/2.40 = 15.0, 42/2.38 = 17.6.
func TestRunIsTakenWhole(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "fall", "bath.waste", 30/2.42, 15, 42/2.38)
	wantStates(t, resp, "runs", "bath.waste", "falls") // the 5 ± 6 mm of the last leg spoil nothing
	wantBand(t, resp, "steep_drop", "bath.waste", 120, 120, 120)
	wantBand(t, resp, "drop", "bath.waste", 150, 156, 162)
	wantBand(t, resp, "length", "bath.waste", 2500.27, 2520.27, 2540.27)
	m, _ := find(resp, "fall", "bath.waste")
	if m.Working.Numbers != "36 mm / 2.400 m = 15.0 mm/m (12.4 mm/m to 17.6 mm/m)" {
		t.Errorf("working %q", m.Working.Numbers)
	}
}

// Told as a whole: one drop and one length, so one error of each.
func TestRunToldAsAWhole(t *testing.T) {
	p := bath()
	p.Branches[0].Level, p.Branches[0].To.Level = nil, nil
	p.Branches[0].Legs = []plan.Leg{{Length: r(2400, 20), Drop: r(36, 6), Bends: bends(90, 90, 90, 90)}}
	resp := measure(t, p)
	wantBand(t, resp, "fall", "bath.waste", 12.4, 15, 17.65)
	wantBand(t, resp, "turn", "bath.waste", 360, 360, 360)
	wantBand(t, resp, "turn_after_first", "bath.waste", 270, 270, 270)
	p.Branches[0].Legs[0].Bends = nil
	wantGap(t, measure(t, p), "turn", "bath.waste", "bath.waste.bends")
}

// An upright pipe is no fall of any size.
func TestUprightPieceIsNoFall(t *testing.T) {
	p := bath()
	p.Branches[0].Legs = p.Branches[0].Legs[:1]
	p.Branches[0].To.Level = r(-78, 3)
	resp := measure(t, p)
	if m, g := find(resp, "fall", "bath.waste"); m.Band != nil || g.Because != sdk.OutOfRange {
		t.Errorf("fall %+v, gap %+v", m, g)
	}
	wantStates(t, resp, "runs", "bath.waste", "falls")
	wantBand(t, resp, "drop", "bath.waste", 120, 120, 120)
}

func TestFallTold(t *testing.T) {
	p := bath()
	b := &p.Branches[0]
	b.Level, b.To.Level = nil, nil
	b.Legs = []plan.Leg{{Along: r(1000, 10), Fall: r(20, 2)}, {Along: r(3000, 10), Fall: r(10, 1)}}
	// least: 18 mm/m over 0.99 m and 9 over 3.01; most: 22 over 1.01 and 11 over 2.99
	wantBand(t, measure(t, p), "fall", "bath.waste", (18*0.99+9*3.01)/4, 12.5, (22*1.01+11*2.99)/4)
	b.Legs = []plan.Leg{{Fall: r(20, 2)}}
	resp := measure(t, p)
	wantBand(t, resp, "fall", "bath.waste", 18, 20, 22)
	wantGap(t, resp, "length", "bath.waste", "bath.waste.length")
	wantGap(t, resp, "drop", "bath.waste", "bath.waste.drop")
}

func TestBubbleSettlesWhatTheBandLeavesOpen(t *testing.T) {
	p := bath()
	b := &p.Branches[0]
	b.Level, b.To.Level = nil, nil
	b.Legs = []plan.Leg{{Along: r(300, 5), Drop: r(5, 6)}}
	wantStates(t, measure(t, p), "runs", "bath.waste", "falls", "level", "rises")
	for _, word := range []string{"falls", "level", "rises"} {
		b.Legs[0].Bubble = word
		wantStates(t, measure(t, p), "runs", "bath.waste", word)
	}
	b.Legs[0] = plan.Leg{Along: r(300, 5), Bubble: "falls"}
	resp := measure(t, p)
	wantStates(t, resp, "runs", "bath.waste", "falls")
	wantGap(t, resp, "fall", "bath.waste", "bath.waste.drop")
	b.Legs[0] = plan.Leg{Along: r(300, 5), Drop: r(20, 6), Bubble: "rises"} // one of the two is wrong
	wantStates(t, measure(t, p), "runs", "bath.waste", "falls", "rises")
}

// Four corners of two 45° bends: 360° in all, 270° without the first corner.
func TestBends(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "bends", "bath.waste", 8, 8, 8)
	wantBand(t, resp, "turn", "bath.waste", 360, 360, 360)
	wantBand(t, resp, "turn_after_first", "bath.waste", 270, 270, 270)
	wantBand(t, resp, "sharpest_bend", "bath.waste", 45, 45, 45)
	wantGap(t, resp, "bend_radius", "bath.waste", "bath.waste.bend.radius")
	p := bath()
	p.Traps = nil // not at a trap: no connection bend
	wantBand(t, measure(t, p), "turn_after_first", "bath.waste", 360, 360, 360)
	p.Branches[0].Legs[1].Bends[0].Angle = nil
	wantGap(t, measure(t, p), "turn", "bath.waste", "bath.waste.bend")
}

// How the resolver tells a whole pipe: the level distance follows from the
// length. Nothing said of bends is a gap, none said is none.
func TestBendsNobodyTold(t *testing.T) {
	along := plan.PlusMinus(2400, 20, plan.Computed)
	p := bath()
	p.Branches[0].Legs = []plan.Leg{{Length: r(2400, 20), Along: &along, Drop: r(156, 6)}}
	for _, q := range []string{"bends", "turn", "turn_after_first", "sharpest_bend", "bend_radius"} {
		wantGap(t, measure(t, p), q, "bath.waste", "bath.waste.bends")
	}
	p.Branches[0].Legs[0].Bends = []plan.Bend{}
	wantBand(t, measure(t, p), "bends", "bath.waste", 0, 0, 0)
	wantBand(t, measure(t, p), "bend_radius", "bath.waste", 10000, 10000, 10000)
	p.Branches[0].Legs[0].Bends = []plan.Bend{{Made: "unknown"}} // a corner: one bend, or two
	wantGap(t, measure(t, p), "bends", "bath.waste", "bath.waste.bend")
}

// A pipe cut where another joins goes straight on: no junction of its own.
func TestPieceThatGoesStraightOn(t *testing.T) {
	p := bath()
	first, second := p.Branches[0], p.Branches[0]
	first.ID, second.ID = "bath.waste/1", "bath.waste/2"
	first.To = plan.Junction{Kind: "branch", ID: second.ID, Angle: exact(0), Swept: "swept", Side: "unknown"}
	second.Upstream = []string{first.ID}
	p.Branches, p.Traps[0].Branch = []plan.Pipe{first, second}, first.ID
	resp := measure(t, p)
	wantBand(t, resp, "entry_radius", "bath.waste/1", 1000, 1000, 1000)
	if _, g := find(resp, "entry_side", "bath.waste/1"); g.Because != sdk.OutOfRange {
		t.Errorf("entry side: gap %+v", g)
	}
	wantBand(t, resp, "size_step", "bath.waste/2", 0, 0, 0)
	wantStates(t, resp, "rodding", "bath.waste/2", "reachable") // through the first piece
}

// A word that the catalogue does not have is no answer.
func TestUnknownWords(t *testing.T) {
	p := bath()
	p.Branches[0].MadeOf, p.Branches[0].To.Kind = "bamboo", "unknown"
	resp := measure(t, p)
	wantGap(t, resp, "material", "bath.waste", "bath.waste.made_of")
	wantGap(t, resp, "discharges_to", "bath.waste", "bath.waste.to")
	wantGap(t, resp, "entry_over_foot", "bath.waste", "bath.waste.to")
}

func TestEntries(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "entry_over_foot", "bath.waste", 310, 430, 550)
	wantBand(t, resp, "entry_angle", "bath.waste", 87.5, 87.5, 87.5)
	wantBand(t, resp, "entry_radius", "bath.waste", 0, 0, 0)
	wantBand(t, resp, "entry_from_offset", "bath.waste", 100000, 100000, 100000)
	wantStates(t, resp, "entry_side", "bath.waste", "left")
	p := bath()
	p.Stacks[0].HasOffset, p.Stacks[0].Offset, p.Stacks[0].Foot = "offset", r(100, 7), nil
	resp = measure(t, p)
	wantBand(t, resp, "entry_from_offset", "bath.waste", 204, 214, 224)
	wantGap(t, resp, "entry_over_foot", "bath.waste", "stacks.main.foot.level")
}

func TestSizeSteps(t *testing.T) {
	p := bath()
	p.Branches[0].Size = size(103, 0.5) // today's plastic into an old pipe of 100 mm
	p.Traps[0].Size = nil
	p.Drains = []plan.Pipe{{ID: "yard", Whole: "yard", State: plan.Existing, Size: size(97, 2)}}
	resp := measure(t, p)
	wantBand(t, resp, "size_class", "bath.waste", 100, 100, 100)
	wantBand(t, resp, "size_step", "main", 0, 0, 0)
	wantBand(t, resp, "size_class", "yard", 90, 100, 100)
	wantBand(t, resp, "size_step", "yard", -10, 0, 0)
	wantBand(t, resp, "size_step", "bath.waste", 0, 0, 0)
	wantGap(t, resp, "trap_step", "bath.waste", "bath.trap.size")
	p.Traps[0].Kinds = []string{"built_in"}
	wantGap(t, measure(t, p), "trap_step", "bath.waste", "bath.outlet.size")
	p.Fixtures[0].Outlet = r(46, 1)
	wantBand(t, measure(t, p), "trap_step", "bath.waste", 50, 50, 50)
}

func TestEntryOffset(t *testing.T) {
	p := bath()
	wc := plan.Pipe{ID: "wc.waste", Whole: "wc.waste", Size: size(85, 0), Serves: []string{"wc"}, To: plan.Junction{Kind: "stack", ID: "main", Level: r(167, 3)}}
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "wc", Kind: "wc"})
	p.Branches = append(p.Branches, wc)
	p.EntryPairs = []plan.EntryPair{{Pair: plan.Pair{ID: "bath.waste~wc.waste", A: "bath.waste", B: "wc.waste"}, Stack: "main"}}
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", -287, -281, -275)
	p.Branches[1].Serves, p.Branches[1].Size = nil, size(46, 0)
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", 275, 281, 287)
	p.Branches[1].Size = size(48.8, 0.5) // may be one size more
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", -287, 281, 287)
	p.Branches[1].To.Level = nil
	wantGap(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", "wc.waste.to.level")
}

func TestRodding(t *testing.T) {
	p := bath()
	wantStates(t, measure(t, p), "rodding", "bath.waste", "reachable")
	p.Traps[0].Reach = "none"
	wantStates(t, measure(t, p), "rodding", "bath.waste", "unreachable")
	p.Traps[0].Reach = "unknown"
	wantGap(t, measure(t, p), "rodding", "bath.waste", "bath.trap.reach")
	p.Access = []plan.Access{{ID: "a1", Pipe: "bath.waste", Reach: "hatch"}}
	wantStates(t, measure(t, p), "rodding", "bath.waste", "reachable")
}

// Every quantity of every subject that stays has exactly one answer; a removed
// one and an empty plan have none.
func TestOneAnswerEach(t *testing.T) {
	c, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	bare := &plan.Plan{
		Branches:   []plan.Pipe{{ID: "b/1", Whole: "b"}, {ID: "gone", Whole: "gone", State: plan.Removed}},
		Drains:     []plan.Pipe{{ID: "d", Whole: "d"}},
		Stacks:     []plan.Stack{{ID: "s"}},
		Vents:      []plan.Vent{{ID: "v"}},
		Access:     []plan.Access{{ID: "a"}},
		EntryPairs: []plan.EntryPair{{Pair: plan.Pair{ID: "b/1~x", A: "b/1", B: "x"}}},
	}
	subjects := map[string]string{"branches": "b/1", "drains": "d", "stacks": "s", "vents": "v", "access": "a", "entry_pairs": "b/1~x"}
	seen := map[[2]string]int{}
	resp := measure(t, bare)
	for _, m := range resp.Measurements {
		seen[[2]string{m.Quantity, m.Subject}]++
	}
	for _, g := range resp.Gaps {
		seen[[2]string{g.Quantity, g.Subject}]++
		if g.Needs == "" || g.Text == "" || g.Because == "" {
			t.Errorf("gap %+v", g)
		}
	}
	for _, q := range quantities {
		for _, kind := range c.ByName[q].Of {
			key := [2]string{q, subjects[kind]}
			if seen[key] != 1 {
				t.Errorf("%s of %s: %d answers", q, subjects[kind], seen[key])
			}
			delete(seen, key)
		}
	}
	if len(seen) > 0 {
		t.Errorf("answers that nobody asked for: %v", seen)
	}
	if resp := measure(t, &plan.Plan{}); len(resp.Measurements)+len(resp.Gaps) > 0 {
		t.Errorf("an empty plan gives %+v", resp)
	}
}

func TestDescribeAndRefuse(t *testing.T) {
	d, err := Measurer{}.Describe(context.Background())
	if err != nil || len(d.Quantities) != len(quantities) {
		t.Fatalf("%+v, %v", d, err)
	}
	if _, err := (Measurer{}).Measure(context.Background(), sdk.Request{Plan: &plan.Plan{Version: plan.Version + 1}}); err == nil {
		t.Error("a plan of another version was taken")
	}
	table, err := sizes()
	if err != nil || len(table) != 15 {
		t.Errorf("table of sizes: %v, %v", table, err)
	}
}
