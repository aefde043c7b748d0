// Package profile loads regional profiles, checks them, and asks them what
// they require of a layout. It alone knows the policy engine. A profile sees
// exact facts only and gives requirements back; what was measured and whether
// it suffices is none of its business.
package profile

import (
	"slices"

	"fallrule/engine/finding"
	"fallrule/schema"
)

// Profile is one region's rules.
type Profile struct {
	ID        string
	Header    Header
	SHA256    string          // of its files, in hexadecimal
	Rules     []*finding.Rule // by id, with those of what it extends
	Questions []Question      // by quantity
	Derived   []Derived       // by name
	tables    map[string]*ruleSource
	words     vocabulary
}

// Header is the head of a profile.
type Header struct {
	Title     string
	Region    string
	Countries []string // ISO 3166 codes, lower case, whose layouts it binds
	Edition   string
	Language  string
	Documents map[string]Document
	Sizes     map[string]float64 // nominal size to bore, mm
	Extends   string             // id of the parent, or ""
	Drops     map[string]string  // rule of a parent to the reason
}

// Document is a code, standard or guide that the rules quote.
type Document struct {
	Title, Edition, Publisher, Ref string
	Force                          finding.Force
}

// Question is one that a rule declares: a state that only a person can tell.
type Question struct {
	Name     string
	Quantity string // answer.<profile>.<name>
	Rule     string // id of the rule that declares it
	Of       string // kind of subject
	Words    []string
	Says     string
}

func (q Question) quantity() schema.Quantity {
	return schema.Quantity{Name: q.Quantity, Of: []string{q.Of}, Words: q.Words, Says: q.Says}
}

// Derived is a quantity that is the difference or the ratio of two others: a
// limit of one measure by another.
type Derived struct {
	Name      string
	Of        string    // kind of subject
	Operation string    // difference: first less second; ratio: first over second
	From      [2]string // quantities
	Unit      string
}

// Asked is what one rule asks of a layout.
type Asked struct {
	Rule         *finding.Rule
	Subjects     []string // whom the clause speaks of, in order
	Requirements []finding.Requirement
	Exempt       []Exempt
	Unclear      []Unclear
	Faults       []string // of the rule as a whole, told beside the verdicts
}

// Exempt is a subject the clause does not ask anything of.
type Exempt struct{ Of, Why string }

// Unclear is a subject of which it cannot be said what the clause asks: a fact
// is not known, the authority decides, or the rule is faulty.
type Unclear struct {
	Of, Why string
	Because finding.Because
	Needs   []string // facts that would settle it
	By      string   // authority, or ""
}

// Set is profiles loaded together. It may be used by several goroutines.
type Set struct {
	profiles map[string]*Profile
	ids      []string // as asked for, without parents
	cat      schema.Catalogue
	in       facts
	engine   *evaluator
}

// IDs are the profiles that were asked for, in that order.
func (s *Set) IDs() []string { return slices.Clone(s.ids) }

// Profile gives a loaded profile; nil when there is none of that id.
func (s *Set) Profile(id string) *Profile { return s.profiles[id] }

// Catalogue is the catalogue that the profiles were loaded with and what their
// rules declare: the judge needs it for the requirements of this set.
func (s *Set) Catalogue() schema.Catalogue { return s.cat }

// ByCountry tells which of the profiles binds layouts of a country.
func (s *Set) ByCountry(country string) (id string, found bool) {
	for _, id := range s.ids {
		if slices.Contains(s.profiles[id].Header.Countries, country) {
			return id, true
		}
	}
	return "", false
}

// Quantities are all that the rules of the profiles name, inherited ones too,
// with what derived ones are made of, each once and in order.
func (s *Set) Quantities() []string {
	var names []string
	for _, id := range s.ids {
		for _, rule := range s.profiles[id].Rules {
			names = append(names, s.profiles[rule.Origin].named(rule)...)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// lineage is the profile and all it extends, itself first.
func (s *Set) lineage(id string) []string {
	var out []string
	for id != "" && !slices.Contains(out, id) && s.profiles[id] != nil {
		out = append(out, id)
		id = s.profiles[id].Header.Extends
	}
	return out
}

func (p *Profile) documentIDs() []string {
	var ids []string
	for id := range p.Header.Documents {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}
