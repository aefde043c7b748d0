package profile

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// cursor walks a value that came from YAML, METADATA or an evaluation, and
// reports what is wrong with the place it stands at. A fault gives the zero
// value back, so that checking goes on and all faults are found at once.
type cursor struct {
	value  any
	path   []any // keys and indexes from the root
	report func(path []any, text string)
}

func (c cursor) fault(format string, args ...any) {
	c.report(c.path, fmt.Sprintf(format, args...))
}

func (c cursor) at(key string) cursor {
	m, _ := c.value.(map[string]any)
	return cursor{value: m[key], path: append(slices.Clip(c.path), key), report: c.report}
}

func (c cursor) has(key string) bool {
	m, _ := c.value.(map[string]any)
	_, ok := m[key]
	return ok
}

// keys in order; a value that is no mapping is a fault.
func (c cursor) keys() []string {
	m, ok := c.value.(map[string]any)
	if !ok {
		c.fault("%s must be a mapping of keys to values", c.name())
		return nil
	}
	return slices.Sorted(maps.Keys(m))
}

// only reports keys that are not allowed and required ones that are missing.
func (c cursor) only(required, optional []string) {
	allowed := slices.Concat(required, optional)
	for _, key := range c.keys() {
		if !slices.Contains(allowed, key) {
			c.at(key).fault("%s", notAmong("key", key, allowed))
		}
	}
	for _, key := range required {
		if !c.has(key) {
			c.fault("%s has no key %q", c.name(), key)
		}
	}
}

func (c cursor) list() []cursor {
	items, ok := c.value.([]any)
	if !ok {
		c.fault("%s must be a list", c.name())
		return nil
	}
	out := make([]cursor, len(items))
	for i, v := range items {
		out[i] = cursor{value: v, path: append(slices.Clip(c.path), i), report: c.report}
	}
	return out
}

func (c cursor) text() string {
	s, ok := c.value.(string)
	if !ok || strings.TrimSpace(s) == "" {
		c.fault("%s must be a text", c.name())
		return ""
	}
	return s
}

// optional text: "" when the key is not there.
func (c cursor) optional(key string) string {
	if !c.has(key) {
		return ""
	}
	return c.at(key).text()
}

// word is a text out of a closed list.
func (c cursor) word(what string, allowed []string) string {
	s := c.text()
	if s != "" && !slices.Contains(allowed, s) {
		c.fault("%s", notAmong(what, s, allowed))
		return ""
	}
	return s
}

// words is a list of different texts that has at least one.
func (c cursor) words() []string {
	var out []string
	for _, item := range c.list() {
		s := item.text()
		if slices.Contains(out, s) {
			item.fault("%q stands twice", s)
		}
		out = append(out, s)
	}
	if l, ok := c.value.([]any); ok && len(l) == 0 {
		c.fault("%s is empty", c.name())
	}
	return out
}

// name is the last key of the path, for a message.
func (c cursor) name() string {
	for i := len(c.path) - 1; i >= 0; i-- {
		if key, ok := c.path[i].(string); ok {
			if i == len(c.path)-1 {
				return key
			}
			return fmt.Sprintf("%s[%d]", key, c.path[i+1])
		}
	}
	return "the file"
}
