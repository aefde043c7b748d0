// Package partfull is steady uniform flow in a circular pipe that runs partly
// full: plain geometry of the circle, and Colebrook-White with the hydraulic
// radius in the place of the bore.
//
// Units inside the package are SI: metres, metres per metre, m/s, m³/s. Law
// holds for turbulent flow, a depth of about a tenth of the bore and more; a
// trickle below that is answered by the same formula and is an extrapolation.
package partfull

import "math"

// Section is the wetted part of a circular pipe.
type Section struct {
	Area      float64 // m²
	Perimeter float64 // wetted, m
	Radius    float64 // hydraulic: area over perimeter, m; 0 when dry
	Width     float64 // of the water's surface, m
}

// SectionAt is the wetted section of a bore (m) at a depth ratio (0 dry to 1
// full). Ratios outside are taken as the nearest end.
func SectionAt(bore, ratio float64) Section {
	angle := angleOf(ratio)
	s := Section{
		Area:      bore * bore / 8 * lessSine(angle, math.Sin(angle)),
		Perimeter: bore * angle / 2,
		Width:     bore * math.Sin(angle/2),
	}
	if s.Perimeter > 0 {
		s.Radius = s.Area / s.Perimeter
	}
	return s
}

// angleOf is the angle (rad) under which the water's surface is seen from the
// pipe's axis: 0 dry, 2π full.
func angleOf(ratio float64) float64 {
	return 2 * math.Acos(1-2*min(max(ratio, 0), 1))
}

// ratioOf is the depth ratio of an angle.
func ratioOf(angle float64) float64 { return (1 - math.Cos(angle/2)) / 2 }

// lessSine is t - sin t, by its series where the difference would cancel.
func lessSine(t, sin float64) float64 {
	if t > 0.01 {
		return t - sin
	}
	t2 := t * t
	return t * t2 / 6 * (1 - t2/20*(1-t2/42))
}
