package judge

import (
	"math"
	"slices"

	"fallrule/engine/finding"
	"fallrule/schema"
)

// mask has a bit for each row of a requirement.
type mask uint64

// axis is one quantity of a requirement: for each kind of point that its band
// can give, the rows whose bound on it holds there. Points that satisfy the
// same rows are one: only that can turn a verdict.
type axis struct {
	quantity schema.Quantity
	masks    []mask
	open     bool    // a missing or one-sided reading, or several words still possible
	value    float64 // the reading itself, when there is one
	word     string
	known    bool
	limits   []float64
}

func newAxis(q schema.Quantity, m finding.Measured, rows []finding.Row) axis {
	a := axis{quantity: q}
	if q.IsState() {
		words := m.States
		a.open = len(words) != 1
		if len(words) == 0 {
			words = q.Words
		}
		if len(words) == 1 {
			a.word, a.known = words[0], true
		}
		for _, w := range words {
			a.add(wordMask(q.Name, w, rows))
		}
		return a
	}
	a.limits = limitsOf(q.Name, rows)
	low, high := q.Low, q.High
	if m.Band != nil {
		a.value, a.known = m.Band.Value, true
		a.open = m.Band.Open()
		low, high = closeEnds(*m.Band, q)
	} else {
		a.open = true
	}
	for _, x := range points(low, high, a.limits) {
		a.add(numberMask(q.Name, x, rows))
	}
	return a
}

// closeEnds puts the quantity's domain in place of an end nobody knows.
func closeEnds(b finding.Band, q schema.Quantity) (low, high float64) {
	low, high = b.Low, b.High
	if math.IsInf(low, 0) {
		low = math.Min(q.Low, b.Value)
	}
	if math.IsInf(high, 0) {
		high = math.Max(q.High, b.Value)
	}
	return low, high
}

func (a *axis) add(m mask) {
	if !slices.Contains(a.masks, m) {
		a.masks = append(a.masks, m)
	}
}

// points of a band: its ends, every limit inside, and one between neighbours.
// Between two neighbours no bound changes, so testing these is exact.
func points(low, high float64, limits []float64) []float64 {
	at := []float64{low}
	for _, l := range limits {
		if l > low && l < high && !same(l, low) && !same(l, high) {
			at = append(at, l)
		}
	}
	if !same(low, high) {
		at = append(at, high)
	}
	out := at[:1:1]
	for i := 1; i < len(at); i++ {
		out = append(out, at[i-1]+(at[i]-at[i-1])/2, at[i])
	}
	return out
}

// limitsOf lists the numbers that the rows set for one quantity, in order.
func limitsOf(name string, rows []finding.Row) []float64 {
	var out []float64
	for _, row := range rows {
		b := row.Need[name]
		for _, p := range []*float64{b.AtLeast, b.AtMost, b.Above, b.Below} {
			if p != nil {
				out = append(out, *p)
			}
		}
	}
	slices.Sort(out)
	return slices.CompactFunc(out, same)
}

func numberMask(name string, x float64, rows []finding.Row) mask {
	var m mask
	for i, row := range rows {
		b, bounded := row.Need[name]
		if !bounded || within(x, b) {
			m |= 1 << i
		}
	}
	return m
}

func wordMask(name, word string, rows []finding.Row) mask {
	var m mask
	for i, row := range rows {
		b, bounded := row.Need[name]
		if !bounded || slices.Contains(b.Words, word) {
			m |= 1 << i
		}
	}
	return m
}

// within compares exactly but for rounding: a value equal to its limit meets
// at_least and at_most, and does not meet above and below.
func within(x float64, b finding.Bound) bool {
	switch {
	case b.AtLeast != nil && x < *b.AtLeast && !same(x, *b.AtLeast):
		return false
	case b.AtMost != nil && x > *b.AtMost && !same(x, *b.AtMost):
		return false
	case b.Above != nil && (x <= *b.Above || same(x, *b.Above)):
		return false
	case b.Below != nil && (x >= *b.Below || same(x, *b.Below)):
		return false
	}
	return true
}

// same allows for rounding only: a billionth of the limit.
func same(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-9*math.Max(1, math.Max(math.Abs(a), math.Abs(b))) && !math.IsInf(a-b, 0)
}

// cells gives the sets of rows that hold at once somewhere in the bands,
// leaving one axis out (-1: none).
func cells(axes []axis, without, rows int) map[mask]bool {
	all := mask(1)<<rows - 1
	set := map[mask]bool{all: true}
	for i, a := range axes {
		if i == without {
			continue
		}
		next := make(map[mask]bool, len(set))
		for m := range set {
			for _, n := range a.masks {
				next[m&n] = true
			}
		}
		set = next
	}
	return set
}

// decisive tells whether two points that differ in this axis alone differ in
// outcome.
func decisive(axes []axis, i, rows int) bool {
	for m := range cells(axes, i, rows) {
		var holds, fails bool
		for _, n := range axes[i].masks {
			if m&n != 0 {
				holds = true
			} else {
				fails = true
			}
		}
		if holds && fails {
			return true
		}
	}
	return false
}
