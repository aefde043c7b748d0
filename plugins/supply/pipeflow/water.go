package pipeflow

import (
	"fmt"
	"math"
)

// Water at one temperature under the pressure of the air.
type Water struct {
	Density   float64 // kg/m³
	Viscosity float64 // dynamic, Pa s
}

// Kinematic viscosity, m²/s.
func (w Water) Kinematic() float64 { return w.Viscosity / w.Density }

// WaterAt is water at a temperature in °C, from 0 to 100. Other temperatures
// are an error: it is ice or steam then.
func WaterAt(celsius float64) (Water, error) {
	density, err := Density(celsius)
	if err != nil {
		return Water{}, err
	}
	return Water{density, Viscosity(celsius+273.15, density)}, nil
}

// Density of water (kg/m³) at a temperature in °C, from 0 to 100: up to 40 by
// the CIPM form of 2001, above by the polynomial of 1975 that the tables of
// water standards use. Both from memory; tables that were read hold them
// within 0.02 %.
func Density(celsius float64) (float64, error) {
	t := celsius
	switch {
	case math.IsNaN(t) || t < 0 || t > 100:
		return 0, fmt.Errorf("density of water: %g °C is not between 0 °C and 100 °C", t)
	case t <= 40:
		return 999.974950 * (1 - (t-3.983035)*(t-3.983035)*(t+301.797)/(522528.9*(t+69.34881))), nil
	}
	upper := 999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-t*280.54253e-12))))
	return upper / (1 + 16.879850e-3*t), nil
}

// Critical point of water by IAPWS, K and kg/m³.
const (
	criticalTemperature = 647.096
	criticalDensity     = 322.0
)

// dilute are the coefficients of the viscosity of dilute steam.
var dilute = []float64{1.67752, 2.20462, 0.6366564, -0.241605}

// dense are those of what the density adds: powers of 1/T less one and of the
// density less one.
var dense = []struct {
	i, j int
	h    float64
}{
	{0, 0, 0.520094}, {1, 0, 0.0850895}, {2, 0, -1.08374}, {3, 0, -0.289555},
	{0, 1, 0.222531}, {1, 1, 0.999115}, {2, 1, 1.88797}, {3, 1, 1.26613}, {5, 1, 0.120573},
	{0, 2, -0.281378}, {1, 2, -0.906851}, {2, 2, -0.772479}, {3, 2, -0.489837}, {4, 2, -0.257040},
	{0, 3, 0.161913}, {1, 3, 0.257399}, {0, 4, -0.0325372}, {3, 4, 0.0698452},
	{4, 5, 0.00872102}, {3, 6, -0.00435673}, {5, 6, -0.000593264},
}

// Viscosity is the dynamic viscosity (Pa s) of water at a temperature in K and
// a density in kg/m³ by IAPWS R12-08, without the enhancement near the
// critical point. Coefficients from memory; the release's verification points,
// which were read, hold them.
func Viscosity(kelvin, density float64) float64 {
	t, r := kelvin/criticalTemperature, density/criticalDensity
	sum := 0.0
	for i, h := range dilute {
		sum += h / math.Pow(t, float64(i))
	}
	exponent := 0.0
	for _, c := range dense {
		exponent += c.h * math.Pow(1/t-1, float64(c.i)) * math.Pow(r-1, float64(c.j))
	}
	return 1e-6 * 100 * math.Sqrt(t) / sum * math.Exp(r*exponent)
}
