package profile

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/open-policy-agent/opa/v1/ast"
	"github.com/open-policy-agent/opa/v1/storage/inmem"
)

// runaway counts the n^4 ways to pick four of the items of the input.
const runaway = `package runaway

ways := count([[a, b, c, d] |
	some a in input.branches
	some b in input.branches
	some c in input.branches
	some d in input.branches
])
`

func evaluate(ctx context.Context, t *testing.T, memory uint64, items int) (ast.Value, error) {
	t.Helper()
	m, err := ast.ParseModule("runaway.rego", runaway)
	if err != nil {
		t.Fatal(err)
	}
	c, err := compiler(map[string]*ast.Module{"runaway.rego": m})
	if err != nil {
		t.Fatal(err)
	}
	e := &evaluator{compiler: c, store: inmem.New(), maxMemory: memory}
	q, err := e.prepare(ctx, "data.runaway.ways")
	if err != nil {
		t.Fatal(err)
	}
	var list []any
	for i := range items {
		list = append(list, i)
	}
	in, err := asInput(map[string]any{"branches": list})
	if err != nil {
		t.Fatal(err)
	}
	return e.eval(ctx, q, in)
}

func TestEvaluationThatEndsIsLetEnd(t *testing.T) {
	if got, err := evaluate(context.Background(), t, maxMemory, 3); err != nil || got.String() != "81" {
		t.Errorf("%v, %v", got, err)
	}
}

func TestDeadlineStopsRules(t *testing.T) {
	ctx, stop := context.WithTimeout(context.Background(), 200*time.Millisecond)
	defer stop()
	start := time.Now()
	_, err := evaluate(ctx, t, maxMemory, 1000)
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("error %v", err)
	}
	if took := time.Since(start); took > 10*time.Second {
		t.Errorf("stopped after %s", took)
	}
}

func TestMemoryStopsRules(t *testing.T) {
	const little = 16 << 20
	_, err := evaluate(context.Background(), t, little, 1000)
	if err == nil || !strings.Contains(err.Error(), "more than 16 MiB of memory") {
		t.Errorf("error %v", err)
	}
}

// What reaches out of the process, what differs from run to run, and what a
// short text can make endless is not there.
func TestBuiltinsAreFew(t *testing.T) {
	have := map[string]*ast.Builtin{}
	for _, b := range capabilities().Builtins {
		have[b.Name] = b
		if b.IsNondeterministic() {
			t.Errorf("%s is not deterministic", b.Name)
		}
	}
	for _, name := range builtins {
		if have[name] == nil {
			t.Errorf("the policy engine has no %s", name)
		}
	}
	for _, name := range []string{"http.send", "net.lookup_ip_addr", "time.now_ns", "rand.intn", "uuid.rfc4122", "opa.runtime", "trace",
		"numbers.range", "sprintf", "replace", "net.cidr_expand", "regex.match", "io.jwt.decode_verify"} {
		if have[name] != nil || slices.Contains(builtins, name) {
			t.Errorf("a profile may call %s", name)
		}
	}
}
