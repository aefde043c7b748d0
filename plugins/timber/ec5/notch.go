package ec5

import "math"

// Kn of a notch at a bearing, EN 1995-1-1, 6.5.2. Solid timber and laminated
// veneer lumber read, glulam recalled.
const (
	KnSolid  = 5.0
	KnLVL    = 4.5
	KnGlulam = 6.5
)

// Kv is by how much a notch on the side of the bearing lowers the shear
// strength there, EN 1995-1-1, expressions 6.60 to 6.62:
//
//	kv = min(1, kn (1 + 1.1 i^1.5/√h) / (√h (√(α(1-α)) + 0.8 (x/h) √(1/α - α²))))
//
// with h in mm, α = left/h, x from the line of the reaction to the notch's
// corner, and i the taper (run over rise of the notch's slope, 0 for a square
// cut). All lengths are given in m. A notch on the other side has kv = 1.
func Kv(kn, depth, left, x, taper float64) float64 {
	if left >= depth {
		return 1
	}
	h, a := depth*1000, left/depth
	below := math.Sqrt(h) * (math.Sqrt(a*(1-a)) + 0.8*x/depth*math.Sqrt(1/a-a*a))
	return min(1, kn*(1+1.1*math.Pow(taper, 1.5)/math.Sqrt(h))/below)
}

// HoleTension is the force across the grain at a hole, N, that splits the
// timber there: V d/(4 h) (3 - (d/h)²) + 0.008 M/r, with r the depth left on
// the weaker side, m. A round hole counts as 0.7 of its diameter high, and its
// r grows by 0.15 of that (memory). German annex to EN 1995-1-1, for glulam and
// laminated veneer lumber: no leave to bore solid timber.
func HoleTension(shear, moment, depth, hole, left float64) float64 {
	t := hole / depth
	return shear*t/4*(3-t*t) + 0.008*moment/left
}

// HoleShearFactor is how much the shear stress at a hole's edge exceeds that of
// the net section: 1.85 (1 + a/h) (d/h)^0.2 with the hole's length a along the
// timber, and never less than 1. Source and bounds as of HoleTension.
func HoleShearFactor(depth, hole, length float64) float64 {
	return max(1, 1.85*(1+length/depth)*math.Pow(hole/depth, 0.2))
}
