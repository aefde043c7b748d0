package ec5

import "math"

// Beam is a timber on two bearings, each free to turn.
type Beam struct {
	Span float64 // m
	Section
	E, G float64 // Pa
}

// Moment of a load q in N/m over the whole span, at x from a bearing, N m:
// q x (L - x)/2.
func Moment(q, span, x float64) float64 { return q * x * (span - x) / 2 }

// ShearFixed is the shear force, N, at x of a load over the whole span that
// stays where it is: q |L/2 - x|.
func ShearFixed(q, span, x float64) float64 { return q * math.Abs(span/2-x) }

// ShearMoving is the shear force, N, at x of a load q in N/m, as long as told,
// that stands where it is worst for x: from x towards the farther bearing, V =
// q c (m - c/2)/L with m the distance to that bearing and c no longer than m.
// A live load over any part of the floor is as long as the span.
func ShearMoving(q, length, span, x float64) float64 {
	m := max(x, span-x)
	c := min(length, m)
	return q * c * (m - c/2) / span
}

// Spread is the load over the whole span, N/m, that bends every section as
// hard as a load q of that length where it is worst for the section:
// q (2 c/L - (c/L)²), by the influence line. Of the sag it gives a little more
// than the load itself does.
func Spread(q, length, span float64) float64 {
	k := min(length/span, 1)
	return q * k * (2 - k)
}

// Deflection at mid span, m, under a load q in N/m over the whole span:
// 5 q L⁴/(384 E I) of bending and (6/5) q L²/(8 G A) of shear.
func (b Beam) Deflection(q float64) (bending, shear float64) {
	l := b.Span
	return 5 * q * l * l * l * l / (384 * b.E * b.I), 1.2 * q * l * l / (8 * b.G * b.Width * b.Depth)
}

// AddedByCut is how much a weaker piece from one place to another along the
// span, whose second moment is i, adds to the sag at mid span, m, under q:
// the integral of M m/E over the piece times (1/i - 1/I), with m the moment of
// a force of one at mid span (unit load method, exact for each piece; pieces
// add up). What the cut adds to the shear part, under a hundredth, is left out.
func (b Beam) AddedByCut(q, from, to, i float64) float64 {
	from, to = min(max(from, 0), b.Span), min(max(to, 0), b.Span)
	if to <= from {
		return 0
	}
	return (b.swept(q, to) - b.swept(q, from)) * (1/i - 1/b.I) / b.E
}

// swept is the integral of M m from the bearing to x.
func (b Beam) swept(q, x float64) float64 {
	l := b.Span
	half := func(x float64) float64 { return q / 4 * (l*x*x*x/3 - x*x*x*x/4) }
	if x <= l/2 {
		return half(x)
	}
	return 2*half(l/2) - half(l-x)
}

// Final is a deflection with creep, m: u (1 + kdef) of the permanent part and
// u (1 + psi2 kdef) of the variable part, EN 1995-1-1, 2.2.3.
func Final(permanent, variable, kdef, psi2 float64) float64 {
	return permanent*(1+kdef) + variable*(1+psi2*kdef)
}

// Frequency is the lowest of a floor of joists, Hz: pi/(2 L²) (EI/m)^½, with
// its stiffness along the span in N m²/m and its mass in kg/m²; EN 1995-1-1,
// 7.3.3.
func Frequency(span, stiffness, mass float64) float64 {
	return math.Pi / (2 * span * span) * math.Sqrt(stiffness/mass)
}

// SagUnderForce is the sag, m, of a floor under a force in N, the lesser of a
// plate's F L²/(42 kd EI) and one joist's F L³/(48 s EI); kd is the fourth root
// of the stiffness across over that along. Finnish annex to EN 1995-1-1.
func SagUnderForce(force, span, kd, stiffness, spacing float64) float64 {
	return min(force*span*span/(42*kd*stiffness), force*span*span*span/(48*spacing*stiffness))
}
