package discharge

import (
	_ "embed"
	"fmt"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"
)

//go:embed units.yaml
var unitsFile []byte

//go:embed unidades.yaml
var unidadesFile []byte

//go:embed dfu.yaml
var dfuFile []byte

// origin is where a row of a table stands and how sure it is.
type origin struct {
	Clause string `yaml:"clause"`
	Source string `yaml:"source"`
	Basis  string `yaml:"basis"` // read | memory | common_practice
}

// unitRow is a row of EN 12056-2 table 2. What it is picked by is 0 or empty
// where its fixtures have but one row.
type unitRow struct {
	origin `yaml:",inline"`
	Row    string    `yaml:"row"`
	Kinds  []string  `yaml:"kinds"`
	Plug   string    `yaml:"plug"`
	Load   float64   `yaml:"load"`  // kg, at most
	Flush  float64   `yaml:"flush"` // l
	Bore   float64   `yaml:"bore"`  // mm of the outlet, at least
	Top    float64   `yaml:"top"`   // mm of the outlet, less than
	I      []float64 `yaml:"i"`
	II     []float64 `yaml:"ii"`
	III    []float64 `yaml:"iii"`
	IV     []float64 `yaml:"iv"`
}

// in is the row's cell for a system.
func (r unitRow) in(system string) []float64 {
	switch system {
	case "i":
		return r.I
	case "ii":
		return r.II
	case "iii":
		return r.III
	case "iv":
		return r.IV
	}
	return nil
}

// useRow is a row of EN 12056-2 table 3.
type useRow struct {
	origin `yaml:",inline"`
	Row    string   `yaml:"row"`
	Uses   []string `yaml:"uses"`
	K      float64  `yaml:"k"`
}

type unitTables struct {
	Rows      []unitRow `yaml:"rows"`
	Frequency []useRow  `yaml:"frequency"`

	of map[string][]unitRow // rows by kind of fixture, in order
}

// unidadRow is a row of DB-HS 5 table 4.1.
type unidadRow struct {
	origin  `yaml:",inline"`
	Row     string    `yaml:"row"`
	Kinds   []string  `yaml:"kinds"`
	Flush   string    `yaml:"flush"` // told: a volume told is a cistern's; unknown: only when none is told
	Private []float64 `yaml:"private"`
	Public  []float64 `yaml:"public"`
}

// outletRow is a row of DB-HS 5 table 4.2.
type outletRow struct {
	origin `yaml:",inline"`
	Outlet float64 `yaml:"outlet"` // mm
	Units  float64 `yaml:"units"`
}

type unidadTables struct {
	Rows     []unidadRow `yaml:"rows"`
	ByOutlet []outletRow `yaml:"by_outlet"`

	of map[string][]unidadRow // rows by kind of fixture, in order
}

// tables of all documents. It fails only when an embedded file is broken,
// which a test of this package shows.
var tables = sync.OnceValues(func() (all struct {
	en unitTables
	es unidadTables
	us dfuTable
}, err error) {
	if err = yaml.Unmarshal(unitsFile, &all.en); err != nil {
		return all, fmt.Errorf("read the table of discharge units: %w", err)
	}
	if err = yaml.Unmarshal(unidadesFile, &all.es); err != nil {
		return all, fmt.Errorf("read the table of unidades de desagüe: %w", err)
	}
	if err = yaml.Unmarshal(dfuFile, &all.us); err != nil {
		return all, fmt.Errorf("read the table of drainage fixture units: %w", err)
	}
	all.en.of = byKind(all.en.Rows, func(r unitRow) []string { return r.Kinds })
	all.es.of = byKind(all.es.Rows, func(r unidadRow) []string { return r.Kinds })
	all.us.of = byKind(all.us.Rows, func(r dfuRow) []string { return r.Kinds })
	return all, nil
})

func byKind[R any](rows []R, kinds func(R) []string) map[string][]R {
	of := map[string][]R{}
	for _, r := range rows {
		for _, kind := range kinds(r) {
			of[kind] = append(of[kind], r)
		}
	}
	return of
}

// factor K of a use; false when the use is not told.
func (t unitTables) factor(use string) (float64, bool) {
	for _, r := range t.Frequency {
		if slices.Contains(r.Uses, use) {
			return r.K, true
		}
	}
	return 0, false
}

// factors are the least and the greatest K of the table.
func (t unitTables) factors() (least, greatest float64) {
	least = t.Frequency[0].K
	for _, r := range t.Frequency {
		least, greatest = min(least, r.K), max(greatest, r.K)
	}
	return least, greatest
}
