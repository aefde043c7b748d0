// Package compare lays the findings of several codes side by side: one row for
// each subject, topic and quantity. It judges nothing and makes no code of the
// strictest of many: what binds is said by the sheet's profiles alone.
package compare

import (
	"cmp"
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/engine/report"
	"fallrule/schema"
)

// Codes is what the comparison must know of the profiles beside their
// findings.
type Codes struct {
	Rules     []*finding.Rule // of every profile, to tell silence from a rule that does not reach
	Catalogue schema.Catalogue
	Country   string // where the house stands
	System    quantity.System
}

// key is what rows are lined up by.
type key struct{ subject, topic, quantity string }

func keyOf(f finding.Finding) key { return key{f.Subject, f.Rule.Topic, f.Quantity} }

// Of lines the sheet's findings up and puts the rows in order. Every finding
// stands in exactly one cell.
func Of(s *finding.Sheet, codes Codes) report.Comparison {
	together := map[key][]finding.Finding{}
	bySubject := map[string][]finding.Finding{}
	for _, f := range s.Findings {
		together[keyOf(f)] = append(together[keyOf(f)], f)
		bySubject[f.Subject] = append(bySubject[f.Subject], f)
	}
	out := report.Comparison{Sheet: s, Country: codes.Country}
	for k, findings := range together {
		row := report.ComparisonRow{
			Subject: k.subject, Topic: k.topic, Quantity: k.quantity, Label: label(k.quantity, codes.Catalogue),
			Kinds: kinds(findings), Position: findings[0].Position,
			Measured: figures(k.quantity, findings, bySubject[k.subject], codes),
		}
		for _, p := range s.Profiles {
			row.Cells = append(row.Cells, cell(p, k, row.Kinds, findings, bySubject[k.subject], codes))
		}
		row.Group = group(k.topic, row.Cells)
		out.Rows = append(out.Rows, row)
	}
	slices.SortFunc(out.Rows, order)
	return out
}

func kinds(findings []finding.Finding) []string {
	var out []string
	for _, f := range findings {
		if !slices.Contains(out, f.Rule.Of) {
			out = append(out, f.Rule.Of)
		}
	}
	slices.Sort(out)
	return out
}

// cell is one profile in one row.
func cell(p finding.ProfileInfo, k key, kinds []string, row, subject []finding.Finding, codes Codes) report.ComparisonCell {
	c := report.ComparisonCell{Profile: p.ID, Binding: p.Binding, Speaks: report.Judged}
	for _, f := range row {
		if f.Rule.Profile != p.ID {
			continue
		}
		c.Judged = append(c.Judged, judged(f, codes))
		c.Verdict = worse(c.Verdict, f.Verdict)
	}
	if len(c.Judged) > 0 {
		slices.SortStableFunc(c.Judged, func(a, b report.ComparisonFinding) int {
			return cmp.Or(cmp.Compare(alarm(a.Finding.Verdict), alarm(b.Finding.Verdict)), cmp.Compare(a.Finding.Rule.ID, b.Finding.Rule.ID))
		})
		return c
	}
	return unspoken(c, k, kinds, subject, codes.Rules)
}

// unspoken tells how a profile without a finding in a row stands to it. A code
// that limits a basin's fall in the row of its length is not silent on the
// fall, and one whose rule leaves this subject out is not silent on the topic.
func unspoken(c report.ComparisonCell, k key, kinds []string, subject []finding.Finding, rules []*finding.Rule) report.ComparisonCell {
	topical := func(f finding.Finding) bool { return f.Rule.Topic == k.topic }
	names := func(f finding.Finding) bool { return limits(f, k.quantity) || f.Quantity == k.quantity }
	for _, way := range []struct {
		speaks report.Speaks
		is     func(finding.Finding) bool
	}{
		{report.Elsewhere, func(f finding.Finding) bool { return topical(f) && names(f) }},
		{report.Elsewhere, names},
		{report.Otherwise, topical},
	} {
		for _, f := range subject {
			if f.Rule.Profile == c.Profile && way.is(f) {
				c.Speaks = way.speaks
				c.SeeRows = append(c.SeeRows, f.Rule.Topic+" "+f.Quantity)
				c.SeeVerdict = worse(c.SeeVerdict, f.Verdict)
			}
		}
		if len(c.SeeRows) > 0 {
			slices.Sort(c.SeeRows)
			c.SeeRows = slices.Compact(c.SeeRows)
			return c
		}
	}
	c.Speaks = report.Silent
	if slices.ContainsFunc(rules, func(r *finding.Rule) bool {
		return r.Profile == c.Profile && r.Topic == k.topic && slices.Contains(kinds, r.Of)
	}) {
		c.Speaks = report.PassesOver
	}
	return c
}

func worse(a, b finding.Verdict) finding.Verdict {
	if a == "" || alarm(b) < alarm(a) {
		return b
	}
	return a
}

func limits(f finding.Finding, name string) bool {
	return slices.ContainsFunc(f.Limit, func(r finding.Row) bool { _, is := r.Need[name]; return is })
}

func alarm(v finding.Verdict) int { return slices.Index(finding.Verdicts, v) }

// group tells whether a habit misleads, or the other way round. A code whose
// findings in a cell are not all met, or exempt, is not said to be met. One
// that names the figure beside another of the same topic, and is met there,
// has nothing against it: that misleads as well.
func group(topic string, cells []report.ComparisonCell) report.Group {
	here, habit := map[finding.Verdict]bool{}, map[finding.Verdict]bool{}
	for _, c := range cells {
		switch {
		case c.Binding:
			here[c.Verdict] = true
		case c.Speaks == report.Elsewhere && c.SeeVerdict == finding.Meets && strings.HasPrefix(c.SeeRows[0], topic+" "):
			habit[finding.Meets] = true
		default:
			habit[c.Verdict] = true
		}
	}
	bad := here[finding.Breaks] || here[finding.TooClose]
	switch {
	case bad && habit[finding.Meets]:
		return report.Misleads
	case !bad && here[finding.Meets] && habit[finding.Breaks]:
		return report.OtherWay
	}
	return report.TheRest
}

// order puts the groups one after the other; the first two by alarm and harm,
// as a sheet does, and everything by place in the document.
func order(a, b report.ComparisonRow) int {
	first := cmp.Compare(slices.Index(report.Groups, a.Group), slices.Index(report.Groups, b.Group))
	if first == 0 && a.Group != report.TheRest {
		av, ah := worst(a)
		bv, bh := worst(b)
		first = cmp.Or(cmp.Compare(av, bv), cmp.Compare(ah, bh))
	}
	return cmp.Or(first,
		cmp.Compare(a.Position.Line, b.Position.Line),
		cmp.Compare(a.Position.Column, b.Position.Column),
		cmp.Compare(a.Subject, b.Subject),
		cmp.Compare(a.Topic, b.Topic),
		cmp.Compare(a.Quantity, b.Quantity),
	)
}

// worst is the alarm and the harm of what makes a row stand in its group: the
// code that binds where a habit misleads, the others the other way round.
func worst(r report.ComparisonRow) (verdict, harm int) {
	verdict, harm = len(finding.Verdicts), len(harms)
	for _, c := range r.Cells {
		if c.Binding != (r.Group == report.Misleads) {
			continue
		}
		for _, j := range c.Judged {
			v, h := alarm(j.Finding.Verdict), slices.Index(harms, j.Finding.Rule.Severity)
			if v < verdict || v == verdict && h < harm {
				verdict, harm = v, h
			}
		}
	}
	return verdict, harm
}

var harms = []finding.Severity{finding.Hazard, finding.Defect, finding.Formality}
