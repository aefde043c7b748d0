package supply

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/supply/pipeflow"
)

func TestEveryQuantityIsAnsweredOnce(t *testing.T) {
	p := hut()
	p.Valves, p.Links = nil, p.Links[:1]
	p.Links[0].B = "basin.cold"
	bench.AnswersOnce(t, p, map[string]string{"links": "c1", "draw_offs": "basin.cold", "sources": "meter", "fixtures": "basin"})
	bench.RefusesStrangePlans(t)
}

func TestRemovedThingsAreLeftOut(t *testing.T) {
	p := ferry()
	p.Links[toBasin].State, p.DrawOffs[hotTap].State = plan.Removed, plan.Removed
	a := bench.Ask(t, p)
	for _, subject := range []string{"c3", "basin.hot"} {
		for _, m := range a.Measurements {
			if m.Subject == subject {
				t.Errorf("%s of the removed %s is measured", m.Quantity, subject)
			}
		}
	}
	a.WantNeeds(t, "loading_units", "c1", "supply.lines.c1.path")
	a.WantNeeds(t, "static_head", "basin.cold", "supply.lines")
}

// 7 taps: basin 1 + 1, bath 4 + 4, shower 2 + 2 units are 14; by the points of
// 10 and 15 units, on logarithmic scales: 0.52 × (0.63/0.52)^(ln 1.4/ln 1.5) =
// 0.6093 l/s. The band is the curve's own ± 10 %, which no reading narrows.
func TestDesignFlowOfManyTaps(t *testing.T) {
	a := bench.Ask(t, barracks(), "loading_units", "supply_flow")
	a.WantBand(t, "loading_units", "c1", exact(14), 0)
	q := 0.52 * math.Pow(0.63/0.52, math.Log(1.4)/math.Log(1.5))
	a.WantBand(t, "supply_flow", "c1", sdk.Band{Low: 0.9 * q, Value: q, High: 1.1 * q}, 1e-9)
}

// The curve rises, and what lies beyond it is not answered.
func TestCurveOfDesignFlows(t *testing.T) {
	tables, err := load()
	if err != nil {
		t.Fatal(err)
	}
	last := 0.0
	for u := 0.5; u <= 1000; u *= 1.1 {
		q, ok := tables.Curve.at(u)
		if !ok || q <= last {
			t.Fatalf("%g units: %g l/s after %g, %v", u, q, last, ok)
		}
		last = q
	}
	if q, ok := tables.Curve.at(1001); ok {
		t.Errorf("1001 units: %g l/s, the curve ends at 1000", q)
	}
	for _, units := range []float64{2.9, 14.1, 60, 119.9, 1001} {
		if q, ok := tables.Demand.at(units); ok {
			t.Errorf("%g fixture units: %g l/s, and no rows", units, q)
		}
	}
}

// Words of the document that a demand hangs on are asked for.
func TestDemandGaps(t *testing.T) {
	p := ferry()
	p.DrawOffs[coldTap].Serves, p.Fixtures[0].Kind = "unknown", "unknown"
	bench.WantGap(t, p, "loading_units", "c3", sdk.NotTold, "basin.kind")
	bench.WantGap(t, p, "supply_flow_fr", "c3", sdk.NotTold, "basin.kind")
	p = ferry()
	p.House.Use = "unknown"
	bench.WantGap(t, p, "wsfu", "c3", sdk.NotTold, "house.use")
	p.House.Use = "public"
	bench.WantGap(t, p, "wsfu", "c3", sdk.OutOfRange, "")
	p = ferry()
	p.DrawOffs[coldTap].Serves = "floor_drain"
	bench.WantGap(t, p, "supply_flow", "c3", sdk.OutOfRange, "")
	bench.WantGap(t, ferry(), "supply_flow_us", "c1", sdk.OutOfRange, "") // 0.7 units: the table begins at 3
	p = ferry()
	p.Links[toBasin].MadeOf = "unknown"
	p.Links[toBasin].Length = replytest.Read(1000, 5)
	bored(&p.Links[toBasin], replytest.Read(13, 0))
	bench.WantGap(t, p, "pressure_loss", "c3", sdk.NotTold, "supply.lines.c3.pipe.made_of")
	bench.WantGap(t, p, "supply_material", "c3", sdk.NotTold, "supply.lines.c3.pipe.made_of")
}

// A bath whose use nobody told is a dwelling's or another's: 4 to 8 units.
func TestBathOfUnknownUse(t *testing.T) {
	p := hut()
	p.House.Use, p.DrawOffs[0].Serves = "unknown", "bath"
	bench.Ask(t, p, "loading_units").WantBand(t, "loading_units", "c1", sdk.Band{Low: 4, Value: 4, High: 8}, 0)
}

// 6 fixtures at 0.8/√5 = 0.35777 run 0.3936 l/s; in a hotel a quarter more.
func TestFrenchFlowOfManyFixtures(t *testing.T) {
	p := barracks()
	for _, f := range []string{"wc", "bidet", "kitchen_sink"} {
		p.DrawOffs = append(p.DrawOffs, plan.DrawOff{ID: f + ".cold", Fixture: f, Serves: f, Water: "cold"})
		p.Links = append(p.Links, plan.Link{ID: f + "_c", A: "t1", B: f + ".cold"})
	}
	sum := 0.10 + 0.35 + 0.25 + 0.10 + 0.20 + 0.20
	want := sum * 0.8 / math.Sqrt(5)
	bench.Ask(t, p, "supply_flow_fr").WantBand(t, "supply_flow_fr", "c1", exact(want), 1e-9)
	p.House.Use = "guest_house"
	bench.Ask(t, p, "supply_flow_fr").WantBand(t, "supply_flow_fr", "c1", exact(1.25*want), 1e-9)
}

func TestWordsOfThePipe(t *testing.T) {
	p := ferry()
	bench.WantWords(t, p, "supply_material", "h1", "multilayer")
	bench.WantGap(t, p, "own_stop", "basin.cold", sdk.NotTold, "basin.cold.stop")
	p.DrawOffs[coldTap].Stop = "without"
	bench.WantWords(t, p, "own_stop", "basin.cold", "without")
	// The main's ball valve serves this tap alone here.
	bench.WantWords(t, hut(), "own_stop", "basin.cold", "fitted")
	bench.WantGap(t, p, "expansion", "c3", sdk.OutOfRange, "")
	bench.WantGap(t, p, "dead_leg", "basin.cold", sdk.OutOfRange, "")
}

// Home runs of a manifold are told under it.
func TestPlacesOfHomeRuns(t *testing.T) {
	p := hut()
	p.Links[1] = plan.Link{ID: "m_cold~basin.cold", Line: "m_cold", A: "v_main", B: "basin.cold"}
	bench.WantGap(t, p, "supply_clips", "m_cold~basin.cold", sdk.NotMeasured, "supply.manifolds.m_cold.pipe.clips")
	bored(&p.Links[1], replytest.Read(12, 0))
	bench.WantGap(t, p, "pressure_loss", "m_cold~basin.cold", sdk.NotMeasured, "supply.manifolds.m_cold.to.basin.cold.length")
}

// A line of several steps tells no length of one of them, and says so.
func TestLengthOfAStep(t *testing.T) {
	p := hut()
	for i := range p.Links {
		p.Links[i].ID, p.Links[i].Line = "c1/"+string(rune('1'+i)), "c1"
		bored(&p.Links[i], replytest.Read(13, 0))
	}
	g := bench.Gap(t, p, "pressure_loss", "c1/2")
	if g.Needs != "supply.lines.c1.length" || !strings.Contains(g.Text, "line of its own") {
		t.Errorf("gap %+v", g)
	}
}

// A hot or an unknown pipe's band holds its loss at every temperature between
// 10 °C and 60 °C, small flows on the way from laminar to turbulent included.
func TestHotLossHoldsEveryTemperature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		reading := func(name string, low, high, share float64) plan.Reading {
			v := rapid.Float64Range(low, high).Draw(t, name)
			return plan.PlusMinus(v, v*rapid.Float64Range(0, share).Draw(t, name+" share"), plan.Taped)
		}
		r := run{flow: reading("flow", 0.005, 0.5, 0.5), bore: reading("bore", 8, 40, 0.1), length: reading("length", 100, 20000, 0.1),
			wall: reading("wall", 0, 0.5, 1), k: reading("K", 0, 10, 0.5), hot: true, shown: hotAt}
		band, err := r.loss()
		if err != nil {
			t.Fatal(err)
		}
		for range 20 {
			pick := func(b plan.Reading) float64 { return rapid.Float64Range(b.Low, b.High).Draw(t, "truth") }
			w, err := pipeflow.WaterAt(rapid.Float64Range(coldAt, hotAt).Draw(t, "temperature"))
			if err != nil {
				t.Fatal(err)
			}
			// The water's density changes by 2 % as well, and with it what the
			// same stiffness loses.
			p := corner{pick(r.flow), pick(r.bore), pick(r.length), pick(r.wall), pick(r.k)}.loss(w)
			if p < band.Low*0.98 || p > band.High*1.0001 {
				t.Fatalf("%g °C loses %g, outside %+v", w.Viscosity, p, band)
			}
		}
	})
}

// A wider bore never loses more, a longer pipe never less, as measured.
func TestLossFollowsThePipe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.SampledFrom([]int{toBasin, hotRun}).Draw(t, "link")
		loss := func(d, length float64) sdk.Band {
			p := ferry()
			l := &p.Links[place]
			l.Length = replytest.Read(length, length/100)
			bored(l, replytest.Read(d, d/50))
			s, err := survey(p)
			if err != nil {
				t.Fatal(err)
			}
			a := s.pressureLoss(l)
			if a.Gap != nil {
				t.Fatalf("no loss: %+v", a.Gap)
			}
			return *a.Band
		}
		never := func(what string, more, least sdk.Band) {
			if more.Low < least.Low*(1-1e-9) || more.Value < least.Value*(1-1e-9) || more.High < least.High*(1-1e-9) {
				t.Fatalf("%s: %+v is less than %+v", what, more, least)
			}
		}
		d, length := rapid.Float64Range(6, 40).Draw(t, "bore"), rapid.Float64Range(10, 30000).Draw(t, "length")
		by := rapid.Float64Range(1, 2).Draw(t, "by")
		never("narrower", loss(d, length), loss(d*by, length))
		never("longer", loss(d, length*by), loss(d, length))
	})
}

// Every row says where it is from and how sure it is; every material that a
// pipe may be made of expands.
func TestTables(t *testing.T) {
	tables, err := load()
	if err != nil {
		t.Fatal(err)
	}
	for name, rows := range map[string][]demandRow{"loading units": tables.Loading, "base flows": tables.Base, "fixture units": tables.FixtureUnits} {
		for _, kind := range []string{"washbasin", "bidet", "wc", "bath", "shower", "kitchen_sink", "laundry_tub", "washing_machine", "dishwasher"} {
			if len(rowsFor(rows, kind, "dwelling")) != 1 {
				t.Errorf("%s: not one row for %s in a dwelling", name, kind)
			}
		}
		for _, r := range rows {
			if r.Source == "" || (r.Basis != "read" && r.Basis != "memory") || r.Flow+r.Total <= 0 {
				t.Errorf("%s: %+v", name, r)
			}
		}
	}
	// EN 806-3: one unit is 0.1 l/s.
	for _, r := range tables.Loading {
		if math.Abs(r.Units-10*r.Flow) > 1e-9 {
			t.Errorf("%+v: units are not ten times the flow", r)
		}
	}
	for made := range tables.pipes.Walls {
		if m, known := tables.expands(made); !known || !(0 < m.Low && m.Low <= m.Value && m.Value <= m.High) || m.Source == "" || m.Basis == "" {
			t.Errorf("expansion of %s: %+v", made, m)
		}
	}
	if tables.Curve.Source == "" || tables.Demand.Source == "" {
		t.Error("a curve without a source")
	}
}
