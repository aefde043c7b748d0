// Package plan is the layout as plugins and rules see it: flat lists of
// subjects with stable ids, every quantity a Reading in its dimension's one
// unit, every yes-or-no a closed word. It knows no file, no line and no code.
//
// Units, everywhere in this package and on the wire: lengths and levels in
// mm, falls in mm/m, angles in degrees, flows in l/s, volumes in l, times in
// s, pressures in kPa, temperatures in °C, areas in mm², masses in kg.
package plan

import (
	"encoding/json"
	"math"
)

// Reading is one quantity as somebody read it: the value and the band it may
// truly lie in. A band open on one side ("at least 0.4 m, the end is hidden")
// has an infinite end, which JSON writes by leaving the key out.
type Reading struct {
	Low, Value, High float64
	// How says where the figure comes from.
	How How
}

// How a figure was come by. The sheet shows it beside the figure.
type How string

// The ways a figure is come by.
const (
	Taped    How = "taped"
	Guessed  How = "guessed"
	Planned  How = "planned"
	Drawn    How = "drawing"
	Stamped  How = "stamped"  // read off the part or taken from the stock table for its stamp
	Computed How = "computed" // derived from other readings, points for one
	Exact    How = "exact"    // somebody wrote `exact`, or it is a count
)

// Exactly is a reading without a band.
func Exactly(v float64) Reading { return Reading{Low: v, Value: v, High: v, How: Exact} }

// PlusMinus is a reading with the same tolerance on both sides.
func PlusMinus(v, tolerance float64, how How) Reading {
	return Reading{Low: v - tolerance, Value: v, High: v + tolerance, How: how}
}

// Closed tells whether both ends of the band are known.
func (r Reading) Closed() bool { return !math.IsInf(r.Low, 0) && !math.IsInf(r.High, 0) }

// Plus adds two readings, ends to ends: the worst case, not the likely one.
func (r Reading) Plus(o Reading) Reading {
	return Reading{r.Low + o.Low, r.Value + o.Value, r.High + o.High, Computed}
}

// Minus subtracts, worst case to worst case.
func (r Reading) Minus(o Reading) Reading {
	return Reading{r.Low - o.High, r.Value - o.Value, r.High - o.Low, Computed}
}

// Times scales a reading by an exact factor.
func (r Reading) Times(k float64) Reading {
	low, high := r.Low*k, r.High*k
	if k < 0 {
		low, high = high, low
	}
	return Reading{low, r.Value * k, high, Computed}
}

type readingJSON struct {
	Low   *float64 `json:"low,omitempty"`
	Value float64  `json:"value"`
	High  *float64 `json:"high,omitempty"`
	How   How      `json:"how,omitempty"`
}

// MarshalJSON leaves an open end out, since JSON has no infinity.
func (r Reading) MarshalJSON() ([]byte, error) {
	j := readingJSON{Value: r.Value, How: r.How}
	if !math.IsInf(r.Low, 0) {
		j.Low = &r.Low
	}
	if !math.IsInf(r.High, 0) {
		j.High = &r.High
	}
	return json.Marshal(j)
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (r *Reading) UnmarshalJSON(b []byte) error {
	var j readingJSON
	if err := json.Unmarshal(b, &j); err != nil {
		return err
	}
	*r = Reading{math.Inf(-1), j.Value, math.Inf(1), j.How}
	if j.Low != nil {
		r.Low = *j.Low
	}
	if j.High != nil {
		r.High = *j.High
	}
	return nil
}
