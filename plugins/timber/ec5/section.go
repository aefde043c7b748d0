package ec5

import "math"

// Section is a rectangle of timber, or what a cut has left of one.
type Section struct {
	Width float64 // m
	W     float64 // section modulus about the level axis, m³, the lesser of both edges
	I     float64 // second moment of area, m⁴
	Depth float64 // depth that carries shear, m
}

// Whole is the uncut rectangle: W = b h²/6, I = b h³/12.
func Whole(b, h float64) Section {
	return Section{Width: b, W: b * h * h / 6, I: b * h * h * h / 12, Depth: h}
}

// EdgeNotch is the rectangle less a notch that deep from its top or bottom
// edge. False when nothing is left. The stress peak at the root is not in it.
func EdgeNotch(b, h, notch float64) (Section, bool) {
	if notch < 0 || notch >= h {
		return Section{}, false
	}
	return Whole(b, h-notch), true
}

// Hole is the rectangle less a hole of that height whose centre lies that far
// off mid depth. W is the lesser of the exact net section about its own neutral
// axis and of the handbooks' b (h² - d²)/6, which holds a centred hole and is
// the safer there. False when the hole breaks an edge.
func Hole(b, h, d, off float64) (Section, bool) {
	off = math.Abs(off)
	if d < 0 || off+d/2 >= h/2 {
		return Section{}, false
	}
	inertia := b * ((h*h*h-d*d*d)/12 - d*off*off*h/(h-d))
	shift := d * off / (h - d) // of the neutral axis, away from the hole
	exact := inertia / (h/2 + shift)
	return Section{Width: b, W: min(exact, b*(h*h-d*d)/6), I: inertia, Depth: h - d}, true
}

// BendingStress at the edge, Pa, of a moment in N m: M/W.
func BendingStress(moment float64, s Section) float64 { return moment / s.W }

// ShearStress at mid depth, Pa, of a shear force in N over a rectangle whose
// width is reduced by kcr (1 leaves it): 1.5 V/(kcr b h).
func ShearStress(shear float64, s Section, kcr float64) float64 {
	return 1.5 * shear / (kcr * s.Width * s.Depth)
}
