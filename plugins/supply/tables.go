package supply

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/supply/pipeflow"
)

//go:embed tables.yaml
var file []byte

// demandRow is what a draw-off of a kind of fixture counts in one of the
// tables; each table fills the figures that it has.
type demandRow struct {
	Row    string   `yaml:"row"`
	Kinds  []string `yaml:"kinds"`
	Uses   []string `yaml:"uses"`
	Flow   float64  `yaml:"flow"` // l/s
	Units  float64  `yaml:"units"`
	Cold   float64  `yaml:"cold"`
	Hot    float64  `yaml:"hot"`
	Total  float64  `yaml:"total"`
	Source string   `yaml:"source"`
	Basis  string   `yaml:"basis"`
}

// material is the expansion of one, mm/(m K).
type material struct {
	Material string  `yaml:"material"`
	Low      float64 `yaml:"low"`
	Value    float64 `yaml:"value"`
	High     float64 `yaml:"high"`
	Source   string  `yaml:"source"`
	Basis    string  `yaml:"basis"`
}

type curve struct {
	Source string       `yaml:"source"`
	Off    float64      `yaml:"off"`
	Points [][2]float64 `yaml:"points"`
}

type demand struct {
	Source string         `yaml:"source"`
	Runs   [][][2]float64 `yaml:"runs"`
}

type tables struct {
	Loading      []demandRow `yaml:"loading"`
	Curve        curve       `yaml:"curve"`
	Base         []demandRow `yaml:"base"`
	FixtureUnits []demandRow `yaml:"fixture_units"`
	Demand       demand      `yaml:"demand"`
	Expansion    []material  `yaml:"expansion"`

	pipes pipeflow.Tables
}

// load reads the embedded tables. It fails only when they are broken, which a
// test of this package shows.
var load = sync.OnceValues(func() (tables, error) {
	var t tables
	if err := yaml.Unmarshal(file, &t); err != nil {
		return tables{}, fmt.Errorf("read the tables of draw-offs: %w", err)
	}
	var err error
	t.pipes, err = pipeflow.Load()
	return t, err
})

// rowsFor are the rows of a kind of fixture that may hold in a house of this
// use: those made for the use, or all where it is not told.
func rowsFor(rows []demandRow, kind, use string) []demandRow {
	var out []demandRow
	for _, r := range rows {
		known := use != "" && use != "unknown"
		if slices.Contains(r.Kinds, kind) && (len(r.Uses) == 0 || !known || slices.Contains(r.Uses, use)) {
			out = append(out, r)
		}
	}
	return out
}

// span of a figure over rows; the first row's is shown.
func span(rows []demandRow, figure func(demandRow) float64) plan.Reading {
	out := plan.Exactly(figure(rows[0]))
	for _, r := range rows[1:] {
		out.Low, out.High = min(out.Low, figure(r)), max(out.High, figure(r))
	}
	return out
}

// at is the flow (l/s) of a sum of loading units, straight on logarithmic
// scales between the points and in proportion below the first; false beyond
// the last.
func (c curve) at(units float64) (float64, bool) {
	first := c.Points[0]
	if units <= first[0] {
		return first[1] * units / first[0], true
	}
	for i, p := range c.Points[1:] {
		if from := c.Points[i]; units <= p[0] {
			share := math.Log(units/from[0]) / math.Log(p[0]/from[0])
			return from[1] * math.Pow(p[1]/from[1], share), true
		}
	}
	return 0, false
}

// gallon a minute of the United States, l/s.
const gallon = 3.785411784 / 60

// at is the flow (l/s) of fixture units, straight between neighbouring rows;
// false where there are none.
func (d demand) at(units float64) (float64, bool) {
	for _, run := range d.Runs {
		for i, p := range run[1:] {
			if from := run[i]; units >= from[0] && units <= p[0] {
				return gallon * (from[1] + (p[1]-from[1])*(units-from[0])/(p[0]-from[0])), true
			}
		}
	}
	return 0, false
}

func (t tables) expands(made string) (material, bool) {
	i := slices.IndexFunc(t.Expansion, func(m material) bool { return m.Material == made })
	if i < 0 {
		return material{}, false
	}
	return t.Expansion[i], true
}
