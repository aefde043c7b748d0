package hygiene

import (
	"context"
	"maps"
	"math"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var bench = replytest.Bench{Measurer: Measurer}

var read = replytest.Read

// drawn measures by figures that a test sets, so that what the package assumes
// can be drawn like any reading.
type drawn struct{ figures figures }

func newDrawn(t testing.TB) *drawn {
	t.Helper()
	f, err := load()
	if err != nil {
		t.Fatal(err)
	}
	f.Cooling.Materials = maps.Clone(f.Cooling.Materials)
	return &drawn{f}
}

func (d *drawn) bench() replytest.Bench { return replytest.Bench{Measurer: d} }

func (d *drawn) Describe(ctx context.Context) (sdk.Description, error) {
	return Measurer.Describe(ctx)
}

func (d *drawn) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	return tableOf(func() (figures, error) { return d.figures, nil }).Measure(ctx, req)
}

func at(v float64) span { return span{v, v, v} }

func spanOf(r *plan.Reading) span { return span{r.Low, r.Value, r.High} }

// hotPipe is a heater, and a pipe from it to a tap.
func hotPipe(set *plan.Reading, size *plan.Size, made, insulated string) *plan.Plan {
	return &plan.Plan{
		Heaters: []plan.Heater{{ID: "heater", Set: set}},
		Links: []plan.Link{
			{ID: "c1", Line: "c1", A: "meter", B: "heater", Carries: "cold", MadeOf: "copper"},
			{ID: "h1", Line: "h1", A: "heater", B: "tub.hot", Carries: "hot", Size: size, MadeOf: made, Insulated: insulated},
		},
		DrawOffs: []plan.DrawOff{{ID: "tub.hot", Fixture: "tub", Water: "hot", Mixer: "single_lever"}, {ID: "tub.cold", Fixture: "tub", Water: "cold", Mixer: "single_lever"}},
	}
}

func tap(r []*plan.Reading) *plan.Plan {
	p := hotPipe(read(60, 2), nil, "copper", "bare")
	p.DrawOffs[0].Mixer, p.DrawOffs[0].Temperature = "thermostatic", r[0]
	return p
}

func setting(r []*plan.Reading) *plan.Plan { return hotPipe(r[0], nil, "copper", "bare") }

func TestProbes(t *testing.T) {
	d := newDrawn(t)
	// The ends of the reading are rows of the table. Between rows the band is
	// wider than the reading makes it, see TestBurnsBetweenRows.
	d.bench().Prove(t, append(d.coolingProbes(), []replytest.Probe{
		{About: "read", Quantity: "outlet_temperature", Subject: "tub.hot", In: []plan.Reading{replytest.Taped(48, 1)}, Build: tap,
			Want: sdk.Band{Low: 47, Value: 48, High: 49}, Needs: []string{"tub.hot.temperature"}},
		{About: "set", Quantity: "outlet_temperature", Subject: "tub.hot", In: []plan.Reading{replytest.Taped(60, 2)}, Build: setting,
			Want: sdk.Band{Low: 58, Value: 60, High: 62}, Needs: []string{"supply.heater.set"}},
		{Quantity: "store_temperature", Subject: "heater", In: []plan.Reading{replytest.Taped(60, 2)}, Build: setting,
			Want: sdk.Band{Low: 58, Value: 60, High: 62}, Needs: []string{"supply.heater.set"}},
		{Quantity: "burn_time", Subject: "tub.hot", In: []plan.Reading{replytest.Taped(48, 1)}, Build: tap,
			Want: sdk.Band{Low: 480, Value: 900, High: 1200}, Needs: []string{"tub.hot.temperature"}},
	}...))
}

// coolingProbes draw what is assumed as well: air and surface, and for a
// wrapped pipe its sleeve. Hand figures: C = pi/4 (4.18e6 d² + 3.438e6 (D² -
// d²)), R = 1/(h pi (D + 2 s)) + ln((D + 2 s)/D)/(2 pi k), t = C R ln((T0 - Ta)/(43 - Ta)).
func (d *drawn) coolingProbes() []replytest.Probe {
	air, surface := plan.Reading{Low: 15, Value: 20, High: 25}, plan.Reading{Low: 7, Value: 10, High: 15}
	set, bore, outer := replytest.Taped(60, 2), plan.Reading{Low: 12.8, Value: 13, High: 13.2}, plan.Reading{Low: 14.9, Value: 15, High: 15.1}
	conditions := func(air, surface *plan.Reading) {
		if air != nil && surface != nil {
			d.figures.Cooling.Air, d.figures.Cooling.Surface = spanOf(air), spanOf(surface)
		}
	}
	return []replytest.Probe{
		{About: "bare copper", Quantity: "cooling_time", Subject: "h1", In: []plan.Reading{set, bore, outer, air, surface},
			Build: func(r []*plan.Reading) *plan.Plan {
				conditions(r[3], r[4])
				return hotPipe(r[0], &plan.Size{Bore: r[1], Outer: r[2]}, "copper", "bare")
			},
			Want: sdk.Band{Low: 424.5999169221014, Value: 829.1075884928957, High: 1556.2714078256465}, Needs: []string{"supply.heater.set", "", "", "", ""}},
		{About: "wrapped copper", Quantity: "cooling_time", Subject: "h1",
			In: []plan.Reading{set, bore, outer, air, surface, {Low: 9, Value: 13, High: 25}, {Low: 0.035, Value: 0.04, High: 0.045}},
			Build: func(r []*plan.Reading) *plan.Plan {
				conditions(r[3], r[4])
				if r[5] != nil && r[6] != nil {
					d.figures.Cooling.Sleeve, d.figures.Cooling.Conducts = spanOf(r[5]), spanOf(r[6])
				}
				return hotPipe(r[0], &plan.Size{Bore: r[1], Outer: r[2]}, "copper", "insulated")
			},
			Want: sdk.Band{Low: 1027.5166376051657, Value: 1866.4929367572581, High: 3794.8244191265053}, Needs: []string{"supply.heater.set", "", "", "", "", "", ""}},
		{About: "copper measured outside", Quantity: "cooling_time", Subject: "h1", In: []plan.Reading{set, {Low: 17.9, Value: 18, High: 18.1}, {Low: 0.7, Value: 1, High: 1.5}, air, surface},
			Build: func(r []*plan.Reading) *plan.Plan {
				conditions(r[3], r[4])
				if r[2] != nil {
					copper := d.figures.Cooling.Materials["copper"]
					copper.Wall = spanOf(r[2])
					d.figures.Cooling.Materials["copper"] = copper
				}
				return hotPipe(r[0], &plan.Size{Outer: r[1]}, "copper", "bare")
			},
			Want: sdk.Band{Low: 505.8077879548445, Value: 1002.1376252785675, High: 1895.5703418293015}, Needs: []string{"supply.heater.set", "supply.lines.h1.pipe.size", "", "", ""}},
	}
}

// Thin lead holds less when it is thicker than it loses: the ends of its
// outside pull both ways, and the band must hold them all the same.
func TestThinLeadHoldsAllDraws(t *testing.T) {
	d := newDrawn(t)
	d.figures.Cooling.Air, d.figures.Cooling.Surface = at(20), at(10)
	d.figures.Cooling.Materials["lead"] = material{Heat: at(1.46)}
	for _, insulated := range []string{"bare", "insulated"} {
		bore, outer, set := plan.Exactly(17), replytest.Taped(22, 4), plan.Exactly(60)
		d.figures.Cooling.Sleeve, d.figures.Cooling.Conducts = at(13), at(0.04)
		band := d.bench().Band(t, hotPipe(&set, &plan.Size{Bore: &bore, Outer: &outer}, "lead", insulated), "cooling_time", "h1")
		for i := range 81 {
			one := plan.Exactly(18 + float64(i)*0.1)
			got := d.bench().Band(t, hotPipe(&set, &plan.Size{Bore: &bore, Outer: &one}, "lead", insulated), "cooling_time", "h1").Value
			if got < band.Low-1e-9 || got > band.High+1e-9 {
				t.Errorf("%s: outside %g mm takes %g s, not in %v", insulated, one.Value, got, band)
			}
		}
	}
}

func TestCoolingGaps(t *testing.T) {
	size := &plan.Size{Bore: read(13, 0), Outer: read(15, 0)}
	good := func() *plan.Plan { return hotPipe(read(60, 2), size, "plastic", "bare") }
	bench.WantGap(t, good(), "cooling_time", "c1", sdk.OutOfRange, "")
	for needs, spoil := range map[string]func(*plan.Link){
		"supply.lines.h1":                func(l *plan.Link) { l.Carries = "unknown" },
		"supply.lines.h1.pipe.made_of":   func(l *plan.Link) { l.MadeOf = "unknown" },
		"supply.lines.h1.pipe.insulated": func(l *plan.Link) { l.Insulated = "unknown" },
	} {
		p := good()
		spoil(&p.Links[1])
		bench.WantGap(t, p, "cooling_time", "h1", sdk.NotTold, needs)
	}
	p := good()
	p.Links[1].Size, p.Links[1].ID, p.Links[1].Line = nil, "m_hot~tub.hot", "m_hot"
	bench.WantGap(t, p, "cooling_time", "m_hot~tub.hot", sdk.NotMeasured, "supply.manifolds.m_hot.pipe.size")
	p = good()
	p.Links[1].Size = &plan.Size{Bore: read(15, 0), Outer: read(13, 0)}
	bench.WantGap(t, p, "cooling_time", "h1", sdk.OutOfRange, "")
	if got := bench.Band(t, hotPipe(read(40, 2), size, "copper", "bare"), "cooling_time", "h1"); got != (sdk.Band{}) {
		t.Errorf("water of 40 °C cools to 43 °C in %v", got)
	}
	p = good()
	p.Links[1].A = "mix"
	p.Links = append(p.Links, plan.Link{ID: "h0", A: "heater", B: "mix"})
	p.Valves = []plan.Valve{{ID: "mix", Kind: "mixing"}}
	if got := bench.Band(t, p, "cooling_time", "h1"); got.Low != 0 || got.High < 600 {
		t.Errorf("behind a mixing valve: %v, want from 0", got)
	}
}

// Outside the table the answer is open: at least 2 h below 45 °C, at most 3 s
// over 60 °C.
func TestBurnsOutsideTheTable(t *testing.T) {
	for _, c := range []struct {
		water plan.Reading
		want  sdk.Band
	}{
		{plan.Exactly(40), sdk.Band{Low: 7200, Value: 7200, High: math.Inf(1)}},
		{replytest.Taped(70, 5), sdk.Band{Low: 0, Value: 3, High: 3}},
		{plan.Reading{Low: 44, Value: 48, High: 61}, sdk.Band{Low: 0, Value: 900, High: math.Inf(1)}},
	} {
		if got := bench.Band(t, tap([]*plan.Reading{&c.water}), "burn_time", "tub.hot"); !replytest.Near(got.Low, c.want.Low) || !replytest.Near(got.Value, c.want.Value) || !replytest.Near(got.High, c.want.High) || math.IsInf(got.High, 1) != math.IsInf(c.want.High, 1) {
			t.Errorf("%v: %v, want %v", c.water, got, c.want)
		}
	}
}

// Between rows the value is on the line through the logarithms: 52 °C is half
// way from 49 °C, 480 s, to 55 °C, 17 s. The line is not the truth, so the ends
// are the rows: a wider reading makes them no narrower.
func TestBurnsBetweenRows(t *testing.T) {
	half := math.Sqrt(480 * 17)
	for _, c := range []struct {
		water plan.Reading
		want  sdk.Band
	}{
		{plan.Exactly(52), sdk.Band{Low: 17, Value: half, High: 480}},
		{replytest.Taped(52, 1), sdk.Band{Low: 17, Value: half, High: 480}},
		{replytest.Taped(52, 3), sdk.Band{Low: 17, Value: half, High: 480}},
		{replytest.Taped(52, 4), sdk.Band{Low: 3, Value: half, High: 900}},
		{plan.Exactly(55), sdk.Band{Low: 17, Value: 17, High: 17}},
		{plan.Exactly(60), sdk.Band{Low: 3, Value: 3, High: 3}},
	} {
		if got := bench.Band(t, tap([]*plan.Reading{&c.water}), "burn_time", "tub.hot"); !replytest.Near(got.Low, c.want.Low) || !replytest.Near(got.Value, c.want.Value) || !replytest.Near(got.High, c.want.High) {
			t.Errorf("%v: %v, want %v", c.water, got, c.want)
		}
	}
	for _, x := range []struct{ at, takes float64 }{{47, 1200}, {48, 900}, {49, 480}, {55, 17}} {
		if low, _, high := without(t, x.at).after(x.at); low > x.takes || high < x.takes {
			t.Errorf("%g °C left out lies between %g and %g s, the table has %g", x.at, low, high, x.takes)
		}
	}
}

func TestWhatHidesTheSetting(t *testing.T) {
	p := hotPipe(read(60, 2), nil, "copper", "bare")
	bench.WantGap(t, p, "outlet_temperature", "tub.cold", sdk.OutOfRange, "")
	for _, mixer := range []string{"thermostatic", "unknown", ""} {
		p.DrawOffs[0].Mixer = mixer
		bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotMeasured, "tub.hot.temperature")
	}
	p.DrawOffs[0].Mixer = "separate_taps"
	p.Links[1].A = "v"
	p.Links = append(p.Links, plan.Link{ID: "h0", A: "heater", B: "v"})
	p.Valves = []plan.Valve{{ID: "v", Kind: "mixing"}}
	bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotMeasured, "tub.hot.temperature")
	p.Valves[0].State = plan.Removed
	if got := bench.Band(t, p, "outlet_temperature", "tub.hot"); got.Value != 60 {
		t.Errorf("without the mixing valve: %v", got)
	}
}

func TestWhichHeater(t *testing.T) {
	p := hotPipe(read(60, 2), nil, "copper", "bare")
	p.Heaters = append(p.Heaters, plan.Heater{ID: "solar", Set: read(80, 5)})
	if got := bench.Band(t, p, "outlet_temperature", "tub.hot"); got != (sdk.Band{Low: 58, Value: 60, High: 62}) {
		t.Errorf("the heater drawn to the tap: %v", got)
	}
	p.Links = append(p.Links, plan.Link{ID: "h2", A: "solar", B: "tub.hot"})
	if got := bench.Band(t, p, "outlet_temperature", "tub.hot"); got != (sdk.Band{Low: 58, Value: 80, High: 85}) {
		t.Errorf("two heaters on one tap: %v", got)
	}
	p.Heaters[1].Set = nil
	bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotMeasured, "supply.heaters.solar.set")
	p.Links = nil
	bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotTold, "supply.lines")
	p.Heaters = p.Heaters[:1]
	if got := bench.Band(t, p, "outlet_temperature", "tub.hot"); got.Value != 60 {
		t.Errorf("the only heater: %v", got)
	}
	p.Valves = []plan.Valve{{ID: "mix", Kind: "mixing"}}
	bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotMeasured, "tub.hot.temperature")
	p.Heaters = nil
	bench.WantGap(t, p, "outlet_temperature", "tub.hot", sdk.NotMeasured, "supply.heater.set")
}
