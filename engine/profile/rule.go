package profile

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"github.com/open-policy-agent/opa/v1/ast"

	"fallrule/engine/finding"
)

// ruleSource is what stays of a rule's files after loading: for its limits and
// its examples.
type ruleSource struct {
	rule     *finding.Rule
	file     string // where the examples are
	line     int
	table    *table // nil for a rule in Rego
	limits   []finding.Row
	examples []Example
}

// sets are the names that a rule in Rego has for the engine; a name that
// begins with an underscore is its own affair.
var sets = []string{"subjects", "requirements", "exempt", "unclear"}

// readRule reads one folder: rule.yaml, or <rule>.rego with its test and data.
func (p *Profile) readRule(src *source, id string, in facts) {
	dir := path.Join(p.ID, "rules", id)
	if !plainName.MatchString(id) {
		src.fault(dir, 0, "a rule's name must be lower-case letters, figures and underscores")
		return
	}
	asTable, rego := src.docs[path.Join(dir, "rule.yaml")], path.Join(dir, id+".rego")
	switch {
	case asTable != nil && src.raw[rego] != nil:
		src.fault(dir, 0, "the rule is both a table and Rego: it may be one")
	case asTable != nil:
		p.readTableRule(asTable, id, in)
	case src.raw[rego] != nil:
		p.readRegoRule(src, rego, id, in)
	default:
		src.fault(dir, 0, fmt.Sprintf("the folder has neither rule.yaml nor %s.rego", id))
	}
}

func (p *Profile) readTableRule(doc *document, id string, in facts) {
	c := doc.cursor()
	if doc.proven {
		c.only([]string{"header", "table"}, nil)
	} else {
		c.only([]string{"header", "table", "examples"}, nil)
	}
	if !c.has("header") || !c.has("table") {
		return
	}
	rule, words := p.header(c.at("header"), id, in, p.words)
	rule.File, rule.Line = doc.file, doc.line([]any{"header"})
	p.words.cat = words.cat
	own := &ruleSource{rule: rule, table: readTable(c.at("table"), rule, in, words)}
	own.limits = own.table.rows
	own.examples = p.readExamples(doc, own, in, words)
	p.add(own)
}

func (p *Profile) add(own *ruleSource) {
	p.Rules = append(p.Rules, own.rule)
	p.tables[own.rule.ID] = own
}

// readRegoRule reads a rule that says more than a table. Its header is the
// METADATA of its package, its numbers and examples are in data.yaml.
func (p *Profile) readRegoRule(src *source, file, id string, in facts) {
	m := src.modules[file]
	if m == nil {
		return // it does not parse: told already
	}
	dir := path.Dir(file)
	packageIs(src, m, "profiles."+p.ID+".rules."+id)
	if test := src.tests[path.Join(dir, id+"_test.rego")]; test == nil {
		src.fault(file, 0, fmt.Sprintf("the rule has no %s_test.rego", id))
	} else {
		packageIs(src, test, "test."+p.ID+"."+id) // elsewhere it would look like a rule
	}
	publicNames(src, m)
	lintWords(src, m, in)
	lintFields(src, m, in)
	c, row, ok := metadata(src, file)
	if !ok {
		return
	}
	rule, words := p.header(c, id, in, p.words)
	rule.File, rule.Line = file, row
	p.words.cat = words.cat
	own := &ruleSource{rule: rule}
	data := src.docs[path.Join(dir, "data.yaml")]
	if data == nil {
		src.fault(file, 0, "the rule has no data.yaml with its limits and examples")
		return
	}
	d := data.cursor()
	if data.proven {
		d.only(nil, []string{"limits"})
	} else {
		d.only([]string{"examples"}, []string{"limits"})
	}
	if d.has("limits") {
		own.limits = words.rows(d.at("limits"), append(in.fields(rule.Of), "for")...)
		listed(d.at("limits"), own.limits, rule)
	}
	own.examples = p.readExamples(data, own, in, words)
	p.add(own)
}

func packageIs(src *source, m *ast.Module, want string) {
	if m.Package.Path.String() != "data."+want {
		src.fault(m.Package.Location.File, m.Package.Location.Row, "the package must be "+want)
	}
}

// strangers finds Rego that no rule's folder has a place for: it could say
// anything in anybody's name.
func (p *Profile) strangers(src *source) {
	for _, files := range []map[string]*ast.Module{src.modules, src.tests} {
		for file := range files {
			dir, name := path.Split(file)
			rule := path.Base(dir)
			inPlace := dir == path.Join(p.ID, "rules", rule)+"/" && (name == rule+".rego" || name == rule+"_test.rego")
			if strings.HasPrefix(file, p.ID+"/") && !inPlace {
				src.fault(file, 0, "Rego stands in rules/<rule>/<rule>.rego and its _test.rego only")
			}
		}
	}
}

// publicNames holds a rule in Rego to the four sets.
func publicNames(src *source, m *ast.Module) {
	hasSubjects := false
	for _, r := range m.Rules {
		name := r.Head.Ref()[0].Value.String()
		hasSubjects = hasSubjects || name == "subjects"
		if !slices.Contains(sets, name) && !strings.HasPrefix(name, "_") {
			src.fault(r.Location.File, r.Location.Row,
				fmt.Sprintf("%s; a name of the rule's own begins with _", notAmong("set", name, sets)))
		}
	}
	if !hasSubjects {
		src.fault(m.Package.Location.File, m.Package.Location.Row, "the rule has no subjects")
	}
}

// metadata reads the METADATA block above the package as a rule's header:
// `custom` has the header's keys, title and description may stand outside.
func metadata(src *source, file string) (cursor, int, bool) {
	lines := strings.Split(string(src.raw[file]), "\n")
	start := slices.Index(lines, "# METADATA")
	if start < 0 {
		src.fault(file, 1, "the rule has no METADATA")
		return cursor{}, 0, false
	}
	var text strings.Builder
	for _, line := range lines[start+1:] {
		comment, is := strings.CutPrefix(line, "#")
		if !is {
			break
		}
		fmt.Fprintln(&text, strings.TrimPrefix(comment, " "))
	}
	doc := readDocument(file, start+1, []byte(text.String()), &src.faults)
	c := doc.cursor()
	c.only([]string{"scope", "custom"}, []string{"title", "description", "related_resources"})
	if c.has("scope") {
		c.at("scope").word("scope", []string{"package"})
	}
	head, ok := c.at("custom").value.(map[string]any)
	if !ok {
		return cursor{}, 0, false
	}
	merged := cursor{value: head, path: []any{"custom"}, report: c.report}
	for outside, key := range map[string]string{"title": "title", "description": "says", "related_resources": "refs"} {
		if !c.has(outside) {
			continue
		}
		if merged.has(key) {
			c.at(outside).fault("%s stands outside custom and, as %s, in it", outside, key)
		}
		head[key] = c.at(outside).value
	}
	return merged, start + 1, true
}
