package timber

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// upstairs is a floor of our own in a British dwelling: C16 joist j2, sound,
// with these width, depth, span and spacing, and the opening o1.
func upstairs(width, depth, span, spaced *plan.Reading, o1 plan.Opening) *plan.Plan {
	o1.ID, o1.Joist = "o1", "j2"
	return &plan.Plan{
		House:    plan.House{Country: "gb", Use: "dwelling"},
		Joists:   []plan.Joist{{ID: "j2", Member: "joist", Grade: "C16", Looks: "sound", Floor: "upper", Width: width, Depth: depth, Span: span, Spaced: spaced}},
		Openings: []plan.Opening{o1},
	}
}

var (
	joistIn = []plan.Reading{replytest.Taped(75, 2), replytest.Taped(200, 5), replytest.Taped(3900, 30), replytest.Taped(400, 5)}
	joistAt = []string{"joists.at.j2.width", pathJoist, pathSpan, "joists.at.j2.spaced"}
)

const pathLength = "joists.openings.o1.length"

// with are the joist's four readings and those of an opening.
func with(more ...plan.Reading) []plan.Reading { return append(joistIn[:4:4], more...) }

func asking(more ...string) []string { return append(joistAt[:4:4], more...) }

func uncut(r []*plan.Reading) *plan.Plan {
	p := upstairs(r[0], r[1], r[2], r[3], plan.Opening{})
	p.Openings = nil
	return p
}

func notched(shape string) func(r []*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		return upstairs(r[0], r[1], r[2], r[3], plan.Opening{Shape: shape, Depth: r[4], Length: r[5], Distance: r[6]})
	}
}

func bored(r []*plan.Reading) *plan.Plan {
	return upstairs(r[0], r[1], r[2], r[3], plan.Opening{Shape: "hole", Diameter: r[4], FromTop: r[5], Distance: r[6]})
}

// By hand: loads 0.3 + 0.3 permanent and 1.5 kN/m² live on 0.40 m, q = 0.4
// (1.35·0.6 + 1.5·1.5) = 1.224 kN/m; fm,d = 0.8·16/1.3 = 9.846, fv,d = 0.8·3.2/1.3
// = 1.969 N/mm². M = 1.224·3.9²/8 = 2.327 kN m over W = 75·200²/6 = 500 cm³ is
// 4.654 N/mm², 0.4727 of fm,d. The ends are the like at the corners.
var (
	notchIn = with(replytest.Taped(25, 2), replytest.Taped(60, 5), replytest.Taped(600, 10))
	holeIn  = with(replytest.Taped(50, 1), replytest.Taped(95, 3), replytest.Taped(1200, 10))
	endIn   = with(replytest.Taped(40, 2), replytest.Taped(60, 5), replytest.Taped(20, 5))
	midIn   = with(replytest.Taped(25, 2), replytest.Taped(60, 5), replytest.Taped(1900, 100))
	notchAt = asking(pathDepth, pathLength, pathDistance)
	holeAt  = asking(pathDiameter, pathFromTop, pathDistance)
)

var strengthProbes = []replytest.Probe{
	// 0.395, 0.40, 0.405 m times 2.1 kN/m²
	{Quantity: "joist_load", Subject: "j2", In: joistIn[3:], Build: func(r []*plan.Reading) *plan.Plan { return uncut([]*plan.Reading{nil, nil, nil, r[0]}) },
		Want: sdk.Band{Low: 0.8295, Value: 0.84, High: 0.8505}, Needs: joistAt[3:]},
	{Quantity: "bending_before", Subject: "j2", In: joistIn, Build: uncut, Needs: joistAt,
		Want: sdk.Band{Low: 0.4261246435, Value: 0.4726982812, High: 0.5252476447}},
	// V = 1.224·3.9/2 = 2.387 kN; 1.5·2387/(0.67·75·200) = 0.3563 of 1.969
	{Quantity: "shear_before", Subject: "j2", In: joistIn, Build: uncut, Needs: joistAt,
		Want: sdk.Band{Low: 0.1684514480, Value: 0.1809025187, High: 0.1944918361}},
	// the moment is greatest where mid span lies in the notch, whatever its middle
	{About: "about mid span", Quantity: "bending_after", Subject: "o1", In: midIn, Build: notched("notch_top"), Needs: notchAt,
		Want: sdk.Band{Low: 0.5389631954, Value: 0.6173368898, High: 0.7076439091}, Peak: []float64{73, 195, 3930, 405, 27, 65, 1965}},
	// and the shear is least there
	{About: "about mid span", Quantity: "shear_after", Subject: "o1", In: midIn, Build: notched("notch_top"), Needs: notchAt,
		Want: sdk.Band{Low: 0.0365907598, Value: 0.0434322361, High: 0.0562652573}, Peak: []float64{77, 205, 3870, 395, 23, 55, 1935}},
	// centre 40 off mid depth: the net section's own axis moves, W is less than the handbooks'
	{About: "hole off mid depth", Quantity: "bending_after", Subject: "o1", In: with(replytest.Taped(50, 1), replytest.Taped(60, 3), replytest.Taped(1200, 10)), Build: bored,
		Needs: holeAt, Want: sdk.Band{Low: 0.4807299545, Value: 0.5537231236, High: 0.6429426713}},
	// q = 0.84: 6.33 mm of bending and 0.26 mm of shear over 13 mm
	{Quantity: "deflection_before", Subject: "j2", In: joistIn, Build: uncut, Needs: joistAt,
		Want: sdk.Band{Low: 0.4429698884, Value: 0.5062571719, High: 0.5799585046}},
	// at 630 mm: M = 1.224·0.63·3.27/2 = 1.261 kN m over 75·175²/6 = 382.8 cm³
	{Quantity: "bending_after", Subject: "o1", In: notchIn, Build: notched("notch_top"), Needs: notchAt,
		Want: sdk.Band{Low: 0.2899972807, Value: 0.3344929714, High: 0.3871048005}},
	// hole of 50: W at most 75·(200² - 50²)/6, M at 1.2 m
	{About: "hole", Quantity: "bending_after", Subject: "o1", In: holeIn, Build: bored, Needs: holeAt,
		Want: sdk.Band{Low: 0.3849513746, Value: 0.429624, High: 0.4805791247}},
	// at 570 mm: 1.35·0.24·1.38 + 1.5·0.6·3.33²/(2·3.9) = 1.727 kN over 0.67·75·175
	{Quantity: "shear_after", Subject: "o1", In: notchIn, Build: notched("notch_top"), Needs: notchAt,
		Want: sdk.Band{Low: 0.1357821111, Value: 0.1495596349, High: 0.1650412974}},
	// ktau = 1.85·1.25·0.25^0.2 = 1.7525
	{About: "hole", Quantity: "shear_after", Subject: "o1", In: holeIn, Build: bored,
		Needs: holeAt, Want: sdk.Band{Low: 0.1739122287, Value: 0.1962179604, High: 0.2218388758}},
	{About: "at a bearing", Quantity: "shear_after", Subject: "o1", In: endIn, Build: notched("end_notch"), Needs: notchAt,
		Want: sdk.Band{Low: 0.3906100379, Value: 0.4556481581, High: 0.5324296668}},
	// α = 0.8, x = 20 + 30 + 50 = 100: √200 (0.4 + 0.4·√0.61) = 10.075; 5/10.075
	{Quantity: "kv", Subject: "o1", In: endIn, Build: notched("end_notch"), Needs: notchAt,
		Want: sdk.Band{Low: 0.4655671300, Value: 0.4962779818, High: 0.5293814741}},
	{Quantity: "deflection_after", Subject: "j2", In: notchIn, Build: notched("notch_top"), Needs: notchAt,
		Want: sdk.Band{Low: 0.4439497290, Value: 0.5076762505, High: 0.5819959649}},
}

// A bath of 175 l on 1.70 by 0.70 m: 295·9.81/1.19 = 2432 N/m², 932 more than
// the live load it stands in for; on 0.4 m 372.8 N/m over 1.7 of 3.9 m, which is
// k (2 - k) = 0.6818 of it: 0.254 kN/m on top of 0.84, or none of it.
func TestBathOnTheJoist(t *testing.T) {
	p := uncut([]*plan.Reading{replytest.Read(75, 0), replytest.Read(200, 0), replytest.Read(3900, 0), replytest.Read(400, 0)})
	p.Fixtures = []plan.Fixture{{ID: "bath", Kind: "bath", Room: "bathroom"}}
	p.Floors = []plan.Floor{{ID: "upper", Rooms: []string{"bathroom"}}}
	bench.Ask(t, p).WantBand(t, "joist_load", "j2", sdk.Band{Low: 0.84, Value: 1.0942, High: 1.0942}, 0.0005)
	with, without := bench.Band(t, p, "bending_before", "j2"), 0.4726982812
	if !replytest.Near(with.Low, without) || with.Value < 1.3*without*0.95 {
		t.Errorf("bending under a bath %v, without %g", with, without)
	}
	w := bench.Measured(t, p, "joist_load", "j2").Working
	for _, part := range []string{"175 l", "bath", "none of it at best"} {
		if !strings.Contains(w.Numbers+w.Source, part) {
			t.Errorf("the working does not say %q: %+v", part, w)
		}
	}
	p.Floors[0].Rooms = []string{"study"}
	bench.Ask(t, p).WantBand(t, "joist_load", "j2", sdk.Band{Low: 0.84, Value: 0.84, High: 0.84}, 1e-9)
	p.Fixtures[0] = plan.Fixture{ID: "shower", Kind: "shower"}
	// (0.05·1678 + 0.01·2300)·9.81 = 1048.7 N/m² on 0.4 m over 0.9 of 3.9 m, 0.4083 of it
	bench.Ask(t, p).WantBand(t, "joist_load", "j2", sdk.Band{Low: 0.84, Value: 1.0113, High: 1.0113}, 0.0005)
}

// 0.40 and 0.41 m to the neighbours are 0.405 m of floor; at the end of the row
// it is the whole distance.
func TestSpacingFromTheNeighbours(t *testing.T) {
	p := uncut([]*plan.Reading{nil, nil, nil, nil})
	p.Joists[0].At = replytest.Read(1050, 5)
	for id, at := range map[string]float64{"j1": 650, "j3": 1460} {
		p.Joists = append(p.Joists, plan.Joist{ID: id, Floor: "upper", Member: "joist", At: replytest.Read(at, 5)})
	}
	all := bench.Ask(t, p, "joist_load")
	all.WantBand(t, "joist_load", "j2", sdk.Band{Low: 2.1 * 0.4, Value: 2.1 * 0.405, High: 2.1 * 0.41}, 1e-9)
	all.WantBand(t, "joist_load", "j1", sdk.Band{Low: 2.1 * 0.39, Value: 2.1 * 0.4, High: 2.1 * 0.41}, 1e-9)
	p.Joists = p.Joists[:1]
	bench.WantGap(t, p, "joist_load", "j2", sdk.NotMeasured, "joists.at.j2.spaced")
}

func whole(o plan.Opening) *plan.Plan {
	return upstairs(replytest.Read(75, 2), replytest.Read(200, 5), replytest.Read(3900, 30), replytest.Read(400, 5), o)
}

// An old joist: value and worse end as C16, at best as C24.
func TestUnknownGradeIsCautiousAndSaysSo(t *testing.T) {
	p := whole(plan.Opening{})
	known := bench.Band(t, p, "bending_before", "j2")
	p.Joists[0].Grade, p.Joists[0].Looks = "unknown", "unknown"
	got := bench.Measured(t, p, "bending_before", "j2")
	if got.Band.Value != known.Value || got.Band.High != known.High || !replytest.Near(got.Band.Low, known.Low*16/24) {
		t.Errorf("unknown grade %v, C16 %v", got.Band, known)
	}
	for _, part := range []string{"grade unknown", "C16", "C24", "nobody looked", "live 1.50 kN/m²"} {
		if !strings.Contains(got.Working.Source, part) {
			t.Errorf("the working does not say %q: %s", part, got.Working.Source)
		}
	}
	p.Joists[0].Grade = "C99"
	bench.WantGap(t, p, "bending_before", "j2", sdk.OutOfRange, "")
}

func TestWhatIsForAnEngineer(t *testing.T) {
	quantities := map[string]string{"bending_before": "j2", "shear_before": "j2", "deflection_before": "j2", "deflection_after": "j2", "bending_after": "o1", "shear_after": "o1"}
	d := replytest.Read(30, 2)
	notch := plan.Opening{Shape: "notch_top", Depth: d, Length: d, Distance: d}
	for _, c := range []struct{ looks, member, says string }{
		{"rot", "joist", "engineer"}, {"worm", "joist", "engineer"}, {"split", "joist", "engineer"},
		{"sound", "trimmer", "engineer"}, {"sound", "engineered", "maker"},
	} {
		p := whole(notch)
		p.Joists[0].Looks, p.Joists[0].Member = c.looks, c.member
		for q, subject := range quantities {
			if g := bench.Gap(t, p, q, subject); g.Because != sdk.OutOfRange || !strings.Contains(g.Text, c.says) {
				t.Errorf("%s of a %s with %s: %+v", q, c.member, c.looks, g)
			}
		}
	}
	for _, o := range []plan.Opening{{Shape: "cut_through", Distance: d}, {Shape: "bite_side", Depth: d, Length: d, Distance: d}} {
		for _, q := range []string{"bending_after", "shear_after", "kv"} {
			if g := bench.Gap(t, whole(o), q, "o1"); !strings.Contains(g.Text, "engineer") {
				t.Errorf("%s of a %s: %s", q, o.Shape, g.Text)
			}
		}
		bench.WantGap(t, whole(o), "deflection_after", "j2", sdk.OutOfRange, "")
	}
	low := plan.Opening{Shape: "notch_bottom", Depth: d, Length: d, Distance: replytest.Read(1500, 10)}
	for _, q := range []string{"bending_after", "shear_after"} {
		bench.WantGap(t, whole(low), q, "o1", sdk.OutOfRange, "")
	}
	deep := plan.Opening{Shape: "end_notch", Depth: replytest.Read(98, 2), Length: d, Distance: d}
	bench.WantGap(t, whole(deep), "kv", "o1", sdk.OutOfRange, "")
	bench.WantGap(t, whole(deep), "shear_after", "o1", sdk.OutOfRange, "")
}

func TestKvIsOneAwayFromABearing(t *testing.T) {
	d := replytest.Read(30, 2)
	far := replytest.Read(1500, 10)
	for _, o := range []plan.Opening{{Shape: "hole"}, {Shape: "notch_top"}, {Shape: "notch_bottom", Depth: d, Length: d, Distance: far}} {
		if got := bench.Band(t, whole(o), "kv", "o1"); got != (sdk.Band{Low: 1, Value: 1, High: 1}) {
			t.Errorf("kv of a %s: %v", o.Shape, got)
		}
	}
}

func TestWhatIsNotToldOfStrength(t *testing.T) {
	p := whole(plan.Opening{Shape: "unknown"})
	bench.WantGap(t, p, "bending_after", "o1", sdk.NotTold, "joists.openings.o1.shape")
	bench.WantGap(t, p, "deflection_after", "j2", sdk.NotTold, "joists.openings.o1.shape")
	p.Joists[0].Member = "unknown"
	bench.WantGap(t, p, "bending_before", "j2", sdk.NotTold, "joists.at.j2.member")
	p = whole(plan.Opening{})
	p.House.Use = "workplace"
	bench.WantGap(t, p, "joist_load", "j2", sdk.OutOfRange, "")
	p = whole(plan.Opening{Shape: "hole", Diameter: replytest.Read(60, 1), FromTop: replytest.Read(25, 1), Distance: replytest.Read(900, 1)})
	if g := bench.Gap(t, p, "bending_after", "o1"); g.Because != sdk.NotMeasured {
		t.Errorf("a hole that breaks the edge: %+v", g)
	}
}

// Whatever the place: a deeper notch or a wider hole never lowers what the cut
// timber is used, and the cut joist never sags less than the whole one.
func TestDeeperCutNeverLowersTheUse(t *testing.T) {
	shapes := []string{"notch_top", "end_notch", "hole"}
	rapid.Check(t, func(rt *rapid.T) {
		shape := rapid.SampledFrom(shapes).Draw(rt, "shape")
		at := rapid.Float64Range(0, 3900).Draw(rt, "at")
		less := rapid.Float64Range(5, 80).Draw(rt, "less")
		more := rapid.Float64Range(less, 90).Draw(rt, "more")
		build := func(size float64) *plan.Plan {
			o := plan.Opening{Shape: shape, Distance: replytest.Read(at, 5), Length: replytest.Read(60, 2)}
			o.Depth, o.Diameter, o.FromTop = replytest.Read(size, 1), replytest.Read(size, 1), replytest.Read(95, 2)
			return whole(o)
		}
		small, large := bench.Ask(t, build(less)), bench.Ask(t, build(more))
		for q, subject := range map[string]string{"bending_after": "o1", "shear_after": "o1", "deflection_after": "j2"} {
			a, _ := small.Find(q, subject)
			b, _ := large.Find(q, subject)
			if a == nil || b == nil {
				rt.Fatalf("%s: no figure for %g or %g", q, less, more)
			}
			if slack := 1e-12; b.Band.Low < a.Band.Low-slack || b.Band.Value < a.Band.Value-slack || b.Band.High < a.Band.High-slack {
				rt.Fatalf("%s: %v at %g, %v at %g", q, a.Band, less, b.Band, more)
			}
		}
		before, _ := small.Find("deflection_before", "j2")
		after, _ := small.Find("deflection_after", "j2")
		if after.Band.Low < before.Band.Low || after.Band.Value < before.Band.Value || after.Band.High < before.Band.High {
			rt.Fatalf("sag %v with the cut, %v without", after.Band, before.Band)
		}
	})
}

// Whichever bearing a place is told from, the figures are the same.
func TestEitherBearing(t *testing.T) {
	build := func(shape string, at float64) *plan.Plan {
		d := replytest.Read(40, 2)
		p := whole(plan.Opening{Shape: shape, Depth: d, Length: d, Diameter: d, FromTop: replytest.Read(100, 2), Distance: replytest.Read(at, 5)})
		p.Joists[0].Span = replytest.Read(3900, 0)
		return p
	}
	for shape, at := range map[string]float64{"end_notch": 20, "notch_bottom": 60, "notch_top": 700, "hole": 1200} {
		for q, subject := range map[string]string{"bending_after": "o1", "shear_after": "o1", "kv": "o1", "deflection_after": "j2"} {
			here, there := bench.Band(t, build(shape, at), q, subject), bench.Band(t, build(shape, 3900-at), q, subject)
			if !replytest.Near(here.Low, there.Low) || !replytest.Near(here.Value, there.Value) || !replytest.Near(here.High, there.High) {
				t.Errorf("%s of a %s: %v from one bearing, %v from the other", q, shape, here, there)
			}
		}
	}
}

// What is known from one side only is no figure: a joist of "at least 3 m".
func TestOpenReadingsAreAskedAgain(t *testing.T) {
	p := whole(plan.Opening{})
	p.Joists[0].Span = &plan.Reading{Low: 3000, Value: 3000, High: math.Inf(1)}
	bench.WantGap(t, p, "bending_before", "j2", sdk.NotMeasured, pathSpan)
	p.Joists[0].Span = replytest.Read(0, 0)
	bench.WantGap(t, p, "deflection_before", "j2", sdk.NotMeasured, pathSpan)
}
