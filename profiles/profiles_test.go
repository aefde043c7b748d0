package profiles_test

import (
	"context"
	"io/fs"
	"slices"
	"testing"

	"fallrule/engine/profile"
	"fallrule/profiles"
	"fallrule/schema"
)

// regions are the profiles that come with the tool.
func regions(t *testing.T) []string {
	t.Helper()
	items, err := fs.ReadDir(profiles.FS, ".")
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, item := range items {
		if item.IsDir() && item.Name() != "lib" {
			ids = append(ids, item.Name())
		}
	}
	return ids
}

func load(t *testing.T, ids ...string) *profile.Set {
	t.Helper()
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	set, err := profile.Load(context.Background(), profiles.FS, ids, cat)
	if err != nil {
		t.Fatalf("load %v:\n%v", ids, err)
	}
	return set
}

// Each profile is a test of its own: a fault in one hides nothing of another.
// Source of the expected verdicts: the clause on each rule's first line.
func TestExamples(t *testing.T) {
	for _, id := range regions(t) {
		t.Run(id, func(t *testing.T) {
			tried, err := load(t, id).Try(context.Background())
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range tried.Faults {
				t.Error(fault)
			}
			for _, fault := range tried.Unheld {
				t.Error(fault)
			}
			t.Logf("%d rules, %d examples, %d with a fact forgotten", tried.Rules, tried.Examples, tried.Forgotten)
			if tried.Examples < 4*tried.Rules || tried.Forgotten < tried.Examples {
				t.Error("too few examples were tried")
			}
		})
	}
}

func TestAllProfilesLoadTogether(t *testing.T) {
	set := load(t, regions(t)...)
	for id, least := range map[string]int{
		"uk":            25,
		"es":            25,
		"eu_12056":      60,
		"ie":            20,
		"it":            25,
		"good_practice": 40,
		"us_irc":        60,
		"de":            45,
		"us_ipc":        45,
		"fr":            60,
	} {
		p := set.Profile(id)
		if p == nil {
			t.Errorf("there is no profile %s", id)
			continue
		}
		if len(p.Rules) < least {
			t.Errorf("profile %s has %d rules, should have %d", id, len(p.Rules), least)
		}
	}
	for country, id := range map[string]string{"gb": "uk", "es": "es", "us": "us_irc", "de": "de", "ie": "ie", "it": "it", "fr": "fr"} {
		if got, _ := set.ByCountry(country); got != id {
			t.Errorf("country %s is bound by %q, should be by %q", country, got, id)
		}
	}
	if _, found := set.ByCountry("xx"); found {
		t.Error("a country without a profile got one")
	}
}

// The tests in Rego: those of lib, and those of rules that are more than a
// table.
func TestRego(t *testing.T) {
	ran, faults, err := profile.TestRego(context.Background(), profiles.FS, regions(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range faults {
		t.Error(fault)
	}
	if len(ran) == 0 {
		t.Error("no test in Rego ran")
	}
	for _, want := range []string{"data.test.lib.table", "data.test.lib.collect"} {
		if !slices.ContainsFunc(ran, func(name string) bool { return len(name) > len(want) && name[:len(want)] == want }) {
			t.Errorf("no test of package %s ran", want)
		}
	}
}

func TestRegoIsFormatted(t *testing.T) {
	files, seen, err := profile.Unformatted(profiles.FS)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		t.Errorf("%s is not formatted as `opa fmt` does", name)
	}
	if seen < 4 {
		t.Errorf("saw %d Rego files only", seen)
	}
}
