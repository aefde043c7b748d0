package profile

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/open-policy-agent/opa/v1/rego"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
)

// Tried is what came of the examples of a set of profiles.
type Tried struct {
	Rules, Examples int
	Forgotten       int // examples with one fact made unknown
	Faults          Faults
	Unheld          Faults // limits that no example holds in place
}

// Try judges the examples of all rules through the same path as a layout. It
// holds that the examples show all a rule can say and hold each of its limits
// in place, and it holds each rule to forgetting: whatever one fact or reading
// of an example is made unknown, no subject leaves the rule's scope and nothing
// is met that was not.
func (s *Set) Try(ctx context.Context) (Tried, error) {
	var t Tried
	for _, id := range s.ids {
		p := s.profiles[id]
		for _, rule := range p.Rules {
			if rule.Origin != id {
				continue
			}
			if err := s.tryRule(ctx, p, p.tables[rule.ID], &t); err != nil {
				return t, fmt.Errorf("try the examples of rule %s of profile %s: %w", rule.ID, id, err)
			}
			t.Rules++
		}
	}
	t.Faults, t.Unheld = t.Faults.sorted(), t.Unheld.sorted()
	return t, nil
}

// unshown lists what a rule can say and no example shows: met, broken, not to
// be told and, where a number decides, too close.
func (s *Set) unshown(own *ruleSource) []string {
	var want []string
	if len(own.limits) > 0 {
		want = append(want, string(finding.Meets))
		if !own.rule.Partial {
			want = append(want, string(finding.Breaks))
		}
		if slices.ContainsFunc(own.rule.Quantities, func(name string) bool { return !s.cat.ByName[name].IsState() }) {
			want = append(want, string(finding.TooClose))
		}
	}
	want = append(want, string(finding.CannotTell))
	return slices.DeleteFunc(want, func(verdict string) bool {
		return slices.ContainsFunc(own.examples, func(e Example) bool { return e.Verdict == verdict })
	})
}

// trial is one example, as it stands or with one fact or reading forgotten.
type trial struct {
	of      *Example
	index   int
	forgot  string // "" as it stands
	subject map[string]any
	house   map[string]any
	read    map[string]finding.Measured
	asked   *finding.Requirement // nil when nothing is required
	verdict string
	needs   []string
	why     string
}

func (s *Set) tryRule(ctx context.Context, p *Profile, own *ruleSource, t *Tried) error {
	q, err := s.engine.prepare(ctx, fmt.Sprintf("data.fallrule.asked[%q][%q][%q]", p.ID, p.ID, own.rule.ID))
	if err != nil {
		return err
	}
	trials := s.trials(p, own)
	for _, group := range byHouse(trials) {
		if err := s.ask(ctx, q, own, group, t); err != nil {
			return err
		}
	}
	for _, verdict := range s.unshown(own) {
		t.Faults = append(t.Faults, Fault{own.file, own.line, "no example shows the verdict " + verdict})
	}
	for _, text := range s.unheld(own, trials) {
		t.Unheld = append(t.Unheld, Fault{own.file, own.line, text})
	}
	plain := map[int]*trial{}
	for _, one := range trials {
		if one.forgot == "" {
			plain[one.index] = one
			t.Examples++
			t.fault(own, one, differs(one))
		}
	}
	for _, one := range trials {
		if one.forgot != "" {
			t.Forgotten++
			t.fault(own, one, forgets(plain[one.index], one))
		}
	}
	return nil
}

func (t *Tried) fault(own *ruleSource, one *trial, text string) {
	if text != "" {
		t.Faults = append(t.Faults, Fault{own.file, one.of.Line, fmt.Sprintf("example %d: %s", one.index+1, text)})
	}
}

// differs compares an example's verdict with what it must be.
func differs(one *trial) string {
	if one.verdict != one.of.Verdict {
		return fmt.Sprintf("is %s, must be %s (%s)", one.verdict, one.of.Verdict, one.why)
	}
	want := slices.Sorted(slices.Values(one.of.Needs))
	if len(want) > 0 && !slices.Equal(want, one.needs) {
		return fmt.Sprintf("needs %s, must need %s", strings.Join(one.needs, ", "), strings.Join(want, ", "))
	}
	return ""
}

// forgets compares an example with the same one fact poorer.
func forgets(plain, poorer *trial) string {
	switch {
	case poorer.verdict == outOfScope && plain.verdict != outOfScope:
		return fmt.Sprintf("with %s unknown the subject leaves the rule's scope", poorer.forgot)
	case poorer.verdict == string(finding.Meets) && plain.verdict != string(finding.Meets):
		return fmt.Sprintf("with %s unknown it meets, and was %s", poorer.forgot, plain.verdict)
	}
	return ""
}

func (s *Set) trials(p *Profile, own *ruleSource) []*trial {
	var out []*trial
	for i := range own.examples {
		e := &own.examples[i]
		add := func(forgot string) *trial {
			id := fmt.Sprintf("s%d", len(out))
			one := &trial{
				of: e, index: i, forgot: forgot, read: maps.Clone(e.Read),
				subject: p.fill(own, *e, id, s.in), house: p.building(e.Building, s.in),
			}
			out = append(out, one)
			return one
		}
		add("")
		for _, field := range s.in.fields(own.rule.Of) {
			if slices.Contains(s.in[own.rule.Of][field], unknown) {
				add(field).subject[field] = unknown
			}
		}
		for _, field := range s.in.fields("buildings") {
			if own.rule.Of != "buildings" && e.Building[field] != "" && slices.Contains(s.in["buildings"][field], unknown) {
				add("the building's " + field).house[field] = unknown
			}
		}
		for _, name := range slices.Sorted(maps.Keys(e.Read)) {
			delete(add(name).read, name)
		}
	}
	return out
}

// byHouse puts trials together that can stand in one layout.
func byHouse(trials []*trial) map[string][]*trial {
	groups := map[string][]*trial{}
	for _, one := range trials {
		key := fmt.Sprint(one.house)
		groups[key] = append(groups[key], one)
	}
	return groups
}

// ask puts trials into one layout, asks the rule and judges.
func (s *Set) ask(ctx context.Context, q rego.PreparedEvalQuery, own *ruleSource, group []*trial, t *Tried) error {
	kind := own.rule.Of
	input := map[string]any{}
	for _, k := range s.in.kinds() {
		input[k] = []any{}
	}
	input["buildings"] = []any{group[0].house}
	var subjects []any
	for _, one := range group {
		subjects = append(subjects, one.subject)
	}
	input[kind] = subjects
	in, err := asInput(input)
	if err != nil {
		return err
	}
	value, err := s.engine.eval(ctx, q, in)
	if err != nil {
		return err
	}
	answer := s.answer(own.rule, value, idsOf(in, kind))
	for _, fault := range answer.Faults {
		t.Faults = append(t.Faults, Fault{own.file, 0, fault})
	}
	for _, one := range group {
		s.verdict(answer, one)
	}
	return nil
}

// verdict is the most alarming one of an example's findings.
func (s *Set) verdict(a Asked, one *trial) {
	id := one.subject["id"].(string)
	one.verdict, one.why = outOfScope, "the rule does not speak of it"
	if slices.Contains(a.Subjects, id) {
		one.verdict, one.why = string(finding.CannotTell), "no row of the table fits it"
	}
	for _, e := range a.Exempt {
		if e.Of == id {
			one.verdict, one.why = string(finding.NotApplicable), e.Why
		}
	}
	for _, u := range a.Unclear {
		if u.Of == id {
			one.verdict, one.needs, one.why = string(finding.CannotTell), u.Needs, u.Why
		}
	}
	for _, r := range a.Requirements {
		if r.Of == id {
			s.judge(r, one)
		}
	}
}

func (s *Set) judge(r finding.Requirement, one *trial) {
	found := judge.One(r, s.Derive(r.Rule.Of, one.read), s.cat)
	one.asked = &r
	most := worst(found)
	one.verdict, one.why = string(most.Verdict), most.Message
	for _, f := range found {
		one.needs = append(one.needs, f.Undecided...)
	}
	slices.Sort(one.needs)
	one.needs = slices.Compact(one.needs)
}

// worst is the most alarming of the findings on one requirement.
func worst(found []finding.Finding) finding.Finding {
	return slices.MinFunc(found, func(a, b finding.Finding) int {
		return slices.Index(finding.Verdicts, a.Verdict) - slices.Index(finding.Verdicts, b.Verdict)
	})
}
