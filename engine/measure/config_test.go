package measure

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestConfigStartsWhatItNames(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.Symlink(self, filepath.Join(dir, "survey")); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	path := filepath.Join(dir, ConfigName)
	text := "plugins:\n  good: {path: ./survey, timeout: 5 s, memory: 512 MiB}\n  gone: {path: /nowhere/plugin}\n"
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	sources, err := ReadConfig(path)
	if err != nil {
		t.Fatal(err)
	}
	list := Describe(context.Background(), sources, catalogue(t))
	if len(list) != 2 || list[0].Name != "good" || len(list[0].Quantities) != 1 || list[0].Path != filepath.Join(dir, "survey") {
		t.Errorf("%+v", list)
	}
	if list[1].Name != "gone" || !strings.Contains(list[1].Fault, "no such file") {
		t.Errorf("%+v", list[1])
	}
}

func TestConfigErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"plugin: {}", `p.yaml:1: unknown key "plugin", the file has: plugins`},
		{"plugins: [a]", "p.yaml:1: plugins: write keys with values"},
		{"plugins:\n  A b: {path: x}", `p.yaml:2: plugin: it is named "A b"`},
		{"plugins:\n  bundled: {path: x}", "p.yaml:2: plugin bundled: that name stands for"},
		{"plugins:\n  x: {}", "p.yaml:2: plugin x: no path"},
		{"plugins:\n  x: {path: a}\n  x: {path: b}", `p.yaml:3: plugins: "x" stands twice`},
		{"plugins:\n  x:\n    path: a\n    memory: 512", `p.yaml:4: plugin x: memory: "512" cannot be read, write it like 512 MiB`},
		{"plugins:\n  x:\n    path: a\n    timeout: 0 s", `p.yaml:4: plugin x: timeout: "0 s" cannot be read, write it like 10 s`},
		{"plugins:\n  x:\n    path: a\n    sha256: abc", `p.yaml:4: plugin x: sha256: "abc" is not 64 hexadecimal digits`},
		{"plugins:\n  x:\n    path: [a]", `p.yaml:3: plugin x: "path": write one value`},
		{"plugins:\n  x:\n    path: a\n    args: b", "p.yaml:4: plugin x: args: write a list"},
		{"plugins:\n  x:\n    path: a\n    env: b", `p.yaml:4: plugin x: unknown key "env"`},
		{"plugins: {", "read p.yaml:"},
	}
	for _, test := range tests {
		_, err := ParseConfig("p.yaml", []byte(test.text))
		if err == nil || !strings.HasPrefix(err.Error(), test.want) {
			t.Errorf("%q: %v, want %s", test.text, err, test.want)
		}
	}
}

func TestEmptyConfigNamesNoPlugin(t *testing.T) {
	for _, text := range []string{"", "# none yet\n", "plugins: {}\n"} {
		if sources, err := ParseConfig("p.yaml", []byte(text)); err != nil || len(sources) != 0 {
			t.Errorf("%q: %v, %v", text, sources, err)
		}
	}
}
