package layout_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/engine/layout"
	"fallrule/engine/validate"
	"fallrule/schema"

	"go.yaml.in/yaml/v4"
)

const broken = "../../testdata/broken"

// faultsOf reads a document as far as it can be read: a file that readers of
// YAML take differently is not held against the schema, and a form that is
// wrong is not asked for its sense.
func faultsOf(t *testing.T, v *validate.Validator, path string) []string {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := document.Read(filepath.Base(path), raw)
	if !document.Refused(faults) {
		faults = append(faults, v.Document(doc)...)
	}
	// It is read even when its form is wrong: that must not panic.
	if _, more := layout.Read(doc); !document.Refused(faults) {
		faults = append(faults, more...)
	}
	var lines []string
	for _, f := range document.Sort(faults) {
		lines = append(lines, f.String())
	}
	return lines
}

// Every broken document gets exactly the faults that stand in expected.yaml: a
// person read each for what is wrong, what is allowed and what may be meant.
// A last line "… and N more" stands for further faults of the same sort.
func TestBrokenDocuments(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join(broken, "expected.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var expected map[string][]string
	if err := yaml.Unmarshal(raw, &expected); err != nil {
		t.Fatal(err)
	}
	v := layouts(t)
	seen := 0
	for _, path := range brokenFiles(t) {
		name := filepath.Base(path)
		t.Run(name, func(t *testing.T) {
			want := expected[name]
			if len(want) == 0 {
				t.Fatalf("expected.yaml says nothing of it")
			}
			if got := shorten(faultsOf(t, v, path), want); !slices.Equal(got, want) {
				t.Errorf("got:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		})
		seen++
	}
	if seen != len(expected) || seen < 24 {
		t.Errorf("%d broken documents, %d in expected.yaml", seen, len(expected))
	}
}

func layouts(t *testing.T) *validate.Validator {
	t.Helper()
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func brokenFiles(t *testing.T) []string {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(broken, "*.*"))
	if err != nil {
		t.Fatal(err)
	}
	return slices.DeleteFunc(paths, func(path string) bool { return filepath.Base(path) == "expected.yaml" })
}

// shorten writes "… and N more" where the expected lines end with it.
func shorten(got, want []string) []string {
	n := len(want) - 1
	if n < 0 || !strings.HasPrefix(want[n], "… and ") || len(got) <= n {
		return got
	}
	return append(slices.Clone(got[:n]), fmt.Sprintf("… and %d more", len(got)-n))
}
