package profile

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"runtime/metrics"
	"slices"
	"sync"
	"time"

	"github.com/open-policy-agent/opa/v1/ast"
	"github.com/open-policy-agent/opa/v1/rego"
	"github.com/open-policy-agent/opa/v1/storage"
	"github.com/open-policy-agent/opa/v1/storage/inmem"

	"fallrule/schema"
)

// builtins are all that a profile may call: deterministic, without network,
// clock, environment or files, and none whose cost a short text can blow up
// (no ranges, formats, patterns or replacements).
var builtins = []string{
	"eq", "assign", "equal", "neq", "lt", "lte", "gt", "gte", "internal.member_2", "internal.member_3",
	"plus", "minus", "mul", "div", "rem", "abs", "round", "ceil", "floor",
	"and", "or", "union", "intersection", "count", "sum", "max", "min", "sort",
	"array.concat", "array.slice", "array.reverse",
	"object.get", "object.keys", "object.remove", "object.filter", "object.union", "graph.reachable",
	"concat", "split", "startswith", "endswith", "contains", "lower", "trim_prefix", "trim_suffix",
	"is_string", "is_number", "is_boolean", "is_array", "is_set", "is_object", "is_null",
}

// capabilities is what this version of the engine can do, less the built-ins
// that are not on the list, and with no host to fetch from.
var capabilities = sync.OnceValue(func() *ast.Capabilities {
	caps := ast.CapabilitiesForThisVersion()
	caps.Builtins = slices.DeleteFunc(caps.Builtins, func(b *ast.Builtin) bool { return !slices.Contains(builtins, b.Name) })
	caps.AllowNet = []string{}
	return caps
})

// The limits of one evaluation. A layout takes milliseconds.
const (
	maxTime   = 30 * time.Second
	maxMemory = 1 << 30 // bytes of heap beyond what there was
	sampling  = 20 * time.Millisecond
)

// evaluator is the compiled rules and one prepared query a profile.
type evaluator struct {
	compiler  *ast.Compiler
	store     storage.Store
	asked     map[string]rego.PreparedEvalQuery
	maxMemory uint64
}

// compile checks types against the schema of the rules' input, strictly.
func compile(ctx context.Context, src *source, set *Set) (*evaluator, error) {
	c, err := compiler(src.modules)
	if err != nil {
		return nil, err
	}
	e := &evaluator{
		compiler: c, store: inmem.NewFromObjectWithOpts(src.data, inmem.OptReturnASTValuesOnRead(true)),
		asked: map[string]rego.PreparedEvalQuery{}, maxMemory: maxMemory,
	}
	for _, id := range set.ids {
		if set.profiles[id] == nil {
			continue
		}
		if e.asked[id], err = e.prepare(ctx, fmt.Sprintf("data.fallrule.asked[%q]", id)); err != nil {
			return nil, err
		}
	}
	return e, nil
}

func compiler(modules map[string]*ast.Module) (*ast.Compiler, error) {
	c, err := schemed()
	if err != nil {
		return nil, err
	}
	if c.Compile(modules); c.Failed() {
		return nil, c.Errors
	}
	return c, nil
}

// schemed is a strict compiler that knows the rules' input: a misspelt field
// does not compile.
func schemed() (*ast.Compiler, error) {
	var input any
	if err := json.Unmarshal(schema.Input, &input); err != nil {
		return nil, fmt.Errorf("read the schema of the rules' input: %w", err)
	}
	schemas := ast.NewSchemaSet()
	schemas.Put(ast.SchemaRootRef, input)
	return ast.NewCompiler().WithCapabilities(capabilities()).WithStrict(true).WithSchemas(schemas), nil
}

func (e *evaluator) prepare(ctx context.Context, query string) (rego.PreparedEvalQuery, error) {
	q, err := rego.New(rego.Query(query), rego.Compiler(e.compiler), rego.Store(e.store)).PrepareForEval(ctx)
	if err != nil {
		return q, fmt.Errorf("prepare %s: %w", query, err)
	}
	return q, nil
}

// eval runs a prepared query within the limits of time and memory and gives
// its one value, nil when it is undefined. The value stays in the policy
// engine's form: what like subjects are asked is one thing there, and would be
// copied for each of them on the way out.
func (e *evaluator) eval(ctx context.Context, q rego.PreparedEvalQuery, input ast.Value) (ast.Value, error) {
	ctx, stop := context.WithTimeoutCause(ctx, maxTime, fmt.Errorf("the rules took longer than %s", maxTime))
	defer stop()
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	go e.watch(ctx, cancel)
	asItIs := func(t *ast.Term, _ *rego.EvalContext) (any, error) { return t.Value, nil }
	results, err := q.Eval(ctx, rego.EvalParsedInput(input), rego.EvalGenerateJSON(asItIs))
	if err != nil {
		if cause := context.Cause(ctx); cause != nil {
			err = cause
		}
		return nil, fmt.Errorf("ask the profiles: %w", err)
	}
	if len(results) == 0 || len(results[0].Expressions) == 0 {
		return nil, nil
	}
	value, _ := results[0].Expressions[0].Value.(ast.Value)
	return value, nil
}

// member gives the value at a path of keys, nil when there is none.
func member(v ast.Value, path ...string) ast.Value {
	for _, key := range path {
		obj, ok := v.(ast.Object)
		if !ok {
			return nil
		}
		t := obj.Get(ast.StringTerm(key))
		if t == nil {
			return nil
		}
		v = t.Value
	}
	return v
}

// watch cancels an evaluation that grows beyond the limit. Nothing else bounds
// memory inside a process.
func (e *evaluator) watch(ctx context.Context, cancel context.CancelCauseFunc) {
	start := heap()
	tick := time.NewTicker(sampling)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			if now := heap(); now > start && now-start > e.maxMemory {
				cancel(fmt.Errorf("the rules took more than %d MiB of memory", e.maxMemory>>20))
				return
			}
		}
	}
}

func heap() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}

// asInput turns what the engine made for the rules into the policy engine's
// form.
func asInput(input any) (ast.Object, error) {
	v, err := ast.InterfaceToValue(input)
	if err != nil {
		return nil, fmt.Errorf("read the rules' input: %w", err)
	}
	obj, ok := v.(ast.Object)
	if !ok {
		return nil, errors.New("read the rules' input: it is no object of lists")
	}
	return obj, nil
}

// idsOf lists the ids in one list of the input.
func idsOf(input ast.Object, kind string) map[string]bool {
	ids := map[string]bool{}
	items, _ := member(input, kind).(*ast.Array)
	if items == nil {
		return ids
	}
	items.Foreach(func(item *ast.Term) {
		if id, ok := member(item.Value, "id").(ast.String); ok {
			ids[string(id)] = true
		}
	})
	return ids
}
