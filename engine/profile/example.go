package profile

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

// Example is a case that stands beside a rule: facts and readings of one
// subject, and what the engine must say of it.
type Example struct {
	Facts    map[string]string // of the subject; the others get defaults, see fill
	Building map[string]string // of the building
	Read     map[string]finding.Measured
	Verdict  string
	Needs    []string // quantities or facts that would settle it
	Line     int
}

// outOfScope is the verdict of an example that a rule must not speak of.
const outOfScope = "out_of_scope"

func verdicts() []string {
	out := []string{outOfScope}
	for _, v := range finding.Verdicts {
		out = append(out, string(v))
	}
	return out
}

// readExamples reads the examples of a rule.
func (p *Profile) readExamples(doc *document, own *ruleSource, in facts, words vocabulary) []Example {
	c := doc.cursor()
	own.file, own.line = doc.file, doc.line([]any{"examples"})
	if doc.proven {
		return nil
	}
	if !c.has("examples") {
		return nil // told as a missing key
	}
	rule := own.rule
	items := c.at("examples").list()
	if len(items) == 0 {
		c.at("examples").fault("the rule has no examples")
	}
	var out []Example
	for _, item := range items {
		item.only([]string{"verdict"}, []string{"facts", "building", "read", "needs", "note"})
		e := Example{Verdict: wordAt(item, "verdict", verdicts()), Read: map[string]finding.Measured{}, Line: doc.line(item.path)}
		e.Facts = exampleFacts(item, "facts", rule.Of, in)
		e.Building = exampleFacts(item, "building", "buildings", in)
		if item.has("read") {
			for _, name := range item.at("read").keys() {
				e.read(item.at("read").at(name), name, p.named(rule), words)
			}
		}
		if item.has("needs") {
			e.Needs = item.at("needs").words()
		}
		out = append(out, e)
	}
	return out
}

func exampleFacts(item cursor, key, kind string, in facts) map[string]string {
	if !item.has(key) {
		return nil
	}
	out := map[string]string{}
	for _, field := range item.at(key).keys() {
		at := item.at(key).at(field)
		enum, has := in[kind][field]
		switch {
		case kind == "":
		case !has:
			at.fault("%s", notAmong("fact of "+kind, field, in.fields(kind)))
		case enum != nil:
			out[field] = at.word("word of "+field, enum)
		default:
			out[field] = at.text()
		}
	}
	return out
}

func (e *Example) read(c cursor, name string, named []string, words vocabulary) {
	q, known := words.cat.ByName[name]
	if !known {
		c.fault("%s", notAmong("quantity", name, words.cat.Names))
		return
	}
	if !slices.Contains(named, name) {
		c.fault("the header does not list the quantity %q", name)
	}
	m, err := words.reading(c.value, q)
	if err != nil {
		c.fault("%s: %s", name, err)
		return
	}
	if m != nil {
		e.Read[name] = *m
	}
}

// reading is what an example says was read: a word, several words ("p or s"),
// a figure with its band; nil for unknown.
func (v vocabulary) reading(value any, q schema.Quantity) (*finding.Measured, error) {
	text, isText := value.(string)
	switch {
	case text == unknown:
		return nil, nil
	case q.IsState() && isText:
		words := strings.Split(text, " or ")
		for _, w := range words {
			if !slices.Contains(q.Words, w) {
				return nil, errors.New(notAmong("word of "+q.Name, w, q.Words))
			}
		}
		return &finding.Measured{States: words}, nil
	case q.IsState():
		return nil, errors.New("must be a word")
	}
	if x, err := v.number(value, q); err == nil {
		return &finding.Measured{Band: &finding.Band{Low: x, Value: x, High: x}}, nil
	} else if !isText {
		return nil, err
	}
	d, ok := quantity.OfUnit(q.Unit)
	if !ok {
		return nil, fmt.Errorf("nothing is read in %s", q.Unit)
	}
	r, err := quantity.Parse(text, d)
	if err != nil {
		return nil, err
	}
	return &finding.Measured{Band: &finding.Band{Low: r.Reading.Low, Value: r.Reading.Value, High: r.Reading.High}}, nil
}

// fill gives the facts of an example's subject: those it states, and for the
// others a harmless default, so that an example says only what it is about.
// The default of a closed fact is, of its words other than unknown that no
// exemption and no reason for doubt names: the first that the rule's scope
// names, else the first that a row is for, else the first of the schema. State
// is new. A text is an id of its own, a country the profile's first.
func (p *Profile) fill(own *ruleSource, e Example, id string, in facts) map[string]any {
	out := map[string]any{}
	for field, enum := range in[own.rule.Of] {
		switch {
		case e.Facts[field] != "":
			out[field] = e.Facts[field]
		case field == "id":
			out[field] = id
		case enum == nil:
			out[field] = p.freeText(field, id)
		default:
			out[field] = harmless(own.table, field, enum)
		}
	}
	out["id"] = id
	return out
}

func (p *Profile) freeText(field, id string) string {
	if field == "country" && len(p.Header.Countries) > 0 {
		return p.Header.Countries[0]
	}
	return id + "." + field
}

func harmless(t *table, field string, enum []string) string {
	var first []string
	if t != nil {
		first = append(first, t.where[field]...)
		for _, when := range t.fors {
			first = append(first, when[field]...)
		}
	}
	usual := func(word string) bool { return word != unknown && (t == nil || !t.unusual(field, word)) }
	for _, word := range append(first, enum...) {
		if usual(word) {
			return word
		}
	}
	return enum[0]
}

// unusual tells whether an exemption or a reason for doubt names a word.
func (t *table) unusual(field, word string) bool {
	for _, when := range slices.Concat(t.exempt, t.leaves) {
		if slices.Contains(when[field], word) {
			return true
		}
	}
	return false
}

// building gives the facts of the one building of an example's layout.
func (p *Profile) building(facts map[string]string, in facts) map[string]any {
	out := map[string]any{}
	for field, enum := range in["buildings"] {
		switch {
		case facts[field] != "":
			out[field] = facts[field]
		case enum == nil:
			out[field] = p.freeText(field, "house")
		default:
			out[field] = harmless(nil, field, enum)
		}
	}
	out["id"] = "house"
	return out
}
