package profile

import (
	"context"
	"fmt"
	"io/fs"
	"maps"
	"slices"

	"github.com/open-policy-agent/opa/v1/storage/inmem"
	"github.com/open-policy-agent/opa/v1/tester"
)

// TestRego runs the tests in Rego of lib and of the named profiles, within the
// limits that rules have. ran are the tests that passed, in order.
func TestRego(ctx context.Context, fsys fs.FS, ids []string) (ran []string, failed Faults, err error) {
	src := newSource(fsys)
	src.read(lib)
	for _, id := range ids {
		src.read(id)
	}
	if len(src.faults) > 0 {
		return nil, nil, src.faults.sorted()
	}
	modules := maps.Clone(src.modules)
	maps.Copy(modules, src.tests)
	c, err := schemed()
	if err != nil {
		return nil, nil, err
	}
	store := inmem.NewFromObject(src.data)
	txn, err := store.NewTransaction(ctx)
	if err != nil {
		return nil, nil, fmt.Errorf("run the tests in Rego: %w", err)
	}
	defer store.Abort(ctx, txn)
	results, err := tester.NewRunner().SetCompiler(c).SetStore(store).SetTimeout(maxTime).SetModules(modules).RunTests(ctx, txn)
	if err != nil {
		return nil, nil, fmt.Errorf("run the tests in Rego: %w", err)
	}
	for r := range results {
		name := r.Package + "." + r.Name
		switch {
		case r.Error != nil:
			failed = append(failed, Fault{r.Location.File, r.Location.Row, name + ": " + r.Error.Error()})
		case !r.Pass():
			failed = append(failed, Fault{r.Location.File, r.Location.Row, name + " fails"})
		default:
			ran = append(ran, name)
		}
	}
	slices.Sort(ran)
	return ran, failed.sorted(), nil
}
