package profile

import (
	"context"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

// Load reads the folder lib and the named profiles of fsys, with all that they
// extend, checks every header, row and word of them, and compiles their rules.
// The error is Faults: all that is wrong, not the first only.
func Load(ctx context.Context, fsys fs.FS, ids []string, cat schema.Catalogue) (*Set, error) {
	in, err := inputFacts()
	if err != nil {
		return nil, err
	}
	src := newSource(fsys)
	src.read(lib)
	set := &Set{profiles: map[string]*Profile{}, ids: slices.Clone(ids), in: in, cat: cat}
	for _, id := range ids {
		set.load(src, id, cat)
	}
	set.inherit(src)
	set.engine, err = compile(ctx, src, set)
	if err != nil {
		src.regoFaults(err)
	}
	if len(src.faults) > 0 {
		return nil, src.faults.sorted()
	}
	return set, nil
}

func (s *Set) load(src *source, id string, cat schema.Catalogue) {
	if s.profiles[id] != nil {
		return
	}
	if !plainName.MatchString(id) || id == lib {
		src.fault(id, 0, "a profile's id must be lower-case letters, figures and underscores")
		return
	}
	before := len(src.faults)
	src.read(id)
	file := path.Join(id, "profile.yaml")
	doc := src.docs[file]
	if doc == nil {
		if len(src.faults) == before {
			src.fault(file, 0, "the profile has no profile.yaml")
		}
		return
	}
	p := &Profile{ID: id, tables: map[string]*ruleSource{}, words: vocabulary{cat: cat}}
	s.profiles[id] = p
	p.readHead(doc.cursor(), src, cat)
	for _, folder := range src.folders(id) {
		p.readRule(src, folder, s.in)
	}
	p.strangers(src)
	slices.SortFunc(p.Questions, func(a, b Question) int { return strings.Compare(a.Quantity, b.Quantity) })
	slices.SortFunc(p.Derived, func(a, b Derived) int { return strings.Compare(a.Name, b.Name) })
	sum, err := Checksum(src.fsys, id)
	if err != nil {
		src.fault(id, 0, err.Error())
	}
	p.SHA256 = sum
	s.declare(src, p)
	if p.Header.Extends != "" {
		s.load(src, p.Header.Extends, cat)
	}
}

// declare adds what a profile's rules declare to the set's catalogue.
func (s *Set) declare(src *source, p *Profile) {
	cat := schema.Catalogue{ByName: map[string]schema.Quantity{}, Names: slices.Clone(s.cat.Names)}
	for name, q := range s.cat.ByName {
		cat.ByName[name] = q
	}
	for _, name := range p.words.cat.Names {
		q := p.words.cat.ByName[name]
		if have, twice := cat.ByName[name]; twice {
			if fmt.Sprint(have) != fmt.Sprint(q) {
				src.fault(p.ID, 0, fmt.Sprintf("another profile declares %q otherwise", name))
			}
			continue
		}
		cat.ByName[name] = q
		cat.Names = append(cat.Names, name)
	}
	s.cat = cat
}

// readHead reads profile.yaml.
func (p *Profile) readHead(c cursor, src *source, cat schema.Catalogue) {
	c.only([]string{"header"}, nil)
	if !c.has("header") {
		return
	}
	c = c.at("header")
	c.only([]string{"title", "region", "language", "edition", "documents"}, []string{"countries", "sizes", "extends", "drops"})
	h := Header{
		Title: c.optional("title"), Region: c.optional("region"), Language: c.optional("language"),
		Edition: c.optional("edition"), Extends: c.optional("extends"),
		Documents: map[string]Document{}, Sizes: map[string]float64{}, Drops: map[string]string{},
	}
	if c.has("countries") {
		h.Countries = c.at("countries").words()
	}
	if c.has("documents") {
		for _, id := range c.at("documents").keys() {
			h.Documents[id] = quoted(c.at("documents").at(id))
		}
	}
	if c.has("sizes") {
		for _, name := range c.at("sizes").keys() {
			at := c.at("sizes").at(name)
			mm, err := quantity.In(at.text(), "mm")
			if err != nil {
				at.fault("size %s: %s", name, err)
			}
			h.Sizes[name] = mm
		}
	}
	if c.has("drops") {
		for _, rule := range c.at("drops").keys() {
			h.Drops[rule] = c.at("drops").optional(rule)
		}
	}
	p.Header, p.words.sizes = h, h.Sizes
}

// quoted reads one entry of a profile's documents.
func quoted(c cursor) Document {
	c.only([]string{"title", "edition", "publisher", "force"}, []string{"ref"})
	return Document{
		Title: c.optional("title"), Edition: c.optional("edition"), Publisher: c.optional("publisher"), Ref: c.optional("ref"),
		Force: finding.Force(wordAt(c, "force", forces)),
	}
}

// inherit gives each profile the rules of what it extends.
func (s *Set) inherit(src *source) {
	own := map[string][]*finding.Rule{}
	for id, p := range s.profiles {
		own[id] = p.Rules
	}
	for id, p := range s.profiles {
		file := path.Join(id, "profile.yaml")
		line := s.lineage(id)
		if last := s.profiles[line[len(line)-1]]; last != nil && slices.Contains(line, last.Header.Extends) {
			src.fault(file, src.docs[file].line([]any{"header", "extends"}), "the profiles extend each other: "+strings.Join(line, ", "))
			continue
		}
		p.Rules = slices.Clone(own[id])
		known := s.inheritFrom(p, line, own, src)
		for rule := range p.Header.Drops {
			if !known[rule] {
				src.fault(file, src.docs[file].line([]any{"header", "drops", rule}), fmt.Sprintf("no parent has a rule %q to drop", rule))
			}
		}
		slices.SortFunc(p.Rules, func(a, b *finding.Rule) int { return strings.Compare(a.ID, b.ID) })
	}
}

func (s *Set) inheritFrom(p *Profile, line []string, own map[string][]*finding.Rule, src *source) map[string]bool {
	known, dropped := map[string]bool{}, map[string]bool{}
	has := map[string]string{}
	for i, id := range line {
		for _, rule := range own[id] {
			if i > 0 {
				known[rule.ID] = true
			}
			if dropped[rule.ID] {
				continue
			}
			if heir, twice := has[rule.ID]; twice {
				if heir == p.ID {
					src.fault(path.Join(p.ID, "rules", rule.ID), 0, fmt.Sprintf("profile %s has a rule of that name: drop it or take another name", id))
				}
				continue
			}
			has[rule.ID] = id
			if i > 0 {
				heir := *rule
				heir.Profile = p.ID
				p.Rules = append(p.Rules, &heir)
			}
		}
		for rule := range s.profiles[id].Header.Drops {
			dropped[rule] = true
		}
	}
	return known
}
