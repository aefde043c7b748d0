package report

import (
	"fallrule/engine/finding"
)

// Notice stands on every sheet in every form.
const Notice = "This is a check before a licensed plumber looks, not a permission. The local authority decides; " +
	"where this sheet and the law or the inspector differ, they are right."

// DecisionRule says how bands are judged, on every sheet.
const DecisionRule = "A clause is met only when the whole band of the reading meets it and broken only when none of it does; " +
	"anything between is too close to call. Bands add up worst case to worst case."

func sheetOf(s *finding.Sheet) sheetJSON {
	out := sheetJSON{
		Sheet:    1,
		Tool:     toolJSON{"fallrule", s.Tool},
		Document: documentJSON{s.Document.File, s.Document.Title, s.Document.Revision, s.Document.SHA256, s.Stage},
		Summary:  summaryOf(s),
		Profiles: []profileJSON{}, Plugins: []pluginJSON{}, Findings: []findingJSON{}, Warnings: []string{}, Cautions: []cautionJSON{},
		Readings: readingsJSON{s.Readings.ByHow, s.Readings.NoTolerance, s.Readings.Exact},
		Decision: DecisionRule, Notice: Notice,
	}
	for _, p := range s.Profiles {
		limits := map[string]int{}
		for basis, n := range p.Limits {
			limits[string(basis)] = n
		}
		out.Profiles = append(out.Profiles, profileJSON{p.ID, p.Title, p.Edition, p.Binding, p.Why, limits, p.SHA256})
	}
	for _, p := range s.Plugins {
		out.Plugins = append(out.Plugins, pluginJSON{p.Name, p.Version, p.Quantities, p.Fault})
	}
	for _, f := range s.Findings {
		out.Findings = append(out.Findings, findingOf(f))
	}
	out.Warnings = append(out.Warnings, s.Warnings...)
	for _, c := range s.Cautions {
		out.Cautions = append(out.Cautions, cautionJSON(c))
	}
	return out
}

func summaryOf(s *finding.Sheet) summaryJSON {
	out := summaryJSON{Exit: s.Exit(), ByVerdict: map[string]int{}, ByProfile: map[string]map[string]int{}}
	for _, p := range s.Profiles {
		counts := map[string]int{}
		for _, v := range finding.Verdicts {
			counts[string(v)] = 0
		}
		out.ByProfile[p.ID] = counts
	}
	for _, v := range finding.Verdicts {
		out.ByVerdict[string(v)] = 0
	}
	for _, f := range s.Findings {
		out.ByVerdict[string(f.Verdict)]++
		out.ByProfile[f.Rule.Profile][string(f.Verdict)]++
		if f.Verdict == finding.Breaks && f.Basis != finding.Read {
			out.Unsure++
		}
		if f.Waiver != nil {
			out.Waived++
		}
	}
	return out
}

func findingOf(f finding.Finding) findingJSON {
	out := findingJSON{
		Profile: f.Rule.Profile, Origin: f.Rule.Origin, Rule: f.Rule.ID, Title: f.Rule.Title, Topic: f.Rule.Topic,
		Subject: f.Subject, Quantity: f.Quantity, Verdict: string(f.Verdict), Binding: f.Binding,
		Measured: map[string]measuredJSON{}, Limit: []rowJSON{}, Allowed: intervalsOf(f.Allowed), Margin: f.Margin,
		Document: f.Rule.DocTitle, Edition: f.Rule.Edition, Clause: f.Rule.Clause, Basis: string(f.Basis),
		Force: string(f.Rule.Force), Severity: string(f.Rule.Severity), When: f.Rule.When, Message: f.Message,
		Because: string(f.Because), Needs: f.Needs, Untouched: f.Untouched, Position: positionJSON(f.Position),
	}
	for name, m := range f.Measured {
		out.Measured[name] = measuredOf(m)
	}
	for _, r := range f.Limit {
		out.Limit = append(out.Limit, rowOf(r, f.Measured))
	}
	for _, w := range f.Ways {
		if f.Verdict == finding.Breaks || f.Verdict == finding.TooClose {
			out.Ways = append(out.Ways, wayJSON{w.Quantity, intervalsOf(w.Allowed), w.Words})
		}
	}
	if f.Waiver != nil {
		out.Waiver = &waiverJSON{f.Waiver.By, f.Waiver.Reference, f.Waiver.Date}
	}
	for _, p := range f.Also {
		out.Also = append(out.Also, positionJSON(p))
	}
	return out
}

func measuredOf(m finding.Measured) measuredJSON {
	out := measuredJSON{States: m.States, Because: string(m.Because), Needs: m.Needs, Text: m.Text, Plugin: m.Plugin}
	if m.Band != nil {
		out.Unit = m.Unit
		out.Low, out.Value, out.High = finite(m.Band.Low), finite(m.Band.Value), finite(m.Band.High)
	}
	if m.Working != (finding.Working{}) {
		out.Working = &workingJSON{m.Working.Formula, m.Working.Numbers, m.Working.Source}
	}
	return out
}

func rowOf(r finding.Row, measured map[string]finding.Measured) rowJSON {
	out := rowJSON{Need: map[string]boundJSON{}, Basis: string(r.Basis), Clause: r.Clause, Note: r.Note}
	for name, b := range r.Need {
		j := boundJSON{AtLeast: b.AtLeast, AtMost: b.AtMost, Above: b.Above, Below: b.Below, OneOf: b.Words, Written: b.Text}
		if len(b.Words) == 0 {
			j.Unit = measured[name].Unit
		}
		out.Need[name] = j
	}
	return out
}

func intervalsOf(in []finding.Interval) []intervalJSON {
	var out []intervalJSON
	for _, i := range in {
		out = append(out, intervalJSON{finite(i.Low), finite(i.High), i.LowOpen, i.HighOpen})
	}
	return out
}
