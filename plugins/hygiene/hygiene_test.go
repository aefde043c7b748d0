package hygiene

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

func TestRefusesStrangePlans(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestAnswersOnce(t *testing.T) {
	p := hotPipe(read(60, 2), nil, "copper", "bare")
	p.Links, p.DrawOffs, p.Electrics = p.Links[1:], p.DrawOffs[:1], []plan.Electric{{ID: "lamp"}}
	bench.AnswersOnce(t, p, map[string]string{"links": "h1", "draw_offs": "tub.hot", "heaters": "heater", "electrics": "lamp"})
}

// Every material that a supply pipe can have cools by ordered figures.
func TestFigures(t *testing.T) {
	f, err := load()
	if err != nil {
		t.Fatal(err)
	}
	c, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range c.ByName["supply_material"].Words {
		m, known := f.Cooling.Materials[word]
		if !known || !ordered(m.Heat) || !ordered(m.Wall) {
			t.Errorf("%s: %+v", word, m)
		}
		if m.Heat.High >= f.Cooling.Water {
			t.Errorf("%s holds more heat than water: a wider bore would no longer be slower", word)
		}
	}
	for i, s := range []span{f.Cooling.Air, f.Cooling.Surface, f.Cooling.Sleeve, f.Cooling.Conducts} {
		if !ordered(s) {
			t.Errorf("figure %d: %+v", i, s)
		}
	}
	// A sleeve thinner than k/h from the axis would cool the pipe faster.
	if c := f.Cooling; c.Sleeve.Low*1e-3 < c.Conducts.High/c.Surface.Low {
		t.Errorf("sleeve of %g mm lies within the critical radius", c.Sleeve.Low)
	}
	if rows := f.Burn.Rows; len(rows) < 2 || !slices.IsSortedFunc(rows, func(a, b burnRow) int { return int(math.Copysign(1, a.At-b.At)) }) || f.Burn.Source == "" {
		t.Errorf("burn table %+v", f.Burn)
	}
}

func ordered(s span) bool { return 0 < s.Low && s.Low <= s.Value && s.Value <= s.High }

// yard: old copper c1 to a tee, from there c2 to a basin; the basin goes and a
// bath comes on plastic c3 from the tee.
func yard() *plan.Plan {
	return &plan.Plan{
		Sources:  []plan.Source{{ID: "meter"}},
		Heaters:  []plan.Heater{{ID: "heater"}},
		DrawOffs: []plan.DrawOff{{ID: "basin.cold", State: plan.Removed}, {ID: "tub.cold", State: plan.New}, {ID: "sink.cold", State: plan.Existing}},
		Links: []plan.Link{
			{ID: "c1", Line: "c1", A: "meter", B: "k1", State: plan.Existing, MadeOf: "copper"},
			{ID: "c2", Line: "c2", A: "k1", B: "basin.cold", State: plan.Removed, MadeOf: "galvanised"},
			{ID: "c3", Line: "c3", A: "k1", B: "tub.cold", State: plan.New, MadeOf: "plastic"},
			{ID: "c4", Line: "c4", A: "meter", B: "sink.cold", State: plan.Existing, MadeOf: "lead"},
			{ID: "c5", Line: "c5", A: "meter", B: "heater", State: plan.Existing, MadeOf: "copper"},
			{ID: "h1", Line: "h1", A: "heater", B: "tub.hot", State: plan.New, MadeOf: "copper"},
		},
	}
}

func TestBonding(t *testing.T) {
	p := yard()
	for id, want := range map[string]string{"c1": "needed", "c2": "needed", "c3": "not_needed", "c4": "not_needed", "c5": "not_needed", "h1": "not_needed"} {
		bench.WantWords(t, p, "bonding", id, want)
	}
	for _, made := range []string{"plastic", "multilayer"} {
		p.Links[0].MadeOf = made
		bench.WantWords(t, p, "bonding", "c1", "not_needed")
	}
	p.Links[0].MadeOf = "unknown"
	bench.WantGap(t, p, "bonding", "c1", sdk.NotTold, "supply.lines.c1.pipe.made_of")
	p.Links[3].MadeOf = "unknown" // stays whole, so nothing turns on it
	bench.WantWords(t, p, "bonding", "c4", "not_needed")
	p.Links[1].State, p.Links[2].State = plan.Existing, plan.Existing // the tap alone goes
	bench.WantWords(t, p, "bonding", "c2", "needed")
	p.Links[2].State = plan.Removed // another pipe at the tee goes
	p.Links[0].MadeOf = "steel"
	bench.WantWords(t, p, "bonding", "c1", "needed")
	p.Links[4].State, p.Links[5].State = plan.Existing, plan.Existing // the heater's own pipes
	p.Links = append(p.Links, plan.Link{ID: "h2", A: "heater", B: "x", State: plan.New, MadeOf: "plastic"})
	bench.WantWords(t, p, "bonding", "c5", "not_needed")
	bench.WantWords(t, p, "bonding", "h1", "needed")
}

// A cut in a pipe that else stays whole breaks the metal; one that may lie in
// either of two steps of a line counts for both, and for none beyond them.
func TestBondingAcrossCuts(t *testing.T) {
	p := yard()
	cut := func(a, b string) { p.Cuts = []plan.Cut{{ID: "x1", Between: [2]string{a, b}, Then: "cap"}} }
	cut("sink.cold", "meter")
	bench.WantWords(t, p, "bonding", "c4", "needed")
	bench.WantWords(t, p, "bonding", "c5", "not_needed")
	if w := bench.Measured(t, p, "bonding", "c4").Working; !strings.Contains(w.Formula+w.Numbers, "cut x1") {
		t.Errorf("the working names no cut: %+v", w)
	}
	p.Links[3].State = plan.New // whoever forgets the state of a pipe that is to be cut
	bench.WantWords(t, p, "bonding", "c4", "needed")
	p.Links[3].State, p.Links[3].MadeOf = plan.Existing, "plastic"
	bench.WantWords(t, p, "bonding", "c4", "not_needed")
	p.Links[3].MadeOf = "unknown"
	bench.WantGap(t, p, "bonding", "c4", sdk.NotTold, "supply.lines.c4.pipe.made_of")
	p.Cuts[0].State = plan.Removed
	bench.WantWords(t, p, "bonding", "c4", "not_needed")
	chain := []string{"meter", "v_a", "v_b", "sink.cold"}
	p.Links = nil
	for i := range 3 {
		p.Links = append(p.Links, plan.Link{ID: "c4/" + string(rune('1'+i)), Line: "c4", A: chain[i], B: chain[i+1], State: plan.Existing, MadeOf: "lead"})
	}
	for _, ends := range [][2]string{{"meter", "v_b"}, {"v_b", "meter"}} {
		cut(ends[0], ends[1])
		for id, want := range map[string]string{"c4/1": "needed", "c4/2": "needed", "c4/3": "not_needed"} {
			bench.WantWords(t, p, "bonding", id, want)
		}
	}
	cut("v_b", "elsewhere")
	bench.WantWords(t, p, "bonding", "c4/3", "not_needed")
}

// A hot pipe that is to be cut has to be shut as long as it cools, and the
// working says before what.
func TestCoolingBeforeACut(t *testing.T) {
	bore, outer := plan.Exactly(13), plan.Exactly(15)
	p := hotPipe(read(60, 2), &plan.Size{Bore: &bore, Outer: &outer}, "copper", "bare")
	const says = "before it is opened at cut x1"
	if w := bench.Measured(t, p, "cooling_time", "h1").Working; strings.Contains(w.Formula, says) {
		t.Errorf("nothing is cut: %q", w.Formula)
	}
	for _, l := range p.Links {
		if l.ID == "h1" {
			p.Cuts = []plan.Cut{{ID: "x1", Between: [2]string{l.B, l.A}}}
		}
	}
	if w := bench.Measured(t, p, "cooling_time", "h1").Working; !strings.Contains(w.Formula, says) {
		t.Errorf("the working does not say that it is cut: %q", w.Formula)
	}
}

// bathroom: a tray of 0.90 m, waste 0.45 m from both walls, and a lamp.
func bathroom(x, y, z plan.Reading) *plan.Plan {
	zero := plan.Exactly(0)
	return &plan.Plan{
		Floors: []plan.Floor{{ID: "f", Rooms: []string{"bath"}, Top: &zero}},
		Fixtures: []plan.Fixture{{ID: "tray", Kind: "shower", Room: "bath", At: []plan.Reading{plan.Exactly(450), plan.Exactly(450)},
			Takes: []plan.Reading{plan.Exactly(900), plan.Exactly(900)}, Rim: read(100, 0), OutletAt: read(20, 0)}},
		Electrics: []plan.Electric{{ID: "lamp", Room: "bath", At: []plan.Reading{x, y, z}, NearTo: "tray"}},
	}
}

func TestZones(t *testing.T) {
	for _, c := range []struct {
		x, y, z float64
		want    []string
	}{
		{2000, 450, 1100, []string{"outside"}},                                 // 0.65 m at least from any place of the tray
		{1950, 450, 1100, []string{"zone_2", "outside"}},                       // 0.60 m at least: the limit is in the zone
		{1949, 450, 1100, []string{"zone_2", "outside"}},                       //
		{1400, 450, 1100, []string{"zone_2", "outside"}},                       // 0.05 to 0.95 m
		{1351, 450, 1100, []string{"zone_2", "outside"}},                       //
		{1040, 450, 1100, []string{"zone_1", "zone_2"}},                        // 0 to 0.59 m
		{450, 450, 2250, []string{"zone_1"}},                                   // over the waste
		{450, 450, 2260, []string{"zone_1", "outside"}},                        // over the floor's 2.25 m, not over the bottom's
		{450, 450, 2271, []string{"outside"}},                                  // above both
		{450, 450, 50, []string{"zone_0"}},                                     // in the tray
		{450, 450, 10, []string{"zone_1"}},                                     // under it
		{1400, 450, 2271, []string{"outside"}},                                 // above zone 2
		{1700, 1700, 1100, []string{"zone_2", "outside"}},                      // 0.35 m both ways at least: 0.49 m
		{450 + 1350, 450 + 1350, 1100, []string{"outside"}},                    // 0.45 m both ways: 0.64 m
		{450 - 1351, 450 + 1351, 1100, []string{"outside"}},                    //
		{450 - 1040, 450, 100, []string{"zone_2", "outside"}},                  // 0.14 m at least
		{450 - 500, 450, 100, []string{"zone_0", "zone_2"}},                    // at the rim's level
		{450, 450 + 590, 20.0 + 2250, []string{"zone_1", "zone_2", "outside"}}, // at the top over the bottom
	} {
		bench.WantWords(t, bathroom(plan.Exactly(c.x), plan.Exactly(c.y), plan.Exactly(c.z)), "zone", "lamp", c.want...)
	}
}

func TestZoneGaps(t *testing.T) {
	near := func() *plan.Plan { return bathroom(plan.Exactly(450), plan.Exactly(450), plan.Exactly(1100)) }
	for _, c := range []struct {
		needs string
		spoil func(*plan.Plan)
	}{
		{"electrics.lamp.at", func(p *plan.Plan) { p.Electrics[0].At = nil }},
		{"electrics.lamp.at", func(p *plan.Plan) { p.Electrics[0].At = p.Electrics[0].At[:2] }},
		{"tray.at", func(p *plan.Plan) { p.Fixtures[0].At = nil }},
		{"tray.takes", func(p *plan.Plan) { p.Fixtures[0].Takes = nil }},
		{"tray.rim", func(p *plan.Plan) { p.Fixtures[0].Rim = nil }},
		{"tray.outlet.level", func(p *plan.Plan) { p.Fixtures[0].OutletAt, p.Floors = nil, nil }},
		{"tray.outlet.level", func(p *plan.Plan) { p.Fixtures[0].OutletAt, p.Fixtures[0].Rim = nil, nil }},
	} {
		p := near()
		c.spoil(p)
		bench.WantGap(t, p, "zone", "lamp", sdk.NotMeasured, c.needs)
	}
	p := near()
	p.Fixtures[0].Kind = "unknown"
	bench.WantGap(t, p, "zone", "lamp", sdk.NotTold, "tray.kind")
	p = near()
	p.Fixtures[0].Room = "attic"
	bench.WantWords(t, p, "zone", "lamp", "outside")
	p = near()
	p.Fixtures[0].State = plan.Removed
	bench.WantWords(t, p, "zone", "lamp", "outside")
	p = bathroom(plan.Exactly(2000), plan.Exactly(450), plan.Exactly(0))
	p.Electrics[0].At, p.Fixtures[0].Rim = p.Electrics[0].At[:2], nil // too far for a height to matter
	bench.WantWords(t, p, "zone", "lamp", "outside")
}

// 1525 mm from the waste a tray of 900 mm ends 0.625 m away at least, one of 950 mm 0.575 m.
func TestDoubtfulFootprintReachesFurther(t *testing.T) {
	p := bathroom(plan.Exactly(450+1525), plan.Exactly(450), plan.Exactly(1100))
	bench.WantWords(t, p, "zone", "lamp", "outside")
	p.Fixtures[0].Takes[0] = replytest.Taped(900, 50)
	bench.WantWords(t, p, "zone", "lamp", "zone_2", "outside")
}

// Without a measured bottom the zones may end anywhere up to 2.25 m over the rim.
func TestBottomNobodyMeasured(t *testing.T) {
	p := bathroom(plan.Exactly(450), plan.Exactly(450), plan.Exactly(2300))
	p.Fixtures[0].OutletAt = nil
	bench.WantWords(t, p, "zone", "lamp", "zone_1", "outside")
	p.Electrics[0].At[2] = plan.Exactly(50)
	bench.WantWords(t, p, "zone", "lamp", "zone_0", "zone_1")
	p.Electrics[0].At[2] = plan.Exactly(2351)
	bench.WantWords(t, p, "zone", "lamp", "outside")
}

// The nearest waste is not always the nearest bath.
func TestStrictestZoneCounts(t *testing.T) {
	p := bathroom(plan.Exactly(2000), plan.Exactly(450), plan.Exactly(1100))
	tub := p.Fixtures[0]
	tub.ID, tub.Kind, tub.At = "tub", "bath", []plan.Reading{plan.Exactly(3650), plan.Exactly(450)}
	tub.Takes = []plan.Reading{plan.Exactly(1700), plan.Exactly(700)}
	p.Fixtures = append(p.Fixtures, tub)
	bench.WantWords(t, p, "zone", "lamp", "zone_1", "zone_2", "outside")
	if got := strictest([]string{"zone_1", "zone_2"}, []string{"zone_2", "outside"}); !slices.Equal(got, []string{"zone_1", "zone_2"}) {
		t.Errorf("strictest: %v", got)
	}
}

// Ten thousand draws of the readings and of where the waste lies in the tray:
// the zone that a plain comparison finds is always among the words.
func TestZoneHoldsAllDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 9))
	between := func(r plan.Reading) float64 { return r.Low + rng.Float64()*(r.High-r.Low) }
	for range 100 {
		x, y, z := replytest.Taped(rng.Float64()*3000-800, 50), replytest.Taped(rng.Float64()*3000-800, 50), replytest.Taped(rng.Float64()*2600-100, 50)
		p := bathroom(x, y, z)
		tray := &p.Fixtures[0]
		tray.At, tray.Takes = []plan.Reading{replytest.Taped(450, 20), replytest.Taped(450, 20)}, []plan.Reading{replytest.Taped(900, 10), replytest.Taped(800, 10)}
		tray.Rim = read(100, 10)
		words := bench.Measured(t, p, "zone", "lamp").States
		for range 100 {
			away := math.Hypot(off(between(x), between(tray.At[0]), between(tray.Takes[0]), rng.Float64()), off(between(y), between(tray.At[1]), between(tray.Takes[1]), rng.Float64()))
			if got := plainZone(away, between(z), between(*tray.Rim)); !slices.Contains(words, got) {
				t.Fatalf("lamp at %v, %v, %v may sit in %s, not in %v", x, y, z, got, words)
			}
		}
	}
}

// off is the distance along one axis to a tray whose waste lies at a part of it.
func off(thing, waste, side, part float64) float64 {
	start := waste - part*side
	return max(0, start-thing, thing-start-side)
}

func plainZone(away, z, rim float64) string {
	const bottom, top = 20, 2250
	switch {
	case z > top || away > 600:
		return "outside"
	case away > 0:
		return "zone_2"
	case z >= bottom && z <= rim:
		return "zone_0"
	}
	return "zone_1"
}
