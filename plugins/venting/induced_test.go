package venting

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// sharedBy is basin and another fixture on a pipe of this bore to a vented
// stack, high over its foot, with seals of 75 mm.
func sharedBy(kind string, bore float64) *plan.Plan {
	p := headed()
	p.Fixtures[1].Kind = kind
	for i := range p.Traps {
		p.Traps[i].Seal = replytest.Read(75, 3)
	}
	p.Branches[sinkWaste2].Size = sized(replytest.Read(bore, 0))
	p.Branches[sinkWaste2].To.Level = replytest.Read(300, 3)
	p.Stacks[0].Foot = replytest.Read(-2500, 50)
	p.House.Storeys = replytest.Read(2, 0)
	return p
}

func TestInduced(t *testing.T) {
	with := func(p *plan.Plan, change func(*plan.Plan)) *plan.Plan {
		change(p)
		return p
	}
	crowd := func(p *plan.Plan) {
		for _, id := range []string{"b2", "b3", "b4"} {
			p.Fixtures = append(p.Fixtures, plan.Fixture{ID: id, Kind: "washbasin"})
			p.Branches[sinkWaste2].Serves = append(p.Branches[sinkWaste2].Serves, id)
		}
	}
	foot := func(level float64) func(*plan.Plan) {
		return func(p *plan.Plan) { p.Stacks[0].Foot = replytest.Read(300-level, 0) }
	}
	low, raised, high := "low", "raised", "high"
	for _, x := range []struct {
		about string
		plan  *plan.Plan
		want  []string
	}{
		{"a sink on a shared DN 50", sharedBy("kitchen_sink", 46), []string{low}},
		{"a sink on a shared pipe under DN 50", sharedBy("kitchen_sink", 40), []string{high}},
		{"a like basin on it", sharedBy("washbasin", 40), []string{raised}},
		{"five basins on DN 50", with(sharedBy("washbasin", 46), crowd), []string{raised}},
		{"five basins on DN 40", with(sharedBy("washbasin", 40), crowd), []string{high}},
		{"five basins on DN 100", with(sharedBy("washbasin", 100), crowd), []string{low}},
		{"a closet on a narrow pipe", sharedBy("wc", 80), []string{high}},
		{"a closet on DN 100", sharedBy("wc", 100), []string{raised}},
		{"nobody knows what on DN 100", sharedBy("unknown", 100), []string{low, raised}},
		{"nobody knows what on DN 80", sharedBy("unknown", 80), []string{low, raised, high}},
		{"a closet, and a vent on its own pipe", vented(sharedBy("wc", 80), "basin.waste", nil, nil), []string{low}},
		{"a closet, and a guessed vent", with(vented(sharedBy("wc", 80), "basin.waste", nil, nil), func(p *plan.Plan) { p.Vents[1].State, p.Vents[1].Known = plan.Existing, "guessed" }), []string{low, raised, high}},
		{"a closet, and an air valve in the trap", with(sharedBy("wc", 80), func(p *plan.Plan) { p.Traps[0].Kinds = []string{"anti_vacuum"} }), []string{low}},
		{"a stack without a vent", with(sharedBy("kitchen_sink", 46), func(p *plan.Plan) { p.Vents = nil; p.VentsTold = "none" }), []string{high}},
		{"a shallow seal", with(sharedBy("kitchen_sink", 46), func(p *plan.Plan) { p.Traps[0].Seal = replytest.Read(38, 2) }), []string{raised}},
		{"a seal about deep enough", with(sharedBy("kitchen_sink", 46), func(p *plan.Plan) { p.Traps[0].Seal = replytest.Read(44, 2) }), []string{low, raised}},
		{"near the foot", with(sharedBy("kitchen_sink", 46), foot(446)), []string{raised}},
		{"over the foot", with(sharedBy("kitchen_sink", 46), foot(453)), []string{low}},
		{"over the foot of a high house", with(with(sharedBy("kitchen_sink", 46), foot(600)), func(p *plan.Plan) { p.House.Storeys = replytest.Read(4, 0) }), []string{raised}},
		{"over the foot of nobody knows how high a house", with(with(sharedBy("kitchen_sink", 46), foot(600)), func(p *plan.Plan) { p.House.Storeys = nil }), []string{low, raised}},
		{"near the foot, with a vent", vented(with(sharedBy("kitchen_sink", 46), foot(300)), "basin.waste", nil, nil), []string{low}},
		{"near the foot, with a valve", with(vented(with(sharedBy("kitchen_sink", 46), foot(300)), "basin.waste", nil, nil), func(p *plan.Plan) { p.Vents[1].Kind = "valve" }), []string{raised}},
		{"to a gully", with(sharedBy("kitchen_sink", 46), func(p *plan.Plan) { p.Branches[sinkWaste2].To = plan.Junction{Kind: "gully"} }), []string{low}},
	} {
		t.Run(x.about, func(t *testing.T) { bench.WantWords(t, x.plan, "induced", "basin.trap", x.want...) })
	}
}

func TestInducedAsksForWhatIsMissing(t *testing.T) {
	for needs, change := range map[string]func(*plan.Plan){
		"sink.waste.size": func(p *plan.Plan) { p.Branches[sinkWaste2].Size = nil },
		"vents":           func(p *plan.Plan) { p.Vents = nil },
	} {
		p := sharedBy("kitchen_sink", 46)
		change(p)
		bench.WantGap(t, p, "induced", "basin.trap", bench.Gap(t, p, "induced", "basin.trap").Because, needs)
	}
	p := sharedBy("kitchen_sink", 46)
	p.Traps[0].Seal, p.Stacks[0].Foot = nil, nil
	bench.WantWords(t, p, "induced", "basin.trap", "low", "raised")
	p.Branches[basinWaste].To = plan.Junction{Kind: "unknown"}
	bench.WantGap(t, p, "induced", "basin.trap", sdk.NotTold, "basin.waste.to")
}
