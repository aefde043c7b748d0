// Package sizes knows the nominal sizes of EN 12056-2, table 1, and what a
// size on the plan says of a bore.
package sizes

import (
	_ "embed"
	"fmt"
	"math"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

//go:embed sizes.yaml
var file []byte

// Source of the table, for workings.
const Source = "EN 12056-2:2000, table 1"

// Table is the nominal sizes and their least bores in mm, least first.
type Table []nominal

type nominal struct {
	Size float64 `yaml:"size"`
	Bore float64 `yaml:"bore"`
}

// Load reads the table. It fails only when the embedded file is broken, which
// a test of this package shows.
var Load = sync.OnceValues(func() (Table, error) {
	var f struct {
		Sizes Table `yaml:"sizes"`
	}
	if err := yaml.Unmarshal(file, &f); err != nil {
		return nil, fmt.Errorf("read the table of nominal sizes: %w", err)
	}
	return f.Sizes, nil
})

// Class is the greatest nominal size whose least bore a bore has, in mm: the
// table's steps followed over the band. 0 is narrower than all; an end of the
// bore that nobody knows stays open.
func (t Table) Class(bore plan.Reading) plan.Reading {
	return plan.Reading{Low: t.step(bore.Low), Value: t.step(bore.Value), High: t.step(bore.High), How: plan.Computed}
}

func (t Table) step(bore float64) float64 {
	if math.IsInf(bore, 0) {
		return bore
	}
	class := 0.0
	for _, n := range t {
		if bore >= n.Bore {
			class = n.Size
		}
	}
	return class
}

// Bore is the inner diameter in mm, or the gap that asks for the size. What is
// the thing measured, path the place of its size in the document.
func Bore(s *plan.Size, path, what string) (plan.Reading, *sdk.Gap) {
	if s == nil {
		return reply.Read(nil, path, what)
	}
	return reply.Read(s.Bore, path, what)
}

// BoreAnswer answers with the bore, as read or as the stock table has it.
func BoreAnswer(s *plan.Size, path, what string) reply.Answer {
	bore, gap := Bore(s, path, what)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(bore, func() sdk.Working {
		numbers := strings.TrimSpace(s.Stamp+" "+reply.Reading(bore, "mm")) + reply.How(bore)
		return sdk.Working{Formula: "inner diameter, as read or by the stock table", Numbers: numbers, Source: stock(s, path)}
	})
}

// stock is where a bore comes from: the stock table with how well it is
// confirmed, or the reading's place.
func stock(s *plan.Size, path string) string {
	switch {
	case s.Source == "":
		return path
	case s.Basis == "":
		return s.Source
	case s.Basis == "memory":
		return s.Source + " (from memory)"
	}
	return s.Source + " (" + s.Basis + ")"
}
