package hygiene

import (
	_ "embed"
	"fmt"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

//go:embed figures.yaml
var file []byte

// figures are the tables and assumptions of this package.
type figures struct {
	Burn    burnTable
	Cooling conditions
}

// span of a figure, in the unit that stands beside it in the file.
type span struct{ Low, Value, High float64 }

// reading is the span times a unit.
func (s span) reading(unit float64) plan.Reading {
	return plan.Reading{Low: s.Low * unit, Value: s.Value * unit, High: s.High * unit, How: plan.Computed}
}

// load reads the figures. It fails only when the embedded file is broken, which
// a test of this package shows.
var load = sync.OnceValues(func() (figures, error) {
	var f figures
	if err := yaml.Unmarshal(file, &f); err != nil {
		return f, fmt.Errorf("read the figures of hygiene: %w", err)
	}
	return f, nil
})
