package profile

import (
	"slices"
	"strings"

	"github.com/open-policy-agent/opa/v1/ast"

	"fallrule/engine/document/nearest"
)

// lintWords finds closed words that are misspelt in a comparison: the compiler
// checks that x.place exists, not that it can be "outsid".
func lintWords(src *source, m *ast.Module, in facts) {
	for _, r := range m.Rules {
		kinds := kindsOfVars(r)
		ast.WalkTerms(r, func(t *ast.Term) bool {
			if call, ok := t.Value.(ast.Call); ok {
				lintCall(src, []*ast.Term(call), kinds, in)
			}
			return false
		})
		ast.WalkExprs(r, func(e *ast.Expr) bool {
			if terms, ok := e.Terms.([]*ast.Term); ok {
				lintCall(src, terms, kinds, in)
			}
			return false
		})
	}
}

// kindsOfVars tells, for `some b in input.branches`, that b is a branch.
func kindsOfVars(r *ast.Rule) map[string]string {
	kinds := map[string]string{}
	ast.WalkTerms(r, func(t *ast.Term) bool {
		call, ok := t.Value.(ast.Call)
		if ok && len(call) >= 3 && strings.HasPrefix(call[0].Value.String(), "internal.member_") {
			v, list := call[len(call)-2], call[len(call)-1]
			if ref, ok := list.Value.(ast.Ref); ok && len(ref) == 2 && ref[0].Value.Compare(ast.InputRootDocument.Value) == 0 {
				kinds[v.Value.String()] = constant(ref[1])
			}
		}
		return false
	})
	return kinds
}

// lintCall looks at one comparison.
func lintCall(src *source, terms []*ast.Term, kinds map[string]string, in facts) {
	if len(terms) != 3 {
		return
	}
	switch terms[0].Value.String() {
	case "equal", "neq", "eq", "internal.member_2":
	default:
		return
	}
	a, b := terms[1], terms[2]
	if constant(a) != "" {
		a, b = b, a
	}
	ref, ok := a.Value.(ast.Ref)
	if !ok || len(ref) < 2 {
		return
	}
	field := constant(ref[len(ref)-1])
	enum := in.closed(field)
	if len(ref) == 2 && kinds[ref[0].Value.String()] != "" {
		enum = in[kinds[ref[0].Value.String()]][field]
	}
	if enum == nil {
		return
	}
	for _, word := range constants(b) {
		if w := constant(word); !slices.Contains(enum, w) {
			src.fault(word.Location.File, word.Location.Row, notAmong("word of "+field, w, enum))
		}
	}
}

func constant(t *ast.Term) string {
	s, _ := t.Value.(ast.String)
	return string(s)
}

// constants are the texts that a term is or lists.
func constants(t *ast.Term) []*ast.Term {
	var out []*ast.Term
	keep := func(item *ast.Term) {
		if constant(item) != "" {
			out = append(out, item)
		}
	}
	switch v := t.Value.(type) {
	case ast.String:
		keep(t)
	case ast.Set:
		v.Foreach(keep)
	case *ast.Array:
		v.Foreach(keep)
	}
	return out
}

// rowKeys are what a function of a rule may read of a row or an entry.
var rowKeys = []string{"need", "basis", "clause", "note", "for", "any", "of", "why", "by", "because", "needs", "when",
	"at_least", "at_most", "above", "below", "one_of"}

// lintFields finds facts that are misspelt where a function reads them of its
// argument: the compiler does not know what the argument will be.
func lintFields(src *source, m *ast.Module, in facts) {
	var all []string
	for _, kind := range in.kinds() {
		all = append(all, in.fields(kind)...)
	}
	for _, r := range m.Rules {
		args := map[string]bool{}
		for _, arg := range r.Head.Args {
			args[arg.Value.String()] = true
		}
		ast.WalkRefs(r, func(ref ast.Ref) bool {
			if len(ref) < 2 || !args[ref[0].Value.String()] {
				return false
			}
			field := constant(ref[1])
			if field == "" || slices.Contains(all, field) || slices.Contains(rowKeys, field) {
				return false
			}
			if nearest.Word(field, all) != "" {
				src.fault(ref[1].Location.File, ref[1].Location.Row, notAmong("fact", field, all))
			}
			return false
		})
	}
}
