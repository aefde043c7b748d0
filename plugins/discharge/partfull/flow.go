package partfull

import "math"

// Law is what Colebrook-White needs beside the pipe.
type Law struct {
	Roughness float64 // operating roughness kb, m
	Viscosity float64 // kinematic, m²/s
	Gravity   float64 // m/s²
}

// AnnexB are the constants of EN 12056-2:2000, Annex B (from memory):
// roughness 1.0 mm, water near 10 °C. The catalogue's depth and flow
// quantities are worked with them.
var AnnexB = Law{Roughness: 1.0e-3, Viscosity: 1.31e-6, Gravity: 9.81}

// Velocity (m/s) at a depth ratio, for a bore in m and a slope in m/m. It is 0
// in a dry pipe and where the pipe does not fall.
func (l Law) Velocity(bore, slope, ratio float64) float64 {
	v, _ := l.velocity(SectionAt(bore, ratio).Radius, slope)
	return v
}

// Flow (m³/s) at a depth ratio, for a bore in m and a slope in m/m.
func (l Law) Flow(bore, slope, ratio float64) float64 {
	q, _ := l.flow(bore, slope, angleOf(ratio))
	return q
}

// velocity and its derivative by the hydraulic radius r:
//
//	v = -2 s log10 X,  s = sqrt(8 g r J),  X = kb/(14.84 r) + 2.51 nu/(4 r s)
//
// A film so thin that X passes 1 lies outside the law; it is given no speed,
// so that flow never turns negative.
func (l Law) velocity(r, slope float64) (v, dv float64) {
	if r <= 0 || slope <= 0 {
		return 0, 0
	}
	s := math.Sqrt(8 * l.Gravity * r * slope)
	rough := l.Roughness / (14.84 * r)
	smooth := 2.51 * l.Viscosity / (4 * r * s)
	x := rough + smooth
	if x >= 1 {
		return 0, 0
	}
	log := math.Log(x) / math.Ln10
	dx := -(rough + 1.5*smooth) / r
	return -2 * s * log, -2 * s * (log/(2*r) + dx/(x*math.Ln10))
}

// flow and its derivative by the angle.
func (l Law) flow(bore, slope, angle float64) (q, dq float64) {
	if angle <= 0 {
		return 0, 0
	}
	sin, cos := math.Sincos(angle)
	segment := lessSine(angle, sin)
	area := bore * bore / 8 * segment
	v, dv := l.velocity(bore/4*segment/angle, slope)
	dArea := bore * bore / 8 * (1 - cos)
	dRadius := bore / 4 * (sin - angle*cos) / (angle * angle)
	return v * area, dArea*v + area*dv*dRadius
}
