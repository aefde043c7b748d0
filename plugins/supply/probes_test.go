package supply

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var bench = replytest.Bench{Measurer: Measurer}

// ferry is a house of our own: from the meter over a tee to a basin, and over
// a heater to its hot side.
func ferry() *plan.Plan {
	return &plan.Plan{
		House:    plan.House{Use: "dwelling"},
		Fixtures: []plan.Fixture{{ID: "basin", Kind: "washbasin"}},
		Sources:  []plan.Source{{ID: "meter", Kind: "public_main"}},
		Heaters:  []plan.Heater{{ID: "heater", Kind: "combi"}},
		Valves:   []plan.Valve{{ID: "v_main", Kind: "ball"}},
		Links: []plan.Link{
			{ID: "c1", Line: "c1", A: "meter", B: "v_main", Known: "seen", Carries: "cold", MadeOf: "copper", Bends: []plan.Bend{}},
			{ID: "c2", Line: "c2", A: "v_main", B: "t1", Known: "seen", Carries: "cold", MadeOf: "copper", Bends: []plan.Bend{}},
			{ID: "c3", Line: "c3", A: "t1", B: "basin.cold", Known: "seen", Carries: "cold", MadeOf: "copper", Bends: []plan.Bend{}},
			{ID: "c4", Line: "c4", A: "t1", B: "heater", Known: "seen", Carries: "cold", MadeOf: "copper", Bends: []plan.Bend{}},
			{ID: "h1", Line: "h1", A: "heater", B: "basin.hot", Known: "seen", Carries: "hot", MadeOf: "multilayer", Bends: []plan.Bend{}},
		},
		DrawOffs: []plan.DrawOff{
			{ID: "basin.cold", Fixture: "basin", Serves: "washbasin", Water: "cold"},
			{ID: "basin.hot", Fixture: "basin", Serves: "washbasin", Water: "hot"},
		},
	}
}

// Places in the ferry house.
const (
	toValve = iota
	toTee
	toBasin
	toHeater
	hotRun
)

const (
	coldTap = iota
	hotTap
)

// hut is a ferry house with nothing but the cold tap behind the valve, which
// stands on the valve's own pipe: no tee.
func hut() *plan.Plan {
	p := ferry()
	p.Links = []plan.Link{p.Links[toValve], p.Links[toTee]}
	p.Links[1].B = "basin.cold"
	p.DrawOffs = p.DrawOffs[:1]
	return p
}

// barracks has enough on one pipe for the US table: lavatory 0.7, bath 1.4 and
// shower 1.4 fixture units of both waters are 3.5, which is 3.5 gallons a minute.
func barracks() *plan.Plan {
	p := ferry()
	for _, f := range []string{"bath", "shower"} {
		p.Fixtures = append(p.Fixtures, plan.Fixture{ID: f, Kind: f})
		p.DrawOffs = append(p.DrawOffs, plan.DrawOff{ID: f + ".cold", Fixture: f, Serves: f, Water: "cold"}, plan.DrawOff{ID: f + ".hot", Fixture: f, Serves: f, Water: "hot"})
		p.Links = append(p.Links, plan.Link{ID: f + "_c", A: "t1", B: f + ".cold", Carries: "cold"}, plan.Link{ID: f + "_h", A: "heater", B: f + ".hot", Carries: "hot"})
	}
	return p
}

func bored(l *plan.Link, d *plan.Reading) {
	if l.Size = nil; d != nil {
		l.Size = &plan.Size{Bore: d, Source: "stock table", Basis: "memory"}
	}
}

func with(make func() *plan.Plan, set func(*plan.Plan, []*plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := make()
		set(p, r)
		return p
	}
}

func nothing(*plan.Plan, []*plan.Reading) {}

// taped is a short name for the many readings below.
func taped(v, tolerance float64) plan.Reading { return replytest.Taped(v, tolerance) }

func exact(v float64) sdk.Band { return sdk.Band{Low: v, Value: v, High: v} }

// Figures by hand from the formulas in the workings; those of losses with a
// fixed-point solution of Colebrook-White of its own, water of 10 °C: 999.703
// kg/m³, 1.30629 mm²/s.
func TestProbes(t *testing.T) {
	bench.Prove(t, append(flowProbes(), append(pressureProbes(), hotProbes()...)...))
}

func flowProbes() []replytest.Probe {
	rated := func(p *plan.Plan, r []*plan.Reading) { p.DrawOffs[coldTap].Rating = r[0] }
	return []replytest.Probe{
		{Quantity: "loading_units", Subject: "c3", Build: with(ferry, nothing), Want: exact(1)},
		{About: "both taps", Quantity: "loading_units", Subject: "c1", Build: with(ferry, nothing), Want: exact(2)},
		{About: "as printed on the tap", Quantity: "supply_flow", Subject: "c3", In: []plan.Reading{taped(0.15, 0.01)}, Needs: []string{""},
			Build: with(ferry, rated), Want: sdk.Band{Low: 0.14, Value: 0.15, High: 0.16}},
		{About: "by the table", Quantity: "supply_flow", Subject: "c3", Build: with(ferry, nothing), Want: exact(0.1)},
		{Quantity: "supply_flow_fr", Subject: "c3", Build: with(ferry, nothing), Want: exact(0.1)},
		{About: "of three fixtures", Quantity: "supply_flow_fr", Subject: "c1", Build: with(barracks, nothing), Want: exact(0.7 * 0.7071067811865475)},
		{Quantity: "wsfu", Subject: "c1", Build: with(ferry, nothing), Want: exact(0.7)},
		{About: "of one water", Quantity: "wsfu", Subject: "h1", Build: with(ferry, nothing), Want: exact(0.5)},
		{Quantity: "supply_flow_us", Subject: "c1", Build: with(barracks, nothing), Want: exact(3.5 * 3.785411784 / 60)},
		{Quantity: "supply_bore", Subject: "c3", In: []plan.Reading{taped(13, 0.2)}, Needs: []string{"supply.lines.c3.pipe.size"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { bored(&p.Links[toBasin], r[0]) }), Want: sdk.Band{Low: 12.8, Value: 13, High: 13.2}},
		{Quantity: "supply_velocity", Subject: "c3", In: []plan.Reading{taped(0.15, 0.01), taped(13, 0.2)}, Needs: []string{"", "supply.lines.c3.pipe.size"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { rated(p, r); bored(&p.Links[toBasin], r[1]) }),
			Want:  sdk.Band{Low: 1.0230345285980418, Value: 1.1300942704749963, High: 1.2433979929054324}},
		{Quantity: "source_flow", Subject: "meter", In: []plan.Reading{taped(0.22, 0.01)}, Needs: []string{"supply.meter.bucket"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { p.Sources[0].Bucket = r[0] }), Want: sdk.Band{Low: 0.21, Value: 0.22, High: 0.23}},
		{Quantity: "supply_clips", Subject: "c3", In: []plan.Reading{taped(1200, 20)}, Needs: []string{"supply.lines.c3.pipe.clips"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { p.Links[toBasin].Clips = r[0] }), Want: sdk.Band{Low: 1180, Value: 1200, High: 1220}},
	}
}

func pressureProbes() []replytest.Probe {
	return []replytest.Probe{
		{Quantity: "pressure_loss", Subject: "c3", In: []plan.Reading{taped(0.15, 0.01), taped(13, 0.2), taped(5000, 20), taped(45, 1)},
			Needs: []string{"", "supply.lines.c3.pipe.size", "supply.lines.c3.length", "supply.lines.c3.bends"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) {
				l := &p.Links[toBasin]
				p.DrawOffs[coldTap].Rating, l.Length, l.Bends = r[0], r[2], []plan.Bend{{Angle: r[3]}}
				bored(l, r[1])
			}), Want: sdk.Band{Low: 6.28177266988255, Value: 7.653391591722587, High: 9.276400656545343}},
		{Quantity: "static_head", Subject: "basin.cold", In: []plan.Reading{taped(3600, 10), taped(600, 10)}, Needs: []string{"basin.cold.level", "supply.meter.level"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { p.DrawOffs[coldTap].Level, p.Sources[0].Level = r[0], r[1] }),
			Want:  sdk.Band{Low: 29.21512880680527, Value: 29.411203496783827, High: 29.60727818676239}},
		{Quantity: "source_pressure", Subject: "meter", In: []plan.Reading{taped(300, 10)}, Needs: []string{"supply.meter.static"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { p.Sources[0].Static = r[0] }), Want: sdk.Band{Low: 290, Value: 300, High: 310}},
		{About: "read at the tap", Quantity: "pressure_left", Subject: "basin.cold", In: []plan.Reading{taped(120, 10)}, Needs: []string{"supply.meter.static"},
			Build: with(hut, func(p *plan.Plan, r []*plan.Reading) { p.DrawOffs[coldTap].Pressure = r[0] }), Want: sdk.Band{Low: 110, Value: 120, High: 130}},
		{About: "by the chain", Quantity: "pressure_left", Subject: "basin.cold",
			In:    []plan.Reading{taped(300, 10), taped(3600, 10), taped(200, 10), taped(0.15, 0.01), taped(13, 0.2), taped(8000, 40)},
			Needs: []string{"supply.meter.static", "basin.cold.level", "supply.meter.level", "", "supply.lines.c1.pipe.size", "supply.lines.c1.length"},
			Build: with(hut, func(p *plan.Plan, r []*plan.Reading) {
				p.Sources[0].Static, p.DrawOffs[coldTap].Level, p.Sources[0].Level, p.DrawOffs[coldTap].Rating = r[0], r[1], r[2], r[3]
				bored(&p.Links[0], r[4])
				bored(&p.Links[1], r[4])
				two := plan.Exactly(2000)
				p.Links[0].Length, p.Links[1].Length = r[5], &two
			}), Want: sdk.Band{Low: 238.53579961921753, Value: 251.83929453639772, High: 264.68288989706167}},
		{About: "by the chain over a line", Quantity: "pressure_left", Subject: "basin.cold",
			In:    []plan.Reading{taped(300, 10), taped(3600, 10), taped(200, 10), taped(0.15, 0.01), taped(13, 0.2), taped(10000, 40)},
			Needs: []string{"supply.meter.static", "basin.cold.level", "supply.meter.level", "", "supply.lines.c1.pipe.size", "supply.lines.c1.length"},
			Build: with(hut, func(p *plan.Plan, r []*plan.Reading) {
				p.Sources[0].Static, p.DrawOffs[coldTap].Level, p.Sources[0].Level, p.DrawOffs[coldTap].Rating = r[0], r[1], r[2], r[3]
				bored(&p.Links[0], r[4])
				bored(&p.Links[1], r[4])
				oneLine(p, toValve, 2, r[5], nil)
			}), Want: sdk.Band{Low: 238.53579961921753, Value: 251.83929453639772, High: 264.68288989706167}},
	}
}

func hotProbes() []replytest.Probe {
	run := func(p *plan.Plan, d, length *plan.Reading) {
		bored(&p.Links[hotRun], d)
		p.Links[hotRun].Length = length
	}
	return []replytest.Probe{
		{Quantity: "dead_leg", Subject: "basin.hot", In: []plan.Reading{taped(13, 0.1), taped(8000, 20)}, Needs: []string{"supply.lines.h1.pipe.size", "supply.lines.h1.length"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { run(p, r[0], r[1]) }),
			Want:  sdk.Band{Low: 1.0429709048003355, Value: 1.0618583169133502, High: 1.0809530741415017}},
		{About: "over a line", Quantity: "dead_leg", Subject: "basin.hot", In: []plan.Reading{taped(13, 0.1), taped(8000, 20)}, Needs: []string{"supply.lines.h1.pipe.size", "supply.lines.h1.length"},
			Build: func(r []*plan.Reading) *plan.Plan { return valved(r[0], r[1]) },
			Want:  sdk.Band{Low: 1.0429709048003355, Value: 1.0618583169133502, High: 1.0809530741415017}},
		{Quantity: "hot_wait", Subject: "basin.hot", In: []plan.Reading{taped(13, 0.1), taped(8000, 20), taped(0.12, 0.01)},
			Needs: []string{"supply.lines.h1.pipe.size", "supply.lines.h1.length", "basin.hot.flow"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { run(p, r[0], r[1]); p.DrawOffs[hotTap].Flow = r[2] }),
			Want:  sdk.Band{Low: 8.022853113848734, Value: 8.848819307611253, High: 9.826846128559106}},
		{Quantity: "mixed_temperature", Subject: "basin", In: []plan.Reading{taped(12, 1), taped(52, 2)}, Needs: []string{"basin.cold.temperature", "supply.heater.set"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) {
				p.DrawOffs[coldTap].Temperature, p.DrawOffs[hotTap].Temperature = r[0], r[1]
			}),
			Want: sdk.Band{Low: 30.5, Value: 32, High: 33.5}},
		// 0.025 mm/(m K) × 8 m × 50 K = 10 mm; one source only, so that all the
		// band is the readings'.
		{Quantity: "expansion", Subject: "h1", In: []plan.Reading{taped(8000, 20), taped(60, 2)}, Needs: []string{"supply.lines.h1.length", "supply.heater.set"},
			Build: with(ferry, func(p *plan.Plan, r []*plan.Reading) { run(p, nil, r[0]); p.Heaters[0].Set = r[1] }),
			Want:  sdk.Band{Low: 0.025 * 7.98 * 48, Value: 10, High: 0.025 * 8.02 * 52}},
	}
}
