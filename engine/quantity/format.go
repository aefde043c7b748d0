package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System of units that a figure is shown in.
type System int

// The systems.
const (
	Metric System = iota
	Imperial
)

func (s System) String() string {
	if s == Imperial {
		return "imperial"
	}
	return "metric"
}

// Format writes v, given in a unit of the catalogue of quantities (or °C, kg),
// for people: 40 mm, 2.40 m, 18 mm/m; 1 9/16 in, 7 ft 10 1/2 in, 0.22 in/ft.
// Lengths are shown to 0.1 mm below a metre and to 1 mm above, in inches to
// 1/16. What Format writes, Parse reads.
func Format(v float64, unit string, system System) string {
	return format(v, unit, system, 0)
}

// FormatBand writes a reading with its band: "36 mm (30 to 42 mm)"; an exact
// one like Format, one open side as "at least 0.40 m". No figure has more
// digits than the band gives it: two of half the band's width.
func FormatBand(low, value, high float64, unit string, system System) string {
	switch {
	case low == high:
		return Format(value, unit, system)
	case math.IsInf(low, 0) && math.IsInf(high, 0):
		return "unknown"
	case math.IsInf(high, 0):
		return "at least " + Format(low, unit, system)
	case math.IsInf(low, 0):
		return "at most " + Format(high, unit, system)
	}
	step := math.Pow(10, math.Floor(math.Log10((high-low)/2))-1)
	show := func(v float64) string { return format(v, unit, system, step) }
	from, to := show(low), show(high)
	if number, suffix, ok := strings.Cut(from, " "); ok && strings.HasSuffix(to, " "+suffix) && !strings.Contains(suffix, " ") {
		from = number
	}
	return fmt.Sprintf("%s (%s to %s)", show(value), from, to)
}

// format rounds to step (in the unit of v) where that is coarser than what the
// unit is shown to.
func format(v float64, unit string, system System, step float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "unknown"
	}
	if system == Imperial {
		return imperial(v, unit, step)
	}
	return metric(v, unit, step)
}

// finest is what a figure in a unit is rounded to, at the least.
var finest = map[string]float64{
	"mm": 0.1, "mm/m": 0.1, "°": 0.1, "l/s": 0.01, "m/s": 0.01, "kPa": 0.1, "s": 0.1,
	"mm²": 1, "l": 0.1, "1": 0.01, "°C": 0.1, "kg": 0.1, "Pa": 0.1, "kN/m": 0.01,
}

func metric(v float64, unit string, step float64) string {
	least, ok := finest[unit]
	if !ok {
		return decimals(v, max(step, 0.001)) + " " + unit
	}
	switch {
	case unit == "mm" && math.Abs(round(v, max(step, least))) >= 1000:
		return metres(v, step)
	case unit == "kPa" && math.Abs(v) < 1 && math.Round(v*1000) != 0:
		return decimals(v*1000, max(step*1000, 1)) + " Pa"
	case unit == "1":
		return decimals(v, max(step, least))
	case unit == "°":
		return decimals(v, max(step, least)) + "°"
	}
	return decimals(v, max(step, least)) + " " + unit
}

// metres shows a length over a metre: two decimals, the third when it is not 0
// and the band does not swallow it.
func metres(v, step float64) string {
	text := strconv.FormatFloat(round(v, max(step, 1))/1000, 'f', 3, 64)
	if step >= 100 {
		return text[:len(text)-2] + " m"
	}
	return strings.TrimSuffix(text, "0") + " m"
}

// round to a multiple of step, without a negative zero.
func round(v, step float64) float64 {
	return math.Round(v/step)*step + 0
}

// decimals rounds to step and writes no more decimals than it has, and no
// zeros at the end.
func decimals(v, step float64) string {
	places := 0
	for s := step; s < 0.999 && places < 6; s *= 10 {
		places++
	}
	text := strconv.FormatFloat(round(v, step), 'f', places, 64)
	if places > 0 {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// imperials are the units shown instead of the catalogue's: what one of them is
// in the catalogue's, and what it is rounded to.
var imperials = map[string]struct {
	unit   string
	factor float64
	finest float64
}{
	"l/s": {"gpm", usGallon / 60, 0.1},
	"kPa": {"psi", kPaPerPsi, 0.01},
	"l":   {"gal", usGallon, 0.01},
	"mm²": {"in2", mmPerInch * mmPerInch, 0.01},
	"kg":  {"lb", kgPerLb, 0.1},
	"m/s": {"ft/s", mmPerFoot / 1000, 0.01},
}

func imperial(v float64, unit string, step float64) string {
	switch unit {
	case "mm":
		return inches(v)
	case "mm/m":
		return inchesPerFoot(v, step)
	case "°C":
		return decimals(v*9/5+32, max(step*9/5, 0.1)) + " °F"
	}
	to, ok := imperials[unit]
	if !ok {
		return metric(v, unit, step) // degrees, seconds and bare numbers
	}
	return decimals(v/to.factor, max(step/to.factor, to.finest)) + " " + to.unit
}

// feetFrom is the length in inches from which feet are shown.
const feetFrom = 24

// inches shows a length in inches and sixteenths, from two feet on in feet too.
func inches(mm float64) string {
	sign := ""
	sixteenths := int64(math.Round(math.Abs(mm) / mmPerInch * 16))
	if mm < 0 && sixteenths > 0 {
		sign = "-"
	}
	if sixteenths < feetFrom*16 {
		return sign + mixed(sixteenths) + " in"
	}
	feet, rest := sixteenths/(12*16), sixteenths%(12*16)
	if rest == 0 {
		return fmt.Sprintf("%s%d ft", sign, feet)
	}
	return fmt.Sprintf("%s%d ft %s in", sign, feet, mixed(rest))
}

// mixed writes sixteenths as a whole number and a fraction in lowest terms.
func mixed(sixteenths int64) string {
	whole, over, under := sixteenths/16, sixteenths%16, int64(16)
	for over > 0 && over%2 == 0 {
		over, under = over/2, under/2
	}
	switch {
	case over == 0:
		return strconv.FormatInt(whole, 10)
	case whole == 0:
		return fmt.Sprintf("%d/%d", over, under)
	}
	return fmt.Sprintf("%d %d/%d", whole, over, under)
}

// inchesPerFoot shows a fall as a fraction where it is one to the hair, and as
// a decimal where a sixteenth would say another fall.
func inchesPerFoot(v, step float64) string {
	perFoot := v * 12 / 1000
	sixteenths := math.Round(perFoot * 16)
	if math.Abs(perFoot*16-sixteenths) < 0.02 && sixteenths >= 0 {
		return mixed(int64(sixteenths)) + " in/ft"
	}
	return decimals(perFoot, max(step*12/1000, 0.01)) + " in/ft"
}
