package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"fallrule/plugins/sdk/plan"
)

var inf = math.Inf(1)

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-9*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// The factors are exact by definition: inch 25.4 mm, pound 0.45359237 kg,
// standard gravity 9.80665 m/s², US gallon 231 in³, UK gallon 4.54609 l.
func TestParseFigures(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want float64
	}{
		{"40 mm", Length, 40}, {"40mm", Length, 40}, {"1.8 cm", Length, 18}, {"2.10 m", Length, 2100}, {"2,10 m", Length, 2100},
		{"0,125 m", Length, 125}, {"-0.35 m", Length, -350}, {"−0.35 m", Length, -350}, {"+3 mm", Length, 3}, {".5 m", Length, 500},
		{"1 in", Length, 25.4}, {`1"`, Length, 25.4}, {"1 1/2 in", Length, 38.1}, {"1-1/2 in", Length, 38.1}, {`1-1/2"`, Length, 38.1},
		{"1½ in", Length, 38.1}, {"3/4 in", Length, 19.05}, {"¾″", Length, 19.05}, {"-3/4 in", Length, -19.05},
		{"6'3\"", Length, 1905}, {"6′3″", Length, 1905}, {"6 ft 3 in", Length, 1905}, {"6ft3in", Length, 1905}, {"6 ft", Length, 1828.8},
		{"-6 ft 3 in", Length, -1905}, {`7' 10 1/2"`, Length, 2400.3}, {"6 feet 3 inches", Length, 1905},
		{"18 mm/m", Fall, 18}, {"1.8 cm/m", Fall, 18}, {"2.5 %", Fall, 25}, {"2,5%", Fall, 25}, {"18 mm per m", Fall, 18}, {"18 ‰", Fall, 18},
		{"1:40", Fall, 25}, {"1 : 40", Fall, 25}, {"1 in 40", Fall, 25}, {"1:3", Fall, 1000.0 / 3}, {"-5 mm/m", Fall, -5},
		{"1/4 in/ft", Fall, 250.0 / 12}, {"1/4 in per ft", Fall, 250.0 / 12}, {`1/4"/ft`, Fall, 250.0 / 12}, {`1/4" per foot`, Fall, 250.0 / 12},
		{"45°", Fall, 1000}, {"1°", Fall, 17.455064928217585},
		{"87°", Angle, 87}, {"87 deg", Angle, 87}, {"87.5 º", Angle, 87.5},
		{"0.5 l/s", Flow, 0.5}, {"30 l/min", Flow, 0.5}, {"60 m3/h", Flow, 60 / 3.6}, {"60 m³/h", Flow, 60 / 3.6}, {"10 gpm", Flow, 0.63090196400},
		{"1 bar", Pressure, 100}, {"500 mbar", Pressure, 50}, {"38 mm wg", Pressure, 0.3726527}, {"38 mm of water", Pressure, 0.3726527},
		{"1 m wg", Pressure, 9.80665}, {"100 Pa", Pressure, 0.1}, {"50 psi", Pressure, 344.737864658}, {"300 kPa", Pressure, 300},
		{"60 °C", Temperature, 60}, {"60 C", Temperature, 60}, {"140 °F", Temperature, 60}, {"32 °F", Temperature, 0},
		{"6 l", Volume, 6}, {"6 L", Volume, 6}, {"750 ml", Volume, 0.75}, {"1 gal", Volume, 3.785411784}, {"1 UK gal", Volume, 4.54609},
		{"3 min", Time, 180}, {"1 min 30 s", Time, 90}, {"2 h", Time, 7200}, {"41 s", Time, 41},
		{"1500 mm2", Area, 1500}, {"15 cm²", Area, 1500}, {"1 in2", Area, 645.16}, {"1 sq in", Area, 645.16},
		{"8 kg", Mass, 8}, {"1 lb", Mass, 0.45359237}, {"0.7 m/s", Velocity, 0.7}, {"2 ft/s", Velocity, 0.6096}, {"1.5 Pa", Stress, 1.5}, {"1 kPa", Stress, 1000}, {"250 Pa", Pressure, 0.25}, {"1.2 kN/m", LineLoad, 1.2},
		{"3", Count, 3}, {"0.5", Ratio, 0.5}, {"50 %", Ratio, 0.5}, {"1:2", Ratio, 0.5}, {"1/8", Ratio, 0.125}, {"1908", Year, 1908},
	} {
		q, err := Parse(c.text, c.d)
		if err != nil {
			t.Errorf("%s as %s: %v", c.text, c.d, err)
			continue
		}
		if r := q.Reading; !near(r.Value, c.want) || r.Low != r.Value || r.High != r.Value {
			t.Errorf("%s as %s: got %+v, want %v", c.text, c.d, r, c.want)
		}
		if bare := c.d == Count || c.d == Year; q.HasTolerance != bare || (q.Reading.How == plan.Exact) != bare {
			t.Errorf("%s as %s: HasTolerance %v, How %q", c.text, c.d, q.HasTolerance, q.Reading.How)
		}
		if q.FromAngle != (c.d == Fall && strings.Contains(c.text, "°")) {
			t.Errorf("%s as %s: FromAngle %v", c.text, c.d, q.FromAngle)
		}
	}
}

func TestParseBands(t *testing.T) {
	tan := func(deg float64) float64 { return 1000 * math.Tan(deg*math.Pi/180) }
	for _, c := range []struct {
		text             string
		d                Dimension
		low, value, high float64
		how              plan.How
	}{
		{"2.10 m ± 20 mm", Length, 2080, 2100, 2120, ""}, {"2.10 ± 0.02 m", Length, 2080, 2100, 2120, ""}, {"2,10 +- 0,02 m", Length, 2080, 2100, 2120, ""},
		{"2.10 m +/- 20 mm", Length, 2080, 2100, 2120, ""}, {"-2.62 m ± 20 mm", Length, -2640, -2620, -2600, ""}, {"2 m ± 5 %", Length, 1900, 2000, 2100, ""},
		{"-2 m ± 5 %", Length, -2100, -2000, -1900, ""}, {"2.10 m +20 -10 mm", Length, 2090, 2100, 2120, ""}, {"2.10 m -10 +20 mm", Length, 2090, 2100, 2120, ""},
		{"2.10 m +2 cm -10 mm", Length, 2090, 2100, 2120, ""}, {"2.10 m +20/-10 mm", Length, 2090, 2100, 2120, ""}, {"2.10 +0.02 -0.01 m", Length, 2090, 2100, 2120, ""},
		{"2.0 to 2.2 m", Length, 2000, 2100, 2200, ""}, {"190 cm to 2.1 m", Length, 1900, 2000, 2100, ""}, {"-2 to -1 m", Length, -2000, -1500, -1000, ""},
		{"1 1/2 in ± 1/8 in", Length, 34.925, 38.1, 41.275, ""}, {`6'3" ± 1"`, Length, 1879.6, 1905, 1930.4, ""}, {"1-1/2 ± 1/8 in", Length, 34.925, 38.1, 41.275, ""},
		{"1:50 to 1:40", Fall, 20, 22.5, 25, ""}, {"2.5 % ± 0.5 %", Fall, 20, 25, 30, ""}, {"1:40 ± 2 mm/m", Fall, 23, 25, 27, ""},
		{"1° ± 0.1°", Fall, tan(0.9), tan(1), tan(1.1), ""}, {"1 ± 0.1°", Fall, tan(0.9), tan(1), tan(1.1), ""},
		{"60 °C ± 2 °C", Temperature, 58, 60, 62, ""}, {"140 °F ± 9 °F", Temperature, 55, 60, 65, ""}, {"60 °C ± 9 °F", Temperature, 55, 60, 65, ""},
		{"50 psi ± 10 %", Pressure, 45 * kPaPerPsi, 50 * kPaPerPsi, 55 * kPaPerPsi, ""},
		{"at least 0.4 m", Length, 400, 400, inf, ""}, {"At most 12 mm", Length, -inf, 12, 12, ""}, {"at least 0.4 m ± 20 mm", Length, 380, 400, inf, ""},
		{"taped at least 0.4 m", Length, 400, 400, inf, plan.Taped}, {"exact 50 mm", Length, 50, 50, 50, plan.Exact},
		{"guessed 3 m", Length, 2250, 3000, 3750, plan.Guessed}, {"guessed 3 m ± 100 mm", Length, 2900, 3000, 3100, plan.Guessed},
		{"guessed -3 m", Length, -3750, -3000, -2250, plan.Guessed}, {"guessed 1908", Year, 1898, 1908, 1918, plan.Guessed},
		{"guessed 3", Count, 2, 3, 4, plan.Guessed}, {"guessed 60 °C", Temperature, 50, 60, 70, plan.Guessed}, {"1900 to 1910", Year, 1900, 1905, 1910, ""},
		{"taped 2.1 m ± 5 mm", Length, 2095, 2100, 2105, plan.Taped}, {"drawing 2 to 3 m", Length, 2000, 2500, 3000, plan.Drawn},
	} {
		q, err := Parse(c.text, c.d)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		r := q.Reading
		if !near(r.Low, c.low) || !near(r.Value, c.value) || !near(r.High, c.high) || r.How != c.how || !q.HasTolerance {
			t.Errorf("%s: got %+v (own band %v), want %v %v %v %q", c.text, r, q.HasTolerance, c.low, c.value, c.high, c.how)
		}
	}
	for _, text := range []string{"taped 2.1 m", "planned 2.1 m", "drawing 2.1 m"} {
		q, err := Parse(text, Length)
		if err != nil || q.HasTolerance || string(q.Reading.How) != strings.Fields(text)[0] {
			t.Errorf("%s: %+v, %v: the default of the instrument comes later", text, q, err)
		}
	}
}

func TestToleranceAloneForTheDefaults(t *testing.T) {
	for text, want := range map[string]float64{"± 10 mm": 10, "+- 1/4 in": 6.35, "±0,5 cm": 5, "+/- 3 mm": 3} {
		if got, err := Tolerance(text, Length); err != nil || !near(got, want) {
			t.Errorf("%s: got %v, %v, want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"10 mm", "± 10", "± -1 mm", "±", "± 5 %"} {
		if got, err := Tolerance(text, Length); err == nil {
			t.Errorf("%s: got %v, want an error", text, got)
		}
	}
}

func TestWords(t *testing.T) {
	for text, want := range map[string]string{"unknown": Unknown, "none": None, " None ": None} {
		if q, err := Parse(text, Length); err != nil || q.Word != want {
			t.Errorf("%q: %+v, %v", text, q, err)
		}
	}
}

func TestErrors(t *testing.T) {
	for _, c := range []struct {
		text string
		d    Dimension
		want string
	}{
		{"40", Length, `"40" is a bare number: write "40 mm"; allowed: mm, cm, m, in, ft`},
		{"18", Fall, `write "18 mm/m"`}, {"90", Angle, `write "90°"`}, {"60", Temperature, `write "60 °C"`},
		{"2 m ± 20", Length, `"2 m ± 20" is a bare number: write "20 mm"`},
		{"40 mm", Fall, `"40 mm" is a length and a fall is wanted; allowed: mm/m,`}, {"2.5 %", Length, "is a fall and a length is wanted"},
		{"2 l", Flow, "is a volume and a flow is wanted"}, {"100 mm", Pressure, `a pressure is wanted; allowed: kPa, bar, mbar, Pa, psi, mm wg, m wg; did you mean "100 mm wg"?`},
		{"60°", Temperature, `did you mean "60°C"?`},
		{"40 mn", Length, "unit `mn` is not known; allowed: mm, cm, m, in, ft; did you mean \"40 mm\"?"}, {"40 xyzzy", Length, "unit `xyzzy` is not known"},
		{"0.5 l/sec", Flow, "unit `l/sec` is not known"}, {"DN 40", Length, "no number where one should stand"}, {"abc", Length, "no number"}, {"", Length, "a length is empty; allowed: 40 mm"},
		{">0.4 m", Length, `did you mean "at least 0.4 m"?`}, {"< 12 mm", Length, `did you mean "at most 12 mm"?`}, {"max. 12 mm", Length, `"at most 12 mm"`},
		{"~ 3 m", Length, `did you mean "guessed 3 m"?`}, {"ca. 3 m", Length, `"guessed 3 m"`}, {"about 1908", Year, `"guessed 1908"`},
		{"2.0 - 2.2 m", Length, `did you mean "2.0 to 2.2 m"?`}, {"exact 2 m ± 1 mm", Length, "is exact and has a band"}, {"exact at least 2 m", Length, "is exact and has a band"},
		{"guessed 0 mm", Length, "a guess of nothing needs a tolerance"}, {"2 m ± -3 mm", Length, "tolerance is negative"},
		{"20 mm/m ± 5 %", Fall, "can be read in two ways"}, {"1,950 mm", Length, "part thousands; allowed: 1.950 or 1950"}, {"1.950,5 mm", Length, "is no number"},
		{"1..5 m", Length, "is no number"}, {"3/0 in", Length, "is no fraction"}, {"1 m 20 cm", Length, "holds several figures"}, {"2 m 3 m", Length, "holds several figures"},
		{"40:1", Fall, "no fall that a pipe can have"}, {"1:0", Fall, "no fall"}, {"2.5", Count, "is no count"}, {"-1", Count, "is no count"}, {"190", Year, "is no year"},
		{"3 mm", Count, "is a length and a whole number is wanted"}, {"1 in 40", Length, "several figures"}, {strings.Repeat("9", 400) + " mm", Length, "is no number"},
		{"NaN mm", Length, "no number"}, {"1e3 mm", Length, "unit `e3 mm` is not known"},
	} {
		q, err := Parse(c.text, c.d)
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q as %s: got %+v, %v\nwant %s", c.text, c.d, q, err, c.want)
		}
	}
}

func TestIn(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       float64
	}{
		{"1.7 m", "mm", 1700}, {"2 in", "mm", 50.8}, {"1:80", "mm/m", 12.5}, {"18 mm/m", "mm/m", 18}, {"1/4 in per ft", "mm/m", 250.0 / 12},
		{"92.5°", "°", 92.5}, {"30 l/min", "l/s", 0.5}, {"0.7 m/s", "m/s", 0.7}, {"38 mm wg", "kPa", 0.3726527}, {"3 min", "s", 180},
		{"15 cm2", "mm²", 1500}, {"6 l", "l", 6}, {"8", "1", 8}, {"0.5", "1", 0.5}, {"50 %", "1", 0.5}, {"-2", "1", -2},
	} {
		if got, err := In(c.text, c.unit); err != nil || !near(got, c.want) {
			t.Errorf("%s in %s: got %v, %v, want %v", c.text, c.unit, got, err, c.want)
		}
	}
	for _, c := range []struct{ text, unit string }{
		{"40", "mm"}, {"2 m ± 1 mm", "mm"}, {"at least 2 m", "mm"}, {"unknown", "mm"}, {"taped 2 m", "mm"}, {"exact 2 m", "mm"}, {"2 m", "yd"}, {"2 m", "mm/m"},
	} {
		if got, err := In(c.text, c.unit); err == nil {
			t.Errorf("%s in %s: got %v, want an error", c.text, c.unit, got)
		}
	}
}

func TestParseBends(t *testing.T) {
	for text, want := range map[string][]float64{
		"3 x 90°": {90, 90, 90}, "2x45°": {45, 45}, "2 × 45°": {45, 45}, "87°": {87}, "2 x 45° + 1 x 87°": {45, 45, 87}, "2 x 45°, 87°": {45, 45, 87}, "none": nil,
	} {
		got, err := ParseBends(text)
		if err != nil || len(got) != len(want) {
			t.Errorf("%s: got %v, %v", text, got, err)
			continue
		}
		for i := range want {
			if got[i].Value != want[i] {
				t.Errorf("%s: bend %d turns %v, want %v", text, i, got[i].Value, want[i])
			}
		}
	}
	for text, want := range map[string]string{
		"3 x 90": `write "90°"`, "90": `write "90°"`, "0 x 90°": "1 to 100", "500 x 90°": "1 to 100", "200°": "by 180° at most", "0°": "more than 0°",
		"unknown": "say no angle", "": "say no angle", "3 x none": "a bend turns", "two": "no number", "99999999999999999999 x 90°": "1 to 100",
	} {
		if got, err := ParseBends(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: got %v, %v, want %s", text, got, err, want)
		}
	}
}

func TestCommaSplit(t *testing.T) {
	for want, items := range map[string][]string{
		"[1.95 m, 2 m]":         {"1", "95 m", "2 m"},
		"[0.38 m, 0.55 m]":      {"0", "38 m", "0", "55 m"},
		"[0.38 m, 0.5 m, 4 mm]": {"0.38 m", "0", "5 m", "4 mm"},
	} {
		if got := CommaSplit(items); got != want {
			t.Errorf("%v: got %q, want %q", items, got, want)
		}
	}
	for _, items := range [][]string{nil, {"1 m", "2 m"}, {"1", "2", "3"}, {"1.5", "2 m"}, {"1", "up"}} {
		if got := CommaSplit(items); got != "" {
			t.Errorf("%v: got %q, want nothing", items, got)
		}
	}
}
