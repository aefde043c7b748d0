package pipeflow

import "math"

// Gravity is the standard fall of bodies, m/s².
const Gravity = 9.80665

// Between these Reynolds numbers water flows neither laminar nor turbulent for
// certain, and no formula holds.
const (
	LaminarUpTo   = 2000.0
	TurbulentFrom = 4000.0
)

// Reynolds number of a mean velocity (m/s) in a bore (m) at a kinematic
// viscosity (m²/s).
func Reynolds(velocity, bore, kinematic float64) float64 { return velocity * bore / kinematic }

// Friction is the Darcy friction factor at a Reynolds number above nought and
// a roughness relative to the bore: 64/Re while laminar, Colebrook-White once
// turbulent. Between, it is taken straight on logarithmic scales from the one
// to the other, so that it has no step and more flow never loses less.
func Friction(reynolds, relative float64) float64 {
	switch {
	case reynolds <= LaminarUpTo:
		return Laminar(reynolds)
	case reynolds >= TurbulentFrom:
		return ColebrookWhite(reynolds, relative)
	}
	from, to := math.Log(Laminar(LaminarUpTo)), math.Log(ColebrookWhite(TurbulentFrom, relative))
	share := math.Log(reynolds/LaminarUpTo) / math.Log(TurbulentFrom/LaminarUpTo)
	return math.Exp(from + share*(to-from))
}

// Laminar is the friction factor of laminar flow, 64/Re.
func Laminar(reynolds float64) float64 { return 64 / reynolds }

// ColebrookWhite solves 1/√f = -2 lg(k/(3.7 D) + 2.51/(Re √f)) by Newton's
// method to the last digits, whatever the Reynolds number. Its range is Re
// above 4000 and a relative roughness up to 0.05.
func ColebrookWhite(reynolds, relative float64) float64 {
	rough, smooth := relative/3.7, 2.51/reynolds
	x := haaland(reynolds, relative) // 1/√f
	for range 50 {
		inner := rough + smooth*x
		step := (x + 2*math.Log10(inner)) / (1 + 2*smooth/(math.Ln10*inner))
		x -= step
		if math.Abs(step) < 1e-14*x {
			break
		}
	}
	return 1 / (x * x)
}

// haaland is his explicit form of 1/√f, a start within two parts in a hundred.
func haaland(reynolds, relative float64) float64 {
	return -1.8 * math.Log10(math.Pow(relative/3.7, 1.11)+6.9/reynolds)
}
