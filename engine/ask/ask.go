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

// Next gives the n readings that settle most, those of binding profiles first.
// n of 0 gives all.
func Next(s *finding.Sheet, cat schema.Catalogue, n int) ([]Reading, error) {
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
			for reading, exact := range again(f, cat) {
				add(at, whole(f.Subject)+"."+reading, table, f).settle(exact, true)
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
	return how{With: "eye", How: "look, and write what you see", Exact: "as well as you can"}
}

// readingOf is the reading behind a quantity that came out too rough.
func readingOf(name string) string {
	switch name {
	case "fall", "drop", "runs", "velocity", "depth_ratio":
		return "drop"
	case "entry_over_foot", "entry_offset", "over_spill":
		return "level"
	case "notch_ratio", "notch_depth":
		return "depth"
	case "hole_ratio", "hole_diameter":
		return "diameter"
	case "span_ratio", "opening_gap", "opening_spacing":
		return "distance"
	case "to_stack", "to_vent", "vent_from_trap":
		return "length"
	case "above_opening":
		return "below"
	case "aside_opening":
		return "aside"
	case "bore", "size_class", "size_step", "trap_step", "trap_bore":
		return "size"
	}
	return name
}

// again lists the readings that came out too rough and how exact the next one
// must be.
func again(f finding.Finding, cat schema.Catalogue) map[string]string {
	out := map[string]string{}
	for _, name := range f.Undecided {
		out[readingOf(name)] = ""
	}
	for _, s := range f.Settles {
		within := quantity.Format(s.Within, cat.ByName[s.Quantity].Unit, quantity.Metric)
		exact := "± " + within + " of " + cat.ByName[s.Quantity].Label() + ", or better"
		if strings.HasPrefix(within, "0 ") {
			exact = "it lies on the limit itself: build it clear of it"
		}
		out[readingOf(s.Quantity)] = exact
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

func whole(subject string) string {
	before, _, _ := strings.Cut(subject, "/")
	return before
}
