package profile

import (
	"maps"
	"math"
	"slices"

	"fallrule/engine/finding"
)

// named are the quantities of a rule's header and those that its derived ones
// are made of.
func (p *Profile) named(rule *finding.Rule) []string {
	names := slices.Clone(rule.Quantities)
	for _, d := range p.Derived {
		if slices.Contains(rule.Quantities, d.Name) {
			names = append(names, d.From[:]...)
		}
	}
	return names
}

// Needed are the quantities that a rule's requirements can name, and those
// that its derived ones are made of.
func (s *Set) Needed(rule *finding.Rule) []string {
	return s.profiles[rule.Origin].named(rule)
}

// Derive adds to what is known of a subject of a kind the quantities that the
// profiles derive from it. What was measured itself stays.
func (s *Set) Derive(kind string, measured map[string]finding.Measured) map[string]finding.Measured {
	out := maps.Clone(measured)
	for _, id := range slices.Sorted(maps.Keys(s.profiles)) {
		for _, d := range s.profiles[id].Derived {
			if _, known := out[d.Name]; known || d.Of != kind {
				continue
			}
			if m, ok := d.of(measured[d.From[0]], measured[d.From[1]]); ok {
				out[d.Name] = m
			}
		}
	}
	return out
}

// of computes the band from two independent ones, worst case to worst case.
// When one is missing the reason is passed on; false when none is known.
func (d Derived) of(a, b finding.Measured) (finding.Measured, bool) {
	for _, m := range []finding.Measured{a, b} {
		if m.Band == nil {
			return m, m.Because != ""
		}
	}
	band := finding.Band{Low: a.Band.Low - b.Band.High, Value: a.Band.Value - b.Band.Value, High: a.Band.High - b.Band.Low}
	if d.Operation == "ratio" {
		band = ratio(*a.Band, *b.Band)
	}
	return finding.Measured{
		Band:    &band,
		Working: finding.Working{Formula: d.Operation + " of " + d.From[0] + " and " + d.From[1]},
	}, true
}

// ratio of two bands; open to both sides when the second reaches zero.
func ratio(a, b finding.Band) finding.Band {
	open := finding.Band{Low: math.Inf(-1), Value: a.Value / b.Value, High: math.Inf(1)}
	if b.Low <= 0 && b.High >= 0 {
		if math.IsNaN(open.Value) || math.IsInf(open.Value, 0) {
			open.Value = 0
		}
		return open
	}
	ends := []float64{}
	for _, x := range []float64{a.Low, a.High} {
		for _, y := range []float64{b.Low, b.High} {
			if q := x / y; !math.IsNaN(q) {
				ends = append(ends, q)
			} else {
				return open
			}
		}
	}
	return finding.Band{Low: slices.Min(ends), Value: a.Value / b.Value, High: slices.Max(ends)}
}
