package profile

import (
	"context"
	"io/fs"
	"os"
	"path"
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
	if tried.Rules != 4 || tried.Examples != 27 {
		t.Errorf("tried %d rules and %d examples", tried.Rules, tried.Examples)
	}
	if tried.Forgotten < 100 {
		t.Errorf("only %d facts were forgotten", tried.Forgotten)
	}
}
