package finding

import "testing"

func with(v Verdict, change func(*Finding)) Finding {
	f := Finding{Rule: &Rule{Force: Law, When: "before_closing"}, Verdict: v, Binding: true}
	if change != nil {
		change(&f)
	}
	return f
}

// The decision of a check, in one table.
func TestExit(t *testing.T) {
	met := with(Meets, nil)
	for _, c := range []struct {
		name string
		also Finding
		want int
	}{
		{"met", met, ExitMet},
		{"breaks", with(Breaks, nil), ExitBreaks},
		{"breaks on memory", with(Breaks, func(f *Finding) { f.Basis = Memory }), ExitBreaks},
		{"breaks a foreign code", with(Breaks, func(f *Finding) { f.Binding = false }), ExitMet},
		{"breaks good practice", with(Breaks, func(f *Finding) { f.Rule.Force = Practice }), ExitUnsettled},
		{"breaks with a paper", with(Breaks, func(f *Finding) { f.Waiver = &Waiver{} }), ExitMet},
		{"too close", with(TooClose, nil), ExitUnsettled},
		{"too close abroad", with(TooClose, func(f *Finding) { f.Binding = false }), ExitMet},
		{"cannot tell", with(CannotTell, nil), ExitUnsettled},
		{"a test of later", with(CannotTell, func(f *Finding) { f.Because = NotYet }), ExitMet},
		{"old work", with(NotApplicable, func(f *Finding) { f.Untouched = true }), ExitMet},
	} {
		s := &Sheet{Stage: "planned", Findings: []Finding{met, c.also}}
		if got := s.Exit(); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
	overdue := &Sheet{Stage: "closed", Findings: []Finding{met, with(CannotTell, func(f *Finding) { f.Because = NotYet })}}
	if overdue.Exit() != ExitUnsettled {
		t.Error("a test that is overdue is unsettled")
	}
	if (&Sheet{}).Exit() != ExitUnsettled {
		t.Error("a sheet without a word is not all met")
	}
}

func TestSortWorstFirst(t *testing.T) {
	hazard := with(Breaks, func(f *Finding) { f.Rule.Severity = Hazard; f.Position.Line = 9 })
	formality := with(Breaks, func(f *Finding) { f.Rule.Severity = Formality; f.Position.Line = 1 })
	foreign := with(Breaks, func(f *Finding) { f.Binding = false; f.Rule.Severity = Hazard })
	met := with(Meets, func(f *Finding) { f.Rule.Severity = Hazard })
	findings := []Finding{foreign, met, formality, hazard}
	Sort(findings)
	for i, want := range []Finding{hazard, formality, met, foreign} {
		if findings[i].Rule != want.Rule {
			t.Errorf("place %d is %+v", i, findings[i])
		}
	}
}
