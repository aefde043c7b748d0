package profile

import (
	"context"
	"io/fs"
	"os"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"fallrule/profiles"
	"fallrule/schema"
)

// withLib is the sound profiles of testdata/profiles as a file system, with the
// lib that all profiles share, and over them the files of another folder.
func withLib(t *testing.T, folder string) fs.FS {
	t.Helper()
	out := fstest.MapFS{}
	add := func(from fs.FS, root string) {
		err := fs.WalkDir(from, root, func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			src, err := fs.ReadFile(from, name)
			out[name] = &fstest.MapFile{Data: src}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	add(profiles.FS, lib)
	for _, folder := range []string{"sound", folder} {
		add(os.DirFS(path.Join("..", "..", "testdata", "profiles", folder)), ".")
	}
	return out
}

func catalogue(t testing.TB) schema.Catalogue {
	t.Helper()
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	return cat
}

func sound(t *testing.T, ids ...string) *Set {
	t.Helper()
	set, err := Load(context.Background(), withLib(t, "sound"), ids, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func TestExamplesOfSoundProfiles(t *testing.T) {
	tried, err := sound(t, "north", "village").Try(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range tried.Faults {
		t.Error(fault)
	}
	want := []string{"at_most 25 mm/m of fall", "above 0 of open_vents", "at_least 100 mm of bore"}
	if len(tried.Unheld) != len(want) {
		t.Errorf("limits that no example holds: %v", tried.Unheld)
	}
	for _, limit := range want {
		if !strings.Contains(tried.Unheld.Error(), limit) {
			t.Errorf("%s is not told as held by no example", limit)
		}
	}
	if tried.Rules != 4 || tried.Examples != 27 {
		t.Errorf("tried %d rules and %d examples", tried.Rules, tried.Examples)
	}
	if tried.Forgotten < 100 {
		t.Errorf("only %d facts were forgotten", tried.Forgotten)
	}
}

// The runner must see what it is there for: a scope that forgetting shrinks, a
// pass by forgetting, a wrong example, a verdict that no example shows.
func TestTryFindsFaults(t *testing.T) {
	set, err := Load(context.Background(), withLib(t, "forgetful"), []string{"north"}, catalogue(t))
	if err != nil {
		t.Fatal(err)
	}
	tried, err := set.Try(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"north/rules/eager/data.yaml:7: example 2: with pumped unknown it meets, and was breaks",
		"north/rules/eager/data.yaml:8: example 3: with pumped unknown it meets, and was cannot_tell",
		"north/rules/leaky/data.yaml:4: no example shows the verdict breaks",
		"north/rules/leaky/data.yaml:5: example 1: with kind unknown the subject leaves the rule's scope",
		"north/rules/leaky/data.yaml:6: example 2: is breaks, must be meets (",
		"north/rules/leaky/data.yaml:6: example 2: with kind unknown the subject leaves the rule's scope",
		"north/rules/leaky/data.yaml:7: example 3: needs has_trap, must need overflow",
		"north/rules/leaky/data.yaml:7: example 3: with kind unknown the subject leaves the rule's scope",
	}
	if len(tried.Faults) != len(want) {
		t.Fatalf("says\n%s", tried.Faults)
	}
	for i, fault := range tried.Faults {
		if !strings.HasPrefix(fault.String(), want[i]) {
			t.Errorf("says %s, want %s", fault, want[i])
		}
	}
}
