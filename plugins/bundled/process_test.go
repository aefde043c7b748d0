package bundled_test

import (
	"context"
	"os"
	"reflect"
	"testing"

	"fallrule/engine/measure"
	"fallrule/plugins/bundled"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

func TestMain(m *testing.M) {
	if sdk.IsChild() {
		bundled.Serve()
		return
	}
	os.Exit(m.Run())
}

// reading is a figure with a band, for layouts whose figures do not matter.
func reading(v float64) *plan.Reading {
	r := plan.PlusMinus(v, 1, plan.Taped)
	return &r
}

// sparse is a layout with one subject of each kind and hardly a figure.
func sparse() *plan.Plan {
	return &plan.Plan{
		Version:  plan.Version,
		House:    plan.House{Country: "gb", System: "iii", Stage: "planned"},
		Rooms:    []plan.Room{{ID: "bathroom"}},
		Floors:   []plan.Floor{{ID: "upper"}},
		Joists:   []plan.Joist{{ID: "joist", Floor: "upper"}},
		Openings: []plan.Opening{{ID: "hole", Joist: "joist", Shape: "hole"}, {ID: "notch", Joist: "joist", Shape: "notch_top"}},
		Walls:    []plan.Wall{{ID: "wall"}},
		Sleeves:  []plan.Sleeve{{ID: "sleeve", Wall: "wall"}},
		Fixtures: []plan.Fixture{{ID: "basin", Kind: "washbasin", Room: "bathroom", Trap: "basin.trap", Waste: "basin.waste"}},
		Traps:    []plan.Trap{{ID: "basin.trap", Fixture: "basin", Serves: "washbasin", Branch: "basin.waste"}},
		Branches: []plan.Pipe{{ID: "basin.waste", Whole: "basin.waste", Serves: []string{"basin"}, Fixture: "washbasin", To: plan.Junction{Kind: "stack", ID: "main"}}},
		Drains:   []plan.Pipe{{ID: "drain", Whole: "drain", Upstream: []string{"main"}, Serves: []string{"basin"}, To: plan.Junction{Kind: "sewer"}}},
		Stacks:   []plan.Stack{{ID: "main", Serves: []string{"basin"}, Entries: []string{"basin.waste"}, To: "drain", Vents: []string{"vent"}}},
		Vents:    []plan.Vent{{ID: "vent", Kind: "pipe", From: "main", FromKind: "stack"}},
		Access:   []plan.Access{{ID: "rodding_eye", Pipe: "drain"}},
		EntryPairs: []plan.EntryPair{{
			Pair: plan.Pair{ID: "basin.waste~basin.waste", A: "basin.waste", B: "basin.waste"}, Stack: "main", Carries: "waste", Facing: "unknown"}},
		OpeningPairs:     []plan.Pair{{ID: "hole~notch", A: "hole", B: "notch"}},
		TerminalOpenings: []plan.TerminalOpening{{Pair: plan.Pair{ID: "vent~window", A: "vent", B: "window"}, Opens: "window"}},
		Tests:            []plan.Test{{ID: "air", What: "drains_air"}},
	}
}

// told is the same with some figures.
func told() *plan.Plan {
	p := sparse()
	size := &plan.Size{Stamp: "DN 40", Market: "gb", Outer: reading(43), Bore: reading(39)}
	p.Traps[0].Size, p.Traps[0].Seal, p.Traps[0].Weir, p.Traps[0].Kinds = size, reading(75), reading(3100), []string{"p", "bottle"}
	b := &p.Branches[0]
	b.Size, b.MadeOf, b.Level = size, "plastic", reading(3100)
	b.Legs = []plan.Leg{{Along: reading(1400), Drop: reading(28), Bends: []plan.Bend{{Angle: reading(90), Made: "90°"}}}}
	b.To.Level, b.To.Angle, b.To.Side = reading(3072), reading(87.5), "left"
	p.Stacks[0].Foot, p.Stacks[0].FootBend, p.Stacks[0].HasOffset = reading(0), "two_45", "straight"
	p.Joists[0].Depth, p.Joists[0].Span = reading(200), reading(3600)
	p.Openings[0].Diameter, p.Openings[0].Distance, p.Openings[0].FromTop = reading(45), reading(1200), reading(100)
	p.Openings[1].Depth, p.Openings[1].Length, p.Openings[1].Distance = reading(20), reading(60), reading(500)
	return p
}

// Every quantity of the catalogue is answered for every subject, with a
// measurement or a gap the host believes; and the wire changes nothing.
func TestBundledAnswersEverything(t *testing.T) {
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	for name, layout := range map[string]*plan.Plan{"sparse": sparse(), "told": told()} {
		t.Run(name, func(t *testing.T) {
			o := measure.Options{Working: true}
			far := measure.Run(context.Background(), layout, cat.Names, []measure.Source{measure.Bundled()}, cat, o)
			for _, p := range far.Plugins {
				if p.Fault != "" {
					t.Errorf("plugin %s: %s", p.Name, p.Fault)
				}
			}
			near := measure.Run(context.Background(), layout, cat.Names, []measure.Source{measure.Local(bundled.Measurers()...)}, cat, o)
			count := 0
			for key, got := range far.All() {
				count++
				if here, ok := near.Of(key.Quantity, key.Subject); !ok || !reflect.DeepEqual(got, here) {
					t.Errorf("%v: %+v from the process, %+v here", key, got, here)
				}
			}
			if count < len(cat.Names) {
				t.Errorf("only %d answers for %d quantities", count, len(cat.Names))
			}
		})
	}
}
