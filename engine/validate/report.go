package validate

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fallrule/engine/document"

	"github.com/santhosh-tekuri/jsonschema/v5"
)

// report turns the library's tree of violations into faults. It takes from it
// the two locations only; every name is looked up again in the schema and in
// the document.
type report struct {
	v      *Validator
	doc    *document.Document
	faults []document.Fault
	weight int // how far the value is from the schema, to choose a branch by
}

// violation is one leaf: the keyword, the schema object it stands in, and the
// path of the value it was held against.
type violation struct {
	keyword string
	schema  any
	within  []string // path of the schema object
	path    []string // of the value, in the document
	isKey   bool     // it is about the key that ends path, not about its value
}

func (r *report) walk(e *jsonschema.ValidationError) {
	keyword := pointer(e.AbsoluteKeywordLocation)
	if isChoice(keyword) && len(e.Causes) > 0 {
		r.choose(e, keyword)
		return
	}
	if len(e.Causes) > 0 && !isKeyword(keyword, "minContains") {
		for _, cause := range e.Causes {
			r.walk(cause)
		}
		return
	}
	r.leaf(r.violation(e))
}

// isKeyword tells a keyword from a property or definition of the same name.
func isKeyword(path []string, keyword string) bool {
	n := len(path)
	if n == 0 || path[n-1] != keyword {
		return false
	}
	return n == 1 || !slices.Contains([]string{"properties", "$defs", "definitions", "patternProperties", "dependentSchemas"}, path[n-2])
}

func isChoice(path []string) bool { return isKeyword(path, "anyOf") || isKeyword(path, "oneOf") }

func (r *report) violation(e *jsonschema.ValidationError) violation {
	full := pointer(e.AbsoluteKeywordLocation)
	o := violation{path: pointer(e.InstanceLocation)}
	o.isKey = aboutKey(pointer(e.KeywordLocation))
	n := len(full)
	switch {
	case r.v.at(full) == false && !isKeyword(full, "additionalProperties"): // a schema that takes nothing
		o.keyword, o.within = "false", full[:max(0, n-1)]
		if n > 1 && full[n-2] == "properties" {
			o.within = full[:n-2]
		}
	case n >= 3 && isKeyword(full[:n-2], "dependentRequired"):
		o.keyword, o.within = "dependentRequired", full[:n-3]
	case n > 0:
		o.keyword, o.within = full[n-1], full[:n-1]
	}
	o.schema = r.v.at(o.within)
	return o
}

// aboutKey tells whether a schema for the names of keys was at work.
func aboutKey(path []string) bool {
	for i := range path {
		if isKeyword(path[:i+1], "propertyNames") {
			return true
		}
	}
	return false
}

// choose reports on a value that fits none of several schemas: on the one that
// is meant, as far as the value's type and the number of faults tell.
func (r *report) choose(e *jsonschema.ValidationError, keyword []string) {
	branches, _ := r.v.at(keyword).([]any)
	path := pointer(e.InstanceLocation)
	node := r.doc.Lookup(path...)
	if node == nil {
		return
	}
	t := typeOf(node.Any())
	var best *report
	var words, others []any
	onlyWords, fitting := true, 0
	for i, branch := range branches {
		if !fits(t, r.v.types(branch)) {
			others = append(others, branch)
			continue
		}
		fitting++
		own := r.branchWords(branch)
		words, onlyWords = append(words, own...), onlyWords && len(own) > 0
		try := &report{v: r.v, doc: r.doc}
		for _, cause := range e.Causes {
			if belongs(cause.KeywordLocation, e.KeywordLocation, i) {
				try.walk(cause)
			}
		}
		if len(try.faults) > 0 && (best == nil || try.weight < best.weight) {
			best = try
		}
	}
	switch {
	case fitting == 0:
		r.wrongType(path, node, branches)
	case onlyWords && t != "object" && t != "array":
		r.wrongWord(path, node, words, r.describe(others))
	case best != nil:
		r.faults = append(r.faults, best.faults...)
		r.weight += best.weight
	default:
		r.add(path, 1, document.Fault{What: fmt.Sprintf("%s fits none of the forms it can have", name(path))})
	}
}

// branchWords are the words a branch allows, wherever it refers to them.
func (r *report) branchWords(branch any) []any {
	for _, m := range r.v.schemas(branch, false) {
		if words := wordsOf(m); len(words) > 0 {
			return words
		}
	}
	return nil
}

// belongs tells whether a violation lies in the i-th schema of a choice.
func belongs(location, choice string, i int) bool {
	prefix := choice + "/" + strconv.Itoa(i)
	return location == prefix || strings.HasPrefix(location, prefix+"/")
}

// add notes a fault at the place of path.
func (r *report) add(path []string, weight int, f document.Fault) {
	if f.At.Line == 0 {
		f.At = r.doc.Position(path...)
	}
	r.faults = append(r.faults, f)
	r.weight += weight
}

// name is how a message calls the value at path.
func name(path []string) string {
	if len(path) == 0 {
		return "the document"
	}
	last := path[len(path)-1]
	if i, err := strconv.Atoi(last); err == nil && len(path) > 1 {
		return fmt.Sprintf("value %d of %s", i+1, name(path[:len(path)-1]))
	}
	return "`" + last + "`"
}
