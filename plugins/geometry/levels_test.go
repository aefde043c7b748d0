package geometry

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// sloped is the bath's waste in two near-level legs after an upright one, with
// some of its readings set: start, end, bore, and the drops of the three legs.
func sloped(r []*plan.Reading) *plan.Plan {
	p := bath()
	b := &p.Branches[0]
	b.Level, b.To.Level, b.Size = r[0], r[1], &plan.Size{Bore: r[2]}
	b.Legs = []plan.Leg{
		{Along: exact(0), Drop: r[3], Steep: true, Bends: bends(88)},
		{Along: exact(2000), Drop: r[4], Bends: bends(45)},
		{Along: exact(1000), Drop: r[5], Bends: bends()},
	}
	return p
}

var slopedReadings = []plan.Reading{
	replytest.Taped(42, 3), replytest.Taped(-114, 3), replytest.Taped(46, 0.5), replytest.Taped(100, 2), replytest.Taped(30, 3), replytest.Taped(25, 2),
}

// from keeps some of the readings and takes the others as never taken.
func from(keep ...int) (in []plan.Reading, build func([]*plan.Reading) *plan.Plan) {
	for _, i := range keep {
		in = append(in, slopedReadings[i])
	}
	return in, func(r []*plan.Reading) *plan.Plan {
		all := make([]*plan.Reading, len(slopedReadings))
		for k, i := range keep {
			all[i] = r[k]
		}
		return sloped(all)
	}
}

func probe(quantity, about string, want sdk.Band, needs []string, keep ...int) replytest.Probe {
	in, build := from(keep...)
	return replytest.Probe{About: about, Quantity: quantity, Subject: "bath.waste", In: in, Build: build, Want: want, Needs: needs}
}

// Figures by hand from slopedReadings: the legs drop 155 ± 7 together; legs of
// 30 mm on 2 m and 25 mm on 1 m fall 15 and 25 mm/m.
func TestLevelsAndLegs(t *testing.T) {
	const start, end, size, drop = "bath.waste.start", "bath.waste.to.level", "bath.waste.size", "bath.waste.drop"
	trap := probe("rod_length", "", sdk.Band{}, nil)
	trap.In, trap.Needs = []plan.Reading{replytest.Taped(2400, 20)}, []string{"bath.waste.length"}
	trap.Want = sdk.Band{Low: 2380, Value: 2400, High: 2420}
	trap.Build = func(r []*plan.Reading) *plan.Plan {
		p := bath()
		p.Branches[0].Legs = []plan.Leg{{Length: r[0], Drop: exact(36), Bends: bends()}}
		return p
	}
	probes := []replytest.Probe{
		probe("start_level", "as told", sdk.Band{Low: 39, Value: 42, High: 45}, []string{start}, 0),
		probe("start_level", "by its end", sdk.Band{Low: 31, Value: 41, High: 51}, []string{start, start, start, start}, 1, 3, 4, 5),
		probe("end_level", "as told", sdk.Band{Low: -117, Value: -114, High: -111}, []string{end}, 1),
		probe("end_level", "by its start", sdk.Band{Low: -123, Value: -113, High: -103}, []string{end, end, end, end}, 0, 3, 4, 5),
		probe("start_crown", "", sdk.Band{Low: 84.5, Value: 88, High: 91.5}, []string{start, size}, 0, 2),
		probe("end_crown", "", sdk.Band{Low: -71.5, Value: -68, High: -64.5}, []string{end, size}, 1, 2),
		probe("fall_least", "", sdk.Band{Low: 13.5, Value: 15, High: 16.5}, []string{drop, drop}, 4, 5),
		probe("fall_greatest", "", sdk.Band{Low: 23, Value: 25, High: 27}, []string{drop, drop}, 4, 5),
		trap,
	}
	only := []string{}
	for _, p := range probes {
		only = append(only, p.Quantity)
	}
	replytest.Bench{Measurer: replytest.Only(Measurer, only...)}.Prove(t, probes)
}

// Of one near-level leg the least and the greatest fall are the run's own.
func TestLegFallsOfOneLeg(t *testing.T) {
	p := bath()
	p.Branches[0].Level, p.Branches[0].To.Level = exact(0), exact(-36)
	p.Branches[0].Legs = []plan.Leg{{Along: exact(2400), Bends: bends()}}
	resp := measure(t, p)
	wantBand(t, resp, "fall_least", "bath.waste", 15, 15, 15)
	wantBand(t, resp, "fall_greatest", "bath.waste", 15, 15, 15)
	p.Branches[0].Legs = []plan.Leg{{Along: exact(0), Drop: exact(36), Steep: true}}
	bench.WantGap(t, p, "fall_least", "bath.waste", sdk.OutOfRange, "")
}

// Two pieces of 1.0 and 1.4 m, rodded from the bath's trap: 1.0 m to the end of
// the first, 2.4 m to the end of the second.
func TestRodLength(t *testing.T) {
	p := bath()
	first, second := p.Branches[0], p.Branches[0]
	first.ID, second.ID = "bath.waste/1", "bath.waste/2"
	first.Legs, second.Legs = []plan.Leg{{Length: replytest.Read(1000, 10)}}, []plan.Leg{{Length: replytest.Read(1400, 20)}}
	first.To, second.Upstream = plan.Junction{Kind: "branch", ID: second.ID}, []string{first.ID}
	p.Branches, p.Traps[0].Branch = []plan.Pipe{first, second}, first.ID
	resp := measure(t, p)
	wantBand(t, resp, "rod_length", "bath.waste/1", 990, 1000, 1010)
	wantBand(t, resp, "rod_length", "bath.waste/2", 2370, 2400, 2430)
	p.Branches[0].Beyond = replytest.Read(2405, 10) // one reading tells the whole
	wantBand(t, measure(t, p), "rod_length", "bath.waste/2", 2395, 2405, 2415)

	p.Access = []plan.Access{{ID: "eye", Pipe: "bath.waste", Reach: "by_hand"}} // somewhere on it
	wantBand(t, measure(t, p), "rod_length", "bath.waste/2", 460, 2405, 2415)
	p.Traps[0].Reach = "none"                       // the eye alone: as far as the whole pipe, or half a piece
	p.Branches[1].Beyond = replytest.Read(1400, 20) // the last piece
	wantBand(t, measure(t, p), "rod_length", "bath.waste/1", 495, 2405, 2415)
	wantBand(t, measure(t, p), "rod_length", "bath.waste/2", 690, 2405, 2415)
	p.Access[0].Reach = "none"
	bench.WantGap(t, p, "rod_length", "bath.waste/2", sdk.OutOfRange, "")
	p.Access[0].Reach = "unknown"
	bench.WantGap(t, p, "rod_length", "bath.waste/2", sdk.NotTold, "access.eye.reach")
	p.Access[0].Reach = "by_hand"
	p.Branches[0].Legs = nil
	bench.WantGap(t, p, "rod_length", "bath.waste/2", sdk.NotMeasured, "bath.waste.length")
}
