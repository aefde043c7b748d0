// Package schema carries the formats that people and programs write against:
// the layout document, what a rule sees, the sheet, and the catalogue of
// quantities. It holds files and reads them; it decides nothing.
package schema

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"
)

// Input is the JSON Schema of what a rule sees.
//
//go:embed input.schema.json
var Input []byte

//go:embed quantities.yaml
var quantities []byte

// Quantity is one entry of the catalogue: a number with a unit and the ends a
// missing reading can lie between, or a state with its closed words.
type Quantity struct {
	Name  string   `yaml:"-"`
	Unit  string   `yaml:"unit"`
	Of    []string `yaml:"of"`
	Low   float64  `yaml:"low"`
	High  float64  `yaml:"high"`
	Words []string `yaml:"words"`
	Says  string   `yaml:"says"`
	Title string   `yaml:"label"` // as people say it, when the name does not read well
}

// Label is the quantity's name as people say it.
func (q Quantity) Label() string {
	if q.Title != "" {
		return q.Title
	}
	return strings.ReplaceAll(q.Name, "_", " ")
}

// IsState tells whether the quantity is a word and not a number.
func (q Quantity) IsState() bool { return len(q.Words) > 0 }

// Catalogue is all quantities by name, in the file's order by Names.
type Catalogue struct {
	ByName map[string]Quantity
	Names  []string
}

// Quantities reads the catalogue. It fails only when the embedded file is
// broken, which a test of this package shows.
var Quantities = sync.OnceValues(func() (Catalogue, error) {
	var file struct {
		Quantities yaml.Node `yaml:"quantities"`
	}
	if err := yaml.Unmarshal(quantities, &file); err != nil {
		return Catalogue{}, fmt.Errorf("read the catalogue of quantities: %w", err)
	}
	c := Catalogue{ByName: map[string]Quantity{}}
	for i := 0; i+1 < len(file.Quantities.Content); i += 2 {
		q := Quantity{Name: file.Quantities.Content[i].Value}
		if err := file.Quantities.Content[i+1].Decode(&q); err != nil {
			return Catalogue{}, fmt.Errorf("read quantity %s: %w", q.Name, err)
		}
		if _, twice := c.ByName[q.Name]; twice {
			return Catalogue{}, fmt.Errorf("quantity %s stands twice in the catalogue", q.Name)
		}
		c.ByName[q.Name] = q
		c.Names = append(c.Names, q.Name)
	}
	return c, nil
})
