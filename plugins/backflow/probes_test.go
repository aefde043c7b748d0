package backflow

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var bench = replytest.Bench{Measurer: Measurer}

// room is a bathroom of our own with one draw-off, over a fixture of this kind.
func room(kind string, change func(*plan.DrawOff)) *plan.Plan {
	d := plan.DrawOff{ID: "x.cold", State: plan.New, Fixture: "x", Serves: kind, Water: "cold", Device: "none", HoseReach: "none"}
	change(&d)
	return &plan.Plan{Fixtures: []plan.Fixture{{ID: "x", Kind: kind}}, DrawOffs: []plan.DrawOff{d}}
}

func sized(bore *plan.Reading) *plan.Size {
	if bore == nil {
		return nil
	}
	return &plan.Size{Bore: bore, Source: "stock table", Basis: "memory"}
}

func read(v float64) *plan.Reading { return replytest.Read(v, 0) }

// over is a spout this high over the rim, on a pipe of this bore.
func over(kind string) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		return room(kind, func(d *plan.DrawOff) { d.Gap, d.Size = r[0], sized(r[1]) })
	}
}

// byLevels is the same told by levels.
func byLevels(kind string) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		return room(kind, func(d *plan.DrawOff) { d.Level, d.Rim, d.Size = r[0], r[1], sized(read(13.6)) })
	}
}

// hosed hangs on a hose of r[1], r[0] over the rim.
func hosed(r []*plan.Reading) *plan.Plan {
	return room("bath", func(d *plan.DrawOff) {
		d.Gap, d.Hose, d.Size = r[0], r[1], sized(read(13.6))
		if r[1] == nil {
			d.HoseReach = "unknown"
		}
	})
}

func TestProbes(t *testing.T) { bench.Prove(t, probes) }

var probes = []replytest.Probe{
	{Quantity: "air_gap", Subject: "x.cold", In: []plan.Reading{replytest.Taped(40, 3)}, Want: sdk.Band{Low: 37, Value: 40, High: 43}, Needs: []string{"x.cold.gap"},
		Build: func(r []*plan.Reading) *plan.Plan {
			return room("washbasin", func(d *plan.DrawOff) { d.Gap = r[0] })
		}},
	// 900 ± 3 less 850 ± 5
	{About: "by levels", Quantity: "air_gap", Subject: "x.cold", In: []plan.Reading{replytest.Taped(900, 3), replytest.Taped(850, 5)}, Build: byLevels("washbasin"),
		Want: sdk.Band{Low: 42, Value: 50, High: 58}, Needs: []string{"x.cold.level", "x.rim"}},
	// 37/14, 40/13.6, 43/13.2
	{Quantity: "gap_bores", Subject: "x.cold", In: []plan.Reading{replytest.Taped(40, 3), replytest.Taped(13.6, 0.4)}, Build: over("washbasin"),
		Want: sdk.Band{Low: 2.642857143, Value: 2.941176471, High: 3.257575758}, Needs: []string{"x.cold.gap", "x.cold.size"}},
	// under the rim: -13/13.2, -10/13.6, -7/14
	{About: "under the rim", Quantity: "gap_bores", Subject: "x.cold", In: []plan.Reading{replytest.Taped(-10, 3), replytest.Taped(13.6, 0.4)}, Build: over("bidet"),
		Want: sdk.Band{Low: -0.984848485, Value: -0.735294118, High: -0.5}, Needs: []string{"x.cold.gap", "x.cold.size"}},
	// -3 to 5 mm over a bidet's rim: bowl or not
	{About: "at a bidet's rim", Quantity: "fluid_category", Subject: "x.cold", In: []plan.Reading{replytest.Taped(401, 2), replytest.Taped(400, 2)}, Build: byLevels("bidet"),
		Want: sdk.Band{Low: 3, Value: 5, High: 5}, Needs: []string{"x.cold.level", "x.rim"}},
	// 22 ± 6 mm on a bore of 13.6 ± 0.4: under 20 nothing, from 20 on AUK2, from 2 x 13.2 = 26.4 on AUK3
	{Quantity: "protection", Subject: "x.cold", In: []plan.Reading{replytest.Taped(22, 6), replytest.Taped(13.6, 0.4)}, Build: over("washbasin"),
		Want: sdk.Band{Low: 1, Value: 3, High: 5}, Needs: []string{"x.cold.gap", "x.cold.size"}},
	// a hose of 400 ± 20 mm that hangs 430 ± 10 mm over the rim: 430 less 400 is 0 to 60, and 25 must stay
	{About: "of a hose about as long as it hangs high", Quantity: "protection", Subject: "x.cold", In: []plan.Reading{replytest.Taped(430, 10), replytest.Taped(400, 20)}, Build: hosed,
		Want: sdk.Band{Low: 1, Value: 1, High: 5}, Needs: []string{"x.cold.gap", "x.cold.hose"}},
	// 24 mm (3) to 30 mm (5) less a sink's 5
	{Quantity: "protection_margin", Subject: "x.cold", In: []plan.Reading{replytest.Taped(27, 3), replytest.Taped(13.6, 0.4)}, Build: over("kitchen_sink"),
		Want: sdk.Band{Low: -2, Value: -2, High: 0}, Needs: []string{"x.cold.gap", ""}},
}
