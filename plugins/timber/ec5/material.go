// Package ec5 holds the checks of EN 1995-1-1 that a joist with cuts in it
// needs: design values, bending, shear, deflection, a notch at a bearing, a
// hole. Pure functions in SI units throughout: m, m², m³, m⁴, N, N/m, N m, Pa,
// kg/m³. A result is a number of mechanics and no approval of any timber.
//
// Whether a figure was seen in a source (read) or is recalled (memory) is said
// where it stands.
package ec5

import "math"

// Class is a strength class of EN 338 with its characteristic values, Pa and
// kg/m³.
type Class struct {
	Name             string
	Bending          float64 // fm,k
	Shear            float64 // fv,k
	Stiffness        float64 // E0,mean
	StiffnessLow     float64 // E0,05
	ShearStiffness   float64 // Gmean
	Density, Heavier float64 // characteristic, mean
}

const mega = 1e6

// classes of EN 338. Basis read, in a table of a university textbook that
// prints them. Older printings give a shear strength of 1.8 (C16) and 2.5
// (C24), to be used without the crack factor; these go with it.
var classes = []Class{
	{"C16", 16 * mega, 3.2 * mega, 8000 * mega, 5400 * mega, 500 * mega, 310, 370},
	{"C18", 18 * mega, 3.4 * mega, 9000 * mega, 6000 * mega, 560 * mega, 320, 380},
	{"C24", 24 * mega, 4.0 * mega, 11000 * mega, 7400 * mega, 690 * mega, 350, 420},
	{"C30", 30 * mega, 4.0 * mega, 12000 * mega, 8000 * mega, 750 * mega, 380, 460},
	{"D30", 30 * mega, 4.0 * mega, 11000 * mega, 9200 * mega, 690 * mega, 530, 640},
}

// ClassOf finds a strength class by its stamp, "C24". False for one that the
// table has not.
func ClassOf(stamp string) (Class, bool) {
	for _, c := range classes {
		if c.Name == stamp {
			return c, true
		}
	}
	return Class{}, false
}

// Factors of the design value for solid timber in a heated or merely roofed
// house, service classes 1 and 2. Basis read.
const (
	KmodPermanent = 0.6
	KmodLong      = 0.7
	KmodMedium    = 0.8 // live load of a dwelling
	KmodShort     = 0.9
	GammaM        = 1.3 // solid timber
)

// Partial factors of actions, EN 1990. Basis read, in a worked example.
const (
	GammaG = 1.35
	GammaQ = 1.5
)

// Kcr is by how much cracks narrow the width that carries shear, EN 1995-1-1,
// 6.1.7, solid timber unless the national annex says otherwise. Basis memory.
const Kcr = 0.67

// Design is a design strength, Pa: kmod Xk / gammaM, EN 1995-1-1, 2.4.1.
func Design(characteristic, kmod, gammaM float64) float64 { return kmod * characteristic / gammaM }

// Factored is the design action of a permanent and a variable one, in the unit
// they share: gammaG G + gammaQ Q.
func Factored(permanent, variable, gammaG, gammaQ float64) float64 {
	return gammaG*permanent + gammaQ*variable
}

// Kh is the depth factor of solid timber in bending, EN 1995-1-1, 3.2(3), for
// a depth in m: min(1.3, (0.15/h)^0.2) under 150 mm, else 1. Basis read.
func Kh(depth float64) float64 {
	if depth >= 0.15 {
		return 1
	}
	return min(1.3, math.Pow(0.15/depth, 0.2))
}

// KhLVL is the same of laminated veneer lumber with its size effect exponent:
// (0.3/h)^s, here at most 1.1. The standard's own cap is recalled as 1.2; the
// lower one is the safe one.
func KhLVL(depth, s float64) float64 { return min(1.1, math.Pow(0.3/depth, s)) }
