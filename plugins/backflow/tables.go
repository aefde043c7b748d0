package backflow

import (
	_ "embed"
	"fmt"
	"math"
	"sync"

	"go.yaml.in/yaml/v4"
)

//go:embed fluids.yaml
var fluidsFile []byte

//go:embed devices.yaml
var devicesFile []byte

// fluids are the categories by fixture.
type fluids struct {
	Fixtures map[string]fluid `yaml:"fixtures"`
	Pan      struct {
		Category float64 `yaml:"category"`
		Clause   string  `yaml:"clause"`
		Basis    string  `yaml:"basis"`
	} `yaml:"pan"`
}

type fluid struct {
	Dips   string  `yaml:"dips"` // basin_water | pan_water | none
	Over   float64 `yaml:"over"`
	In     float64 `yaml:"in"`
	Clause string  `yaml:"clause"`
	Basis  string  `yaml:"basis"`
}

// devices are the categories that devices and gaps protect from.
type devices struct {
	Families map[string]device `yaml:"families"`
	Devices  map[string]device `yaml:"devices"`
	Taps     struct {
		Higher   higher   `yaml:"higher"`
		Domestic []gapRow `yaml:"domestic"`
	} `yaml:"taps"`
	Cisterns []gapRow `yaml:"cisterns"`
}

type device struct {
	Low    float64 `yaml:"low"`
	High   float64 `yaml:"high"`
	Is     string  `yaml:"is"`
	Clause string  `yaml:"clause"`
	Basis  string  `yaml:"basis"`
}

// higher is a gap of at least so many mm and so many bores.
type higher struct {
	Least    float64 `yaml:"least"`
	Bores    float64 `yaml:"bores"`
	Category float64 `yaml:"category"`
	Clause   string  `yaml:"clause"`
	Basis    string  `yaml:"basis"`
}

// gapRow is the least gap, mm, up to a bore; without one it is for any larger.
type gapRow struct {
	Bore     float64 `yaml:"bore"`
	Gap      float64 `yaml:"gap"`
	Category float64 `yaml:"category"`
	Clause   string  `yaml:"clause"`
	Basis    string  `yaml:"basis"`
}

func rowFor(rows []gapRow, bore float64) gapRow {
	for _, r := range rows {
		if r.Bore == 0 || bore <= r.Bore {
			return r
		}
	}
	return gapRow{Gap: math.Inf(1)}
}

type tables struct {
	fluids
	devices
}

// load fails only when an embedded file is broken, which a test shows.
var load = sync.OnceValues(func() (tables, error) {
	var t tables
	if err := yaml.Unmarshal(fluidsFile, &t.fluids); err != nil {
		return t, fmt.Errorf("read the table of fluid categories: %w", err)
	}
	if err := yaml.Unmarshal(devicesFile, &t.devices); err != nil {
		return t, fmt.Errorf("read the table of backflow devices: %w", err)
	}
	return t, nil
})
