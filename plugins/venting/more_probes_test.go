package venting

import (
	"context"

	"fallrule/plugins/reply"
	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// dried is the measurer with a drying of our choice: no plan tells it, so that
// draws of it can only be made here.
var dried = replytest.Bench{Measurer: rated{}}

var rate = drying

type rated struct{}

func (rated) table() reply.Table[*site] {
	own := Measurer.(reply.Table[*site])
	own.Survey = func(p *plan.Plan) (*site, error) {
		s, err := survey(p)
		if err == nil {
			s.drying = rate
		}
		return s, err
	}
	return own
}

func (r rated) Describe(ctx context.Context) (sdk.Description, error) { return r.table().Describe(ctx) }

func (r rated) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	return r.table().Measure(ctx, req)
}

// rises is a vent from the waste of basin and sink, upright and then level.
func rises(r []*plan.Reading) *plan.Plan {
	p := vented(mill(), "sink.waste/2", nil, r[0])
	p.Vents[0].Legs = []plan.Leg{{Drop: r[1], Steep: true}, {Along: r[2], Drop: r[3]}, {Drop: r[1], Steep: true}}
	p.Fixtures[0].Rim, p.Fixtures[1].Rim = r[4], r[5]
	return p
}

var moreProbes = []replytest.Probe{
	// 520 ± 3 + 600 ± 10 less the higher of 890 ± 20 and 900 ± 5 (895 to 910)
	{Quantity: "vent_rise", Subject: "riser", Build: rises,
		In: []plan.Reading{replytest.Taped(520, 3), replytest.Taped(-600, 10), replytest.Taped(400, 5), replytest.Taped(-8, 2), replytest.Taped(890, 20), replytest.Taped(900, 5)},
		// the level piece is not part of it, so that its figures are not asked for
		Want: sdk.Band{Low: 197, Value: 220, High: 238}, Needs: []string{"vents.riser.from.level", "vents.riser.runs", "", "", "basin.rim", "sink.rim"}},
	{About: "that turns level at once", Quantity: "vent_rise", Subject: "riser", In: []plan.Reading{replytest.Taped(520, 3), replytest.Taped(900, 5)},
		Build: func(r []*plan.Reading) *plan.Plan {
			along := plan.Exactly(300)
			p := vented(mill(), "sink.waste/1", nil, r[0])
			p.Vents[0].Legs, p.Fixtures[1].Rim = []plan.Leg{{Along: &along}, {Drop: &along, Steep: true}}, r[1]
			return p
		},
		Want: sdk.Band{Low: -388, Value: -380, High: -372}, Needs: []string{"vents.riser.from.level", "sink.rim"}},
	{Quantity: "shared_trap", Subject: "basin.trap", Build: func([]*plan.Reading) *plan.Plan { return mill() }, Want: sdk.Band{Low: 1, Value: 1, High: 1}},
	// 22/2, 25/1, 28/0.5
	{Quantity: "dry_days", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(50, 3), {Low: 0.5, Value: 1, High: 2}}, Build: drying50,
		Want: sdk.Band{Low: 11, Value: 25, High: 56}, Needs: []string{"basin.trap.seal", ""}},
	// at most 26 mm: 0, 0 and 1/0.5
	{About: "all but gone", Quantity: "dry_days", Subject: "basin.trap", In: []plan.Reading{replytest.Taped(24, 2), {Low: 0.5, Value: 1, High: 2}}, Build: drying50,
		Want: sdk.Band{Low: 0, Value: 0, High: 2}, Needs: []string{"basin.trap.seal", ""}},
}

func drying50(r []*plan.Reading) *plan.Plan {
	p := mill()
	p.Traps[0].Seal = r[0]
	if r[1] != nil {
		rate = *r[1]
	}
	return p
}
