package engine

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

type goPackage struct {
	ImportPath   string
	Imports      []string
	TestImports  []string
	XTestImports []string
}

// Each heavy library has one door. Without a test it would spread.
var doors = map[string]string{
	"github.com/open-policy-agent/opa":         "fallrule/engine/profile",
	"github.com/hashicorp/go-plugin":           "fallrule/plugins/sdk",
	"github.com/santhosh-tekuri/jsonschema/v5": "fallrule/engine/validate",
}

// What a package may import of ours; what is not listed may import anything
// of ours that is below it.
var within = map[string][]string{
	"fallrule/plugins/sdk/plan":        {},
	"fallrule/plugins/geometry":        {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/discharge":       {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/fit":             {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/venting":         {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/timber":          {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/timber/ec5":      {},
	"fallrule/plugins/walls":           {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/records":         {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/supply":          {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/supply/pipeflow": {},
	"fallrule/plugins/backflow":        {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/air":             {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/hygiene":         {"fallrule/plugins/", "fallrule/schema"},
	"fallrule/plugins/interval":        {"fallrule/plugins/sdk/plan"},
	"fallrule/plugins/reply":           {"fallrule/plugins/sdk", "fallrule/plugins/sdk/plan", "fallrule/schema"},
	"fallrule/plugins/sizes":           {"fallrule/plugins/reply", "fallrule/plugins/sdk", "fallrule/plugins/sdk/plan"},
	"fallrule/plugins/course":          {"fallrule/plugins/interval", "fallrule/plugins/reply", "fallrule/plugins/sdk", "fallrule/plugins/sdk/plan"},
	"fallrule/plugins/sdk":             {"fallrule/plugins/sdk/"},
	"fallrule/engine/finding":          {},
	"fallrule/engine/document":         {"fallrule/engine/finding", "fallrule/engine/document/"},
	"fallrule/engine/judge":            {"fallrule/engine/finding", "fallrule/engine/quantity", "fallrule/schema"},
	"fallrule/engine/compare":          {"fallrule/engine/finding", "fallrule/engine/judge", "fallrule/engine/quantity", "fallrule/engine/report", "fallrule/schema"},
	"fallrule/engine/report":           {"fallrule/engine/finding"},
	"fallrule/engine/measure":          {"fallrule/engine/finding", "fallrule/plugins/", "fallrule/schema"},
	"fallrule/engine/profile":          {"fallrule/engine/finding", "fallrule/engine/judge", "fallrule/engine/quantity", "fallrule/engine/document/nearest", "fallrule/schema", "fallrule/profiles"},
	"fallrule/profiles":                {},
	"fallrule/schema":                  {},
}

func TestOneDoorForEachLibrary(t *testing.T) {
	seen := map[string]bool{}
	for _, p := range packages(t) {
		for _, imported := range slices.Concat(p.Imports, p.TestImports, p.XTestImports) {
			for library, door := range doors {
				if imported != library && !strings.HasPrefix(imported, library+"/") {
					continue
				}
				seen[library] = true
				if p.ImportPath != door {
					t.Errorf("%s imports %s, which only %s may", p.ImportPath, imported, door)
				}
			}
		}
	}
	for library := range doors {
		if !seen[library] {
			t.Errorf("nothing imports %s: this test looks at the wrong name", library)
		}
	}
}

func TestDataGoesOneWay(t *testing.T) {
	for _, p := range packages(t) {
		allowed, listed := within[p.ImportPath]
		if !listed {
			continue
		}
		for _, imported := range p.Imports {
			ours := strings.HasPrefix(imported, "fallrule/")
			if ours && !slices.ContainsFunc(allowed, func(a string) bool {
				return imported == a || strings.HasSuffix(a, "/") && strings.HasPrefix(imported, a)
			}) {
				t.Errorf("%s imports %s, and may not", p.ImportPath, imported)
			}
		}
	}
}

func packages(t *testing.T) []goPackage {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "fallrule/...").Output()
	if err != nil {
		t.Fatalf("list the packages: %v", err)
	}
	var all []goPackage
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p goPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
}
