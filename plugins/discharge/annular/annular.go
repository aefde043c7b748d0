// Package annular is the flow of water down a stack as a film on its wall about
// a core of air (Wyly and Eaton, US National Bureau of Standards): capacity by
// the share of the section that the film takes, and the film's speed.
//
// The formulas are stated in US units, and so are their factors; in and out of
// this package go mm, l/s and m/s. They hold for a share of about a quarter to
// a third at terminal speed; a share far outside is an extrapolation.
package annular

import "math"

const (
	inch   = 25.4                 // mm
	foot   = 304.8                // mm
	gallon = 3.785411784          // l, US
	gpm    = gallon / 60          // l/s in a US gallon a minute
	most   = 27.8                 // factor of the capacity, gpm and inches
	speed  = 3.0                  // factor of the terminal speed, ft/s
	runUp  = 0.052                // factor of the terminal length, ft
	small  = float64(5) / 3       // power of the share
	wide   = float64(8) / 3       // power of the bore
	slow   = float64(2) / 5       // power of the flow over the bore
	metre  = float64(1000) / foot // ft
)

// Flow (l/s) of a stack of a bore (mm) whose film takes a share of its section:
// Q = 27.8 r^(5/3) D^(8/3) in gpm and inches.
func Flow(bore, share float64) float64 {
	return most * math.Pow(max(share, 0), small) * math.Pow(max(bore, 0)/inch, wide) * gpm
}

// Share of the section (0 to 1) that the film of a flow (l/s) takes in a bore
// (mm). 1 stands for a flow that the stack could not carry even when full.
func Share(bore, flow float64) float64 {
	if flow <= 0 {
		return 0
	}
	return min(1, math.Pow(flow/Flow(bore, 1), 1/small))
}

// Terminal is the speed (m/s) at which friction on the wall carries the film,
// Vt = 3.0 (Q/D)^(2/5) in ft/s, gpm and inches, and the length (m) in which it
// gets there, 0.052 Vt² in ft.
func Terminal(bore, flow float64) (velocity, length float64) {
	v := speed * math.Pow(max(flow, 0)/gpm/(bore/inch), slow)
	return v / metre, runUp * v * v / metre
}

// Film is the thickness (mm) of the film that takes a share of the section.
func Film(bore, share float64) float64 { return bore / 2 * (1 - math.Sqrt(1-share)) }
