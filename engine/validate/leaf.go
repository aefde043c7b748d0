package validate

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/document/nearest"
	"fallrule/engine/quantity"
)

// How far a fault of each kind sets a value off from a schema. A wrong word in
// a map most likely means that the map is of another form.
const (
	weightWord  = 5
	weightKey   = 2
	weightOther = 1
)

// leaf says what one violated keyword means.
func (r *report) leaf(o violation) {
	node := r.doc.Lookup(o.path...)
	if o.isKey {
		r.wrongKeyName(o)
		return
	}
	if node == nil {
		return
	}
	switch o.keyword {
	case "false":
		r.unknownKey(o.path, r.v.keys(o.schema, true))
	case "additionalProperties":
		r.extraKeys(o, node)
	case "required":
		r.missingKeys(o, node)
	case "dependentRequired":
		r.missingWith(o, node)
	case "enum", "const":
		m, _ := o.schema.(map[string]any)
		r.wrongWord(o.path, node, wordsOf(m), "")
	case "type":
		r.wrongType(o.path, node, []any{o.schema})
	default:
		r.bound(o, node)
	}
}

func (r *report) unknownKey(path, known []string) {
	key := path[len(path)-1]
	f := document.Fault{What: fmt.Sprintf("unknown key `%s`", key), Allowed: strings.Join(known, ", ")}
	if near := nearest.Word(key, known); near != "" {
		f.DidYouMean = "`" + near + "`"
	}
	r.add(path, weightKey, f)
}

func (r *report) extraKeys(o violation, node *document.Node) {
	m, _ := o.schema.(map[string]any)
	properties, _ := m["properties"].(map[string]any)
	known := r.v.keys(map[string]any{"properties": properties}, false)
	for _, key := range node.Keys() {
		if _, ok := properties[key]; !ok && !matches(o.schema, key) {
			r.unknownKey(join(o.path, key), known)
		}
	}
}

func (r *report) missingKeys(o violation, node *document.Node) {
	m, _ := o.schema.(map[string]any)
	required, _ := m["required"].([]any)
	for _, one := range required {
		key := fmt.Sprint(one)
		if node.Get(key) != nil {
			continue
		}
		r.add(o.path, weightOther, document.Fault{
			What:    fmt.Sprintf("%s lacks the key `%s`", name(o.path), key),
			Allowed: r.allowedAt(m, key),
		})
	}
}

// allowedAt describes what a schema takes under a key, "" when it says nothing.
func (r *report) allowedAt(m map[string]any, key string) string {
	properties, _ := m["properties"].(map[string]any)
	if properties[key] == nil {
		return ""
	}
	return r.describe([]any{properties[key]})
}

func (r *report) missingWith(o violation, node *document.Node) {
	m, _ := o.schema.(map[string]any)
	needs, _ := m["dependentRequired"].(map[string]any)
	for _, key := range node.Keys() {
		list, _ := needs[key].([]any)
		for _, one := range list {
			if node.Get(fmt.Sprint(one)) == nil {
				r.add(o.path, weightOther, document.Fault{
					What: fmt.Sprintf("%s has the key `%s` and lacks `%v`, which goes with it", name(o.path), key, one),
				})
			}
		}
	}
}

// wrongWord reports a word that is none of the allowed ones; or says what
// could stand there beside them.
func (r *report) wrongWord(path []string, node *document.Node, words []any, or string) {
	allowed := texts(words)
	f := document.Fault{
		What:    fmt.Sprintf("%s cannot be `%s`", name(path), text(node)),
		Allowed: strings.Join(allowed, ", "),
	}
	if or != "" {
		f.Allowed += "; or " + or
	}
	if node.Kind != document.Scalar {
		f.What = fmt.Sprintf("%s cannot be a %s", name(path), node.Kind)
	} else if near := nearest.Word(node.Value, allowed); near != "" {
		f.DidYouMean = "`" + near + "`"
	}
	r.add(path, weightWord, f)
}

// texts writes words of a schema, each once.
func texts(words []any) []string {
	var out []string
	for _, w := range words {
		if t := fmt.Sprint(w); !slices.Contains(out, t) {
			out = append(out, t)
		}
	}
	return out
}

// text of a scalar for a message, not longer than a line.
func text(node *document.Node) string {
	if runes := []rune(node.Value); len(runes) > 40 {
		return string(runes[:40]) + "…"
	}
	return node.Value
}

func join(path []string, key string) []string {
	return append(slices.Clip(slices.Clone(path)), key)
}

// wrongType reports a value of a type that none of the schemas takes.
func (r *report) wrongType(path []string, node *document.Node, schemas []any) {
	f := document.Fault{Allowed: r.describe(schemas)}
	number := node.Kind == document.Scalar && node.Tag == document.Number
	written, wantsQuantity := r.wantedQuantity(schemas)
	switch {
	case number && wantsQuantity:
		r.bareNumber(path, node, written)
		return
	case node.Kind != document.Scalar:
		f.What = fmt.Sprintf("%s is a %s", name(path), node.Kind)
	case node.Tag == document.Null:
		f.What = fmt.Sprintf("%s has nothing behind it", name(path))
	case number && typeOf(node.Any()) == "string":
		f.What = fmt.Sprintf("`%s`: YAML readers differ about this number", text(node))
	case number:
		f.What = fmt.Sprintf("%s is the number %s", name(path), text(node))
	case node.Tag == document.Bool:
		f.What = fmt.Sprintf("%s is the value %s", name(path), text(node))
	default:
		f.What = fmt.Sprintf("%s is the text `%s`", name(path), text(node))
	}
	r.add(path, weightOther, f)
}

func (r *report) wantedQuantity(schemas []any) (spelling, bool) {
	for _, s := range schemas {
		if written, ok := r.v.spelling(s); ok {
			return written, true
		}
	}
	return spelling{}, false
}

// bareNumber says how a number is written as a quantity, or that a decimal
// comma split one in a list.
func (r *report) bareNumber(path []string, node *document.Node, written spelling) {
	if list := r.doc.Lookup(path[:max(0, len(path)-1)]...); list != nil && list.Kind == document.List {
		var items []string
		for _, item := range list.Items {
			items = append(items, item.Value)
		}
		if mended := quantity.CommaSplit(items); mended != "" {
			r.add(path, weightOther, document.Fault{
				What:       fmt.Sprintf("%d values, did a comma split one?", len(items)),
				Allowed:    "a decimal point, or quotes round the quantity",
				DidYouMean: "`" + mended + "`",
			})
			return
		}
	}
	r.add(path, weightOther, document.Fault{
		What:    fmt.Sprintf("%s is a bare number: write %q", name(path), written.with(node.Value)),
		Allowed: written.allowed,
	})
}

// describe says what schemas take, in the words of the document.
func (r *report) describe(schemas []any) string {
	var out []string
	say := func(s string) {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	for _, s := range schemas {
		if words := r.branchWords(s); len(words) > 0 {
			say(strings.Join(texts(words), ", "))
			continue
		}
		written, isQuantity := r.v.spelling(s)
		for _, t := range r.v.types(s) {
			switch {
			case t == "string" && isQuantity:
				say(fmt.Sprintf("%s such as %s", written.name, written.example))
			case t == "object" && len(r.v.keys(s, true)) > 0:
				say("a map with " + strings.Join(r.v.keys(s, true), ", "))
			default:
				say(typeNames[t])
			}
		}
	}
	return strings.Join(out, "; or ")
}

var typeNames = map[string]string{
	"object": "a map of keys and values", "array": "a list", "string": "a text", "number": "a number",
	"integer": "a whole number", "boolean": "true or false", "null": "nothing",
}
