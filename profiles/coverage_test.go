package profiles_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"go.yaml.in/yaml/v4"
)

// entry of a clause ledger: exactly one of Rule, Measure and LeftOut tells what
// became of the clause. Open is what of a judged clause is not judged.
type entry struct {
	Clause  string   `yaml:"clause"`
	Rule    []string `yaml:"rule"`
	Measure string   `yaml:"measure"`
	LeftOut string   `yaml:"left_out"`
	Open    string   `yaml:"open"`
}

// ledger of a region, by our own label of each clause.
func ledger(t *testing.T, path string) map[string]entry {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	var doc struct {
		Clauses map[string]entry `yaml:"clauses"`
	}
	decoder := yaml.NewDecoder(file)
	decoder.KnownFields(true)
	if err := decoder.Decode(&doc); err != nil {
		t.Fatalf("read %s: %v", path, err)
	}
	return doc.Clauses
}

// fault of an entry, empty if it is sound.
func (e entry) fault() string {
	fates := 0
	for _, told := range []bool{len(e.Rule) > 0, e.Measure != "", e.LeftOut != ""} {
		if told {
			fates++
		}
	}
	switch {
	case strings.TrimSpace(e.Clause) == "":
		return "has no clause"
	case fates != 1:
		return "must have exactly one of rule, measure and left_out"
	case e.Open != "" && len(e.Rule) == 0:
		return "has open without a rule"
	}
	return ""
}

// Every clause that was collected for a region has a fate, and every rule a
// clause: nothing is judged without a ground, nothing forgotten in silence.
// Source: the clause ledgers, which were made beside the rules.
func TestCoverage(t *testing.T) {
	files, err := filepath.Glob("../testdata/coverage/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 2 {
		t.Fatalf("there are %d clause ledgers, should be one each for es and uk", len(files))
	}
	for _, path := range files {
		region := strings.TrimSuffix(filepath.Base(path), ".yaml")
		t.Run(region, func(t *testing.T) {
			p := load(t, region).Profile(region)
			var rules, named []string
			for _, rule := range p.Rules {
				rules = append(rules, rule.ID)
			}
			for label, e := range ledger(t, path) {
				if fault := e.fault(); fault != "" {
					t.Errorf("%s %s", label, fault)
				}
				for _, rule := range e.Rule {
					if !slices.Contains(rules, rule) {
						t.Errorf("%s names the rule %s, which does not exist", label, rule)
					}
				}
				named = append(named, e.Rule...)
			}
			for _, rule := range rules {
				if !slices.Contains(named, rule) {
					t.Errorf("the rule %s stands at no clause", rule)
				}
			}
		})
	}
}

// The check itself must see a ledger that is wrong.
func TestEntryFaults(t *testing.T) {
	for want, e := range map[string]entry{
		"": {Clause: "1", Rule: []string{"a"}, Open: "half of it"},
		"must have exactly one of rule, measure and left_out": {Clause: "1"},
		"has open without a rule":                             {Clause: "1", Measure: "a", Open: "b"},
		"has no clause":                                       {Rule: []string{"a"}},
	} {
		if got := e.fault(); got != want {
			t.Errorf("%+v: %q, should be %q", e, got, want)
		}
	}
	if e := (entry{Clause: "1", Rule: []string{"a"}, LeftOut: "b"}); e.fault() == "" {
		t.Error("an entry with two fates passes")
	}
}
