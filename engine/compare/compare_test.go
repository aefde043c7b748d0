package compare

import (
	"slices"
	"strings"
	"testing"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/engine/report"
	"fallrule/schema"
)

// invented findings: none of these figures is a code's.
func invented(profile, topic, of, subject, quantity string, v finding.Verdict, line int) finding.Finding {
	return finding.Finding{
		Rule: &finding.Rule{
			Profile: profile, ID: topic + "_" + quantity, Topic: topic, Of: of, Clause: "1", Severity: finding.Defect,
			Quantities: []string{quantity},
		},
		Subject: subject, Quantity: quantity, Verdict: v, Binding: profile == "here", Basis: finding.Read,
		Position: finding.Position{Line: line},
	}
}

func sheetOf(findings ...finding.Finding) *finding.Sheet {
	return &finding.Sheet{
		Profiles: []finding.ProfileInfo{{ID: "here", Binding: true}, {ID: "home"}, {ID: "third"}},
		Findings: findings,
	}
}

func codes(t *testing.T, rules ...*finding.Rule) Codes {
	t.Helper()
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	return Codes{Rules: rules, Catalogue: cat}
}

func TestOrder(t *testing.T) {
	b, m, close, tell, na := finding.Breaks, finding.Meets, finding.TooClose, finding.CannotTell, finding.NotApplicable
	var all []finding.Finding
	row := func(subject string, line int, here, home, third finding.Verdict) {
		for profile, v := range map[string]finding.Verdict{"here": here, "home": home, "third": third} {
			if v != "" {
				all = append(all, invented(profile, "fall", "branches", subject, "fall", v, line))
			}
		}
	}
	row("both_break", 1, b, b, "")
	row("unknown_at_home", 2, b, tell, na)
	row("other_way", 3, m, b, m)
	row("close_here", 4, close, m, "")
	row("third_meets", 5, b, b, m)
	row("broken_here", 6, b, m, "")
	row("home_close", 7, m, close, "")
	row("unknown_here", 8, tell, b, "")
	row("exempt_here", 9, na, b, "")
	var got []string
	for _, r := range Of(sheetOf(all...), codes(t)).Rows {
		got = append(got, string(r.Group)+" "+r.Subject)
	}
	want := []string{
		"habit_misleads third_meets", "habit_misleads broken_here", "habit_misleads close_here", "other_way other_way",
		"rest both_break", "rest unknown_at_home", "rest home_close", "rest unknown_here", "rest exempt_here",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A hazard comes before a defect of the same alarm, wherever it stands.
func TestHarmInAGroup(t *testing.T) {
	hazard := invented("here", "seal", "traps", "later", "seal", finding.Breaks, 9)
	hazard.Rule.Severity = finding.Hazard
	c := Of(sheetOf(
		invented("here", "fall", "branches", "sooner", "fall", finding.Breaks, 1),
		invented("home", "fall", "branches", "sooner", "fall", finding.Meets, 1),
		hazard, invented("home", "seal", "traps", "later", "seal", finding.Meets, 9),
	), codes(t))
	if c.Rows[0].Subject != "later" || c.Rows[1].Subject != "sooner" {
		t.Errorf("%s before %s", c.Rows[0].Subject, c.Rows[1].Subject)
	}
}

// Without a code that binds nobody is misled here.
func TestNoneBinds(t *testing.T) {
	a, b := invented("home", "fall", "branches", "w", "fall", finding.Breaks, 1), invented("third", "fall", "branches", "w", "fall", finding.Meets, 1)
	c := Of(&finding.Sheet{Profiles: []finding.ProfileInfo{{ID: "home"}, {ID: "third"}}, Findings: []finding.Finding{a, b}}, codes(t))
	if c.Rows[0].Group != report.TheRest {
		t.Errorf("%s", c.Rows[0].Group)
	}
}

// Where two codes bind, met by one and broken by the other is not met here.
func TestTwoBind(t *testing.T) {
	local := invented("local", "fall", "branches", "w", "fall", finding.Breaks, 1)
	local.Binding = true
	c := Of(&finding.Sheet{
		Profiles: []finding.ProfileInfo{{ID: "here", Binding: true}, {ID: "local", Binding: true}, {ID: "home"}},
		Findings: []finding.Finding{
			invented("here", "fall", "branches", "w", "fall", finding.Meets, 1), local,
			invented("home", "fall", "branches", "w", "fall", finding.Breaks, 1),
		},
	}, codes(t))
	if c.Rows[0].Group != report.TheRest {
		t.Errorf("%s", c.Rows[0].Group)
	}
}

// A cell is met only when nothing in it is worse: one rule met beside one
// unknown is no habit that misleads.
func TestCellTakesTheWorst(t *testing.T) {
	unknown := invented("home", "fall", "branches", "w", "fall", finding.CannotTell, 1)
	unknown.Rule.ID = "another"
	c := Of(sheetOf(
		invented("here", "fall", "branches", "w", "fall", finding.Breaks, 1),
		invented("home", "fall", "branches", "w", "fall", finding.Meets, 1), unknown,
	), codes(t))
	if cell := c.Rows[0].Cells[1]; cell.Verdict != finding.CannotTell || len(cell.Judged) != 2 || c.Rows[0].Group != report.TheRest {
		t.Errorf("%+v in %s", cell, c.Rows[0].Group)
	}
}

// Where a code names the figure beside another of the same topic and is met,
// it has nothing against it; of another topic, that says nothing.
func TestMetInAnotherRow(t *testing.T) {
	at45 := 45.0
	for _, c := range []struct {
		topic string
		v     finding.Verdict
		want  report.Group
	}{
		{"connection", finding.Meets, report.Misleads},
		{"connection", finding.CannotTell, report.TheRest},
		{"support", finding.Meets, report.TheRest},
	} {
		beside := invented("home", c.topic, "branches", "w", "entry_radius", c.v, 1)
		beside.Limit = []finding.Row{{Need: map[string]finding.Bound{"entry_angle": {AtMost: &at45}}}}
		for _, r := range Of(sheetOf(invented("here", "connection", "branches", "w", "entry_angle", finding.Breaks, 1), beside), codes(t)).Rows {
			if r.Quantity == "entry_angle" && r.Group != c.want {
				t.Errorf("%s %s: %s, want %s", c.topic, c.v, r.Group, c.want)
			}
		}
	}
}

func TestSilence(t *testing.T) {
	at20 := 20.0
	limited := invented("third", "branch", "branches", "w", "length", finding.Meets, 1)
	limited.Limit = []finding.Row{{Need: map[string]finding.Bound{"fall": {AtLeast: &at20}, "length": {AtMost: &at20}}}}
	fall := invented("here", "fall", "branches", "w", "fall", finding.Breaks, 1)
	exempt := invented("home", "fall", "branches", "w", "fall", finding.NotApplicable, 1)
	for _, c := range []struct {
		name    string
		speaks  report.Speaks
		home    []finding.Finding
		rules   []*finding.Rule
		profile int
	}{
		{"no rule", report.Silent, nil, nil, 1},
		{"a rule of the topic for another kind", report.Silent, nil, []*finding.Rule{{Profile: "home", Topic: "fall", Of: "drains"}}, 1},
		{"another profile's rule", report.Silent, nil, []*finding.Rule{{Profile: "third", Topic: "fall", Of: "branches"}}, 1},
		{"a rule of another topic for the kind", report.Silent, nil, []*finding.Rule{{Profile: "home", Topic: "branch", Of: "branches"}}, 1},
		{"a rule that does not reach it", report.PassesOver, nil, []*finding.Rule{{Profile: "home", Topic: "fall", Of: "branches"}}, 1},
		{"not applicable is a finding", report.Judged, []finding.Finding{exempt}, []*finding.Rule{exempt.Rule}, 1},
		{"by another figure", report.Otherwise, []finding.Finding{invented("home", "fall", "branches", "w", "runs", finding.Meets, 1)}, nil, 1},
		{"by another figure of another subject", report.Silent, []finding.Finding{invented("home", "fall", "branches", "v", "runs", finding.Meets, 1)}, nil, 1},
		{"beside another figure of another topic", report.Elsewhere, []finding.Finding{limited}, nil, 2},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, r := range Of(sheetOf(append(c.home, fall)...), codes(t, c.rules...)).Rows {
				if r.Subject != "w" || r.Topic != "fall" || r.Quantity != "fall" {
					continue
				}
				cell := r.Cells[c.profile]
				if cell.Speaks != c.speaks {
					t.Errorf("%s, want %s", cell.Speaks, c.speaks)
				}
				if seen := len(cell.SeeRows) > 0; seen != (c.speaks == report.Elsewhere || c.speaks == report.Otherwise) {
					t.Errorf("see %v", cell.SeeRows)
				}
				return
			}
			t.Error("there is no such row")
		})
	}
}

// The limit keeps the rule's own figure; the reader's units follow where they
// differ. 2.5 % is 25 mm/m, 75 mm is 2.95 in: by hand.
func TestLimitAsWritten(t *testing.T) {
	for _, c := range []struct {
		written, unit string
		v             float64
		system        quantity.System
		want          string
	}{
		{"2.5 %", "mm/m", 25, quantity.Metric, "2.5 % (25 mm/m)"},
		{"1.7 m", "mm", 1700, quantity.Metric, "1.7 m"},
		{"75 mm", "mm", 75, quantity.Metric, "75 mm"},
		{"DN 40", "mm", 34, quantity.Metric, "DN 40 (34 mm)"},
		{"1/4 in/ft", "mm/m", 1000. / 48, quantity.Metric, "1/4 in/ft (20.8 mm/m)"},
		{"6 ft", "mm", 1828.8, quantity.Imperial, "6 ft"},
		{"75 mm", "mm", 75, quantity.Imperial, "75 mm (2 15/16 in)"},
		{"8", "1", 8, quantity.Metric, "8"},
		{"", "mm", 40, quantity.Metric, "40 mm"},
	} {
		if got := withUnits(c.written, c.v, c.unit, c.system); got != c.want {
			t.Errorf("%q: %q, want %q", c.written, got, c.want)
		}
	}
}

// The alternative that holds as read comes first.
func TestAlternativesInOrder(t *testing.T) {
	low, high := 10.0, 30.0
	f := invented("here", "fall", "branches", "w", "fall", finding.Meets, 1)
	f.Measured = map[string]finding.Measured{"fall": {Band: &finding.Band{Low: 20, Value: 20, High: 20}}}
	f.Limit = []finding.Row{
		{Need: map[string]finding.Bound{"fall": {AtLeast: &high}}, Clause: "2"},
		{Need: map[string]finding.Bound{"fall": {AtLeast: &low}}},
	}
	asks := Of(sheetOf(f), codes(t)).Rows[0].Cells[0].Judged[0].Asks
	if want := []string{"fall at least 10 mm/m", "fall at least 30 mm/m [2]"}; !slices.Equal(asks, want) {
		t.Errorf("%q, want %q", asks, want)
	}
}
