package validate

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/document/nearest"
	"fallrule/engine/quantity"
)

// bounds are the keywords that a figure belongs to: what is said to be wrong
// and what is allowed.
var bounds = map[string]struct{ what, allowed string }{
	"minimum":          {"%s is too small: %s", "%v or more"},
	"maximum":          {"%s is too great: %s", "%v or less"},
	"exclusiveMinimum": {"%s is too small: %s", "more than %v"},
	"exclusiveMaximum": {"%s is too great: %s", "less than %v"},
	"multipleOf":       {"%s is no whole multiple: %s", "a multiple of %v"},
	"minLength":        {"%s is too short: `%s`", "%v characters or more"},
	"maxLength":        {"%s is too long: `%s`", "%v characters or less"},
	"minItems":         {"%s has too few values: %s", "%v or more"},
	"maxItems":         {"%s has too many values: %s", "%v or less"},
	"minProperties":    {"%s has too few keys: %s", "%v or more"},
	"maxProperties":    {"%s has too many keys: %s", "%v or less"},
}

// bound reports the keywords that hold a value to a figure or a form.
func (r *report) bound(o violation, node *document.Node) {
	m, _ := o.schema.(map[string]any)
	if b, ok := bounds[o.keyword]; ok {
		f := document.Fault{
			What:    fmt.Sprintf(b.what, name(o.path), size(node)),
			Allowed: fmt.Sprintf(b.allowed, m[o.keyword]),
		}
		if mended := quantity.CommaSplit(values(node)); o.keyword == "maxItems" && mended != "" {
			f.What += ", did a comma split one?"
			f.DidYouMean = "`" + mended + "`"
		}
		r.add(o.path, weightOther, f)
		return
	}
	f := document.Fault{What: fmt.Sprintf("%s does not have the form it should", name(o.path)), Allowed: form(m, o.keyword)}
	switch o.keyword {
	case "pattern", "format":
		f.What = fmt.Sprintf("%s is not written as it should be: `%s`", name(o.path), text(node))
	case "uniqueItems":
		f.What, f.Allowed = fmt.Sprintf("%s has a value twice", name(o.path)), "each value once"
	case "minContains", "contains":
		f.What = fmt.Sprintf("%s lacks a value it must have", name(o.path))
	case "not":
		f.What = fmt.Sprintf("%s stands in a form that is not allowed", name(o.path))
	}
	r.add(o.path, weightOther, f)
}

// form describes what is wanted: by examples of the schema, its description,
// or the pattern.
func form(m map[string]any, keyword string) string {
	if examples, _ := m["examples"].([]any); len(examples) > 0 {
		return strings.Join(texts(examples), ", ")
	}
	if says, _ := m["description"].(string); says != "" {
		return says
	}
	if one, ok := m[keyword].(string); ok {
		return one
	}
	return ""
}

// size of a value, as far as a bound can be about it.
func size(node *document.Node) string {
	switch node.Kind {
	case document.List:
		return fmt.Sprint(len(node.Items))
	case document.Map:
		return fmt.Sprint(len(node.Pairs))
	}
	return text(node)
}

func values(node *document.Node) []string {
	var out []string
	for _, item := range node.Items {
		out = append(out, item.Value)
	}
	return out
}

// wrongKeyName reports a key whose name is not allowed.
func (r *report) wrongKeyName(o violation) {
	key := o.path[len(o.path)-1]
	m, _ := o.schema.(map[string]any)
	f := document.Fault{What: fmt.Sprintf("`%s` cannot be a key here", key), Allowed: form(m, o.keyword)}
	if words := texts(wordsOf(m)); len(words) > 0 {
		slices.Sort(words)
		f.Allowed = strings.Join(words, ", ")
		if near := nearest.Word(key, words); near != "" {
			f.DidYouMean = "`" + near + "`"
		}
	}
	r.add(o.path, weightKey, f)
}
