package profile

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/open-policy-agent/opa/v1/ast"

	"fallrule/engine/finding"
)

// Ask gives what the profiles of the set require of a layout. input is a value
// of the form of input.schema.json. The answer has, for each profile, one
// Asked for each of its rules, in the order of the rules' ids; whatever is
// wrong with a rule's answer is in it as unclear or as a fault. Requirements of
// like subjects share their rows: they are to be read, not changed.
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
		for _, rule := range s.profiles[id].Rules {
			out[id] = append(out[id], s.answer(rule, member(value, rule.Origin, rule.ID), ids[rule.Of]))
		}
	}
	return out, nil
}

// answer reads one rule's sets. Every subject ends in exactly one of them:
// one that a rule speaks of twice is unclear, never a pass.
func (s *Set) answer(rule *finding.Rule, value ast.Value, ids map[string]bool) Asked {
	a := reading{
		Asked: Asked{Rule: rule}, ids: ids, bad: map[string][]string{}, said: map[string][]string{}, known: map[int][]*readRows{},
		words: vocabulary{cat: s.cat, sizes: s.profiles[rule.Origin].Header.Sizes},
	}
	if _, ok := value.(ast.Object); !ok {
		a.Faults = append(a.Faults, "the rule gave no answer")
		return a.Asked
	}
	for _, t := range members(member(value, "subjects")) {
		of := constant(t)
		switch {
		case of == "":
			a.Faults = append(a.Faults, "subjects: an id is no text")
		case ids[of]:
			a.Subjects = append(a.Subjects, of)
		default:
			a.wrong(of, fmt.Sprintf("%s is not among the %s", of, rule.Of))
		}
	}
	slices.Sort(a.Subjects)
	a.entries(value, "requirements", a.requirement)
	a.entries(value, "exempt", a.exemption)
	a.entries(value, "unclear", a.doubt)
	a.settle()
	return a.Asked
}

// members of a set or an array, in order.
func members(v ast.Value) []*ast.Term {
	var out []*ast.Term
	switch v := v.(type) {
	case ast.Set:
		v.Foreach(func(t *ast.Term) { out = append(out, t) })
	case *ast.Array:
		v.Foreach(func(t *ast.Term) { out = append(out, t) })
	}
	return out
}

// reading is an answer being read.
type reading struct {
	Asked
	ids   map[string]bool
	words vocabulary
	bad   map[string][]string // by subject
	said  map[string][]string // which sets speak of a subject
	known map[int][]*readRows // by hash of their value
}

// readRows are rows that were read once for all subjects that get them.
type readRows struct {
	value  *ast.Array
	rows   []finding.Row
	faults []string
}

func (a *reading) wrong(of, why string) {
	a.bad[of] = append(a.bad[of], why)
}

func (a *reading) entries(sets ast.Value, name string, read func(of string, c cursor)) {
	for _, t := range members(member(sets, name)) {
		id, ok := member(t.Value, "of").(ast.String)
		if !ok {
			a.Faults = append(a.Faults, fmt.Sprintf("%s: an entry does not say of whom it speaks", name))
			continue
		}
		of := string(id)
		c := cursor{path: []any{name}, report: func(path []any, text string) { a.wrong(of, where(path)+text) }}
		if _, found := slices.BinarySearch(a.Subjects, of); !found {
			c.fault("%s is not among the rule's subjects", of)
			continue
		}
		a.said[of] = append(a.said[of], name)
		entry := map[string]any{}
		for _, key := range t.Value.(ast.Object).Keys() {
			value := member(t.Value, constant(key))
			if rows, is := value.(*ast.Array); is && name == "requirements" {
				entry[constant(key)] = rows // read by requirement
				continue
			}
			plain, err := ast.JSON(value)
			if err != nil {
				c.fault("%s: %s", key, err)
			}
			entry[constant(key)] = plain
		}
		c.value = entry
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
	value, ok := c.at("any").value.(*ast.Array)
	if !ok {
		if c.has("any") {
			c.at("any").fault("any must be a list")
		}
		return
	}
	read := a.rows(value, c.at("any"))
	for _, fault := range read.faults {
		a.wrong(of, fault)
	}
	a.Requirements = append(a.Requirements, finding.Requirement{Rule: a.Rule, Of: of, Any: read.rows})
}

// rows reads alternatives, each different list of them once.
func (a *reading) rows(value *ast.Array, c cursor) *readRows {
	for _, same := range a.known[value.Hash()] {
		if same.value == value || same.value.Compare(value) == 0 {
			return same
		}
	}
	out := &readRows{value: value}
	a.known[value.Hash()] = append(a.known[value.Hash()], out)
	c.report = func(path []any, text string) { out.faults = append(out.faults, where(path)+text) }
	plain, err := ast.JSON(value)
	if err != nil {
		c.fault("%s", err)
	}
	c.value = plain
	out.rows = a.words.rows(c, "for")
	for i, row := range out.rows {
		for _, name := range slices.Sorted(maps.Keys(row.Need)) {
			if !slices.Contains(a.Rule.Quantities, name) {
				c.list()[i].fault("the header does not list the quantity %q", name)
			}
		}
	}
	return out
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
