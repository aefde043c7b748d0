package profile

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"

	"fallrule/schema"
)

// unknown is the word of a fact that nobody gave.
const unknown = "unknown"

// facts is what rules may know of each kind of subject, from the schema of
// their input: kind -> fact -> its closed words, nil for free text.
type facts map[string]map[string][]string

// inputFacts reads them from the embedded schema. A test shows that it is
// readable.
var inputFacts = sync.OnceValues(func() (facts, error) {
	var s struct {
		Properties map[string]struct {
			Items struct {
				Ref string `json:"$ref"`
			} `json:"items"`
		} `json:"properties"`
		Defs map[string]struct {
			Enum       []string                         `json:"enum"`
			Properties map[string]struct{ fieldSchema } `json:"properties"`
		} `json:"$defs"`
	}
	if err := json.Unmarshal(schema.Input, &s); err != nil {
		return nil, fmt.Errorf("read the schema of the rules' input: %w", err)
	}
	out := facts{}
	for kind, list := range s.Properties {
		fields := map[string][]string{}
		for name, field := range s.Defs[strings.TrimPrefix(list.Items.Ref, "#/$defs/")].Properties {
			fields[name] = field.Enum
			if field.Ref != "" {
				fields[name] = s.Defs[strings.TrimPrefix(field.Ref, "#/$defs/")].Enum
			}
		}
		out[kind] = fields
	}
	return out, nil
})

type fieldSchema struct {
	Enum []string `json:"enum"`
	Ref  string   `json:"$ref"`
}

func (f facts) kinds() []string { return slices.Sorted(maps.Keys(f)) }

func (f facts) fields(kind string) []string { return slices.Sorted(maps.Keys(f[kind])) }

// closed lists the words of a fact over all kinds that have it, for a place
// where the kind is not known; nil when some kind has it as free text.
func (f facts) closed(field string) []string {
	var words []string
	for _, kind := range f.kinds() {
		if enum, has := f[kind][field]; has {
			if enum == nil {
				return nil
			}
			words = append(words, enum...)
		}
	}
	slices.Sort(words)
	return slices.Compact(words)
}

// free are the facts without closed words that a condition may name: all other
// texts are ids, and no clause speaks of one house's ids.
var free = []string{"country", "district"}

// condition checks {fact: [words]} against the facts of a kind.
func (f facts) condition(c cursor, kind string) map[string][]string {
	out := map[string][]string{}
	for _, field := range c.keys() {
		at := c.at(field)
		enum, has := f[kind][field]
		switch {
		case kind == "":
			continue // the header's own fault is told already
		case !has:
			at.fault("%s", notAmong("fact of "+kind, field, f.fields(kind)))
			continue
		case enum == nil && !slices.Contains(free, field):
			at.fault("%s has no closed words and cannot be a condition", field)
			continue
		}
		for i, word := range at.words() {
			if enum != nil && word != "" && !slices.Contains(enum, word) {
				at.list()[i].fault("%s", notAmong("word of "+field, word, enum))
			}
		}
		out[field] = textList(at.value)
	}
	return out
}

func textList(v any) []string {
	items, _ := v.([]any)
	out := make([]string, 0, len(items))
	for _, item := range items {
		if s, ok := item.(string); ok {
			out = append(out, s)
		}
	}
	return out
}
