package starter

import (
	"embed"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v4"
)

// A language is one file: text.<language>.yaml.
//
//go:embed text.*.yaml
var files embed.FS

// texts are the comments of one language.
type texts struct {
	Head     []string                     `yaml:"head"`
	Examples map[string]map[string]string `yaml:"examples"`
	Keys     map[string]string            `yaml:"keys"`
	As       string                       `yaml:"as"`
}

func textsOf(language string) (texts, error) {
	if language == "" {
		language = "en"
	}
	raw, err := files.ReadFile("text." + language + ".yaml")
	if err != nil {
		return texts{}, fmt.Errorf("write a starter: no comments in language %q; allowed: %s", language, languages())
	}
	var t texts
	if err := yaml.Unmarshal(raw, &t); err != nil {
		return texts{}, fmt.Errorf("read the starter's comments in %s: %w", language, err)
	}
	return t, nil
}

func languages() string {
	entries, err := files.ReadDir(".")
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		names = append(names, strings.TrimSuffix(strings.TrimPrefix(e.Name(), "text."), ".yaml"))
	}
	return strings.Join(names, ", ")
}

func (t texts) of(key, system string) string { return t.fill(t.Keys[key], system) }

// fill puts the examples of a system of units into a text.
func (t texts) fill(text, system string) string {
	for name, example := range t.Examples[system] {
		text = strings.ReplaceAll(text, "{"+name+"}", example)
	}
	return text
}
