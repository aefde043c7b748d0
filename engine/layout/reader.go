package layout

import (
	"fmt"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/document/nearest"
	"fallrule/engine/finding"
	"fallrule/plugins/sdk/plan"
)

// reader holds a document while it is made into a plan.
type reader struct {
	doc    *document.Document
	lay    *Layout
	plan   *plan.Plan
	faults []document.Fault

	market  string
	counted map[*document.Node]bool // readings in the statistics
	within  map[string]tolerance    // from `readings`
	ids     map[string]named
	order   []string // ids as the document names them

	pipes    map[string]*pipe
	inOrder  []*pipe
	fixture  map[string]int // place in plan.Fixtures
	stackTo  map[string]*target
	stack    map[string]int       // place in plan.Stacks
	segments map[string][]segment // by whole pipe, start to end
	pieces   map[string]*plan.Pipe
	served   map[string][]string       // by segment and stack
	from     map[string]string         // wall that an opening is measured from
	today    map[string]*document.Node // readings of as_built, by id
}

// named is one id of the document.
type named struct {
	kind string // "room", "waste" …, see names.go
	at   finding.Position
}

func newReader(doc *document.Document) *reader {
	p := &plan.Plan{Version: plan.Version}
	r := &reader{
		doc:  doc,
		plan: p,
		lay: &Layout{
			Doc: doc, Plan: p,
			Readings: finding.Readings{ByHow: map[string]int{}},
			Answers:  map[string]Answer{}, Waivers: map[string]finding.Waiver{},
			subjects: map[string]subject{}, places: map[string]finding.Position{}, others: map[string]bool{},
		},
		within: map[string]tolerance{}, counted: map[*document.Node]bool{}, ids: map[string]named{}, pipes: map[string]*pipe{}, fixture: map[string]int{}, stack: map[string]int{},
		stackTo: map[string]*target{}, segments: map[string][]segment{}, pieces: map[string]*plan.Pipe{},
		served: map[string][]string{}, from: map[string]string{}, today: map[string]*document.Node{},
	}
	for _, p := range pairs(doc.Get("as_built")) {
		r.today[p.Key] = p.Value
	}
	return r
}

func (r *reader) add(f document.Fault) { r.faults = append(r.faults, f) }

func (r *reader) fault(at finding.Position, format string, args ...any) {
	r.add(document.Fault{At: at, What: fmt.Sprintf(format, args...)})
}

func (r *reader) warn(at finding.Position, format string, args ...any) {
	r.add(document.Fault{At: at, What: fmt.Sprintf(format, args...), Warning: true})
}

// unknownID says that id names nothing of the wanted kinds.
func (r *reader) unknownID(at finding.Position, id, what string, kinds ...string) {
	var known []string
	for _, name := range r.order {
		if oneOf(r.ids[name].kind, kinds) {
			known = append(known, name)
		}
	}
	f := document.Fault{At: at, What: fmt.Sprintf("%s names no %s of this document", quoted(id), what), DidYouMean: nearest.Word(id, known)}
	if other, found := r.ids[id]; found {
		f.What = fmt.Sprintf("%s is %s, and %s is wanted", quoted(id), a(words[other.kind]), a(what))
		if waste := id + ".waste"; f.DidYouMean == "" && oneOf("waste", kinds) && r.ids[waste].kind == "waste" {
			f.DidYouMean = waste
		}
	}
	if len(known) > 0 && len(known) <= 12 {
		f.Allowed = strings.Join(known, ", ")
	}
	r.add(f)
}

// a puts the article before a word.
func a(word string) string {
	if word != "" && strings.ContainsRune("aeiou", rune(word[0])) {
		return "an " + word
	}
	return "a " + word
}

func oneOf(word string, list []string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}

func quoted(s string) string { return fmt.Sprintf("%q", s) }

// text is a scalar's text; "" for everything else.
func text(n *document.Node) string {
	if n == nil || n.Kind != document.Scalar || n.Tag == document.Null {
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// word is a closed word; "unknown" when nothing was said.
func word(n *document.Node) string {
	if t := text(n); t != "" {
		return t
	}
	return unknown
}

const (
	unknown = "unknown"
	none    = "none"
)

// stateOf is the state said at a node, or else the given one.
func stateOf(n *document.Node, otherwise plan.State) plan.State {
	switch s := plan.State(text(n.Get("state"))); s {
	case plan.New, plan.Laid, plan.Existing, plan.Removed:
		return s
	}
	return otherwise
}

func texts(n *document.Node) []string {
	if n == nil {
		return nil
	}
	if t := text(n); t != "" {
		return []string{t}
	}
	var out []string
	for _, item := range n.Items {
		if t := text(item); t != "" {
			out = append(out, t)
		}
	}
	return out
}

// pairs of a map; nothing for everything else.
func pairs(n *document.Node) []document.Pair {
	if n == nil || n.Kind != document.Map {
		return nil
	}
	return n.Pairs
}

// items of a list; nothing for everything else.
func items(n *document.Node) []*document.Node {
	if n == nil || n.Kind != document.List {
		return nil
	}
	return n.Items
}
