// Package layout turns a document into the flat plan that plugins measure and
// rules ask about, and says what in the document cannot be true. Where the
// document leaves something open the plan leaves it open too; the few things
// it takes for granted are named where it takes them.
package layout

import (
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/plugins/sdk/plan"
)

// FormatVersion of the document that this package reads.
const FormatVersion = "1"

// Layout is a document as understood: the plan, and what a sheet needs beside
// it.
type Layout struct {
	Doc      *document.Document
	Plan     *plan.Plan
	Title    string
	Revision string // "3, 2026-09-14, by owner"
	Stage    string // planned | laid | tested | closed
	Date     string // ISO date of the work, or else of the document's revision; "" when neither is told
	Readings finding.Readings
	Answers  map[string]Answer         // by "profile.question"
	Waivers  map[string]finding.Waiver // by "profile/rule/subject" or with "/quantity"

	subjects map[string]subject
	places   map[string]finding.Position // of all ids, whole pipes too
	others   map[string]bool             // stacks that other dwellings run into
}

// subject is one thing that a rule may speak of.
type subject struct {
	kind  string // list of the rules' input it stands in
	state plan.State
	at    finding.Position
	also  []finding.Position
}

// Answer is what the document says to a profile's question.
type Answer struct {
	Is                      string            // for all subjects
	Of                      map[string]string // subject by subject
	How, Evidence, By, Date string
}

// Read makes the plan of a document whose form has been checked already. A
// fault that is no warning means that the layout must not be used; it is nil
// when nothing could be made of it at all.
func Read(doc *document.Document) (*Layout, []document.Fault) {
	if doc == nil || doc.Root == nil || doc.Root.Kind != document.Map {
		return nil, []document.Fault{{What: "there is no layout here", Allowed: "a map that begins with `layout: 1`"}}
	}
	r := newReader(doc)
	if !r.version() {
		return nil, r.faults
	}
	for _, step := range []func(){
		r.tolerances, r.names, r.house, r.rooms, r.timber, r.walls,
		r.fixtures, r.stacks, r.drains, r.references, r.water, r.air,
	} {
		step()
	}
	flows := r.resolve()
	r.vents()
	r.access()
	r.tests()
	if flows {
		r.pairs()
		r.inFloors()
	}
	r.records()
	if flows {
		r.index()
	}
	return r.lay, document.Sort(r.faults)
}

// version refuses a format that this package does not know.
func (r *reader) version() bool {
	n := r.doc.Get("layout")
	if n != nil && n.Kind == document.Scalar && strings.TrimSpace(n.Value) == FormatVersion {
		return true
	}
	at, found := r.doc.Position(), "no format version"
	if n != nil {
		at, found = n.At, "format version "+quoted(n.Value)
	}
	r.add(document.Fault{At: at, What: "the document has " + found + " and this tool reads another", Allowed: "layout: " + FormatVersion})
	return false
}

// Position is where a subject stands in the document: a pair at its first
// member, a piece of a cut pipe at the whole pipe, the house at its key.
func (l *Layout) Position(id string) finding.Position {
	if s, found := l.subjects[id]; found {
		return s.at
	}
	if at, found := l.places[id]; found {
		return at
	}
	whole, _, _ := strings.Cut(id, "/")
	first, _, _ := strings.Cut(whole, "~")
	return l.places[first]
}

// Also are the places of the other members of a pair.
func (l *Layout) Also(id string) []finding.Position { return l.subjects[id].also }

// Has tells whether the plan has such a subject.
func (l *Layout) Has(id string) bool { _, found := l.subjects[id]; return found }

// Kind is the list a subject stands in, as in schema/input.schema.json
// ("branches"), or "floors"; "" when there is no such subject.
func (l *Layout) Kind(id string) string { return l.subjects[id].kind }

// State of a subject; "" when there is no such subject.
func (l *Layout) State(id string) plan.State { return l.subjects[id].state }

// Answer is what the document says to a question about a subject, and whether
// it says anything.
func (l *Layout) Answer(question, subject string) (string, bool) {
	a, found := l.Answers[question]
	if !found {
		return "", false
	}
	whole, _, _ := strings.Cut(subject, "/")
	for _, id := range []string{subject, whole} {
		if word, told := a.Of[id]; told {
			return word, true
		}
	}
	return a.Is, a.Is != ""
}

// Waiver is the paper that allows one finding, or all of a rule's about a
// subject. One for a whole pipe holds for its pieces.
func (l *Layout) Waiver(profile, rule, subject, quantity string) (finding.Waiver, bool) {
	whole, _, _ := strings.Cut(subject, "/")
	for _, id := range []string{subject, whole} {
		key := profile + "/" + rule + "/" + id
		for _, k := range []string{key + "/" + quantity, key} {
			if w, found := l.Waivers[k]; found {
				return w, true
			}
		}
	}
	return finding.Waiver{}, false
}
