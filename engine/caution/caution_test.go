package caution

import (
	"slices"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/plugins/sdk/plan"
)

func ids(t *testing.T, p *plan.Plan, yaml string) []string {
	t.Helper()
	doc, faults := document.Read("house.yaml", []byte("layout: 1\n"+yaml))
	if document.Refused(faults) {
		t.Fatal(faults)
	}
	var out []string
	for _, c := range For(p, doc) {
		if !strings.Contains(c.Text, "("+c.For+")") {
			t.Errorf("%s does not say what calls for it", c.ID)
		}
		out = append(out, c.ID)
	}
	return out
}

func TestNothingCallsForNothing(t *testing.T) {
	if got := ids(t, &plan.Plan{}, ""); len(got) != 0 {
		t.Errorf("%v", got)
	}
}

func TestWhatCallsForWhat(t *testing.T) {
	year := plan.PlusMinus(1890, 10, plan.Guessed)
	iron := plan.Stack{ID: "main", State: plan.Existing, MadeOf: "cast_iron", Entries: []string{"b"}}
	for _, c := range []struct {
		name string
		plan plan.Plan
		yaml string
		want []string
	}{
		{"hot line cut", plan.Plan{}, "supply: { heater: { kind: store } }\ncuts: { x: { between: [a, b] } }", []string{"scald", "bonding"}},
		{"old iron stack joined anew", plan.Plan{
			Stacks: []plan.Stack{iron}, Branches: []plan.Pipe{{ID: "b", State: plan.New, To: plan.Junction{ID: "main"}}},
		}, "", []string{"bonding", "live_stack", "sewer_gas", "alone"}},
		{"lead waste", plan.Plan{Branches: []plan.Pipe{{ID: "b", Whole: "b", State: plan.Existing, MadeOf: "lead"}}}, "", []string{"lead"}},
		{"cement vent closed", plan.Plan{Vents: []plan.Vent{{ID: "v", State: plan.Removed, MadeOf: "fibre_cement"}}}, "", []string{"asbestos", "vent"}},
		{"floor of an old house", plan.Plan{House: plan.House{Built: &year}, Floors: []plan.Floor{{ID: "f"}}}, "", []string{"live_cables", "asbestos", "conceal"}},
		{"joist cut", plan.Plan{Openings: []plan.Opening{{ID: "o", State: plan.New}}}, "", []string{"joist", "alone"}},
		{"old cut in a joist", plan.Plan{Openings: []plan.Opening{{ID: "o", State: plan.Existing}}}, "", nil},
		{"core through a wall", plan.Plan{Sleeves: []plan.Sleeve{{ID: "s", State: plan.New}}}, "", []string{"live_cables", "wall"}},
		{"valve instead of a vent", plan.Plan{Vents: []plan.Vent{{ID: "v", State: plan.New, Kind: "valve"}}}, "", []string{"vent"}},
		{"new fixture", plan.Plan{Fixtures: []plan.Fixture{{ID: "wc", State: plan.New}}}, "", []string{"notify"}},
		{"fixture taken away", plan.Plan{Fixtures: []plan.Fixture{{ID: "wc", State: plan.Removed}}}, "", []string{"sewer_gas"}},
	} {
		if got := ids(t, &c.plan, c.yaml); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
