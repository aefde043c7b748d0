package pipeflow

import (
	_ "embed"
	"fmt"
	"sync"

	"go.yaml.in/yaml/v4"
)

//go:embed tables.yaml
var file []byte

// Span is a figure of a table with the spread between its sources.
type Span struct {
	Low    float64 `yaml:"low"`
	Value  float64 `yaml:"value"`
	High   float64 `yaml:"high"`
	Source string  `yaml:"source"`
	Basis  string  `yaml:"basis"` // read | memory | common_practice
}

// Wall is how rough a material is, in mm, and its coefficient C after Hazen
// and Williams. Old is the upper end for pipe that has been in use.
type Wall struct {
	Material string  `yaml:"material"`
	K        Span    `yaml:"k_mm"`
	Old      float64 `yaml:"old_mm"`
	C        float64 `yaml:"c"`
}

// Part is the local loss coefficient K of a bend, a tee or a valve.
type Part struct {
	Part string `yaml:"part"`
	K    Span   `yaml:"k"`
}

// Tables are the roughness of pipes by material and the K of parts by name.
type Tables struct {
	Walls map[string]Wall
	Parts map[string]Part
}

// Load reads the embedded tables. It fails only when they are broken, which a
// test of this package shows.
var Load = sync.OnceValues(func() (Tables, error) {
	var raw struct {
		Walls []Wall `yaml:"walls"`
		Parts []Part `yaml:"parts"`
	}
	if err := yaml.Unmarshal(file, &raw); err != nil {
		return Tables{}, fmt.Errorf("read the tables of roughness and local losses: %w", err)
	}
	t := Tables{Walls: map[string]Wall{}, Parts: map[string]Part{}}
	for _, w := range raw.Walls {
		t.Walls[w.Material] = w
	}
	for _, p := range raw.Parts {
		t.Parts[p.Part] = p
	}
	return t, nil
})

// Bend is the K of one bend by the angle it turns, in degrees: straight between
// nothing, the 45° and the 90° elbow, and on beyond by the angle.
func (t Tables) Bend(degrees float64) Span {
	half, square := t.Parts["elbow_45"].K, t.Parts["elbow_90"].K
	at := func(half, square float64) float64 {
		switch {
		case degrees <= 0:
			return 0
		case degrees <= 45:
			return half * degrees / 45
		case degrees <= 90:
			return half + (square-half)*(degrees-45)/45
		}
		return square * degrees / 90
	}
	return Span{at(half.Low, square.Low), at(half.Value, square.Value), at(half.High, square.High), square.Source, square.Basis}
}
