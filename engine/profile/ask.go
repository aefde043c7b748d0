package profile

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fallrule/engine/finding"
)

// Ask gives what the profiles of the set require of a layout. input is a value
// of the form of input.schema.json. The answer has, for each profile, one
// Asked for each of its rules, in the order of the rules' ids; whatever is
// wrong with a rule's answer is in it as unclear or as a fault.
func (s *Set) Ask(ctx context.Context, input any) (map[string][]Asked, error) {
	in, err := asInput(input)
	if err != nil {
		return nil, err
	}
	ids := map[string]map[string]bool{}
	for _, kind := range s.in.kinds() {
		ids[kind] = idsOf(in, kind)
	}
	out := map[string][]Asked{}
	for _, id := range s.ids {
		value, err := s.engine.eval(ctx, s.engine.asked[id], in)
		if err != nil {
			return nil, err
		}
		answers, _ := value.(map[string]any)
		for _, rule := range s.profiles[id].Rules {
			ofOrigin, _ := answers[rule.Origin].(map[string]any)
			out[id] = append(out[id], s.answer(rule, ofOrigin[rule.ID], ids[rule.Of]))
		}
	}
	return out, nil
}

// answer reads one rule's sets. Every subject ends in exactly one of them:
// one that a rule speaks of twice is unclear, never a pass.
func (s *Set) answer(rule *finding.Rule, value any, ids map[string]bool) Asked {
	a := reading{Asked: Asked{Rule: rule}, ids: ids, words: vocabulary{cat: s.cat, sizes: s.profiles[rule.Origin].Header.Sizes}}
	sets, ok := value.(map[string]any)
	if !ok {
		a.Faults = append(a.Faults, "the rule gave no answer")
		return a.Asked
	}
	for _, of := range texts(sets["subjects"]) {
		if ids[of] {
			a.Subjects = append(a.Subjects, of)
			continue
		}
		a.wrong(of, fmt.Sprintf("%s is not among the %s", of, rule.Of))
	}
	slices.Sort(a.Subjects)
	if all, _ := sets["subjects"].([]any); len(all) != len(texts(all)) {
		a.Faults = append(a.Faults, "subjects: an id is no text")
	}
	a.entries(sets, "requirements", a.requirement)
	a.entries(sets, "exempt", a.exemption)
	a.entries(sets, "unclear", a.doubt)
	a.settle()
	return a.Asked
}

// reading is an answer being read.
type reading struct {
	Asked
	ids   map[string]bool
	words vocabulary
	bad   map[string][]string // by subject
	said  map[string][]string // which sets speak of a subject
}

func (a *reading) wrong(of, why string) {
	if a.bad == nil {
		a.bad = map[string][]string{}
	}
	a.bad[of] = append(a.bad[of], why)
}

func (a *reading) entries(sets map[string]any, name string, read func(of string, c cursor)) {
	items, _ := sets[name].([]any)
	for _, item := range items {
		entry, _ := item.(map[string]any)
		of, ok := entry["of"].(string)
		if !ok {
			a.Faults = append(a.Faults, fmt.Sprintf("%s: an entry does not say of whom it speaks", name))
			continue
		}
		c := cursor{value: item, path: []any{name}, report: func(path []any, text string) {
			a.wrong(of, where(path)+text)
		}}
		if !slices.Contains(a.Subjects, of) {
			c.fault("%s is not among the rule's subjects", of)
			continue
		}
		if a.said == nil {
			a.said = map[string][]string{}
		}
		a.said[of] = append(a.said[of], name)
		read(of, c)
	}
}

// where names the row of a fault, counting from 1.
func where(path []any) string {
	for i, step := range path {
		if n, ok := path[min(i+1, len(path)-1)].(int); ok && step == "any" {
			return fmt.Sprintf("row %d: ", n+1)
		}
	}
	return ""
}

func (a *reading) requirement(of string, c cursor) {
	c.only([]string{"of", "any"}, nil)
	if !c.has("any") {
		return
	}
	rows := a.words.rows(c.at("any"), "for")
	for i, row := range rows {
		for _, name := range slices.Sorted(maps.Keys(row.Need)) {
			if !slices.Contains(a.Rule.Quantities, name) {
				c.at("any").list()[i].fault("the header does not list the quantity %q", name)
			}
		}
	}
	a.Requirements = append(a.Requirements, finding.Requirement{Rule: a.Rule, Of: of, Any: rows})
}

func (a *reading) exemption(of string, c cursor) {
	c.only([]string{"of", "why"}, nil)
	a.Exempt = append(a.Exempt, Exempt{Of: of, Why: c.optional("why")})
}

var reasons = []string{string(finding.Authority), string(finding.NotAsked)}

// doubt reads {of, why, because, needs, by}. Without `because` it is the
// authority that decides.
func (a *reading) doubt(of string, c cursor) {
	c.only([]string{"of", "why"}, []string{"because", "needs", "by"})
	u := Unclear{Of: of, Why: c.optional("why"), Because: finding.Authority}
	if c.has("because") {
		u.Because = finding.Because(c.at("because").word("reason", reasons))
	}
	if c.has("by") {
		u.By = c.at("by").word("by", []string{"authority"})
	}
	if c.has("needs") {
		u.Needs = c.at("needs").words()
		slices.Sort(u.Needs)
	}
	if u.Because == finding.NotAsked && len(u.Needs) == 0 {
		c.fault("not_asked must say in `needs` which facts are missing")
	}
	a.Unclear = append(a.Unclear, u)
}

// settle gives every subject one fate and every fault a place.
func (a *reading) settle() {
	for of, names := range a.said {
		if len(names) > 1 {
			a.wrong(of, "the rule says more than one thing of it: "+strings.Join(names, ", "))
		}
	}
	faulty := func(of string) bool { return len(a.bad[of]) > 0 }
	a.Requirements = slices.DeleteFunc(a.Requirements, func(r finding.Requirement) bool { return faulty(r.Of) })
	a.Exempt = slices.DeleteFunc(a.Exempt, func(e Exempt) bool { return faulty(e.Of) })
	a.Unclear = slices.DeleteFunc(a.Unclear, func(u Unclear) bool { return faulty(u.Of) })
	for of, why := range a.bad {
		slices.Sort(why)
		a.Unclear = append(a.Unclear, Unclear{
			Of: of, Because: finding.ProfileFault,
			Why: fmt.Sprintf("rule %s of profile %s is faulty: %s", a.Rule.ID, a.Rule.Origin, strings.Join(slices.Compact(why), "; ")),
		})
	}
	slices.SortFunc(a.Requirements, func(x, y finding.Requirement) int { return strings.Compare(x.Of, y.Of) })
	slices.SortFunc(a.Exempt, func(x, y Exempt) int { return strings.Compare(x.Of, y.Of) })
	slices.SortFunc(a.Unclear, func(x, y Unclear) int { return strings.Compare(x.Of, y.Of) })
}

func texts(v any) []string {
	out := textList(v)
	slices.Sort(out)
	return out
}
