package validate

import (
	"encoding/json"
	"fmt"
	"net/url"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
)

// pointer splits a location of the library, a JSON pointer escaped for a URL.
func pointer(location string) []string {
	if _, fragment, found := strings.Cut(location, "#"); found {
		location = fragment
	}
	parts := strings.Split(strings.Trim(location, "/"), "/")
	for i, p := range parts {
		if plain, err := url.PathUnescape(p); err == nil {
			parts[i] = plain
		}
	}
	return document.PointerPath(strings.Join(parts, "/"))
}

// at finds what stands at a path of the schema; nil when nothing does.
func (v *Validator) at(path []string) any {
	here := v.raw
	for _, part := range path {
		switch h := here.(type) {
		case map[string]any:
			here = h[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 0 || i >= len(h) {
				return nil
			}
			here = h[i]
		default:
			return nil
		}
	}
	return here
}

// maxRefs bounds a chain of references; the compiler refuses endless ones, but
// only where it meets them.
const maxRefs = 20

// schemas are a schema and all that apply to the same value with it: through
// $ref and allOf, and with choices also through anyOf and oneOf.
func (v *Validator) schemas(schema any, choices bool) []map[string]any {
	var all []map[string]any
	var add func(any, int)
	add = func(s any, depth int) {
		m, ok := s.(map[string]any)
		if !ok || depth > maxRefs {
			return
		}
		all = append(all, m)
		if ref, ok := m["$ref"].(string); ok && strings.HasPrefix(ref, "#") {
			add(v.at(pointer(ref)), depth+1)
		}
		keywords := []string{"allOf"}
		if choices {
			keywords = append(keywords, "anyOf", "oneOf")
		}
		for _, k := range keywords {
			list, _ := m[k].([]any)
			for _, sub := range list {
				add(sub, depth+1)
			}
		}
	}
	add(schema, 0)
	return all
}

// types of value a schema takes; nil when it takes any.
func (v *Validator) types(schema any) []string {
	var found []string
	for _, m := range v.schemas(schema, true) {
		switch t := m["type"].(type) {
		case string:
			found = append(found, t)
		case []any:
			for _, one := range t {
				found = append(found, fmt.Sprint(one))
			}
		}
		for _, word := range wordsOf(m) {
			found = append(found, typeOf(word))
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// words of a schema that takes only some: of enum and const.
func wordsOf(m map[string]any) []any {
	if one, ok := m["const"]; ok {
		return []any{one}
	}
	list, _ := m["enum"].([]any)
	return list
}

// spelling is how a quantity string is written.
type spelling struct {
	name    string                     // "a length"
	example string                     // "40 mm"
	allowed string                     // the units, or more examples
	with    func(number string) string // what a bare number was meant for
}

// spellings are the x-quantity names of a schema that are no dimension.
var spellings = map[string]spelling{
	"size":      {"a size", "DN 40", "DN 40, 40 mm, 1 1/2 in, as stamped", func(n string) string { return "DN " + n }},
	"bends":     {"bends", "3 x 90°", "3 x 90°, 2 x 45°, 87°, none", func(n string) string { return n + " x 90°" }},
	"tolerance": {"a tolerance", "± 10 mm", "± 10 mm, ± 1/4 in", func(n string) string { return "± " + n + " mm" }},
	"voltage":   {"a voltage", "230 V", "V", func(n string) string { return n + " V" }},
}

// spelling of the quantity string that a schema takes, if it takes one.
func (v *Validator) spelling(schema any) (spelling, bool) {
	for _, m := range v.schemas(schema, true) {
		name, ok := m["x-quantity"].(string)
		if !ok {
			continue
		}
		if d, ok := quantity.DimensionOf(name); ok {
			return spelling{d.Name(), d.Example(), d.Units(), d.With}, true
		}
		if s, ok := spellings[name]; ok {
			return s, true
		}
	}
	return spelling{}, false
}

// keys that a schema names for a map, in alphabetical order.
func (v *Validator) keys(schema any, choices bool) []string {
	var keys []string
	for _, m := range v.schemas(schema, choices) {
		properties, _ := m["properties"].(map[string]any)
		for key, sub := range properties {
			if sub != false {
				keys = append(keys, key)
			}
		}
	}
	sort.Strings(keys)
	return slices.Compact(keys)
}

// matches tells whether one of a schema's patternProperties takes the key.
func matches(schema any, key string) bool {
	m, _ := schema.(map[string]any)
	patterns, _ := m["patternProperties"].(map[string]any)
	for pattern := range patterns {
		if re, err := regexp.Compile(pattern); err == nil && re.MatchString(key) {
			return true
		}
	}
	return false
}

// typeOf is the JSON Schema type of a plain value.
func typeOf(value any) string {
	switch value.(type) {
	case nil:
		return "null"
	case bool:
		return "boolean"
	case json.Number:
		return "number"
	case []any:
		return "array"
	case map[string]any:
		return "object"
	}
	return "string"
}

// fits tells whether a value of type t can be meant for a schema of types.
func fits(t string, types []string) bool {
	return len(types) == 0 || slices.Contains(types, t) || t == "number" && slices.Contains(types, "integer")
}
