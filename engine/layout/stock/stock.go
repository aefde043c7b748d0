// Package stock knows what a stamp on a waste pipe means in millimetres:
// outside diameter and bore, by market and material. "50 mm" is another pipe
// in another country.
package stock

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

//go:embed stock.yaml
var tables []byte

// outerWithin is the band either side of an outside diameter, and of a bore
// whose row names none: new pipe, in mm, common practice, no source.
const (
	outerWithin = 0.5
	boreWithin  = 1.0
)

type row struct {
	Names  []string `yaml:"names"`
	Outer  float64  `yaml:"outer"`
	Bore   float64  `yaml:"bore"`
	Within float64  `yaml:"bore_within"`
	Least  float64  `yaml:"least"`
}

type shelf struct {
	Material string  `yaml:"material"`
	Source   string  `yaml:"source"`
	Basis    string  `yaml:"basis"`
	Within   float64 `yaml:"bore_within"`
	Rows     []row   `yaml:"rows"`
}

type file struct {
	LeastBores struct {
		Source string              `yaml:"source"`
		Basis  string              `yaml:"basis"`
		Rows   map[float64]float64 `yaml:"rows"`
	} `yaml:"least_bores"`
	SameAs  map[string]string  `yaml:"same_as"`
	Markets map[string][]shelf `yaml:"markets"`
}

// load reads the embedded tables; it fails only when they are broken, which a
// test of this package shows.
var load = sync.OnceValues(func() (file, error) {
	var f file
	if err := yaml.Unmarshal(tables, &f); err != nil {
		return file{}, fmt.Errorf("read the stock tables: %w", err)
	}
	return f, nil
})

// Pipe is one row of a stock table.
type Pipe struct {
	Market string       // whose table: "ie" buys from "gb"
	Outer  plan.Reading // mm; zero when the table does not tell
	Bore   plan.Reading // mm
	Source string
	Basis  string // read | memory
}

// HasOuter tells whether the outside diameter is known.
func (p Pipe) HasOuter() bool { return p.Outer.Value > 0 }

// Markets are the markets with a table of their own or another's, sorted.
func Markets() []string {
	f, err := load()
	if err != nil {
		return nil
	}
	var names []string
	for m := range f.Markets {
		names = append(names, m)
	}
	for m := range f.SameAs {
		names = append(names, m)
	}
	sort.Strings(names)
	return names
}

// Find looks a stamp up in a market's table. A material that the market has no
// table for, or "unknown", is taken as plastic, and Source says so. A DN that
// the market does not sell falls back to the least bore of EN 12056-2.
func Find(market, stamp, material string) (Pipe, bool) {
	f, err := load()
	if err != nil {
		return Pipe{}, false
	}
	home := f.home(market)
	if p, ok := f.exact(home, stamp, material); ok {
		return p, true
	}
	if p, ok := f.exact(home, stamp, "plastic"); ok && material != "plastic" {
		p.Source += "; taken as plastic: "
		if material == "unknown" {
			p.Source += "nobody told what it is made of"
		} else {
			p.Source += "the table has no " + material
		}
		p.Bore = plan.PlusMinus(p.Bore.Value, max(3, p.Bore.High-p.Bore.Value), plan.Stamped)
		return p, true
	}
	return f.least(stamp)
}

func (f file) home(market string) string {
	if other, ok := f.SameAs[market]; ok {
		return other
	}
	return market
}

func (f file) exact(market, stamp, material string) (Pipe, bool) {
	key := normal(stamp)
	for _, s := range f.Markets[market] {
		if s.Material != material {
			continue
		}
		for _, r := range s.Rows {
			if slices.ContainsFunc(r.Names, func(n string) bool { return normal(n) == key }) {
				return s.pipe(market, r), true
			}
		}
	}
	return Pipe{}, false
}

func (s shelf) pipe(market string, r row) Pipe {
	within := boreWithin
	if s.Within > 0 {
		within = s.Within
	}
	if r.Within > 0 {
		within = r.Within
	}
	outer := outerWithin
	if s.Material != "plastic" {
		outer = within
	}
	p := Pipe{
		Market: market, Source: s.Source, Basis: s.Basis,
		Outer: plan.PlusMinus(r.Outer, outer, plan.Stamped),
		Bore:  plan.PlusMinus(r.Bore, within, plan.Stamped),
	}
	if r.Least > p.Bore.Low {
		p.Bore.Low = r.Least
		p.Source += "; not less than EN 12056-2 table 1 lets that size have"
	}
	return p
}

// least takes a DN's least bore as the low end and value, the stamp itself,
// which no bore exceeds by more than a little, as the high end.
func (f file) least(stamp string) (Pipe, bool) {
	dn, ok := strings.CutPrefix(normal(stamp), "dn")
	if !ok {
		return Pipe{}, false
	}
	n, err := strconv.ParseFloat(dn, 64)
	bore, known := f.LeastBores.Rows[n]
	if err != nil || !known {
		return Pipe{}, false
	}
	return Pipe{
		Bore:   plan.Reading{Low: bore, Value: bore, High: max(n, bore) * 1.05, How: plan.Stamped},
		Source: f.LeastBores.Source, Basis: f.LeastBores.Basis,
	}, true
}

// Slip names the stocked size that a stamp ten times too large or too small
// was probably meant to be: 400 mm for a washbasin is a slip of 40 mm.
func Slip(market, stamp string) (string, bool) {
	f, err := load()
	if err != nil {
		return "", false
	}
	key := normal(stamp)
	unit, number := key[:min(2, len(key))], key[min(2, len(key)):]
	n, err := strconv.ParseFloat(number, 64)
	if err != nil || n <= 0 {
		return "", false
	}
	for _, factor := range []float64{0.1, 10} {
		for _, name := range f.names(market) {
			if u, v, ok := split(name); ok && u == unit && math.Abs(v-n*factor) < 1e-9 {
				return name, true
			}
		}
	}
	return "", false
}

// Sizes are the stamps of a market's plastic pipe, first name of each row.
func Sizes(market string) []string {
	f, err := load()
	if err != nil {
		return nil
	}
	var sizes []string
	for _, s := range f.Markets[f.home(market)] {
		if s.Material != "plastic" {
			continue
		}
		for _, r := range s.Rows {
			sizes = append(sizes, r.Names[0])
		}
	}
	return sizes
}

func (f file) names(market string) []string {
	var names []string
	for _, s := range f.Markets[f.home(market)] {
		for _, r := range s.Rows {
			names = append(names, r.Names...)
		}
	}
	return names
}

func split(name string) (unit string, v float64, ok bool) {
	key := normal(name)
	if len(key) < 3 {
		return "", 0, false
	}
	v, err := strconv.ParseFloat(key[2:], 64)
	return key[:2], v, err == nil
}

// fractions that people write as one sign.
var fractions = strings.NewReplacer("½", " 1/2", "¼", " 1/4", "¾", " 3/4", "″", "in", `"`, "in", "”", "in", "-", " ", ",", ".")

// normal writes a stamp one way: unit first ("dn", "mm", "in"), then the
// number ("dn40", "mm40", "in1.5"). A bare number is taken as mm.
func normal(stamp string) string {
	s := strings.TrimSpace(fractions.Replace(strings.ToLower(stamp)))
	unit := "mm"
	for _, u := range []struct{ word, unit string }{{"dn", "dn"}, {"inches", "in"}, {"inch", "in"}, {"in", "in"}, {"mm", "mm"}, {"ø", "mm"}} {
		if strings.HasPrefix(s, u.word) || strings.HasSuffix(s, u.word) {
			s = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(s, u.word), u.word))
			unit = u.unit
			break
		}
	}
	n, ok := number(s)
	if !ok {
		return unit + s
	}
	return unit + strconv.FormatFloat(n, 'g', -1, 64)
}

// number reads "40", "1 1/2" or "3/4".
func number(s string) (float64, bool) {
	var sum float64
	fields := strings.Fields(s)
	for _, f := range fields {
		top, bottom, isFraction := strings.Cut(f, "/")
		n, err := strconv.ParseFloat(top, 64)
		if err != nil {
			return 0, false
		}
		if isFraction {
			d, err := strconv.ParseFloat(bottom, 64)
			if err != nil || d == 0 {
				return 0, false
			}
			n /= d
		}
		sum += n
	}
	return sum, len(fields) > 0
}
