package sdk_test

import (
	"context"
	"fmt"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// clips measures the greatest distance between the supports of each pipe.
type clips struct{}

func (clips) Describe(context.Context) (sdk.Description, error) {
	return sdk.Description{
		Name: "clips", Version: "1.0.0",
		Quantities: []sdk.Quantity{{Name: "clip_spacing", Unit: "mm", Doc: "greatest distance between supports"}},
	}, nil
}

func (clips) Measure(_ context.Context, r sdk.Request) (sdk.Response, error) {
	var out sdk.Response
	for _, pipe := range append(r.Plan.Branches, r.Plan.Drains...) {
		if pipe.Clips == nil {
			out.Gaps = append(out.Gaps, sdk.Gap{
				Quantity: "clip_spacing", Subject: pipe.ID, Because: sdk.NotMeasured,
				Needs: pipe.Whole + ".clips", Text: "The distance between the supports is not given.",
			})
			continue
		}
		out.Measurements = append(out.Measurements, sdk.Measurement{
			Quantity: "clip_spacing", Subject: pipe.ID, Band: sdk.BandOf(*pipe.Clips),
		})
	}
	return out, nil
}

// A whole plugin: the measurer above, and a main of one line,
//
//	func main() { sdk.Serve(clips{}) }
//
// Without a process it can be tried like this.
func Example() {
	spacing := plan.PlusMinus(500, 10, plan.Taped)
	layout := &plan.Plan{Version: plan.Version, Branches: []plan.Pipe{
		{ID: "basin.waste", Whole: "basin.waste", Clips: &spacing}, {ID: "bath.waste", Whole: "bath.waste"},
	}}
	plugin := sdk.Local(clips{})
	answers, err := plugin.Measure(context.Background(), sdk.Request{Plan: layout, Quantities: []string{"clip_spacing"}})
	if err != nil {
		fmt.Println(err)
	}
	for _, m := range answers.Measurements {
		fmt.Println(m.Subject, m.Band.Low, m.Band.Value, m.Band.High)
	}
	for _, g := range answers.Gaps {
		fmt.Println(g.Subject, "needs", g.Needs)
	}
	// Output:
	// basin.waste 490 500 510
	// bath.waste needs bath.waste.clips
}
