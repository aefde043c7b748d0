package pipeflow

import "math"

// Pipe is a straight full pipe of one bore with what sits in it.
type Pipe struct {
	Bore      float64 // m
	Length    float64 // m
	Roughness float64 // of the wall, m
	K         float64 // sum of the local loss coefficients
}

// Area of a bore's section, m².
func Area(bore float64) float64 { return math.Pi / 4 * bore * bore }

// Velocity is the mean velocity (m/s) of a flow (m³/s) in a bore (m).
func Velocity(flow, bore float64) float64 { return flow / Area(bore) }

// Content is the volume in a length of pipe, m³.
func Content(bore, length float64) float64 { return Area(bore) * length }

// DarcyWeisbach is the pressure (Pa) that friction takes over a length:
// f L/D rho v²/2.
func DarcyWeisbach(friction, length, bore, velocity, density float64) float64 {
	return friction * length / bore * density * velocity * velocity / 2
}

// Local is the pressure (Pa) that a part of coefficient k takes: K rho v²/2.
func Local(k, velocity, density float64) float64 { return k * density * velocity * velocity / 2 }

// Loss is the pressure (Pa) that a flow (m³/s, not below nought) loses in the
// pipe. Without flow nothing is lost, and a pipe without bore loses all.
func (p Pipe) Loss(flow float64, w Water) float64 {
	switch {
	case flow == 0:
		return 0
	case p.Bore <= 0:
		return math.Inf(1)
	}
	v := Velocity(flow, p.Bore)
	f := Friction(Reynolds(v, p.Bore, w.Kinematic()), p.Roughness/p.Bore)
	return DarcyWeisbach(f, p.Length, p.Bore, v, w.Density) + Local(p.K, v, w.Density)
}

// Head is the height (m) of a column that presses so (Pa).
func Head(pressure, density float64) float64 { return pressure / (density * Gravity) }

// Pressure is the pressure (Pa) under a column of a height (m).
func Pressure(height, density float64) float64 { return height * density * Gravity }

// HazenWilliams is the head (m) lost after Hazen and Williams, SI form, for
// comparison: 10.67 L Q^1.852 / (C^1.852 D^4.87). It holds for turbulent water
// near 15 °C.
func HazenWilliams(flow, bore, length, c float64) float64 {
	return 10.67 * length * math.Pow(flow/c, 1.852) / math.Pow(bore, 4.87)
}
