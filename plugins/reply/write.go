package reply

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// Longest is how many bytes of numbers a working holds: a stack of a large
// house adds up hundreds of units, and a line is for reading.
const Longest = 800

// shortened keeps the beginning and the end, where the result stands.
func shortened(s string) string {
	if len(s) <= Longest {
		return s
	}
	return strings.ToValidUTF8(s[:Longest/2], "") + " … " + strings.ToValidUTF8(s[len(s)-Longest/3:], "")
}

// decimals per unit: what a tradesman writes, no falser.
var decimals = map[string]int{
	"mm": 1, "mm/m": 1, "°": 1, "l/s": 2, "m/s": 2, "l": 1, "kg": 1, "kPa": 3, "s": 1, "mm²": 0, "1": 3, "°C": 1, "kN/m": 2, "Pa": 2,
}

// fixed are the units that keep their trailing noughts.
func fixed(unit string) bool { return unit == "mm/m" || unit == "l/s" || unit == "m/s" }

// Value writes a number with its unit: "36 mm", "2.400 m", "15.0 mm/m".
func Value(v float64, unit string) string {
	if unit == "mm" && math.Abs(v) >= 1000 {
		return strconv.FormatFloat(v/1000, 'f', 3, 64) + " m"
	}
	s := strconv.FormatFloat(v, 'f', decimals[unit], 64)
	if !fixed(unit) && strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	switch unit {
	case "1":
		return s
	case "°":
		return s + unit
	}
	return s + " " + unit
}

// Range writes a band: "15.0 mm/m (12.4 mm/m to 17.6 mm/m)", and one number
// when the ends write alike.
func Range(b sdk.Band, unit string) string {
	value := Value(b.Value, unit)
	switch {
	case math.IsInf(b.Low, -1) && math.IsInf(b.High, 1):
		return value + " (no end known)"
	case math.IsInf(b.High, 1):
		return fmt.Sprintf("%s (at least %s)", value, Value(b.Low, unit))
	case math.IsInf(b.Low, -1):
		return fmt.Sprintf("%s (at most %s)", value, Value(b.High, unit))
	}
	low, high := Value(b.Low, unit), Value(b.High, unit)
	if low == high {
		return value
	}
	return fmt.Sprintf("%s (%s to %s)", value, low, high)
}

// Reading writes a reading as Range writes its band.
func Reading(r plan.Reading, unit string) string { return Range(*sdk.BandOf(r), unit) }

// Sum writes what is added and the result: "900 mm + 300 mm = 1.200 m". The
// result alone says it where one part is that result.
func Sum(parts []string, result string) string {
	if len(parts) == 0 || len(parts) == 1 && strings.HasPrefix(result, parts[0]) {
		return result
	}
	return strings.Join(parts, " + ") + " = " + result
}

// How writes how a reading was come by, to stand behind it.
func How(r plan.Reading) string {
	if r.How == "" {
		return ""
	}
	return ", " + string(r.How)
}
