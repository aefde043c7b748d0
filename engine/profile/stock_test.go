package profile

import (
	"context"
	"reflect"
	"testing"

	"github.com/open-policy-agent/opa/v1/ast"
	"github.com/open-policy-agent/opa/v1/rego"

	"fallrule/profiles"
)

// An authority runs the same folder on the policy engine alone: nothing of what
// a profile asks may depend on this package.
func TestThePolicyEngineAloneGivesTheSame(t *testing.T) {
	facts, err := inputFacts()
	if err != nil {
		t.Fatal(err)
	}
	ctx, input := context.Background(), crowd(facts, 40)
	in, err := asInput(input)
	if err != nil {
		t.Fatal(err)
	}
	alone, err := rego.New(rego.Query("data.fallrule.asked"), rego.Input(input),
		rego.Load([]string{"profiles:../../profiles"}, nil)).Eval(ctx)
	if err != nil {
		t.Fatal(err)
	}
	want := alone[0].Expressions[0].Value.(map[string]any)
	set, err := Load(ctx, profiles.FS, []string{"es", "uk"}, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range set.IDs() {
		value, err := set.engine.eval(ctx, set.engine.asked[id], in)
		if err != nil {
			t.Fatal(err)
		}
		got, err := ast.JSON(value)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(got, want[id]) {
			t.Errorf("profile %s asks something else here than of the policy engine alone", id)
		}
		rules, _ := got.(map[string]any)[id].(map[string]any)
		if len(rules) != len(set.Profile(id).Rules) {
			t.Errorf("profile %s: %d rules answer of %d", id, len(rules), len(set.Profile(id).Rules))
		}
	}
}
