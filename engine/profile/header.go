package profile

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/schema"
)

// The closed lists of a rule's header.
var (
	topics = []string{"trap", "seal", "fall", "branch", "connection", "stack", "drain", "capacity", "vent", "valve", "terminal",
		"access", "test", "support", "joist", "wall", "fixture", "house", "safety"}
	forces     = []string{string(finding.Law), string(finding.ApprovedGuidance), string(finding.Standard), string(finding.LocalLaw), string(finding.Practice)}
	severities = []string{string(finding.Hazard), string(finding.Defect), string(finding.Formality)}
	moments    = []string{"before_work", "before_cut", "before_closing", "before_use"}
	states     = []string{"new", "laid", "existing", "removed"}
	isoDate    = regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2}$`)
	plainName  = regexp.MustCompile(`^[a-z][a-z0-9_]*$`)
)

var (
	headerRequired = []string{"title", "says", "topic", "document", "clause", "force", "severity", "of", "quantities", "when"}
	headerOptional = []string{"refs", "rows", "judges", "in_force", "asks", "derives"}
)

// header reads a rule's header. words is given back with the quantities that
// the rule itself declares.
func (p *Profile) header(c cursor, id string, in facts, words vocabulary) (*finding.Rule, vocabulary) {
	c.only(headerRequired, headerOptional)
	rule := &finding.Rule{
		Profile: p.ID, Origin: p.ID, ID: id,
		Title: c.optional("title"), Description: c.optional("says"), Clause: c.optional("clause"),
		Topic: wordAt(c, "topic", topics), Document: wordAt(c, "document", p.documentIDs()),
		Force:    finding.Force(wordAt(c, "force", forces)),
		Severity: finding.Severity(wordAt(c, "severity", severities)),
		Of:       wordAt(c, "of", in.kinds()),
		When:     wordAt(c, "when", moments),
		Partial:  wordAt(c, "rows", []string{"complete", "partial"}) == "partial",
		Judges:   []string{"new", "laid"},
		Links:    links(c),
	}
	rule.DocTitle, rule.Edition = p.Header.Documents[rule.Document].Title, p.Header.Documents[rule.Document].Edition
	if c.has("judges") {
		rule.Judges = wordsAt(c.at("judges"), "state", states)
	}
	if c.has("in_force") {
		rule.From, rule.Until = dates(c.at("in_force"))
	}
	words = p.declare(c, rule, in, words)
	if c.has("quantities") {
		rule.Quantities = quantities(c.at("quantities"), rule.Of, words.cat)
	}
	return rule, words
}

func wordAt(c cursor, key string, allowed []string) string {
	if !c.has(key) {
		return ""
	}
	what := key
	if key == "of" {
		what = "kind of subject"
	}
	return c.at(key).word(what, allowed)
}

func wordsAt(c cursor, what string, allowed []string) []string {
	for i, w := range c.words() {
		if w != "" && !slices.Contains(allowed, w) {
			c.list()[i].fault("%s", notAmong(what, w, allowed))
		}
	}
	return textList(c.value)
}

func links(c cursor) []finding.Link {
	if !c.has("refs") {
		return nil
	}
	var out []finding.Link
	for _, ref := range c.at("refs").list() {
		ref.only([]string{"ref"}, []string{"description"})
		out = append(out, finding.Link{Ref: ref.optional("ref"), Description: ref.optional("description")})
	}
	return out
}

func dates(c cursor) (from, until string) {
	c.only(nil, []string{"from", "until"})
	for _, key := range []string{"from", "until"} {
		if c.has(key) && !isoDate.MatchString(c.optional(key)) {
			c.at(key).fault("%s must be a date like 2015-10-01", key)
		}
	}
	return c.optional("from"), c.optional("until")
}

// quantities reads the list of a header: all of the catalogue, all of the
// rule's kind of subject.
func quantities(c cursor, kind string, cat schema.Catalogue) []string {
	names := c.words()
	for i, name := range names {
		q, known := cat.ByName[name]
		switch {
		case name == "":
		case !known:
			c.list()[i].fault("%s", notAmong("quantity", name, cat.Names))
		case kind != "" && !slices.Contains(q.Of, kind):
			c.list()[i].fault("%s is no quantity of %s but of %s", name, kind, strings.Join(q.Of, ", "))
		}
	}
	return names
}

// declare reads `asks` and `derives`: quantities that the rule brings with it.
func (p *Profile) declare(c cursor, rule *finding.Rule, in facts, words vocabulary) vocabulary {
	cat := schema.Catalogue{ByName: map[string]schema.Quantity{}, Names: slices.Clone(words.cat.Names)}
	for name, q := range words.cat.ByName {
		cat.ByName[name] = q
	}
	add := func(at cursor, q schema.Quantity) bool {
		if _, fact := in[rule.Of][q.Name]; fact {
			at.fault("%s is a fact of %s: a name is a fact or a quantity", q.Name, rule.Of)
			return false
		}
		if have, twice := cat.ByName[q.Name]; twice {
			if fmt.Sprint(have) != fmt.Sprint(q) {
				at.fault("there is another quantity %q already", q.Name)
			}
			return false
		}
		cat.ByName[q.Name] = q
		cat.Names = append(cat.Names, q.Name)
		return true
	}
	if c.has("asks") {
		for _, name := range c.at("asks").keys() {
			at := c.at("asks").at(name)
			q := p.question(at, name, in)
			if add(at, q.quantity()) {
				q.Rule = rule.ID
				p.Questions = append(p.Questions, q)
			}
		}
	}
	if c.has("derives") {
		for _, name := range c.at("derives").keys() {
			at := c.at("derives").at(name)
			d, q := derived(at, name, rule.Of, words.cat)
			if add(at, q) {
				p.Derived = append(p.Derived, d)
			}
		}
	}
	words.cat = cat
	return words
}

func (p *Profile) question(c cursor, name string, in facts) Question {
	c.only([]string{"of", "words", "says"}, nil)
	nameOK(c, name)
	q := Question{Name: name, Quantity: "answer." + p.ID + "." + name, Of: wordAt(c, "of", in.kinds()), Says: c.optional("says")}
	if c.has("words") {
		q.Words = c.at("words").words()
		if len(q.Words) < 2 {
			c.at("words").fault("a question has at least two answers")
		}
		if slices.Contains(q.Words, unknown) {
			c.at("words").fault("unknown is no answer: a question without one is not answered")
		}
	}
	return q
}

func nameOK(c cursor, name string) {
	if !plainName.MatchString(name) {
		c.fault("the name %q must be lower-case letters, figures and underscores", name)
	}
}

// derived reads {difference: [a, b]} or {ratio: [a, b]}, with its unit.
func derived(c cursor, name, kind string, cat schema.Catalogue) (Derived, schema.Quantity) {
	c.only([]string{"unit"}, []string{"difference", "ratio"})
	nameOK(c, name)
	d := Derived{Name: name, Of: kind, Unit: c.optional("unit"), Operation: "difference"}
	if c.has("ratio") {
		d.Operation = "ratio"
	}
	if c.has("ratio") == c.has("difference") {
		c.fault("%s must be either a difference or a ratio", name)
		return d, schema.Quantity{Name: name}
	}
	from := quantities(c.at(d.Operation), kind, cat)
	if len(from) != 2 {
		c.at(d.Operation).fault("a %s is of two quantities", d.Operation)
		return d, schema.Quantity{Name: name}
	}
	d.From = [2]string{from[0], from[1]}
	a, b := cat.ByName[from[0]], cat.ByName[from[1]]
	q := schema.Quantity{Name: name, Unit: d.Unit, Of: []string{kind}, Says: d.Operation + " of " + from[0] + " and " + from[1]}
	want := a.Unit
	if d.Operation == "ratio" {
		want = "1"
	}
	switch {
	case a.IsState() || b.IsState():
		c.at(d.Operation).fault("a %s is of numbers, not of words", d.Operation)
	case a.Unit != b.Unit:
		c.at(d.Operation).fault("%s is in %s and %s in %s", a.Name, a.Unit, b.Name, b.Unit)
	case d.Unit != want:
		c.at("unit").fault("the %s of %s and %s is in %s", d.Operation, a.Name, b.Name, want)
	}
	q.Low, q.High = d.domain(a, b)
	return d, q
}

// domain is where a derived quantity can lie when nothing is known.
func (d Derived) domain(a, b schema.Quantity) (low, high float64) {
	if d.Operation == "difference" {
		return a.Low - b.High, a.High - b.Low
	}
	const far = 1e9
	if a.Low >= 0 && b.Low >= 0 {
		return 0, math.Max(far, a.High)
	}
	return -far, far
}
