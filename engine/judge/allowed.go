package judge

import (
	"math"
	"slices"

	"fallrule/engine/finding"
)

// allowed is what one quantity may be with the others at their value, and how
// far its value lies inside (or, negative, outside). Both are nil when another
// value is missing or the quantity is a word.
func allowed(i int, axes []axis, rows []finding.Row) ([]finding.Interval, *float64) {
	a := axes[i]
	if a.quantity.IsState() {
		return nil, nil
	}
	fit, whole := othersAt(i, axes, rows)
	if !whole {
		return nil, nil
	}
	intervals := intervalsOf(a, fit, rows)
	if !a.known || len(intervals) == 0 {
		return intervals, nil
	}
	return intervals, margin(a, intervals)
}

// othersAt gives the rows that the other quantities fulfil at their values.
func othersAt(i int, axes []axis, rows []finding.Row) (fit mask, whole bool) {
	fit = mask(1)<<len(rows) - 1
	for j, o := range axes {
		if j == i {
			continue
		}
		if !o.known {
			return 0, false
		}
		if o.quantity.IsState() {
			fit &= wordMask(o.quantity.Name, o.word, rows)
		} else {
			fit &= numberMask(o.quantity.Name, o.value, rows)
		}
	}
	return fit, true
}

// intervalsOf walks the cells between the limits over the whole domain.
func intervalsOf(a axis, fit mask, rows []finding.Row) []finding.Interval {
	q := a.quantity
	var out []finding.Interval
	at := points(q.Low, q.High, a.limits)
	for k, x := range at {
		if numberMask(q.Name, x, rows)&fit == 0 {
			continue
		}
		isLimit := k%2 == 0
		low, high, lowOpen, highOpen := x, x, false, false
		if !isLimit {
			low, high, lowOpen, highOpen = at[k-1], at[k+1], true, true
		}
		if n := len(out); n > 0 && same(out[n-1].High, low) && !(out[n-1].HighOpen && lowOpen) {
			out[n-1].High, out[n-1].HighOpen = high, highOpen
			continue
		}
		out = append(out, finding.Interval{Low: low, High: high, LowOpen: lowOpen, HighOpen: highOpen})
	}
	for k := range out {
		if out[k].Low <= q.Low {
			out[k].Low = math.Inf(-1)
		}
		if out[k].High >= q.High {
			out[k].High = math.Inf(1)
		}
	}
	return out
}

// margin is the distance from the value to the nearest end that a limit makes;
// an end of the domain is no limit. No limit at all: no margin.
func margin(a axis, intervals []finding.Interval) *float64 {
	nearest, inside := math.Inf(1), false
	for _, in := range intervals {
		here := (a.value >= in.Low || same(a.value, in.Low)) && (a.value <= in.High || same(a.value, in.High))
		inside = inside || here
		for _, end := range []float64{in.Low, in.High} {
			if !math.IsInf(end, 0) {
				nearest = math.Min(nearest, math.Abs(a.value-end))
			}
		}
	}
	if math.IsInf(nearest, 0) {
		return nil
	}
	if !inside {
		nearest = -nearest
	}
	return &nearest
}

// ways lists, for a requirement that is not met, each quantity whose change
// alone would meet it, and what it would have to be. Rows that hang on a
// quantity nobody knows promise nothing and are left out.
func ways(axes []axis, rows []finding.Row) []finding.Way {
	var out []finding.Way
	for i, a := range axes {
		fit := surely(i, axes, rows)
		if a.quantity.IsState() {
			if words := wordsFor(a, fit, rows); len(words) > 0 {
				out = append(out, finding.Way{Quantity: a.quantity.Name, Words: words})
			}
			continue
		}
		if intervals := intervalsOf(a, fit, rows); len(intervals) > 0 {
			out = append(out, finding.Way{Quantity: a.quantity.Name, Allowed: intervals})
		}
	}
	return out
}

// surely gives the rows that the other quantities fulfil at their values, or
// ask nothing of.
func surely(i int, axes []axis, rows []finding.Row) mask {
	fit := mask(1)<<len(rows) - 1
	for j, o := range axes {
		if j == i {
			continue
		}
		for k, row := range rows {
			_, bounded := row.Need[o.quantity.Name]
			if bounded && !o.known {
				fit &^= 1 << k
			}
		}
		switch {
		case !o.known:
		case o.quantity.IsState():
			fit &= wordMask(o.quantity.Name, o.word, rows)
		default:
			fit &= numberMask(o.quantity.Name, o.value, rows)
		}
	}
	return fit
}

func wordsFor(a axis, fit mask, rows []finding.Row) []string {
	var out []string
	for _, w := range a.quantity.Words {
		if wordMask(a.quantity.Name, w, rows)&fit != 0 {
			out = append(out, w)
		}
	}
	return out
}

// settles says, for each reading that is too rough, how far its value lies
// from the nearest limit with the others at their values.
func settles(f finding.Finding, axes []axis) []finding.Settle {
	if f.Verdict != finding.TooClose {
		return nil
	}
	var out []finding.Settle
	for i, a := range axes {
		if !slices.Contains(f.Undecided, a.quantity.Name) || a.quantity.IsState() {
			continue
		}
		if _, m := allowed(i, axes, f.Limit); m != nil {
			out = append(out, finding.Settle{Quantity: a.quantity.Name, Within: math.Abs(*m)})
		}
	}
	return out
}
