// Package ask turns what a sheet could not settle into readings to take: which
// first, with what, how exact, and how many findings wait for each. It reads
// findings only.
package ask

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

//go:embed how.yaml
var howFile []byte

type how struct {
	With  string `yaml:"with"`
	How   string `yaml:"how"`
	Exact string `yaml:"exact"`
}

var hows = sync.OnceValues(func() (map[string]how, error) {
	var m map[string]how
	if err := yaml.Unmarshal(howFile, &m); err != nil {
		return nil, fmt.Errorf("read how readings are taken: %w", err)
	}
	return m, nil
})

// Reading is one thing to measure or answer.
type Reading struct {
	Path    string   `json:"path"`    // place in the document: "shower.waste.drop"
	With    string   `json:"with"`    // tool
	How     string   `json:"how"`     // one sentence
	Exact   string   `json:"exact"`   // how exact it must be
	Waiting int      `json:"waiting"` // findings that wait for it
	Binding int      `json:"binding"` // of these, how many of a profile that binds
	For     []string `json:"for"`     // rules that wait, "profile/rule", each once
	Again   bool     `json:"again"`   // read before, but too roughly
}

// Place names a reading of a subject in the words of the document.
type Place func(subject, reading string) string

// Next gives the n readings that settle most, those of binding profiles first.
// n of 0 gives all.
func Next(s *finding.Sheet, cat schema.Catalogue, place Place, n int) ([]Reading, error) {
	table, err := hows()
	if err != nil {
		return nil, err
	}
	at := map[string]*Reading{}
	for _, f := range s.Findings {
		if f.Untouched || f.Waiver != nil || f.Waits(s.Stage) {
			continue
		}
		switch f.Verdict {
		case finding.CannotTell:
			for _, path := range f.Needs {
				add(at, path, table, f).settle("", false)
			}
		case finding.TooClose:
			for name, exact := range again(f, cat) {
				addRough(at, place, table, f, cat.ByName[name]).settle(exact, true)
			}
		}
	}
	var out []Reading
	for _, r := range at {
		out = append(out, *r)
	}
	slices.SortFunc(out, first)
	if n > 0 && len(out) > n {
		out = out[:n]
	}
	return out, nil
}

func add(at map[string]*Reading, path string, table map[string]how, f finding.Finding) *Reading {
	r := at[path]
	if r == nil {
		h := lookup(table, path)
		if question := questionOf(f, path); question != "" {
			h.How = question
		}
		r = &Reading{Path: path, With: h.With, How: h.How, Exact: h.Exact}
		at[path] = r
	}
	r.Waiting++
	if f.Binding {
		r.Binding++
	}
	if id := f.Rule.Profile + "/" + f.Rule.ID; !slices.Contains(r.For, id) {
		r.For = append(r.For, id)
	}
	return r
}

// addRough asks for the reading behind a quantity that came out too rough. One
// that is worked out of many has no place of its own: it is asked for as such.
func addRough(at map[string]*Reading, place Place, table map[string]how, f finding.Finding, q schema.Quantity) *Reading {
	if reading, single := readings[q.Name]; single {
		return add(at, place(f.Subject, reading), table, f)
	}
	r := add(at, f.Subject+": "+q.Label(), table, f)
	r.With = "the tool of each"
	r.How = "take each reading it is worked out of, the roughest first: `fallrule measure` shows them"
	return r
}

// questionOf is the question a profile declares, with the words that answer it.
func questionOf(f finding.Finding, path string) string {
	if !strings.HasPrefix(path, "answers.") {
		return ""
	}
	for _, m := range f.Measured {
		if m.Needs == path {
			return strings.TrimSuffix(m.Text, ".")
		}
	}
	return ""
}

// settle notes that a reading was too rough, and how exact the next must be.
func (r *Reading) settle(exact string, again bool) {
	if exact != "" {
		r.Exact = exact
	}
	r.Again = r.Again || again
}

// Unadvised is what is said of a reading that the table does not know.
const Unadvised = "look, and write what you see"

// lookup finds how a reading is taken by the last word of its path that the
// table knows, rather with the part of the document it stands in: a supply
// pipe is not measured as a waste is. An answer to a question has no tool.
func lookup(table map[string]how, path string) how {
	parts := strings.Split(path, ".")
	for i := len(parts) - 1; i >= 0; i-- {
		for _, key := range []string{parts[0] + "." + parts[i], parts[i]} {
			if h, known := table[key]; known {
				return h
			}
		}
	}
	if strings.HasPrefix(path, "answers") {
		return how{With: "your own answer", How: "write it under `answers`, with who says so and by what evidence", Exact: "exact"}
	}
	return how{With: "eye", How: Unadvised, Exact: "as well as you can"}
}

// readings are the readings behind quantities that rest on one in the main.
var readings = map[string]string{
	"fall": "drop", "drop": "drop", "runs": "drop", "velocity": "drop", "depth_ratio": "drop",
	"entry_over_foot": "to.level", "entry_offset": "to.level", "over_spill": "level",
	"notch_ratio": "depth", "notch_depth": "depth", "hole_ratio": "diameter", "hole_diameter": "diameter",
	"span_ratio": "distance", "opening_gap": "distance", "opening_spacing": "distance",
	"to_stack": "length", "to_vent": "length", "vent_from_trap": "length", "length": "length",
	"above_opening": "below", "aside_opening": "aside", "above_roof": "above_roof",
	"bore": "size", "size_class": "size", "size_step": "size", "trap_step": "size", "trap_bore": "size", "supply_bore": "size",
	"clip_spacing": "clips", "outlet_temperature": "temperature", "seal": "seal",
}

// again lists the quantities that came out too rough and how exact the next
// reading must be.
func again(f finding.Finding, cat schema.Catalogue) map[string]string {
	out := map[string]string{}
	for _, name := range f.Undecided {
		out[name] = ""
	}
	for _, s := range f.Settles {
		within := quantity.Format(s.Within, cat.ByName[s.Quantity].Unit, quantity.Metric)
		out[s.Quantity] = "± " + within + " of " + cat.ByName[s.Quantity].Label() + ", or better"
		if strings.HasPrefix(within+" ", "0 ") {
			out[s.Quantity] = "it lies on the limit itself: build it clear of it"
		}
	}
	return out
}

func first(a, b Reading) int {
	switch {
	case a.Binding != b.Binding:
		return b.Binding - a.Binding
	case a.Waiting != b.Waiting:
		return b.Waiting - a.Waiting
	}
	return strings.Compare(a.Path, b.Path)
}
