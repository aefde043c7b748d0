package report

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"fallrule/engine/finding"
)

func one(v finding.Verdict, change func(*finding.Finding)) finding.Finding {
	f := finding.Finding{
		Rule: &finding.Rule{
			Profile: "es", ID: "fall", Title: "A waste falls", Clause: "3.1", DocTitle: "Code", Force: finding.Law,
			Severity: finding.Defect, When: "before_closing",
		},
		Subject: "basin.waste", Quantity: "fall", Verdict: v, Binding: true, Basis: finding.Read, Message: "fall is 10 mm/m",
		Position: finding.Position{File: "house.yaml", Line: 7, Column: 3},
	}
	if change != nil {
		change(&f)
	}
	return f
}

func sheet(stage string, findings ...finding.Finding) *finding.Sheet {
	return &finding.Sheet{
		Tool: "test", Stage: stage, Document: finding.DocumentInfo{File: "house.yaml", SHA256: "abc"}, Findings: findings,
		Profiles: []finding.ProfileInfo{{ID: "es", Title: "Spain", Edition: "1", Binding: true, Why: "asked for"}, {ID: "uk", Title: "England", Why: "home"}},
	}
}

func firstLine(t *testing.T, s *finding.Sheet) string {
	t.Helper()
	paragraph, _, _ := strings.Cut(written(t, s, Options{}), "\n\n")
	return strings.ReplaceAll(paragraph, "\n", " ")
}

func written(t *testing.T, s *finding.Sheet, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Text(&b, s, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestHeadline(t *testing.T) {
	waits := func(f *finding.Finding) { f.Because, f.Needs = finding.NotMeasured, []string{"basin.waste.drop"} }
	for _, c := range []struct {
		name string
		s    *finding.Sheet
		want string
	}{
		{"all met", sheet("planned", one(finding.Meets, nil)), "Nothing found against this layout: 1 requirement is met. That is all this tool can check, and no permission."},
		{"breaks in a plan", sheet("planned", one(finding.Breaks, nil)), "Do not build it like this: 1 thing must change."},
		{"breaks in laid work", sheet("laid", one(finding.Breaks, nil)), "Do not close the floor: 1 thing must change."},
		{"one cause, two clauses", sheet("laid", one(finding.Breaks, nil), one(finding.Breaks, func(f *finding.Finding) { f.Subject = "basin.waste/2" })), "Do not close the floor: 1 thing must change."},
		{"everything", sheet("laid", one(finding.Breaks, nil), one(finding.TooClose, nil), one(finding.CannotTell, waits), one(finding.CannotTell, waits)),
			"Do not close the floor: 1 thing must change, 1 reading is too rough to call, 2 questions wait for one reading (basin.waste.drop)."},
		{"only a foreign break", sheet("planned", one(finding.Meets, nil), one(finding.Breaks, func(f *finding.Finding) { f.Binding = false })),
			"Nothing found against this layout: 1 requirement is met. That is all this tool can check, and no permission."},
		{"old work", sheet("planned", one(finding.NotApplicable, func(f *finding.Finding) { f.Untouched = true }), one(finding.Meets, nil)),
			"Nothing found against this layout: 1 requirement is met. That is all this tool can check, and no permission."},
		{"allowed by a paper", sheet("planned", one(finding.Meets, nil), one(finding.Breaks, func(f *finding.Finding) { f.Waiver = &finding.Waiver{} })),
			"Nothing found against this layout: 1 requirement is met. That is all this tool can check, and no permission."},
		{"advice", sheet("planned", one(finding.Meets, nil), one(finding.Breaks, func(f *finding.Finding) { f.Rule.Force = finding.Practice })),
			"No code that binds here is broken in what was checked (1 requirement met), but 1 point goes against good practice."},
	} {
		if got := firstLine(t, c.s); got != c.want {
			t.Errorf("%s:\n got %s\nwant %s", c.name, got, c.want)
		}
	}
}

func TestSections(t *testing.T) {
	memory := one(finding.Breaks, func(f *finding.Finding) { f.Basis = finding.Memory })
	if got := written(t, sheet("planned", memory), Options{}); !strings.Contains(got, "confirm the clause before you") || !strings.Contains(got, "es: breaks 1 (1 unconfirmed)") {
		t.Errorf("a limit from memory is not told as one:\n%s", got)
	}
	waived := one(finding.Breaks, func(f *finding.Finding) {
		f.Waiver = &finding.Waiver{By: "the town", Reference: "A-7", Date: "2026-01-02"}
	})
	if got := written(t, sheet("planned", waived), Options{}); !strings.Contains(got, "Allowed by the town, A-7, 2026-01-02.") || strings.Contains(got, "Must change") {
		t.Errorf("a waiver does not stand beside its break:\n%s", got)
	}
	foreign := one(finding.Breaks, func(f *finding.Finding) {
		f.Binding = false
		f.Rule = &finding.Rule{Profile: "uk", ID: "x", Clause: "H1"}
	})
	if got := written(t, sheet("planned", foreign), Options{}); !strings.Contains(got, "Would break 1,") || strings.Contains(got, "Must change") {
		t.Errorf("a compared break is told as one that must change:\n%s", got)
	}
	later := one(finding.CannotTell, func(f *finding.Finding) { f.Because = finding.NotYet })
	if got := written(t, sheet("planned", later), Options{}); !strings.Contains(got, "Later in the work") || strings.Contains(got, "Could not be judged") {
		t.Errorf("a test of later is told as a lost reading:\n%s", got)
	}
	if got := written(t, sheet("closed", later), Options{}); !strings.Contains(got, "Could not be judged") {
		t.Errorf("a test that is overdue is put off:\n%s", got)
	}
}

func TestFoldsManyIntoTheReading(t *testing.T) {
	var findings []finding.Finding
	for i := range 14 {
		findings = append(findings, one(finding.CannotTell, func(f *finding.Finding) {
			f.Rule.ID, f.Because, f.Needs = fmt.Sprintf("rule_%d", i), finding.NotMeasured, []string{"stacks.main.foot.level"}
		}))
	}
	got := written(t, sheet("planned", findings...), Options{})
	if strings.Count(got, "stacks.main.foot.level") != 2 || !strings.Contains(got, "(14 findings wait)") || !strings.Contains(got, "and 8 more") {
		t.Errorf("not folded:\n%s", got)
	}
}

func TestPiecesOfOneJob(t *testing.T) {
	at := func(subject, title, message string) finding.Finding {
		return one(finding.Breaks, func(f *finding.Finding) {
			f.Subject, f.Message = subject, message
			f.Rule.Title = title
		})
	}
	got := written(t, sheet("planned", at("w/1", "Falls", "too flat"), at("w/2", "Falls", "too flat"),
		at("w/2", "Carries", "too narrow")), Options{})
	for _, want := range []string{" 1. w/1, w/2: Falls.", "    And w/2: Carries.\n    Too narrow."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	if n := strings.Count(got, "Too flat."); n != 1 {
		t.Errorf("the same words stand %d times:\n%s", n, got)
	}
}

func TestColourOnlyWhenAsked(t *testing.T) {
	s := sheet("planned", one(finding.Breaks, nil))
	if strings.Contains(written(t, s, Options{}), "\x1b") {
		t.Error("escape codes without being asked")
	}
	if !strings.Contains(written(t, s, Options{Color: true}), "\x1b[") {
		t.Error("no colour when asked")
	}
}

func TestUnknownFormat(t *testing.T) {
	if err := Write(nil, "hologram", nil, Options{}); err == nil || !strings.Contains(err.Error(), "[json text]") {
		t.Errorf("%v", err)
	}
}
