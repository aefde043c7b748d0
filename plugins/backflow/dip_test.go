package backflow

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// beside is a bath whose hand shower hangs in a room with a pan, this far off.
func beside(away, hose float64) *plan.Plan {
	p := room("bath", func(d *plan.DrawOff) { d.Gap, d.Level, d.Hose, d.Room = read(500), read(1000), read(hose), "bathroom" })
	p.Fixtures[0].At = []plan.Reading{plan.Exactly(0), plan.Exactly(0)}
	p.Fixtures = append(p.Fixtures, plan.Fixture{ID: "pan", Kind: "wc", Room: "bathroom", Rim: read(400), At: []plan.Reading{plan.Exactly(away), plan.Exactly(0)}})
	return p
}

func TestCouldDip(t *testing.T) {
	with := func(p *plan.Plan, change func(*plan.Plan)) *plan.Plan {
		change(p)
		return p
	}
	elsewhere := func(p *plan.Plan) { p.Fixtures[1].Room = "cellar" }
	gone := func(p *plan.Plan) { p.Fixtures[1].State = plan.Removed }
	for _, x := range []struct {
		about string
		plan  *plan.Plan
		want  []string
	}{
		{"a spout over the rim", room("washbasin", func(d *plan.DrawOff) { d.Gap = read(40) }), []string{"nothing"}},
		{"a spout at the rim", room("washbasin", func(d *plan.DrawOff) { d.Gap = read(0) }), []string{"basin_water"}},
		{"a spout about the rim", room("washbasin", func(d *plan.DrawOff) { d.Gap = replytest.Read(2, 5) }), []string{"nothing", "basin_water"}},
		{"a bidet's spout under the rim", room("bidet", func(d *plan.DrawOff) { d.Level, d.Rim = read(380), read(400) }), []string{"pan_water"}},
		{"a hose told to hang over the rim", room("washbasin", func(d *plan.DrawOff) { d.Gap, d.HoseReach = read(40), "over_rim" }), []string{"basin_water"}},
		{"a short hose", room("washbasin", func(d *plan.DrawOff) { d.Gap, d.Hose = read(400), read(300) }), []string{"nothing"}},
		{"a hose that keeps 25 mm", room("washbasin", func(d *plan.DrawOff) { d.Gap, d.Hose = read(400), read(375) }), []string{"nothing"}},
		{"a hose that keeps less", room("washbasin", func(d *plan.DrawOff) { d.Gap, d.Hose = read(400), read(376) }), []string{"basin_water"}},
		{"a cistern", room("wc", func(*plan.DrawOff) {}), []string{"nothing"}},
		{"a sprayer at a closet", room("wc", func(d *plan.DrawOff) { d.Hose = read(1200) }), []string{"pan_water"}},
		{"a sprayer at a bidet", room("bidet", func(d *plan.DrawOff) { d.Gap, d.Hose = read(900), read(1200) }), []string{"pan_water"}},
		{"a hand shower that reaches the pan", beside(900, 2000), []string{"pan_water"}},
		{"one that may", beside(900, 700), []string{"basin_water", "pan_water"}},
		{"one that cannot", beside(1500, 1100), []string{"basin_water"}},
		{"a pan in another room", with(beside(900, 2000), elsewhere), []string{"basin_water"}},
		{"a pan that goes", with(beside(900, 2000), gone), []string{"basin_water"}},
		{"a pan nobody knows where", with(beside(900, 2000), func(p *plan.Plan) { p.Fixtures[1].At = nil }), []string{"basin_water", "pan_water"}},
	} {
		t.Run(x.about, func(t *testing.T) { bench.WantWords(t, x.plan, "could_dip", "x.cold", x.want...) })
	}
}

func TestFluidCategory(t *testing.T) {
	spout := func(d *plan.DrawOff) { d.Gap = read(40) }
	for _, x := range []struct {
		about string
		plan  *plan.Plan
		want  float64
	}{
		{"a basin", room("washbasin", spout), 3},
		{"a basin with a hose in it", room("washbasin", func(d *plan.DrawOff) { d.Gap, d.HoseReach = read(40), "into_water" }), 3},
		{"a sink", room("kitchen_sink", spout), 5},
		{"a bidet filled over its rim", room("bidet", spout), 3},
		{"a bidet filled from below", room("bidet", func(d *plan.DrawOff) { d.Gap = read(-20) }), 5},
		{"a cistern", room("wc", func(*plan.DrawOff) {}), 3},
		{"a sprayer at a closet", room("wc", func(d *plan.DrawOff) { d.Hose = read(1200) }), 5},
		{"a machine", room("washing_machine", func(*plan.DrawOff) {}), 3},
		{"a hand shower by a pan", beside(900, 2000), 5},
		{"a hand shower far from it", beside(2900, 1500), 3},
	} {
		if got := bench.Band(t, x.plan, "fluid_category", "x.cold"); got != (sdk.Band{Low: x.want, Value: x.want, High: x.want}) {
			t.Errorf("%s: %v, want %g", x.about, got, x.want)
		}
	}
	if got := bench.Band(t, beside(900, 700), "fluid_category", "x.cold"); got != (sdk.Band{Low: 3, Value: 5, High: 5}) {
		t.Errorf("a hand shower that may reach a pan: %v, want 3 to 5", got)
	}
}

// A hose nobody has told of is asked for, unless nothing hangs on it.
func TestHosesAreAsked(t *testing.T) {
	tap := func(kind, word string) *plan.Plan {
		return room(kind, func(d *plan.DrawOff) { d.Gap, d.HoseReach, d.Size = read(40), word, sized(read(13.6)) })
	}
	for _, p := range []*plan.Plan{tap("washbasin", ""), tap("washbasin", "unknown"), tap("shower", "unknown"), tap("wc", "unknown")} {
		for _, quantity := range []string{"could_dip", "protection"} {
			bench.WantGap(t, p, quantity, "x.cold", sdk.NotMeasured, "x.cold.hose")
		}
	}
	checked := tap("washbasin", "unknown")
	checked.DrawOffs[0].Device = "double_check"
	if got := bench.Band(t, checked, "protection", "x.cold"); got != (sdk.Band{Low: 3, Value: 3, High: 5}) {
		t.Errorf("a double check valve whatever the hose: %v, want 3 to 5", got)
	}
	// the water of basin and bath is of one category, dipped into or not; a hand
	// shower may reach the pan beside the bath, a basin's tap may not
	pan := plan.Fixture{ID: "pan", Kind: "wc"}
	for _, kind := range []string{"washbasin", "bath"} {
		p := tap(kind, "unknown")
		if got := bench.Band(t, p, "fluid_category", "x.cold"); got.Low != 3 || got.High != 3 {
			t.Errorf("category at a %s: %v, want 3", kind, got)
		}
		p.Fixtures = append(p.Fixtures, pan)
		if kind == "bath" {
			bench.WantGap(t, p, "fluid_category", "x.cold", sdk.NotMeasured, "x.cold.hose")
		} else if got := bench.Band(t, p, "fluid_category", "x.cold"); got.High != 3 {
			t.Errorf("category at a basin beside a pan: %v, want 3", got)
		}
	}
}

func TestWhatHasNoTable(t *testing.T) {
	all := []string{"could_dip", "fluid_category", "protection", "protection_margin"}
	for _, quantity := range all {
		bench.WantGap(t, room("unknown", func(*plan.DrawOff) {}), quantity, "x.cold", sdk.NotTold, "x.kind")
		bench.WantGap(t, room("floor_drain", func(*plan.DrawOff) {}), quantity, "x.cold", sdk.OutOfRange, "")
	}
	machine := room("washing_machine", func(*plan.DrawOff) {})
	for _, quantity := range []string{"could_dip", "air_gap", "gap_bores"} {
		bench.WantGap(t, machine, quantity, "x.cold", sdk.OutOfRange, "")
	}
	nothing := room("washbasin", func(d *plan.DrawOff) { d.Gap, d.Size = read(40), sized(read(0)) })
	bench.WantGap(t, nothing, "gap_bores", "x.cold", sdk.NotMeasured, "x.cold.size")
	bench.WantGap(t, room("wc", func(*plan.DrawOff) {}), "air_gap", "x.cold", sdk.NotMeasured, "x.cold.gap")
}

// Where the draw-off does not say what it serves or how high the rim is, its
// fixture does.
func TestFixtureTellsKindAndRim(t *testing.T) {
	p := room("washbasin", func(d *plan.DrawOff) { d.Serves, d.Level = "", read(900) })
	p.Fixtures[0].Rim = read(850)
	if got := bench.Band(t, p, "air_gap", "x.cold"); got.Value != 50 {
		t.Errorf("air gap by the fixture's rim: %v, want 50", got)
	}
	bench.WantWords(t, p, "could_dip", "x.cold", "nothing")
}

func TestRemovedIsLeftOut(t *testing.T) {
	p := room("washbasin", func(d *plan.DrawOff) { d.State = plan.Removed })
	if m, g := bench.Ask(t, p).Find("air_gap", "x.cold"); m != nil || g != nil {
		t.Errorf("a removed draw-off is answered for: %v, %v", m, g)
	}
}

func TestStrangePlanIsRefused(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestOneAnswerEach(t *testing.T) {
	p := room("washbasin", func(*plan.DrawOff) {})
	p.DrawOffs = append(p.DrawOffs, plan.DrawOff{ID: "gone", State: plan.Removed})
	bench.AnswersOnce(t, p, map[string]string{"draw_offs": "x.cold"})
}
