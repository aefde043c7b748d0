package profile

import (
	"math"
	"slices"
	"testing"

	"fallrule/engine/finding"
)

func TestRulesOfAHeir(t *testing.T) {
	set := sound(t, "village")
	var got []string
	for _, rule := range set.Profile("village").Rules {
		got = append(got, rule.Origin+"/"+rule.ID)
		if rule.Profile != "village" {
			t.Errorf("%s is asked by %s", rule.ID, rule.Profile)
		}
	}
	want := []string{"north/basin_waste", "village/short_waste", "north/stack_outlet"}
	if !slices.Equal(got, want) {
		t.Errorf("rules %v, want %v", got, want)
	}
	if a, b := set.Profile("village").SHA256, sound(t, "north").Profile("north").SHA256; len(a) != 64 || a == b {
		t.Errorf("check sums %s and %s", a, b)
	}
	if set.Profile("south") != nil {
		t.Error("there is a profile south")
	}
}

func TestHeaderOfARule(t *testing.T) {
	for _, rule := range sound(t, "north").Profile("north").Rules {
		switch rule.ID {
		case "basin_waste":
			if rule.File != "north/rules/basin_waste/rule.yaml" || rule.Line != 2 || rule.Severity != finding.Defect || rule.Partial {
				t.Errorf("%+v", rule)
			}
		case "crossing":
			if !rule.Partial || rule.From != "2020-01-01" || len(rule.Links) != 1 || rule.Edition != "2024" {
				t.Errorf("%+v", rule)
			}
		case "stack_outlet":
			if rule.Title != "A stack is wide enough for what discharges into it" || rule.Clause != "7" || rule.Force != finding.Law || rule.Line != 1 {
				t.Errorf("%+v", rule)
			}
		}
	}
}

func TestCountryAndQuantities(t *testing.T) {
	set := sound(t, "village", "north")
	if id, ok := set.ByCountry("xn"); id != "north" || !ok {
		t.Errorf("xn is bound by %q", id)
	}
	if id, ok := set.ByCountry("gb"); ok {
		t.Errorf("gb is bound by %q", id)
	}
	want := []string{"answer.north.backwater", "bore", "dwellings", "fall", "length", "open_vents", "storeys", "storeys_over", "vented_by"}
	if got := set.Quantities(); !slices.Equal(got, want) {
		t.Errorf("quantities %v, want %v", got, want)
	}
	cat := set.Catalogue()
	if q := cat.ByName["answer.north.backwater"]; !slices.Equal(q.Words, []string{"fitted", "absent", "not_needed"}) {
		t.Errorf("the declared question is %+v", q)
	}
	if q := cat.ByName["storeys_over"]; q.Unit != "1" || q.Low != 1-100000 || q.High != 199 {
		t.Errorf("the derived quantity is %+v", q)
	}
	questions := set.Profile("north").Questions
	if len(questions) != 1 || questions[0].Rule != "crossing" || questions[0].Of != "buildings" {
		t.Errorf("questions %+v", questions)
	}
}

func TestLimitsWithoutALayout(t *testing.T) {
	limits := sound(t, "village").Limits("village")
	if len(limits) != 5 {
		t.Fatalf("%d limits: %+v", len(limits), limits)
	}
	first := limits[0]
	if first.Rule.ID != "basin_waste" || !slices.Equal(first.For["serves"], []string{"washbasin"}) || *first.Row.Need["bore"].AtLeast != 28 {
		t.Errorf("first limit %+v", first)
	}
	if got := sound(t, "north").Limits("south"); got != nil {
		t.Errorf("limits of no profile: %v", got)
	}
}

func TestDerived(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		operation string
		a, b      finding.Band
		want      finding.Band
	}{
		{"difference", finding.Band{Low: 9, Value: 10, High: 11}, finding.Band{Low: 3, Value: 4, High: 6}, finding.Band{Low: 3, Value: 6, High: 8}},
		{"ratio", finding.Band{Low: 9, Value: 10, High: 12}, finding.Band{Low: 3, Value: 4, High: 6}, finding.Band{Low: 1.5, Value: 2.5, High: 4}},
		{"ratio", finding.Band{Low: -4, Value: 2, High: 4}, finding.Band{Low: 2, Value: 2, High: 2}, finding.Band{Low: -2, Value: 1, High: 2}},
		{"ratio", finding.Band{Low: 1, Value: 1, High: 1}, finding.Band{Low: 0, Value: 0, High: 1}, finding.Band{Low: -inf, Value: 0, High: inf}},
		{"ratio", finding.Band{Low: 1, Value: 2, High: inf}, finding.Band{Low: 2, Value: 2, High: 2}, finding.Band{Low: 0.5, Value: 1, High: inf}},
	} {
		d := Derived{Name: "x", Operation: c.operation, From: [2]string{"a", "b"}}
		got, ok := d.of(finding.Measured{Band: &c.a}, finding.Measured{Band: &c.b})
		if !ok || *got.Band != c.want {
			t.Errorf("%s of %v and %v is %v, want %v", c.operation, c.a, c.b, got.Band, c.want)
		}
	}
}

// A missing part passes its reason on, so that the sheet can say what to read.
func TestDerivedOfWhatIsMissing(t *testing.T) {
	set := sound(t, "north")
	known := finding.Measured{Band: &finding.Band{Low: 1, Value: 1, High: 1}}
	out := set.Derive("buildings", map[string]finding.Measured{"storeys": known, "dwellings": {Because: finding.NotMeasured, Needs: "house.dwellings"}})
	if got := out["storeys_over"]; got.Band != nil || got.Needs != "house.dwellings" {
		t.Errorf("derived %+v", got)
	}
	if out := set.Derive("branches", map[string]finding.Measured{"storeys": known, "dwellings": known}); len(out) != 2 {
		t.Errorf("a branch got what is derived of buildings: %v", out)
	}
	direct := finding.Measured{Band: &finding.Band{Low: 7, Value: 7, High: 7}}
	out = set.Derive("buildings", map[string]finding.Measured{"storeys": known, "dwellings": known, "storeys_over": direct})
	if out["storeys_over"].Band.Value != 7 {
		t.Error("what was measured itself gave way to what is derived")
	}
}

// Points that satisfy the same rows are one: thresholds of one sort do not
// multiply more than they must.
func TestCellsOfARequirement(t *testing.T) {
	at := func(x float64) *float64 { return &x }
	row := func(fall, length float64) finding.Row {
		return finding.Row{Need: map[string]finding.Bound{"fall": {AtLeast: at(fall)}, "length": {AtMost: at(length)}}}
	}
	for _, c := range []struct {
		rows []finding.Row
		want int
	}{
		{[]finding.Row{row(1, 1)}, 4},
		{[]finding.Row{row(1, 1), row(2, 2)}, 9},
		{[]finding.Row{row(1, 1), row(1, 2)}, 6},
		{[]finding.Row{{Need: map[string]finding.Bound{"fall": {Above: at(1), Below: at(2)}}}}, 2},
		{[]finding.Row{{Need: map[string]finding.Bound{"runs": {Words: []string{"falls"}}}}}, 2},
	} {
		if got := cellCount(c.rows); got != c.want {
			t.Errorf("%v: %d cells, want %d", c.rows, got, c.want)
		}
	}
}
