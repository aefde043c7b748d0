package timber

import (
	"math"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// loft is a floor of our own: joist j2 with one opening o1, and a second one
// o2 beside it.
func loft(o1, o2 plan.Opening, depth, span *plan.Reading) *plan.Plan {
	o1.ID, o1.Joist, o2.ID, o2.Joist = "o1", "j2", "o2", "j2"
	return &plan.Plan{
		Joists:       []plan.Joist{{ID: "j2", State: plan.Existing, Depth: depth, Span: span}},
		Openings:     []plan.Opening{o1, o2},
		OpeningPairs: []plan.Pair{{ID: "o1~o2", A: "o1", B: "o2"}},
	}
}

func notch(depth *plan.Reading) plan.Opening { return plan.Opening{Shape: "notch_top", Depth: depth} }

// cutInto is a plan of a depth-like reading and the joist's depth.
func cutInto(shape string) func(r []*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		return loft(plan.Opening{Shape: shape, Depth: r[0], Diameter: r[0]}, plan.Opening{}, r[1], nil)
	}
}

func placed(r []*plan.Reading) *plan.Plan {
	return loft(plan.Opening{Shape: "notch_top", Distance: r[0]}, plan.Opening{}, nil, r[1])
}

func drilled(r []*plan.Reading) *plan.Plan {
	return loft(plan.Opening{Shape: "hole", FromTop: r[0], Diameter: r[2]}, plan.Opening{}, r[1], nil)
}

func centred(r []*plan.Reading) *plan.Plan {
	return loft(plan.Opening{Shape: "hole", FromTop: r[0]}, plan.Opening{}, r[1], nil)
}

const (
	pathDepth    = "joists.openings.o1.depth"
	pathDiameter = "joists.openings.o1.diameter"
	pathDistance = "joists.openings.o1.distance"
	pathFromTop  = "joists.openings.o1.from_top"
	pathJoist    = "joists.at.j2.depth"
	pathSpan     = "joists.at.j2.span"
)

var bench = replytest.Bench{Measurer: Measurer}

func TestProbes(t *testing.T) { bench.Prove(t, append(probes, strengthProbes...)) }

var probes = []replytest.Probe{
	{Quantity: "joist_depth", Subject: "j2", In: []plan.Reading{replytest.Taped(200, 5)},
		Build: func(r []*plan.Reading) *plan.Plan { return loft(notch(nil), notch(nil), r[0], nil) },
		Want:  sdk.Band{Low: 195, Value: 200, High: 205}, Needs: []string{pathJoist}},
	{Quantity: "joist_depth", Subject: "o1", In: []plan.Reading{replytest.Taped(200, 5)},
		Build: func(r []*plan.Reading) *plan.Plan { return loft(notch(nil), notch(nil), r[0], nil) },
		Want:  sdk.Band{Low: 195, Value: 200, High: 205}, Needs: []string{pathJoist}},
	{Quantity: "notch_depth", Subject: "o1", In: []plan.Reading{replytest.Taped(70, 5)},
		Build: func(r []*plan.Reading) *plan.Plan { return loft(notch(r[0]), notch(nil), nil, nil) },
		Want:  sdk.Band{Low: 65, Value: 70, High: 75}, Needs: []string{pathDepth}},
	{About: "cut through", Quantity: "notch_depth", Subject: "o1", In: []plan.Reading{replytest.Taped(200, 5)},
		Build: func(r []*plan.Reading) *plan.Plan {
			return loft(plan.Opening{Shape: "cut_through"}, notch(nil), r[0], nil)
		},
		Want: sdk.Band{Low: 195, Value: 200, High: 205}, Needs: []string{pathJoist}},
	// 65/205, 70/200, 75/195
	{Quantity: "notch_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(70, 5), replytest.Taped(200, 5)}, Build: cutInto("notch_top"),
		Want: sdk.Band{Low: 0.317073171, Value: 0.35, High: 0.384615385}, Needs: []string{pathDepth, pathJoist}},
	{About: "at the end", Quantity: "notch_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(70, 5), replytest.Taped(200, 5)}, Build: cutInto("end_notch"),
		Want: sdk.Band{Low: 0.317073171, Value: 0.35, High: 0.384615385}, Needs: []string{pathDepth, pathJoist}},
	{Quantity: "hole_diameter", Subject: "o1", In: []plan.Reading{replytest.Taped(50, 1)},
		Build: func(r []*plan.Reading) *plan.Plan {
			return loft(plan.Opening{Shape: "hole", Diameter: r[0]}, notch(nil), nil, nil)
		},
		Want: sdk.Band{Low: 49, Value: 50, High: 51}, Needs: []string{pathDiameter}},
	// 49/205, 50/200, 51/195
	{Quantity: "hole_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(50, 1), replytest.Taped(200, 5)}, Build: cutInto("hole"),
		Want: sdk.Band{Low: 0.239024390, Value: 0.25, High: 0.261538462}, Needs: []string{pathDiameter, pathJoist}},
	// 370/3930, 380/3900, 390/3870
	{Quantity: "span_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(380, 10), replytest.Taped(3900, 30)}, Build: placed,
		Want: sdk.Band{Low: 0.094147583, Value: 0.097435897, High: 0.100775194}, Needs: []string{pathDistance, pathSpan}},
	// 1800/3930 = 0.458 on this side, 1 - 2000/3870 = 0.483 on the other, the middle between
	{About: "about the middle", Quantity: "span_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(1900, 100), replytest.Taped(3900, 30)}, Build: placed,
		Want: sdk.Band{Low: 0.458015267, Value: 0.487179487, High: 0.5}, Needs: []string{pathDistance, pathSpan}},
	// 1 - 3530/3870, 1 - 3520/3900, 1 - 3510/3930
	{About: "from the far end", Quantity: "span_ratio", Subject: "o1", In: []plan.Reading{replytest.Taped(3520, 10), replytest.Taped(3900, 30)}, Build: placed,
		Want: sdk.Band{Low: 0.087855297, Value: 0.097435897, High: 0.106870229}, Needs: []string{pathDistance, pathSpan}},
	// |93/195 - 1/2|, |90/200 - 1/2|, |87/205 - 1/2|
	{Quantity: "off_centre", Subject: "o1", In: []plan.Reading{replytest.Taped(90, 3), replytest.Taped(200, 5)}, Build: centred,
		Want: sdk.Band{Low: 0.023076923, Value: 0.05, High: 0.075609756}, Needs: []string{pathFromTop, pathJoist}},
	// 96/202 and 104/198 lie on both sides of the middle; the latter is farther
	{About: "about the middle", Quantity: "off_centre", Subject: "o1", In: []plan.Reading{replytest.Taped(100, 4), replytest.Taped(200, 2)}, Build: centred,
		Want: sdk.Band{Low: 0, Value: 0, High: 0.025252525}, Needs: []string{pathFromTop, pathJoist}},
	// 87 - 25.5, 90 - 25, 93 - 24.5
	{Quantity: "edge_left", Subject: "o1", In: []plan.Reading{replytest.Taped(90, 3), replytest.Taped(200, 5), replytest.Taped(50, 1)}, Build: drilled,
		Want: sdk.Band{Low: 61.5, Value: 65, High: 68.5}, Needs: []string{pathFromTop, pathJoist, pathDiameter}},
	// below: 195 - 106 - 25.5; best: 205/2 - 24.5
	{About: "about the middle", Quantity: "edge_left", Subject: "o1", In: []plan.Reading{replytest.Taped(100, 6), replytest.Taped(200, 5), replytest.Taped(50, 1)}, Build: drilled,
		Want: sdk.Band{Low: 63.5, Value: 75, High: 78}, Needs: []string{pathFromTop, pathJoist, pathDiameter}, Peak: []float64{102.5, 205, 49}},
	// 300 ± 10 less half of 75 ± 3 and of 50 ± 1
	{Quantity: "opening_gap", Subject: "o1~o2", In: []plan.Reading{replytest.Taped(700, 5), replytest.Taped(1000, 5), replytest.Taped(75, 3), replytest.Taped(50, 1)},
		Build: func(r []*plan.Reading) *plan.Plan {
			return loft(plan.Opening{Shape: "notch_top", Distance: r[0], Length: r[2]},
				plan.Opening{Shape: "hole", Distance: r[1], Diameter: r[3]}, nil, nil)
		},
		Want:  sdk.Band{Low: 225.5, Value: 237.5, High: 249.5},
		Needs: []string{pathDistance, "joists.openings.o2.distance", "joists.openings.o1.length", "joists.openings.o2.diameter"}},
	// 290/51, 300/50, 310/49: the larger hole counts
	{Quantity: "opening_spacing", Subject: "o1~o2", In: []plan.Reading{replytest.Taped(1000, 5), replytest.Taped(700, 5), replytest.Taped(50, 1), replytest.Taped(40, 1)},
		Build: func(r []*plan.Reading) *plan.Plan {
			return loft(plan.Opening{Shape: "hole", Distance: r[0], Diameter: r[2]},
				plan.Opening{Shape: "hole", Distance: r[1], Diameter: r[3]}, nil, nil)
		},
		Want:  sdk.Band{Low: 5.686274510, Value: 6, High: 6.326530612},
		Needs: []string{pathDistance, "joists.openings.o2.distance", pathDiameter, "joists.openings.o2.diameter"}},
}

func TestCutThroughIsANotchOfTheWholeDepth(t *testing.T) {
	p := loft(plan.Opening{Shape: "cut_through"}, plan.Opening{}, nil, nil)
	if got := bench.Band(t, p, "notch_ratio", "o1"); got != (sdk.Band{Low: 1, Value: 1, High: 1}) {
		t.Errorf("notch ratio of a cut through: %v, want 1 exactly, whatever the depth", got)
	}
}

func TestBiteOutOfTheFlankIsForAnEngineer(t *testing.T) {
	d, depth := replytest.Taped(30, 2), replytest.Taped(200, 5)
	p := loft(plan.Opening{Shape: "bite_side", Depth: &d}, plan.Opening{}, &depth, nil)
	for _, quantity := range []string{"notch_depth", "notch_ratio", "hole_ratio"} {
		if g := bench.Gap(t, p, quantity, "o1"); g.Because != sdk.OutOfRange {
			t.Errorf("%s of a bite: %s, want outside_table", quantity, g.Because)
		}
	}
	if g := bench.Gap(t, p, "notch_ratio", "o1"); g.Text != "No rule of thumb covers a bite out of the flank: ask an engineer about o1." {
		t.Errorf("a bite says: %s", g.Text)
	}
}

func TestUnknownShapeIsAsked(t *testing.T) {
	d := replytest.Taped(30, 2)
	p := loft(plan.Opening{Shape: "unknown", Depth: &d, Diameter: &d, Distance: &d}, plan.Opening{Shape: "hole", Distance: &d, Diameter: &d}, &d, nil)
	for quantity, subject := range map[string]string{"notch_depth": "o1", "notch_ratio": "o1", "hole_diameter": "o1", "hole_ratio": "o1",
		"off_centre": "o1", "edge_left": "o1", "opening_gap": "o1~o2", "opening_spacing": "o1~o2"} {
		if g := bench.Gap(t, p, quantity, subject); g.Needs != "joists.openings.o1.shape" || g.Because != sdk.NotTold {
			t.Errorf("%s: asks for %s (%s)", quantity, g.Needs, g.Because)
		}
	}
}

func TestHoleHasNoNotchAndNotchNoHole(t *testing.T) {
	d := replytest.Taped(30, 2)
	p := loft(plan.Opening{Shape: "hole", Diameter: &d, Distance: &d}, plan.Opening{Shape: "notch_top", Depth: &d, Distance: &d}, &d, nil)
	for _, want := range []struct{ quantity, subject string }{{"notch_depth", "o1"}, {"notch_ratio", "o1"}, {"hole_diameter", "o2"},
		{"hole_ratio", "o2"}, {"off_centre", "o2"}, {"edge_left", "o2"}, {"opening_spacing", "o1~o2"}} {
		if g := bench.Gap(t, p, want.quantity, want.subject); g.Because != sdk.OutOfRange {
			t.Errorf("%s of %s: %s, want outside_table", want.quantity, want.subject, g.Because)
		}
	}
}

func TestContradictionIsNoNumber(t *testing.T) {
	far, span, nought, depth, below := replytest.Taped(5000, 10), replytest.Taped(3900, 30), plan.Exactly(0), replytest.Taped(200, 5), replytest.Taped(260, 3)
	p := loft(plan.Opening{Shape: "hole", Distance: &far, FromTop: &below, Diameter: &depth}, plan.Opening{}, &depth, &span)
	if g := bench.Gap(t, p, "span_ratio", "o1"); g.Needs != pathDistance {
		t.Errorf("beyond the span: asks for %s", g.Needs)
	}
	if g := bench.Gap(t, p, "off_centre", "o1"); g.Needs != pathFromTop {
		t.Errorf("outside the timber: asks for %s", g.Needs)
	}
	p.Joists[0].Depth, p.Joists[0].Span = &nought, &nought
	if g := bench.Gap(t, p, "hole_ratio", "o1"); g.Needs != pathJoist {
		t.Errorf("a joist of no depth: asks for %s", g.Needs)
	}
	if g := bench.Gap(t, p, "span_ratio", "o1"); g.Needs != pathSpan {
		t.Errorf("a joist of no span: asks for %s", g.Needs)
	}
}

// "At least 3 m, the end is hidden": the ratio can be as small as you like.
func TestOpenEndStaysOpen(t *testing.T) {
	at, span := replytest.Taped(300, 0), plan.Reading{Low: 3000, Value: 3000, High: math.Inf(1)}
	p := loft(plan.Opening{Shape: "hole", Distance: &at}, plan.Opening{}, nil, &span)
	if got := bench.Band(t, p, "span_ratio", "o1"); got.Low != 0 || !replytest.Near(got.High, 0.1) {
		t.Errorf("span ratio under an open span: %v, want 0 to 0.1", got)
	}
	cut, depth := plan.Reading{Low: 40, Value: 40, High: math.Inf(1)}, replytest.Taped(200, 0)
	p = loft(notch(&cut), plan.Opening{}, &depth, nil)
	if got := bench.Band(t, p, "notch_ratio", "o1"); !replytest.Near(got.Low, 0.2) || !math.IsInf(got.High, 1) {
		t.Errorf("notch ratio of a notch of at least 40 mm: %v, want 0.2 and no end", got)
	}
}

func TestRemovedIsLeftOut(t *testing.T) {
	d := replytest.Taped(30, 2)
	p := loft(notch(&d), notch(&d), &d, nil)
	p.Openings[1].State, p.Joists[0].State, p.OpeningPairs[0].State = plan.Removed, plan.Removed, plan.Removed
	for _, quantity := range []string{"joist_depth", "notch_depth", "opening_gap"} {
		out := bench.Ask(t, p, quantity)
		for _, m := range out.Measurements {
			if m.Subject != "o1" {
				t.Errorf("%s answers for %s, which is removed", quantity, m.Subject)
			}
		}
		for _, g := range out.Gaps {
			t.Errorf("%s asks for %s of %s, which is removed", quantity, g.Needs, g.Subject)
		}
	}
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestOneAnswerEach(t *testing.T) {
	bench.AnswersOnce(t, &plan.Plan{
		Joists:       []plan.Joist{{ID: "j"}, {ID: "gone_joist", State: plan.Removed}},
		Openings:     []plan.Opening{{ID: "o"}, {ID: "gone", State: plan.Removed}},
		OpeningPairs: []plan.Pair{{ID: "o~p", A: "o", B: "p"}},
	}, map[string]string{"joists": "j", "openings": "o", "opening_pairs": "o~p"})
}
