package stock

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

//go:embed supply.yaml
var supplyTables []byte

// supplyOuterWithin is the band either side of a supply pipe's outside
// diameter, mm: from memory of the tube standards.
const supplyOuterWithin = 0.3

type supplyRow struct {
	Names []string   `yaml:"names"`
	Outer float64    `yaml:"outer"`
	Bore  [3]float64 `yaml:"bore"` // low, usual, high
	Basis string     `yaml:"basis"`
}

type supplyShelf struct {
	Material string      `yaml:"material"`
	Source   string      `yaml:"source"`
	Basis    string      `yaml:"basis"`
	Rows     []supplyRow `yaml:"rows"`
}

type supplyFile struct {
	Shelves map[string]string        `yaml:"shelves"` // by market
	Tables  map[string][]supplyShelf `yaml:",inline"`
}

// loadSupply reads the embedded tables; it fails only when they are broken,
// which a test of this package shows.
var loadSupply = sync.OnceValues(func() (supplyFile, error) {
	var f supplyFile
	if err := yaml.Unmarshal(supplyTables, &f); err != nil {
		return supplyFile{}, fmt.Errorf("read the tables of supply pipe: %w", err)
	}
	return f, nil
})

func (f supplyFile) shelf(market string) string {
	if s, own := f.Shelves[market]; own {
		return s
	}
	return "eu"
}

// FindSupply looks the stamp of a water pipe up in a market's table. Of a pipe
// nobody told the material of, the band holds all materials sold under that
// stamp. False: no such size, or its material has no table.
func FindSupply(market, stamp, material string) (Pipe, bool) {
	f, err := loadSupply()
	if err != nil {
		return Pipe{}, false
	}
	shelf, key := f.shelf(market), normal(stamp)
	var found []Pipe
	for _, s := range f.Tables[shelf] {
		if material != s.Material && material != "unknown" {
			continue
		}
		for _, r := range s.Rows {
			if slices.ContainsFunc(r.Names, func(n string) bool { return normal(n) == key }) {
				found = append(found, s.pipe(shelf, r))
			}
		}
	}
	if len(found) == 0 {
		return Pipe{}, false
	}
	return anyOf(found), true
}

func (s supplyShelf) pipe(shelf string, r supplyRow) Pipe {
	basis := s.Basis
	if r.Basis != "" {
		basis = r.Basis
	}
	return Pipe{
		Market: shelf, Source: s.Source, Basis: basis,
		Outer: plan.PlusMinus(r.Outer, supplyOuterWithin, plan.Stamped),
		Bore:  plan.Reading{Low: r.Bore[0], Value: r.Bore[1], High: r.Bore[2], How: plan.Stamped},
	}
}

// FindSupplyByOuter names what a water pipe of a measured outside diameter may
// be: its bore is within those of all stocked pipe of that material that lie
// within the reading, and most likely that of the nearest one. False: none
// does, or the outside may be anything.
func FindSupplyByOuter(market string, outer plan.Reading, material string) (Pipe, bool) {
	f, err := loadSupply()
	if err != nil || !outer.Closed() {
		return Pipe{}, false
	}
	shelf := f.shelf(market)
	var found []Pipe
	nearest := math.Inf(1)
	for _, s := range f.Tables[shelf] {
		if material != s.Material && material != "unknown" {
			continue
		}
		for _, r := range s.Rows {
			off := math.Abs(r.Outer - outer.Value)
			if r.Outer < outer.Low-supplyOuterWithin || r.Outer > outer.High+supplyOuterWithin {
				continue
			}
			p := s.pipe(shelf, r)
			p.Source = "outside diameter fits " + r.Names[0] + ": " + s.Source
			if off < nearest {
				nearest, found = off, append([]Pipe{p}, found...)
			} else {
				found = append(found, p)
			}
		}
	}
	if len(found) == 0 {
		return Pipe{}, false
	}
	first := found[0].Source
	p := anyOf(found)
	if p.Source = first; len(found) > 1 {
		p.Source += "; others of about that outside too"
	}
	return p, true
}

// anyOf is a pipe that may be any of those.
func anyOf(found []Pipe) Pipe {
	p := found[0]
	for _, o := range found[1:] {
		p.Bore.Low, p.Bore.High = min(p.Bore.Low, o.Bore.Low), max(p.Bore.High, o.Bore.High)
		p.Outer.Low, p.Outer.High = min(p.Outer.Low, o.Outer.Low), max(p.Outer.High, o.Outer.High)
		if o.Basis == "memory" {
			p.Basis = o.Basis
		}
	}
	if len(found) > 1 {
		p.Source = "all supply pipe sold under that stamp: nobody told what it is made of"
	}
	return p
}

// SupplySizes are the stamps of a market's water pipe of a material, first
// name of each row; all materials' when it is "unknown".
func SupplySizes(market, material string) []string {
	f, err := loadSupply()
	if err != nil {
		return nil
	}
	var sizes []string
	for _, s := range f.Tables[f.shelf(market)] {
		if s.Material != material && material != "unknown" {
			continue
		}
		for _, r := range s.Rows {
			if !slices.Contains(sizes, r.Names[0]) {
				sizes = append(sizes, r.Names[0])
			}
		}
	}
	return sizes
}
