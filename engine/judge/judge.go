// Package judge holds one requirement against what was measured of its
// subject. It sees bands and rows, no layout, no profile text and no file.
//
// The decision rule is the strict one: a requirement is met only when the
// whole band meets it, broken only when no point of the band meets it, and
// anything between is said to be too close. Bands of several quantities are
// taken as independent; a tape error that two readings share can turn a meets
// into a too_close, never the other way.
package judge

import (
	"fmt"
	"slices"

	"fallrule/engine/finding"
	"fallrule/schema"
)

// MaxRows is how many alternatives a requirement may have.
const MaxRows = 64

// One judges a requirement. A requirement of one row is a plain conjunction
// and gives one finding for each quantity in it; of several rows it gives one
// finding under the first quantity of the rule's header. measured holds what
// is known of the subject, by quantity; a quantity that is not in it is
// missing. The findings carry no position and no binding: the engine adds them.
func One(req finding.Requirement, measured map[string]finding.Measured, cat schema.Catalogue) []finding.Finding {
	names := quantitiesOf(req)
	if fault := check(req, names, cat); fault != "" {
		return []finding.Finding{Fault(req.Rule, req.Of, fault)}
	}
	if len(req.Any) > 1 {
		return []finding.Finding{alternatives(req, names, measured, cat)}
	}
	var out []finding.Finding
	for _, name := range names {
		row := req.Any[0]
		row.Need = map[string]finding.Bound{name: row.Need[name]}
		part := finding.Requirement{Rule: req.Rule, Of: req.Of, Any: []finding.Row{row}}
		out = append(out, alternatives(part, []string{name}, measured, cat))
	}
	return out
}

// Fault is the finding for a rule that cannot be judged by its own fault.
func Fault(rule *finding.Rule, of, why string) finding.Finding {
	return finding.Finding{
		Rule: rule, Subject: of, Quantity: first(rule.Quantities), Verdict: finding.CannotTell,
		Because: finding.ProfileFault, Basis: finding.CommonPractice,
		Message: "the rule is faulty: " + why,
	}
}

func first(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return names[0]
}

// quantitiesOf lists what the rows name, the header's order first.
func quantitiesOf(req finding.Requirement) []string {
	var names []string
	for _, name := range req.Rule.Quantities {
		if named(req, name) {
			names = append(names, name)
		}
	}
	var rest []string
	for _, row := range req.Any {
		for name := range row.Need {
			if !slices.Contains(names, name) && !slices.Contains(rest, name) {
				rest = append(rest, name)
			}
		}
	}
	slices.Sort(rest)
	return append(names, rest...)
}

func named(req finding.Requirement, name string) bool {
	return slices.ContainsFunc(req.Any, func(r finding.Row) bool { _, is := r.Need[name]; return is })
}

// check finds the faults that would otherwise pass in silence: a row that
// asks nothing is met by everything.
func check(req finding.Requirement, names []string, cat schema.Catalogue) string {
	if len(req.Any) == 0 {
		return "it has no row"
	}
	if len(req.Any) > MaxRows {
		return fmt.Sprintf("it has %d rows, more than %d", len(req.Any), MaxRows)
	}
	for i, row := range req.Any {
		if len(row.Need) == 0 {
			return fmt.Sprintf("row %d asks for nothing", i+1)
		}
		for name, bound := range row.Need {
			if empty(bound) {
				return fmt.Sprintf("row %d sets no bound on %s", i+1, name)
			}
		}
	}
	for _, name := range names {
		if _, known := cat.ByName[name]; !known {
			return "there is no quantity " + name
		}
	}
	return ""
}

func empty(b finding.Bound) bool {
	return b.AtLeast == nil && b.AtMost == nil && b.Above == nil && b.Below == nil && len(b.Words) == 0
}

// alternatives judges rows of which any suffices.
func alternatives(req finding.Requirement, names []string, measured map[string]finding.Measured, cat schema.Catalogue) finding.Finding {
	axes := make([]axis, len(names))
	known := map[string]finding.Measured{}
	for i, name := range names {
		m, have := measured[name]
		if !have {
			m = finding.Measured{Because: finding.NotMeasured}
		}
		m.Unit = cat.ByName[name].Unit
		known[name] = m
		axes[i] = newAxis(cat.ByName[name], m, req.Any)
	}
	f := finding.Finding{
		Rule: req.Rule, Subject: req.Of, Quantity: names[0], Measured: known, Limit: req.Any,
	}
	decide(&f, axes)
	f.Allowed, f.Margin = allowed(0, axes, req.Any)
	f.Ways = ways(axes, req.Any)
	f.Settles = settles(f, axes)
	f.Message = message(f, axes, cat)
	return f
}

// decide fills verdict, basis and reason from the cells of the bands.
func decide(f *finding.Finding, axes []axis) {
	all := cells(axes, -1, len(f.Limit))
	var holds, fails bool
	for m := range all {
		if m != 0 {
			holds = true
		} else {
			fails = true
		}
	}
	switch {
	case !fails:
		f.Verdict = finding.Meets
	case !holds:
		f.Verdict = finding.Breaks
	default:
		f.Verdict = finding.TooClose
		undecided(f, axes)
	}
	if f.Verdict == finding.Breaks && f.Rule.Partial {
		f.Verdict, f.Because = finding.CannotTell, finding.PartialTable
	}
	f.Basis = basis(f, all)
}

// undecided looks for open readings that could turn the verdict; when there
// are some, measuring better tells nothing before they are known. Without any
// it names the readings that are too rough.
func undecided(f *finding.Finding, axes []axis) {
	var rough []string
	for i, a := range axes {
		turns := decisive(axes, i, len(f.Limit))
		if turns && !a.open {
			rough = append(rough, a.quantity.Name)
		}
		if !turns || !a.open {
			continue
		}
		f.Verdict = finding.CannotTell
		m := f.Measured[a.quantity.Name]
		if f.Because == "" {
			f.Because = because(m)
		}
		if m.Because != finding.OutsideTable && m.Needs != "" && !slices.Contains(f.Needs, m.Needs) {
			f.Needs = append(f.Needs, m.Needs)
		}
		f.Undecided = append(f.Undecided, a.quantity.Name)
	}
	if f.Verdict == finding.TooClose {
		f.Undecided = rough
	}
}

func because(m finding.Measured) finding.Because {
	if m.Because != "" {
		return m.Because
	}
	return finding.NotMeasured
}

// basis: one confirmed alternative that holds everywhere is enough for meets;
// otherwise every row had a say, so the weakest counts.
func basis(f *finding.Finding, all map[mask]bool) finding.Basis {
	every, some := ^mask(0), mask(0)
	for m := range all {
		every &= m
		some |= m
	}
	if f.Verdict == finding.Meets && every&(1<<len(f.Limit)-1) != 0 {
		best := finding.CommonPractice
		for i, row := range f.Limit {
			if every&(1<<i) != 0 && best.Weaker(row.Basis) == best {
				best = row.Basis
			}
		}
		return best
	}
	weakest := finding.Read
	for i, row := range f.Limit {
		if f.Verdict != finding.Meets || some&(1<<i) != 0 {
			weakest = weakest.Weaker(row.Basis)
		}
	}
	return weakest
}
