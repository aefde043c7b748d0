package venting

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/sdk/plan"
)

//go:embed siphonage.yaml
var siphonageFile []byte

// group is the fixtures that empty alike, with a row for each nominal size of
// their branch, narrowest first.
type group struct {
	Fixtures []string   `yaml:"fixtures"`
	Bottom   string     `yaml:"bottom"` // flat | round
	Rows     []limitRow `yaml:"rows"`
}

// limitRow is how far a branch of at least this bore may go unvented; mm, mm/m.
type limitRow struct {
	Bore     float64 `yaml:"bore"`
	Length   float64 `yaml:"length"`
	Steepest []step  `yaml:"steepest"`
	Upright  float64 `yaml:"upright"`
	Clause   string  `yaml:"clause"`
	Basis    string  `yaml:"basis"`
}

// step is the steepest fall up to a length, mm/m and mm.
type step struct {
	Length float64 `yaml:"length"`
	Fall   float64 `yaml:"fall"`
	Basis  string  `yaml:"basis"`
}

// loadGroups fails only when the embedded file is broken, which a test shows.
var loadGroups = sync.OnceValues(func() ([]group, error) {
	var f struct {
		Groups []group `yaml:"groups"`
	}
	if err := yaml.Unmarshal(siphonageFile, &f); err != nil {
		return nil, fmt.Errorf("read the limits of self-siphonage: %w", err)
	}
	return f.Groups, nil
})

func (s *site) groupOf(kind string) (group, bool) {
	i := slices.IndexFunc(s.groups, func(g group) bool { return slices.Contains(g.Fixtures, kind) })
	if i < 0 {
		return group{}, false
	}
	return s.groups[i], true
}

// at is the step of a length; beyond the longest, the last.
func (r limitRow) at(length float64) step {
	for _, s := range r.Steepest {
		if length <= s.Length {
			return s
		}
	}
	return r.Steepest[len(r.Steepest)-1]
}

// basis is the weaker one of a row and of its step of a length.
func (r limitRow) basis(length float64) string {
	if b := r.at(length).Basis; r.Basis == "read" {
		return b
	}
	return r.Basis
}

// outlet is what decides whether a branch sucks its trap empty. What nobody
// read is open at both ends.
type outlet struct {
	bore, length, fall, upright plan.Reading
	sTrap                       doubt // an upright piece straight after the seal
}

// doubt is a thing that may be so, or surely is.
type doubt struct{ surely, perhaps bool }

func (d doubt) add(least, most *int) {
	if d.surely {
		*least++
	}
	if d.surely || d.perhaps {
		*most++
	}
}

func (d doubt) or(o doubt) doubt { return doubt{d.surely || o.surely, d.perhaps || o.perhaps} }

// over tells whether a reading is more than a limit.
func over(r plan.Reading, limit float64) doubt { return doubt{r.Low > limit, r.High > limit} }

// faults counts what goes beyond one row: too long, too steep, an upright piece.
func (r limitRow) faults(o outlet) (least, most int) {
	over(o.length, r.Length).add(&least, &most)
	doubt{o.fall.Low > r.at(o.length.Low).Fall, o.fall.High > r.at(o.length.High).Fall}.add(&least, &most)
	over(o.upright, r.Upright).or(o.sTrap).add(&least, &most)
	return least, most
}

// faults counts over all rows that the bore may have, and the bore itself when
// it is less than the narrowest row's.
func (g group) faults(o outlet) (least, most int) {
	least = math.MaxInt
	take := func(l, m int) { least, most = min(least, l), max(most, m) }
	if o.bore.Low < g.Rows[0].Bore {
		l, m := g.Rows[0].faults(o)
		take(l+1, m+1)
	}
	for i, r := range g.Rows {
		next := math.Inf(1)
		if i+1 < len(g.Rows) {
			next = g.Rows[i+1].Bore
		}
		if o.bore.High >= r.Bore && o.bore.Low < next {
			take(r.faults(o))
		}
	}
	return least, most
}
