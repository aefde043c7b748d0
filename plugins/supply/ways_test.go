package supply

import (
	"fmt"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// laid is the ferry house with sizes, lengths and levels told: 13 mm bore,
// 2 m each, basin 3 m over the meter, which has 300 kPa.
func laid() *plan.Plan {
	p := ferry()
	for i := range p.Links {
		p.Links[i].Length = replytest.Read(2000, 10)
		bored(&p.Links[i], replytest.Read(13, 0.1))
	}
	p.Sources[0].Static, p.Sources[0].Level = replytest.Read(300, 5), replytest.Read(0, 5)
	for i := range p.DrawOffs {
		p.DrawOffs[i].Level = replytest.Read(3000, 5)
	}
	p.Heaters[0].Set = replytest.Read(60, 2)
	return p
}

// By hand, from the formulas of the working. At the value c1 and c2 carry
// 0.2 l/s (1.5068 m/s, Re 14995, f 0.028025): 4.8931 kPa each, the ball valve
// 0.0567 kPa; c3 0.1 l/s (0.7534 m/s, f 0.033529): 1.4635 kPa, the tee's branch
// 0.5674 kPa. Left: 300 - 29.4112 - 11.8739 = 258.7149 kPa. At the ends the same
// with 12.9 mm, 2.01 m, 3.01 m and 295 kPa, or with 13.1 mm, 1.99 m, 2.99 m and
// 305 kPa, 0.18 l/s (the curve's own 10 %) and a tee in line.
func TestPressureLeftOverValveAndTee(t *testing.T) {
	bench.Ask(t, laid(), "pressure_left").WantBand(t, "pressure_left", "basin.cold", sdk.Band{Low: 253.11797, Value: 258.71490, High: 266.18334}, 1e-4)
}

// No pressure is worked out from one that nobody measured.
func TestGuessedPressureGivesNone(t *testing.T) {
	p := laid()
	p.Sources[0].Static.How = plan.Guessed
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "supply.meter.static")
	p.Sources[0].Static = nil
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "supply.meter.static")
	p.DrawOffs[coldTap].Pressure = replytest.Read(80, 5)
	bench.Ask(t, p, "pressure_left").WantBand(t, "pressure_left", "basin.cold", sdk.Band{Low: 75, Value: 80, High: 85}, 0)
}

// A pressure read while water ran goes before one with all taps shut.
func TestRunningPressureGoesFirst(t *testing.T) {
	p := laid()
	still := bench.Band(t, p, "pressure_left", "basin.cold")
	p.Sources[0].Running = replytest.Read(240, 5)
	if b := bench.Band(t, p, "pressure_left", "basin.cold"); !replytest.Near(b.Value, still.Value-60) {
		t.Errorf("from 240 kPa %+v, from 300 kPa %+v", b, still)
	}
}

// A bucket that fills slower than the tap is reckoned with refutes the chain;
// one that fills as fast does not.
func TestBucketBeatsTheChain(t *testing.T) {
	p := laid()
	p.Sources[0].Bucket, p.Sources[0].BucketAt = replytest.Read(0.04, 0.005), "basin.cold"
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "basin.cold.pressure")
	bench.Ask(t, p, "source_flow").WantBand(t, "source_flow", "meter", sdk.Band{Low: 0.035, Value: 0.04, High: 0.045}, 1e-9)
	p.Sources[0].Bucket = replytest.Read(0.12, 0.005)
	bench.Band(t, p, "pressure_left", "basin.cold")
}

// An outside alone gives no inner diameter.
func TestOutsideAlone(t *testing.T) {
	p := laid()
	p.Links[toValve].Size = &plan.Size{Outer: replytest.Read(27, 0.5)}
	bench.WantGap(t, p, "supply_bore", "c1", sdk.NotMeasured, "supply.lines.c1.pipe.bore")
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "supply.lines.c1.pipe.bore")
	p.Links[toValve].Size.Bore = replytest.Read(0, 0)
	bench.WantGap(t, p, "supply_bore", "c1", sdk.OutOfRange, "")
}

// What an instantaneous heater takes no table tells; a store is a wide vessel.
func TestPressureBehindAHeater(t *testing.T) {
	p := laid()
	bench.WantGap(t, p, "pressure_left", "basin.hot", sdk.NotMeasured, "basin.hot.pressure")
	p.Heaters[0].Kind = "unknown"
	bench.WantGap(t, p, "pressure_left", "basin.hot", sdk.NotTold, "supply.heater.kind")
	p.Heaters[0].Kind = "electric_store"
	bench.Band(t, p, "pressure_left", "basin.hot")
	p.Heaters[0].System = "open"
	bench.WantGap(t, p, "pressure_left", "basin.hot", sdk.NotMeasured, "basin.hot.pressure")
	p = laid()
	p.Valves[0].Kind = "reducer"
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotMeasured, "basin.cold.pressure")
	p.Valves[0].Kind = "unknown"
	bench.WantGap(t, p, "pressure_left", "basin.cold", sdk.NotTold, "supply.valves.v_main.kind")
}

func TestTankPressesByItsHeight(t *testing.T) {
	p := laid()
	p.Sources[0] = plan.Source{ID: "loft_tank", Kind: "tank", Level: replytest.Read(5000, 10)}
	p.Links[toValve].A = "loft_tank"
	a := bench.Ask(t, p, "source_pressure", "static_head", "pressure_left")
	a.WantBand(t, "source_pressure", "loft_tank", exact(0), 0)
	// 2 m below its water: -2 × 999.703 × 9.80665 = -19.607 kPa.
	a.WantBand(t, "static_head", "basin.cold", sdk.Band{Low: -19.755, Value: -19.607, High: -19.460}, 0.002)
	p.Sources[0].Level = nil
	bench.WantGap(t, p, "static_head", "basin.cold", sdk.NotMeasured, "supply.sources.loft_tank.level")
}

// Without levels the rises of the pipes are added up along the flow.
func TestHeightByRises(t *testing.T) {
	p := laid()
	p.DrawOffs[coldTap].Level, p.Sources[0].Level = nil, nil
	for i, rise := range []float64{2500, -100, 600} {
		p.Links[i].Rise = replytest.Read(rise, 0)
	}
	p.Links[toTee].A, p.Links[toTee].B = p.Links[toTee].B, p.Links[toTee].A // told from the other end
	p.Links[toTee].Rise = replytest.Read(100, 0)
	bench.Ask(t, p, "static_head").WantBand(t, "static_head", "basin.cold", exact(29.4112), 1e-3)
}

// fork gives the hot tap a second way of a length, known so.
func fork(length float64, known string) *plan.Plan {
	p := laid()
	p.Links = append(p.Links, plan.Link{ID: "h2", Line: "h2", A: "heater", B: "knee", Known: known, Carries: "hot", MadeOf: "multilayer", Bends: []plan.Bend{}, Length: replytest.Read(length-100, 10)},
		plan.Link{ID: "h3", Line: "h3", A: "knee", B: "basin.hot", Known: "seen", Carries: "hot", MadeOf: "multilayer", Bends: []plan.Bend{}, Length: replytest.Read(100, 0)})
	for i := len(p.Links) - 2; i < len(p.Links); i++ {
		bored(&p.Links[i], replytest.Read(13, 0.1))
	}
	return p
}

// Ways that differ little are one band; that differ much and are guessed ask
// which it is; a loop that was seen is both.
func TestSeveralWays(t *testing.T) {
	alone := bench.Band(t, laid(), "dead_leg", "basin.hot")
	like := bench.Band(t, fork(2200, "guessed"), "dead_leg", "basin.hot")
	if like.Low > alone.Low || like.Value <= alone.Value {
		t.Errorf("two like ways %+v, one %+v", like, alone)
	}
	bench.WantGap(t, fork(9000, "guessed"), "dead_leg", "basin.hot", sdk.NotTold, "supply.lines.h2.known")
	bench.WantGap(t, fork(9000, "unknown"), "dead_leg", "basin.hot", sdk.NotTold, "supply.lines.h2.known")
	loop := bench.Band(t, fork(9000, "seen"), "dead_leg", "basin.hot")
	if !replytest.Near(loop.Low, alone.Low) || loop.Value < 4*alone.Value {
		t.Errorf("a loop %+v, its short side %+v", loop, alone)
	}
	// A cold tap's water never comes over the heater.
	p := fork(2200, "seen")
	p.Links = append(p.Links, plan.Link{ID: "x", Line: "x", A: "knee", B: "basin.cold", Known: "guessed"})
	if s, err := survey(p); err != nil || len(s.found["basin.cold"].all) != 1 {
		t.Errorf("ways of the cold tap: %+v, %v", s.found["basin.cold"], err)
	}
}

// Through a guessed pipe water runs as it is told, through a seen one either way.
func TestDirections(t *testing.T) {
	for known, ways := range map[string]int{"guessed": 1, "seen": 2} {
		p := fork(2200, "seen")
		last := &p.Links[len(p.Links)-1]
		last.A, last.B, last.Known = "basin.hot", "knee", known
		if s, err := survey(p); err != nil || len(s.found["basin.hot"].all) != ways {
			t.Errorf("%s: %d ways, want %d, %v", known, len(s.found["basin.hot"].all), ways, err)
		}
	}
}

// On a loop that was seen each way takes part of the water, so the loss lies
// between a quarter of one way's and all of it.
func TestLoopLosesLess(t *testing.T) {
	p := laid()
	p.Heaters[0].Kind = "electric_store"
	alone := bench.Band(t, p, "pressure_left", "basin.hot")
	p = fork(2100, "seen")
	p.Heaters[0].Kind = "electric_store"
	if b := bench.Band(t, p, "pressure_left", "basin.hot"); b.High <= alone.High {
		t.Errorf("a loop leaves %+v, one way %+v", b, alone)
	}
}

// What may get its water elsewhere counts from nothing to all.
func TestLoadOfALoop(t *testing.T) {
	a := bench.Ask(t, fork(2200, "seen"), "loading_units")
	a.WantBand(t, "loading_units", "h2", sdk.Band{Low: 0, Value: 1, High: 1}, 0)
	a.WantBand(t, "loading_units", "c4", exact(1), 0)
}

// A circulating line, or a store of which nobody told, may keep it all warm.
func TestCirculation(t *testing.T) {
	p := laid()
	p.Heaters[0].Kind = "store"
	for _, c := range []struct {
		word  string
		least bool
	}{{"circulates", true}, {"unknown", true}, {"without", false}} {
		p.Heaters[0].Circulates = c.word
		if b := bench.Band(t, p, "dead_leg", "basin.hot"); (b.Low == 0) != c.least || b.High < 0.26 {
			t.Errorf("%s: %+v", c.word, b)
		}
	}
}

// A heater of which nobody told anything may circulate, an instantaneous one not.
func TestCirculationByKind(t *testing.T) {
	for kind, least := range map[string]bool{"unknown": true, "district": true, "gas_instant": false} {
		p := laid()
		p.Heaters[0].Kind = kind
		if b := bench.Band(t, p, "dead_leg", "basin.hot"); (b.Low == 0) != least {
			t.Errorf("%s: %+v", kind, b)
		}
	}
}

// A net that nobody could follow is not followed, and ends soon.
func TestTangle(t *testing.T) {
	p := laid()
	for i := range 12 {
		for k := range i {
			p.Links = append(p.Links, plan.Link{ID: fmt.Sprintf("x%d_%d", i, k), A: fmt.Sprintf("n%d", i), B: fmt.Sprintf("n%d", k), Known: "seen"})
		}
	}
	p.Links = append(p.Links, plan.Link{ID: "in", A: "t1", B: "n0"}, plan.Link{ID: "out", A: "n11", B: "basin.cold"})
	bench.WantGap(t, p, "static_head", "basin.cold", sdk.OutOfRange, "")
}

// The hot side's setting stands in where nobody read the tap.
func TestMixedBySetting(t *testing.T) {
	p := laid()
	p.DrawOffs[coldTap].Temperature = replytest.Read(10, 1)
	bench.Ask(t, p, "mixed_temperature").WantBand(t, "mixed_temperature", "basin", sdk.Band{Low: 33.5, Value: 35, High: 36.5}, 1e-9)
	p.DrawOffs = p.DrawOffs[:1]
	bench.WantGap(t, p, "mixed_temperature", "basin", sdk.OutOfRange, "")
}

// Old galvanised pipe is rougher by nobody knows how much: up to 1 mm.
func TestOldPipeMayLoseMore(t *testing.T) {
	p := laid()
	p.Links[toBasin].MadeOf = "galvanised"
	fresh := bench.Band(t, p, "pressure_loss", "c3")
	p.Links[toBasin].State = plan.Existing
	if old := bench.Band(t, p, "pressure_loss", "c3"); old.Value != fresh.Value || old.High < 1.5*fresh.High {
		t.Errorf("new %+v, old %+v", fresh, old)
	}
}

// Copper has three figures: its band is their spread.
func TestExpansionSpreadsOverSources(t *testing.T) {
	p := laid()
	p.Links[hotRun].MadeOf, p.Links[hotRun].Length, p.Heaters[0].Set = "copper", replytest.Read(10000, 0), replytest.Read(60, 0)
	bench.Ask(t, p, "expansion").WantBand(t, "expansion", "h1", sdk.Band{Low: 8.2, Value: 8.4, High: 8.5}, 1e-9)
}
