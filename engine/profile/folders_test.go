package profile

import (
	"context"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"fallrule/profiles"
	"fallrule/schema"
)

// A check leaves out the examples of the profiles that come with the tool;
// that may change nothing else.
func TestProvenProfilesAskTheSame(t *testing.T) {
	cat, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	whole, err := Load(context.Background(), profiles.FS, []string{"es", "uk"}, cat)
	if err != nil {
		t.Fatal(err)
	}
	quick, err := Load(context.Background(), NewFolders(profiles.FS), []string{"es", "uk"}, cat)
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range whole.IDs() {
		if !reflect.DeepEqual(whole.Limits(id), quick.Limits(id)) || len(whole.Limits(id)) == 0 {
			t.Errorf("%s: the limits differ", id)
		}
		if !reflect.DeepEqual(whole.Profile(id).Rules, quick.Profile(id).Rules) {
			t.Errorf("%s: the rules differ", id)
		}
		for _, rule := range quick.Profile(id).Rules {
			if len(quick.profiles[id].tables[rule.ID].examples) != 0 || len(whole.profiles[id].tables[rule.ID].examples) == 0 {
				t.Errorf("%s/%s: examples are read where they should not be, or not where they should", id, rule.ID)
			}
		}
	}
}

func TestWithoutExamples(t *testing.T) {
	for _, c := range []struct{ name, src, want string }{
		{"last", "# x\nheader: {}\nexamples:\n  - {a: 1}\n# more\n  - b\n", "# x\nheader: {}\n"},
		{"in the middle", "# x\nexamples:\n- {a: 1}\n\n  b: 2\ntable: {}\n", "# x\ntable: {}\n"},
		{"none", "# x\ntable: {}\n", "# x\ntable: {}\n"},
		{"no line end", "# x\nexamples: [1]", "# x\n"},
	} {
		if got := string(withoutExamples([]byte(c.src))); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

func TestMount(t *testing.T) {
	base := NewFolders(profiles.FS)
	dir := filepath.Join(t.TempDir(), "village")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	both, id, err := base.Mount(dir)
	if err != nil || id != "village" {
		t.Fatal(id, err)
	}
	if both.Proven("village") || !both.Proven("es") {
		t.Error("a mounted folder is never proven, and what comes with the tool is")
	}
	ids, err := both.IDs()
	if err != nil || !strings.Contains(strings.Join(ids, " "), "village") {
		t.Error(ids, err)
	}
	taken := filepath.Join(t.TempDir(), "es")
	if err := os.Mkdir(taken, 0o755); err != nil {
		t.Fatal(err)
	}
	if _, _, err := base.Mount(taken); err == nil || !strings.Contains(err.Error(), "comes with the tool") {
		t.Errorf("a folder may not stand in for a profile that comes with the tool: %v", err)
	}
	if _, _, err := base.Mount(filepath.Join(t.TempDir(), "nowhere")); err == nil {
		t.Error("a folder that is not there")
	}
}
