package quantity

import (
	"math"
	"sort"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Dimension is what a quantity measures. Each has one canonical unit.
type Dimension int

// The dimensions and the unit a parsed reading has.
const (
	Length      Dimension = iota // mm
	Fall                         // mm/m
	Angle                        // °
	Flow                         // l/s
	Pressure                     // kPa
	Temperature                  // °C
	Volume                       // l
	Time                         // s
	Area                         // mm²
	Mass                         // kg
	Velocity                     // m/s
	Stress                       // Pa, of water on a pipe's wall
	LineLoad                     // kN/m
	Count                        // 1, whole
	Ratio                        // 1
	Year                         // calendar year
)

type dimension struct {
	name, a string // "length", "a length"
	unit    string // canonical
	example string // what an error shows: "40 mm"
	sample  string // a unit for a bare number
	units   string // the usual ones
}

var dimensions = [...]dimension{
	Length:      {"length", "a length", "mm", "40 mm", "mm", "mm, cm, m, in, ft"},
	Fall:        {"fall", "a fall", "mm/m", "18 mm/m", "mm/m", "mm/m, cm/m, %, 1:40, in/ft, °"},
	Angle:       {"angle", "an angle", "°", "45°", "°", "°"},
	Flow:        {"flow", "a flow", "l/s", "0.5 l/s", "l/s", "l/s, l/min, m3/h, gpm"},
	Pressure:    {"pressure", "a pressure", "kPa", "38 mm wg", "kPa", "kPa, bar, mbar, Pa, psi, mm wg, m wg"},
	Temperature: {"temperature", "a temperature", "°C", "60 °C", "°C", "°C, °F"},
	Volume:      {"volume", "a volume", "l", "6 l", "l", "l, ml, m3, gal"},
	Time:        {"time", "a time", "s", "15 min", "s", "s, min, h"},
	Area:        {"area", "an area", "mm²", "1500 mm2", "mm2", "mm2, cm2, m2, in2"},
	Mass:        {"mass", "a mass", "kg", "8 kg", "kg", "kg, g, lb"},
	Velocity:    {"velocity", "a velocity", "m/s", "0.7 m/s", "m/s", "m/s, ft/s"},
	Stress:      {"stress", "a stress", "Pa", "1.5 Pa", "Pa", "Pa, kPa"},
	LineLoad:    {"line load", "a load along a timber", "kN/m", "1.2 kN/m", "kN/m", "kN/m"},
	Count:       {"count", "a whole number", "1", "3", "", "a whole number without a unit"},
	Ratio:       {"ratio", "a ratio", "1", "0.5", "", "0.5, 50 %, 1:2"},
	Year:        {"year", "a year", "1", "1908", "", "a year of four digits"},
}

func (d Dimension) String() string { return dimensions[d].name }

// Name is the dimension with its article: "a length".
func (d Dimension) Name() string { return dimensions[d].a }

// Unit is the canonical unit of the dimension, as the catalogue writes it.
func (d Dimension) Unit() string { return dimensions[d].unit }

// Example shows how a quantity of this dimension is written.
func (d Dimension) Example() string { return dimensions[d].example }

// Units lists the usual units of the dimension, for a message.
func (d Dimension) Units() string { return dimensions[d].units }

// With shows how a bare number would be written with a unit: "40" as "40 mm",
// "0.55" as "0.55 m", for nobody measures hundredths of a millimetre.
func (d Dimension) With(number string) string {
	if d == Length && strings.ContainsAny(number, ".,") {
		return number + " m"
	}
	if unit := dimensions[d].sample; unit != "" && unit != "°" {
		return number + " " + unit
	}
	return number + dimensions[d].sample
}

// DimensionOf finds a dimension by its name: "length", "fall", "year".
func DimensionOf(name string) (Dimension, bool) {
	for d, entry := range dimensions {
		if entry.name == name {
			return Dimension(d), true
		}
	}
	return 0, false
}

// OfUnit is the dimension that a unit of the catalogue of quantities belongs
// to; "1" is a ratio, which takes any bare number.
func OfUnit(unit string) (Dimension, bool) {
	if unit == "1" {
		return Ratio, true
	}
	for d, entry := range dimensions {
		if entry.unit == unit {
			return Dimension(d), true
		}
	}
	return 0, false
}

// Exact by definition: the inch, the pound and standard gravity; the US gallon
// is 231 cubic inches, the UK gallon 4.54609 l.
const (
	mmPerInch = 25.4
	mmPerFoot = 12 * mmPerInch
	kgPerLb   = 0.45359237
	gravity   = 9.80665
	usGallon  = 231 * mmPerInch * mmPerInch * mmPerInch / 1e6
	ukGallon  = 4.54609
	kPaPerPsi = kgPerLb * gravity / (mmPerInch * mmPerInch) * 1000
)

// unit is one unit: v of it is v*factor+offset canonical ones, or the tangent
// of it for an angle read as a fall.
type unit struct {
	dim     Dimension
	factor  float64
	offset  float64
	tangent bool
	symbols []string
}

func (u unit) canonical(v float64) float64 {
	if u.tangent {
		return 1000 * math.Tan(v*math.Pi/180)
	}
	return v*u.factor + u.offset
}

var units = []unit{
	{dim: Length, factor: 1, symbols: []string{"mm", "millimetres", "millimeters"}},
	{dim: Length, factor: 10, symbols: []string{"cm"}},
	{dim: Length, factor: 1000, symbols: []string{"m", "metres", "meters"}},
	{dim: Length, factor: mmPerInch, symbols: []string{"in", `"`, "''", "inch", "inches"}},
	{dim: Length, factor: mmPerFoot, symbols: []string{"ft", "'", "foot", "feet"}},

	{dim: Fall, factor: 1, symbols: []string{"mm/m", "mm per m", "‰"}},
	{dim: Fall, factor: 10, symbols: []string{"cm/m", "cm per m", "%", "percent", "per cent"}},
	{dim: Fall, factor: 1000.0 / 12, symbols: []string{"in/ft", "in per ft", "in per foot", "inch per foot", `"/ft`, `"/'`, `" per ft`, `" per foot`}},
	{dim: Fall, tangent: true, symbols: []string{"°", "deg", "degree", "degrees"}},

	{dim: Angle, factor: 1, symbols: []string{"°", "deg", "degree", "degrees"}},

	{dim: Flow, factor: 1, symbols: []string{"l/s", "L/s"}},
	{dim: Flow, factor: 1.0 / 60, symbols: []string{"l/min", "L/min"}},
	{dim: Flow, factor: 1.0 / 3.6, symbols: []string{"m3/h", "m³/h"}},
	{dim: Flow, factor: usGallon / 60, symbols: []string{"gpm", "gal/min"}},

	{dim: Pressure, factor: 1, symbols: []string{"kPa"}},
	{dim: Pressure, factor: 0.001, symbols: []string{"Pa"}},
	{dim: Pressure, factor: 0.1, symbols: []string{"mbar", "hPa"}},
	{dim: Pressure, factor: 100, symbols: []string{"bar"}},
	{dim: Pressure, factor: kPaPerPsi, symbols: []string{"psi"}},
	{dim: Pressure, factor: gravity / 1000, symbols: []string{"mm wg", "mm of water", "mmwg"}},
	{dim: Pressure, factor: gravity, symbols: []string{"m wg", "m of water"}},
	{dim: Pressure, factor: gravity * mmPerInch / 1000, symbols: []string{"in wg", "in of water"}},
	{dim: Pressure, factor: gravity * mmPerFoot / 1000, symbols: []string{"ft of water"}},

	{dim: Temperature, factor: 1, symbols: []string{"°C", "C", "° C"}},
	{dim: Temperature, factor: 5.0 / 9, offset: -160.0 / 9, symbols: []string{"°F", "F", "° F"}},

	{dim: Volume, factor: 1, symbols: []string{"l", "L", "litres", "liters", "litre", "liter"}},
	{dim: Volume, factor: 0.001, symbols: []string{"ml", "mL"}},
	{dim: Volume, factor: 1000, symbols: []string{"m3", "m³"}},
	{dim: Volume, factor: usGallon, symbols: []string{"gal", "US gal"}},
	{dim: Volume, factor: ukGallon, symbols: []string{"UK gal"}},

	{dim: Time, factor: 1, symbols: []string{"s", "sec", "seconds"}},
	{dim: Time, factor: 60, symbols: []string{"min", "minutes"}},
	{dim: Time, factor: 3600, symbols: []string{"h", "hours", "hour"}},

	{dim: Area, factor: 1, symbols: []string{"mm2", "mm²"}},
	{dim: Area, factor: 100, symbols: []string{"cm2", "cm²"}},
	{dim: Area, factor: 1e6, symbols: []string{"m2", "m²"}},
	{dim: Area, factor: mmPerInch * mmPerInch, symbols: []string{"in2", "in²", "sq in"}},

	{dim: Mass, factor: 1, symbols: []string{"kg"}},
	{dim: Mass, factor: 0.001, symbols: []string{"g"}},
	{dim: Mass, factor: kgPerLb, symbols: []string{"lb", "lbs"}},

	{dim: Velocity, factor: 1, symbols: []string{"m/s"}},
	{dim: Velocity, factor: mmPerFoot / 1000, symbols: []string{"ft/s"}},

	{dim: Stress, factor: 1, symbols: []string{"Pa"}},
	{dim: Stress, factor: 1000, symbols: []string{"kPa"}},
	{dim: LineLoad, factor: 1, symbols: []string{"kN/m"}},

	{dim: Ratio, factor: 0.01, symbols: []string{"%", "percent", "per cent"}},
}

type symbol struct {
	text string
	unit *unit
}

// symbols, the longest first, so that "mm wg" is found before "mm".
var symbols = func() []symbol {
	var all []symbol
	for i := range units {
		for _, s := range units[i].symbols {
			all = append(all, symbol{s, &units[i]})
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return len(all[i].text) > len(all[j].text) })
	return all
}()

// unitAt finds the unit that text begins with, one of the wanted dimension if
// the symbol has several meanings, and what follows it.
func unitAt(text string, wanted Dimension) (u *unit, rest string) {
	length := 0
	for _, s := range symbols {
		if length > len(s.text) {
			break
		}
		if !strings.HasPrefix(text, s.text) || runsOn(s.text, text[len(s.text):]) {
			continue
		}
		if u == nil || u.dim != wanted && s.unit.dim == wanted {
			u, rest, length = s.unit, text[len(s.text):], len(s.text)
		}
	}
	return u, rest
}

// runsOn tells whether a word goes on after the symbol: "m" in "max".
func runsOn(symbol, rest string) bool {
	last, _ := utf8.DecodeLastRuneInString(symbol)
	next, _ := utf8.DecodeRuneInString(rest)
	if rest == "" || !unicode.IsLetter(last) && !unicode.IsDigit(last) {
		return false
	}
	return unicode.IsLetter(next) || next == '/'
}

// symbolsOf lists the symbols of a dimension.
func symbolsOf(d Dimension) []string {
	var all []string
	for _, u := range units {
		if u.dim == d {
			all = append(all, u.symbols...)
		}
	}
	return all
}
