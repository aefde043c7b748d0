package geometry

import (
	"math"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func exact(v float64) *plan.Reading { return replytest.Read(v, 0) }

func bends(degrees ...float64) []plan.Bend {
	out := []plan.Bend{}
	for _, d := range degrees {
		out = append(out, plan.Bend{Angle: exact(d)})
	}
	return out
}

func size(v, tolerance float64) *plan.Size { return &plan.Size{Bore: replytest.Read(v, tolerance)} }

var bench = replytest.Bench{Measurer: Measurer}

func measure(t *testing.T, p *plan.Plan) replytest.Answers {
	t.Helper()
	return bench.Ask(t, p)
}

func wantBand(t *testing.T, a replytest.Answers, quantity, subject string, low, value, high float64) {
	t.Helper()
	a.WantBand(t, quantity, subject, sdk.Band{Low: low, Value: value, High: high}, 0.05)
}

// bath is a waste below boards: 1.22, 0.88 and 0.30 m near level after an
// upright piece, corners of two 45° bends each. Invented; worked by hand.
func bath() *plan.Plan {
	leg := func(along, drop float64, b ...float64) plan.Leg {
		return plan.Leg{Along: replytest.Read(along, 20.0/3), Drop: replytest.Read(drop, 6), Length: replytest.Read(math.Hypot(along, drop), 20.0/3), Bends: bends(b...)}
	}
	return &plan.Plan{
		Version:  plan.Version,
		Fixtures: []plan.Fixture{{ID: "bath", Kind: "bath", State: plan.New}},
		Traps:    []plan.Trap{{ID: "bath.trap", Fixture: "bath", Branch: "bath.waste", Size: size(46, 0), Reach: "panel", Cleaning: "removable"}},
		Branches: []plan.Pipe{{
			ID: "bath.waste", Whole: "bath.waste", State: plan.New, Size: size(46.4, 0.3), MadeOf: "plastic", Serves: []string{"bath"},
			Level: replytest.Read(42, 3), Clips: replytest.Read(500, 10),
			Legs: []plan.Leg{
				{Along: exact(0), Drop: exact(120), Length: exact(120), Steep: true, Bends: bends(45, 45)},
				leg(1220, 18, 45, 45), leg(880, 13, 45, 45), leg(300, 5, 45, 45),
			},
			To: plan.Junction{Kind: "stack", ID: "main", Level: replytest.Read(-114, 3), Angle: exact(87.5), Swept: "square", Side: "left"},
		}},
		Stacks: []plan.Stack{{
			ID: "main", State: plan.Existing, Size: size(100, 1), MadeOf: "cast_iron", Entries: []string{"bath.waste"},
			Foot: replytest.Read(-544, 117), HasOffset: "straight", To: "yard",
		}},
	}
}

// 36 ± 6 mm over 2.40 m ± 20 mm: 30/2.42 = 12.4, 36/2.40 = 15.0, 42/2.38 = 17.6.
func TestRunIsTakenWhole(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "fall", "bath.waste", 30/2.42, 15, 42/2.38)
	resp.WantWords(t, "runs", "bath.waste", "falls") // the 5 ± 6 mm of the last leg spoil nothing
	wantBand(t, resp, "steep_drop", "bath.waste", 120, 120, 120)
	wantBand(t, resp, "drop", "bath.waste", 150, 156, 162)
	wantBand(t, resp, "length", "bath.waste", 2500.27, 2520.27, 2540.27)
	m, _ := resp.Find("fall", "bath.waste")
	if m.Working.Numbers != "36 mm / 2.400 m = 15.0 mm/m (12.4 mm/m to 17.6 mm/m)" {
		t.Errorf("working %q", m.Working.Numbers)
	}
}

// Told as a whole: one drop and one length, so one error of each.
func TestRunToldAsAWhole(t *testing.T) {
	p := bath()
	p.Branches[0].Level, p.Branches[0].To.Level = nil, nil
	p.Branches[0].Legs = []plan.Leg{{Length: replytest.Read(2400, 20), Drop: replytest.Read(36, 6), Bends: bends(90, 90, 90, 90)}}
	resp := measure(t, p)
	wantBand(t, resp, "fall", "bath.waste", 12.4, 15, 17.65)
	wantBand(t, resp, "turn", "bath.waste", 360, 360, 360)
	wantBand(t, resp, "turn_after_first", "bath.waste", 270, 270, 270)
	p.Branches[0].Legs[0].Bends = nil
	measure(t, p).WantNeeds(t, "turn", "bath.waste", "bath.waste.bends")
}

// An upright pipe is no fall of any size.
func TestUprightPieceIsNoFall(t *testing.T) {
	p := bath()
	p.Branches[0].Legs = p.Branches[0].Legs[:1]
	p.Branches[0].To.Level = replytest.Read(-78, 3)
	resp := measure(t, p)
	bench.WantGap(t, p, "fall", "bath.waste", sdk.OutOfRange, "")
	resp.WantWords(t, "runs", "bath.waste", "falls")
	wantBand(t, resp, "drop", "bath.waste", 120, 120, 120)
}

func TestFallTold(t *testing.T) {
	p := bath()
	b := &p.Branches[0]
	b.Level, b.To.Level = nil, nil
	b.Legs = []plan.Leg{{Along: replytest.Read(1000, 10), Fall: replytest.Read(20, 2)}, {Along: replytest.Read(3000, 10), Fall: replytest.Read(10, 1)}}
	// least: 18 mm/m over 0.99 m and 9 over 3.01; most: 22 over 1.01 and 11 over 2.99
	wantBand(t, measure(t, p), "fall", "bath.waste", (18*0.99+9*3.01)/4, 12.5, (22*1.01+11*2.99)/4)
	b.Legs = []plan.Leg{{Fall: replytest.Read(20, 2)}}
	resp := measure(t, p)
	wantBand(t, resp, "fall", "bath.waste", 18, 20, 22)
	resp.WantNeeds(t, "length", "bath.waste", "bath.waste.length")
	resp.WantNeeds(t, "drop", "bath.waste", "bath.waste.drop")
}

func TestBubbleSettlesWhatTheBandLeavesOpen(t *testing.T) {
	p := bath()
	b := &p.Branches[0]
	b.Level, b.To.Level = nil, nil
	b.Legs = []plan.Leg{{Along: replytest.Read(300, 5), Drop: replytest.Read(5, 6)}}
	measure(t, p).WantWords(t, "runs", "bath.waste", "falls", "level", "rises")
	for _, word := range []string{"falls", "level", "rises"} {
		b.Legs[0].Bubble = word
		measure(t, p).WantWords(t, "runs", "bath.waste", word)
	}
	b.Legs[0] = plan.Leg{Along: replytest.Read(300, 5), Bubble: "falls"}
	resp := measure(t, p)
	resp.WantWords(t, "runs", "bath.waste", "falls")
	resp.WantNeeds(t, "fall", "bath.waste", "bath.waste.drop")
	b.Legs[0] = plan.Leg{Along: replytest.Read(300, 5), Drop: replytest.Read(20, 6), Bubble: "rises"} // one of the two is wrong
	measure(t, p).WantWords(t, "runs", "bath.waste", "falls", "rises")
}

// Four corners of two 45° bends: 360° in all, 270° without the first corner.
func TestBends(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "bends", "bath.waste", 8, 8, 8)
	wantBand(t, resp, "turn", "bath.waste", 360, 360, 360)
	wantBand(t, resp, "turn_after_first", "bath.waste", 270, 270, 270)
	wantBand(t, resp, "sharpest_bend", "bath.waste", 45, 45, 45)
	resp.WantNeeds(t, "bend_radius", "bath.waste", "bath.waste.bend.radius")
	p := bath()
	p.Traps = nil // not at a trap: no connection bend
	wantBand(t, measure(t, p), "turn_after_first", "bath.waste", 360, 360, 360)
	p.Branches[0].Legs[1].Bends[0].Angle = nil
	measure(t, p).WantNeeds(t, "turn", "bath.waste", "bath.waste.bend")
}

// Nothing said of bends is a gap, however the course is told; none said is
// none, on a pipe, on a piece of a cut one and on a vent.
func TestBendsNobodyTold(t *testing.T) {
	all := []string{"bends", "turn", "turn_after_first", "sharpest_bend", "bend_radius"}
	along := plan.PlusMinus(2400, 20, plan.Computed)
	p := bath()
	p.Branches[0].ID = "bath.waste/2"
	p.Vents = []plan.Vent{{ID: "v1"}}
	for name, legs := range map[string][]plan.Leg{
		"as a whole":    {{Length: replytest.Read(2400, 20), Along: &along, Drop: replytest.Read(156, 6)}},
		"as one run":    {{Along: replytest.Read(2400, 20), Drop: replytest.Read(156, 6)}},
		"as a cut rest": {{Length: &along, Drop: replytest.Read(156, 6)}},
		"as two legs":   {{Drop: replytest.Read(100, 5), Steep: true}, {Along: replytest.Read(2400, 20), Fall: replytest.Read(20, 2)}},
		"by no leg":     nil,
	} {
		t.Run(name, func(t *testing.T) {
			p.Branches[0].Legs, p.Vents[0].Legs = legs, legs
			for _, q := range all {
				bench.WantGap(t, p, q, "bath.waste/2", sdk.NotMeasured, "bath.waste.bends")
			}
			bench.WantGap(t, p, "bends", "v1", sdk.NotMeasured, "vents.v1.bends")
			bench.WantGap(t, p, "turn", "v1", sdk.NotMeasured, "vents.v1.bends")
			if len(legs) == 0 {
				return
			}
			legs[len(legs)-1].Bends = []plan.Bend{}
			told := measure(t, p)
			for _, q := range all[:4] {
				wantBand(t, told, q, "bath.waste/2", 0, 0, 0)
			}
			wantBand(t, told, "bend_radius", "bath.waste/2", 10000, 10000, 10000)
			wantBand(t, told, "bends", "v1", 0, 0, 0)
			legs[len(legs)-1].Bends = []plan.Bend{{Made: "unknown"}} // a corner: one bend, or two
			measure(t, p).WantNeeds(t, "bends", "bath.waste/2", "bath.waste.bend")
		})
	}
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
	bench.WantGap(t, p, "entry_side", "bath.waste/1", sdk.OutOfRange, "")
	wantBand(t, resp, "size_step", "bath.waste/2", 0, 0, 0)
	resp.WantWords(t, "rodding", "bath.waste/2", "reachable") // through the first piece
}

// A word that the catalogue does not have is no answer.
func TestUnknownWords(t *testing.T) {
	p := bath()
	p.Branches[0].MadeOf, p.Branches[0].To.Kind = "bamboo", "unknown"
	resp := measure(t, p)
	resp.WantNeeds(t, "material", "bath.waste", "bath.waste.made_of")
	resp.WantNeeds(t, "discharges_to", "bath.waste", "bath.waste.to")
	resp.WantNeeds(t, "entry_over_foot", "bath.waste", "bath.waste.to")
}

func TestEntries(t *testing.T) {
	resp := measure(t, bath())
	wantBand(t, resp, "entry_over_foot", "bath.waste", 310, 430, 550)
	wantBand(t, resp, "entry_angle", "bath.waste", 87.5, 87.5, 87.5)
	wantBand(t, resp, "entry_radius", "bath.waste", 0, 0, 0)
	wantBand(t, resp, "entry_from_offset", "bath.waste", 100000, 100000, 100000)
	resp.WantWords(t, "entry_side", "bath.waste", "left")
	p := bath()
	p.Stacks[0].HasOffset, p.Stacks[0].Offset, p.Stacks[0].Foot = "offset", replytest.Read(100, 7), nil
	resp = measure(t, p)
	wantBand(t, resp, "entry_from_offset", "bath.waste", 204, 214, 224)
	resp.WantNeeds(t, "entry_over_foot", "bath.waste", "stacks.main.foot.level")
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
	resp.WantNeeds(t, "trap_step", "bath.waste", "bath.trap.size")
	p.Traps[0].Kinds = []string{"built_in"}
	measure(t, p).WantNeeds(t, "trap_step", "bath.waste", "bath.outlet.size")
	p.Fixtures[0].Outlet = replytest.Read(46, 1)
	wantBand(t, measure(t, p), "trap_step", "bath.waste", 50, 50, 50)
}

func TestEntryOffset(t *testing.T) {
	p := bath()
	wc := plan.Pipe{ID: "wc.waste", Whole: "wc.waste", Size: size(85, 0), Serves: []string{"wc"}, To: plan.Junction{Kind: "stack", ID: "main", Level: replytest.Read(167, 3)}}
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "wc", Kind: "wc"})
	p.Branches = append(p.Branches, wc)
	p.EntryPairs = []plan.EntryPair{{Pair: plan.Pair{ID: "bath.waste~wc.waste", A: "bath.waste", B: "wc.waste"}, Stack: "main"}}
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", -287, -281, -275)
	p.Branches[1].Serves, p.Branches[1].Size = nil, size(46, 0)
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", 275, 281, 287)
	p.Branches[1].Size = size(48.8, 0.5) // may be one size more
	wantBand(t, measure(t, p), "entry_offset", "bath.waste~wc.waste", -287, 281, 287)
	p.Branches[1].To.Level = nil
	measure(t, p).WantNeeds(t, "entry_offset", "bath.waste~wc.waste", "wc.waste.to.level")
}

func TestRodding(t *testing.T) {
	p := bath()
	measure(t, p).WantWords(t, "rodding", "bath.waste", "reachable")
	p.Traps[0].Reach = "none"
	measure(t, p).WantWords(t, "rodding", "bath.waste", "unreachable")
	p.Traps[0].Reach = "unknown"
	measure(t, p).WantNeeds(t, "rodding", "bath.waste", "bath.trap.reach")
	p.Access = []plan.Access{{ID: "a1", Pipe: "bath.waste", Reach: "hatch"}}
	measure(t, p).WantWords(t, "rodding", "bath.waste", "reachable")
}

// Every quantity of every subject that stays has exactly one answer; a removed
// one and an empty plan have none.
func TestOneAnswerEach(t *testing.T) {
	bare := &plan.Plan{
		Branches:   []plan.Pipe{{ID: "b/1", Whole: "b"}, {ID: "gone", Whole: "gone", State: plan.Removed}},
		Drains:     []plan.Pipe{{ID: "d", Whole: "d"}},
		Stacks:     []plan.Stack{{ID: "s"}},
		Vents:      []plan.Vent{{ID: "v"}},
		Access:     []plan.Access{{ID: "a"}},
		EntryPairs: []plan.EntryPair{{Pair: plan.Pair{ID: "b/1~x", A: "b/1", B: "x"}}},
	}
	subjects := map[string]string{"branches": "b/1", "drains": "d", "stacks": "s", "vents": "v", "access": "a", "entry_pairs": "b/1~x"}
	bench.AnswersOnce(t, bare, subjects)
	if resp := measure(t, &plan.Plan{}); len(resp.Measurements)+len(resp.Gaps) > 0 {
		t.Errorf("an empty plan gives %+v", resp)
	}
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }
