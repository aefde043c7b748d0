package profile

import (
	"context"
	"reflect"
	"slices"
	"sync"
	"testing"

	"fallrule/engine/finding"
)

// layout is a rules' input with the given lists, the others empty.
func layout(t *testing.T, lists map[string][]map[string]any) map[string]any {
	t.Helper()
	in, err := inputFacts()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]any{}
	for _, kind := range in.kinds() {
		items := []any{}
		for _, item := range lists[kind] {
			items = append(items, item)
		}
		out[kind] = items
	}
	return out
}

func askRule(t *testing.T, set *Set, profile, rule string, input any) Asked {
	t.Helper()
	all, err := set.Ask(context.Background(), input)
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range all[profile] {
		if a.Rule.ID == rule {
			return a
		}
	}
	t.Fatalf("profile %s has no answer of rule %s", profile, rule)
	return Asked{}
}

// Whatever a rule says wrongly of a subject, the subject ends as unclear by a
// fault that names rule and place, and has no requirement to pass.
func TestAWrongAnswerIsNeverAPass(t *testing.T) {
	want := map[string]string{
		"no_row":             "any is empty",
		"no_need":            `row 2: any[1] has no key "need"`,
		"need_misspelt":      `row 1: any[0] has no key "need"; row 1: unknown key "nede": did you mean "need"?`,
		"need_empty":         "row 1: need is empty: a row that asks for nothing is met by all",
		"bound_empty":        "row 1: the bound on flush is empty",
		"bound_misspelt":     `row 1: unknown key "at_moost": did you mean "at_most"?`,
		"bound_of_null":      "row 1: flush must be a mapping of keys to values",
		"unknown_quantity":   `row 1: unknown quantity "flushing": did you mean "flush"?`,
		"unlisted_quantity":  `row 1: the header does not list the quantity "has_trap"`,
		"dimension":          `row 1: at_most of flush: "6 mm" is a length and a volume is wanted; allowed: l, ml, m3, gal`,
		"crossed":            "row 1: the low end lies above the high end: nothing can be both",
		"word":               `row 1: unknown word of overflow "fited": did you mean "fitted"?`,
		"doubled":            "the rule says more than one thing of it: requirements, requirements",
		"beside_exemption":   "the rule says more than one thing of it: requirements, exempt",
		"exempt_and_unclear": "the rule says more than one thing of it: exempt, unclear",
		"not_a_fixture":      "not_a_fixture is not among the fixtures",
		"not_in_scope":       "not_in_scope is not among the rule's subjects",
		"without_why":        `unclear has no key "why"`,
		"without_needs":      "not_asked must say in `needs` which facts are missing",
	}
	set, err := Load(context.Background(), withLib(t, "misbehaving"), []string{"north"}, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	lists := map[string][]map[string]any{"fixtures": {{"id": "sound"}, {"id": "authority"}, {"id": "unspoken"}}}
	for id := range want {
		if id != "not_a_fixture" && id != "not_in_scope" {
			lists["fixtures"] = append(lists["fixtures"], map[string]any{"id": id})
		}
	}
	a := askRule(t, set, "north", "wild", layout(t, lists))
	if len(a.Requirements) != 1 || a.Requirements[0].Of != "sound" || len(a.Exempt) != 0 {
		t.Errorf("requirements %v, exempt %v", a.Requirements, a.Exempt)
	}
	for _, u := range a.Unclear {
		if u.Of == "authority" {
			if u.Because != finding.Authority {
				t.Errorf("authority: because %s", u.Because)
			}
			continue
		}
		text := "rule wild of profile north is faulty: " + want[u.Of]
		if u.Because != finding.ProfileFault || u.Why != text {
			t.Errorf("%s: %s\n\t%s\nwant\t%s", u.Of, u.Because, u.Why, text)
		}
		delete(want, u.Of)
	}
	for id := range want {
		t.Errorf("%s: not unclear", id)
	}
	if !slices.Contains(a.Subjects, "unspoken") {
		t.Error("a subject without a word on it left the answer")
	}
}

func TestAskReadsRows(t *testing.T) {
	branch := map[string]any{"id": "b", "serves": "washbasin", "shared": "one", "to": "stack", "place": "heated"}
	a := askRule(t, sound(t, "village"), "village", "basin_waste", layout(t, map[string][]map[string]any{"branches": {branch}}))
	if a.Rule.Profile != "village" || a.Rule.Origin != "north" || a.Rule.DocTitle != "Code of the North" {
		t.Errorf("rule %+v", a.Rule)
	}
	if len(a.Requirements) != 1 || len(a.Requirements[0].Any) != 2 {
		t.Fatalf("requirements %+v", a.Requirements)
	}
	length, least, most, bore := 1900.0, 15.0, 25.0, 28.0
	want := []finding.Row{
		{Basis: finding.Read, Need: map[string]finding.Bound{
			"length": {AtMost: &length, Text: map[string]string{"at_most": "1.9 m"}},
			"fall":   {AtLeast: &least, AtMost: &most, Text: map[string]string{"at_least": "15 mm/m", "at_most": "25 mm/m"}},
			"bore":   {AtLeast: &bore, Text: map[string]string{"at_least": "DN 30"}},
		}},
		{Basis: finding.Memory, Note: "any length", Need: map[string]finding.Bound{
			"vented_by": {Words: []string{"branch_vent", "valve"}, Text: map[string]string{}},
		}},
	}
	if got := a.Requirements[0].Any; !reflect.DeepEqual(got, want) {
		t.Errorf("rows\n%+v\nwant\n%+v", got, want)
	}
}

func TestAskIsTheSameEachTime(t *testing.T) {
	set := sound(t, "north", "village")
	var branches []map[string]any
	for _, id := range []string{"d", "a", "c", "b"} {
		branches = append(branches, map[string]any{"id": id, "serves": "unknown", "shared": "one", "to": "stack", "place": "heated"})
	}
	input := layout(t, map[string][]map[string]any{"branches": branches})
	first, err := set.Ask(context.Background(), input)
	if err != nil {
		t.Fatal(err)
	}
	if got := first["north"][0]; got.Rule.ID != "basin_waste" || !slices.Equal(got.Subjects, []string{"a", "b", "c", "d"}) || len(got.Unclear) != 4 {
		t.Errorf("first answer %+v", got)
	}
	for range 20 {
		again, err := set.Ask(context.Background(), input)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(first, again) {
			t.Fatal("the same layout got another answer")
		}
	}
}

// An input that lacks a list leaves rules without an answer: that is told, and
// not taken for a layout without such subjects.
func TestAskWithoutAList(t *testing.T) {
	input := layout(t, nil)
	delete(input, "branches")
	a := askRule(t, sound(t, "north"), "north", "basin_waste", input)
	if !slices.Equal(a.Faults, []string{"the rule gave no answer"}) {
		t.Errorf("%+v", a)
	}
	if _, err := sound(t, "north").Ask(context.Background(), "branches"); err == nil {
		t.Error("a text is taken for an input")
	}
}

func TestAskFromSeveralGoroutines(t *testing.T) {
	set := sound(t, "north", "village")
	branch := map[string]any{"id": "b", "serves": "washbasin", "shared": "one", "to": "stack", "place": "heated"}
	input := layout(t, map[string][]map[string]any{"branches": {branch}})
	want, err := set.Ask(context.Background(), input)
	if err != nil {
		t.Fatal(err)
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			if got, err := set.Ask(context.Background(), input); err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("another answer, error %v", err)
			}
		})
	}
	all.Wait()
}
