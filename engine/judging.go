package engine

import (
	"slices"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
	"fallrule/engine/layout"
	"fallrule/engine/profile"
	"fallrule/plugins/sdk/plan"
)

// judgeRule gives the findings of one rule. Every subject in its scope gets at
// least one: whoever has neither requirement, exemption nor reason is
// cannot_tell, with the rule named. That is the no-silence rule.
func judgeRule(a profile.Asked, role Role, lay *layout.Layout, known knowledge) []finding.Finding {
	var out []finding.Finding
	answered := map[string]bool{}
	add := func(of string, findings ...finding.Finding) {
		answered[of] = true
		if state := lay.State(of); !judged(a.Rule, state) {
			findings = []finding.Finding{notJudged(a.Rule, of, state)}
		} else if why := outOfForce(a.Rule, lay.Date); why != "" {
			findings = []finding.Finding{settled(a.Rule, of, finding.NotApplicable, "", why)}
		}
		out = append(out, findings...)
	}
	for _, e := range a.Exempt {
		add(e.Of, settled(a.Rule, e.Of, finding.NotApplicable, "", e.Why))
	}
	for _, u := range a.Unclear {
		f := settled(a.Rule, u.Of, finding.CannotTell, u.Because, u.Why)
		for _, need := range u.Needs {
			f.Needs = append(f.Needs, lay.Reading(u.Of, need))
		}
		add(u.Of, f)
	}
	for _, r := range a.Requirements {
		add(r.Of, judge.One(r, known.of(r), known.set.Catalogue())...)
	}
	for _, of := range a.Subjects {
		if !answered[of] {
			add(of, settled(a.Rule, of, finding.CannotTell, finding.OutsideTable, "the clause's table has no row for it"))
		}
	}
	for _, fault := range a.Faults {
		out = append(out, judge.Fault(a.Rule, "house", fault))
	}
	for i := range out {
		place(&out[i], role, lay)
	}
	return out
}

// judged tells whether a rule speaks of work in that state. What the engine
// cannot place is judged: forgetting gives no pass.
func judged(r *finding.Rule, state plan.State) bool {
	return state == "" || slices.Contains(r.Judges, string(state))
}

func notJudged(r *finding.Rule, of string, state plan.State) finding.Finding {
	f := settled(r, of, finding.NotApplicable, "", "existing, untouched")
	f.Untouched = state == plan.Existing
	if state == plan.Removed {
		f.Message = "taken away by this work"
	}
	return f
}

// outOfForce tells why a rule does not hold on the date of the work; "" when it
// does, and when nobody told a date: then it is judged, and not passed over.
func outOfForce(r *finding.Rule, date string) string {
	switch {
	case date == "":
		return ""
	case r.From != "" && date < r.From:
		return "in force from " + r.From + " only; the work is of " + date
	case r.Until != "" && date > r.Until:
		return "in force until " + r.Until + "; the work is of " + date
	}
	return ""
}

func settled(r *finding.Rule, of string, v finding.Verdict, because finding.Because, why string) finding.Finding {
	f := finding.Finding{Rule: r, Subject: of, Verdict: v, Because: because, Message: why, Basis: finding.Read}
	if len(r.Quantities) > 0 {
		f.Quantity = r.Quantities[0]
	}
	return f
}

// place adds what the judge must not know: where it stands in the document,
// whether it binds, and a paper that allows it.
func place(f *finding.Finding, role Role, lay *layout.Layout) {
	f.Position = lay.Position(f.Subject)
	f.Also = lay.Also(f.Subject)
	f.Binding = role.Binding
	if w, found := lay.Waiver(f.Rule.Profile, f.Rule.ID, f.Subject, f.Quantity); found && f.Verdict == finding.Breaks {
		f.Waiver = &w
	}
}
