package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v                        float64
		unit, metric, imperially string
	}{
		{40, "mm", "40 mm", "1 9/16 in"}, {46.4, "mm", "46.4 mm", "1 13/16 in"}, {2400, "mm", "2.40 m", "7 ft 10 1/2 in"}, {2403, "mm", "2.403 m", "7 ft 10 5/8 in"},
		{999.96, "mm", "1.00 m", "3 ft 3 3/8 in"}, {999.9, "mm", "999.9 mm", "3 ft 3 3/8 in"}, {-350, "mm", "-350 mm", "-13 3/4 in"}, {-0.01, "mm", "0 mm", "0 in"},
		{-2620.4, "mm", "-2.62 m", "-8 ft 7 3/16 in"}, {3048, "mm", "3.048 m", "10 ft"}, {19.05, "mm", "19.1 mm", "3/4 in"}, {0, "mm", "0 mm", "0 in"},
		{18, "mm/m", "18 mm/m", "0.22 in/ft"}, {12.46, "mm/m", "12.5 mm/m", "0.15 in/ft"}, {250.0 / 12, "mm/m", "20.8 mm/m", "1/4 in/ft"}, {-5, "mm/m", "-5 mm/m", "-0.06 in/ft"},
		{87, "°", "87°", "87°"}, {0.5, "l/s", "0.5 l/s", "7.9 gpm"}, {0.7, "m/s", "0.7 m/s", "2.3 ft/s"}, {300, "kPa", "300 kPa", "43.51 psi"},
		{0.3726527, "kPa", "373 Pa", "0.05 psi"}, {0, "kPa", "0 kPa", "0 psi"}, {180, "s", "180 s", "180 s"}, {1500, "mm²", "1500 mm²", "2.33 in2"}, {6, "l", "6 l", "1.59 gal"},
		{8, "1", "8", "8"}, {0.352, "1", "0.35", "0.35"}, {60, "°C", "60 °C", "140 °F"}, {8, "kg", "8 kg", "17.6 lb"},
		{math.Inf(1), "mm", "unknown", "unknown"}, {math.NaN(), "mm", "unknown", "unknown"}, {2.5, "lx", "2.5 lx", "2.5 lx"},
	} {
		if got := Format(c.v, c.unit, Metric); got != c.metric {
			t.Errorf("%v %s: got %q, want %q", c.v, c.unit, got, c.metric)
		}
		if got := Format(c.v, c.unit, Imperial); got != c.imperially {
			t.Errorf("%v %s imperial: got %q, want %q", c.v, c.unit, got, c.imperially)
		}
	}
}

func TestFormatBand(t *testing.T) {
	for _, c := range []struct {
		low, value, high float64
		unit             string
		system           System
		want             string
	}{
		{30, 36, 42, "mm", Metric, "36 mm (30 to 42 mm)"}, {12.41, 15.03, 17.62, "mm/m", Metric, "15 mm/m (12.4 to 17.6 mm/m)"},
		{50, 50, 50, "mm", Metric, "50 mm"}, {400, 400, inf, "mm", Metric, "at least 400 mm"}, {-inf, 12, 12, "mm", Metric, "at most 12 mm"},
		{-inf, 1, inf, "mm", Metric, "unknown"}, {2670.4, 2690.41, 2710.4, "mm", Metric, "2.69 m (2.67 to 2.71 m)"}, {980, 1000, 1020, "mm", Metric, "1.00 m (980 mm to 1.02 m)"},
		{2250.3, 3000.4, 3750.5, "mm", Metric, "3.00 m (2.25 to 3.75 m)"}, {1000, 3000, 9000, "mm", Metric, "3.0 m (1.0 to 9.0 m)"},
		{86, 87, 88, "°", Metric, "87° (86° to 88°)"}, {0.2, 0.35, 0.5, "1", Metric, "0.35 (0.2 to 0.5)"},
		{34.925, 38.1, 41.275, "mm", Imperial, "1 1/2 in (1 3/8 in to 1 5/8 in)"}, {45, 50, 55, "°C", Imperial, "122 °F (113 to 131 °F)"},
		{0.3, 0.38, 0.46, "kPa", Metric, "380 Pa (300 to 460 Pa)"},
	} {
		if got := FormatBand(c.low, c.value, c.high, c.unit, c.system); got != c.want {
			t.Errorf("%v %v %v %s: got %q, want %q", c.low, c.value, c.high, c.unit, got, c.want)
		}
	}
}

// shown is every dimension that Format can write, and how exactly it does: the
// greater of a part of the figure and a fixed step, by system.
var shown = []struct {
	d        Dimension
	low, top float64
	metric   float64
	imperial float64
}{
	{Length, -20000, 20000, 0.501, 0.81}, {Fall, -200, 500, 0.051, 0.43}, {Angle, 0, 180, 0.051, 0.051}, {Flow, 0, 50, 0.0051, 0.0033},
	{Velocity, 0, 20, 0.0051, 0.0016}, {Stress, 0, 100, 0.051, 0.051}, {LineLoad, 0, 50, 0.0051, 0.0051}, {Pressure, 0, 1000, 0.051, 0.036}, {Time, 0, 10000, 0.051, 0.051}, {Area, 0, 1e6, 0.51, 3.3},
	{Volume, 0, 1000, 0.051, 0.02}, {Ratio, 0, 100, 0.0051, 0.0051}, {Temperature, -20, 120, 0.051, 0.03}, {Mass, 0, 1000, 0.051, 0.023},
}

func TestParseReadsWhatFormatWrites(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(shown).Draw(t, "dimension")
		v := rapid.Float64Range(s.low, s.top).Draw(t, "v")
		for system, within := range map[System]float64{Metric: s.metric, Imperial: s.imperial} {
			text := Format(v, s.d.Unit(), system)
			q, err := Parse(text, s.d)
			if err != nil {
				t.Fatalf("%v shown as %q: %v", v, text, err)
			}
			if math.Abs(q.Reading.Value-v) > within {
				t.Fatalf("%v shown as %q reads as %v", v, text, q.Reading.Value)
			}
			if again := Format(q.Reading.Value, s.d.Unit(), system); again != text && system == Metric {
				t.Fatalf("%q shown again is %q", text, again)
			}
		}
	})
}

func TestMetricAndImperialAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sixteenths := rapid.IntRange(-5000, 5000).Draw(t, "sixteenths")
		mm := float64(sixteenths) / 16 * 25.4
		text := Format(mm, "mm", Imperial)
		inch, err := Parse(text, Length)
		if err != nil || !near(inch.Reading.Value, mm) {
			t.Fatalf("%v sixteenths shown as %q read as %v, %v", sixteenths, text, inch.Reading.Value, err)
		}
		metric, err := Parse(Format(mm, "mm", Metric), Length)
		if err != nil || math.Abs(metric.Reading.Value-inch.Reading.Value) > 0.501 {
			t.Fatalf("%q in metres is %v, %v", text, metric.Reading.Value, err)
		}
	})
}

// A wider tolerance contains the narrower, whatever units and prefixes say.
func TestWideningNeverNarrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom([]Dimension{Length, Fall, Angle, Flow, Pressure, Temperature, Volume, Time, Area, Mass}).Draw(t, "dimension")
		symbols := symbolsOf(d)
		unit := rapid.SampledFrom(symbols).Draw(t, "unit")
		number := rapid.StringMatching(`-?[0-7][0-9]?(\.[0-9]{1,2})?`).Draw(t, "number")
		narrow := rapid.IntRange(0, 9).Draw(t, "narrow")
		wide := narrow + rapid.IntRange(0, 9).Draw(t, "more")
		prefix := rapid.SampledFrom([]string{"", "taped ", "guessed ", "at least ", "at most "}).Draw(t, "prefix")
		read := func(tolerance int) (low, value, high float64) {
			text := prefix + number + " " + unit + " ± " + string(rune('0'+tolerance/10)) + string(rune('0'+tolerance%10)) + " " + unit
			q, err := Parse(text, d)
			if err != nil {
				t.Fatalf("%s: %v", text, err)
			}
			return q.Reading.Low, q.Reading.Value, q.Reading.High
		}
		l1, v1, h1 := read(narrow)
		l2, v2, h2 := read(wide)
		if l2 > l1 || h2 < h1 || v1 != v2 || l1 > v1 || h1 < v1 {
			t.Fatalf("%s%s %s: ± %d gives %v %v %v, ± %d gives %v %v %v", prefix, number, unit, narrow, l1, v1, h1, wide, l2, v2, h2)
		}
	})
}

// Every figure reads the same with a decimal comma, unless three digits follow.
func TestCommaIsPoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[1-9][0-9]?\.([0-9]{1,2}|[0-9]{4})`).Draw(t, "text")
		point, err := Parse(text+" m", Length)
		if err != nil {
			t.Fatal(err)
		}
		comma, err := Parse(strings.Replace(text, ".", ",", 1)+" m", Length)
		if err != nil || comma.Reading != point.Reading {
			t.Fatalf("%s m: %v with a point, %v with a comma, %v", text, point.Reading, comma.Reading, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"2.10 m ± 20 mm", `6'3"`, "1 1/2 in", "1:40", "at least 0.4 m", "2 +1 -1 m", "1 to 2 m", "± 3"} {
		f.Add(s, 0)
	}
	f.Fuzz(func(t *testing.T, text string, n int) {
		d := Dimension(((n % len(dimensions)) + len(dimensions)) % len(dimensions))
		q, err := Parse(text, d)
		if err == nil && q.Word == "" && !(q.Reading.Low <= q.Reading.Value && q.Reading.Value <= q.Reading.High) {
			t.Errorf("%q as %s: %+v is no band", text, d, q.Reading)
		}
	})
}

func TestEveryDimensionHasItsUnits(t *testing.T) {
	for d := range dimensions {
		d := Dimension(d)
		if back, ok := DimensionOf(d.String()); !ok || back != d {
			t.Errorf("%s is not found by its name", d)
		}
		q, err := Parse(d.Example(), d)
		if err != nil {
			t.Errorf("the example of %s: %v (%+v)", d, err, q)
		}
		if d == Count || d == Ratio || d == Year {
			continue
		}
		if back, ok := OfUnit(d.Unit()); !ok || back != d {
			t.Errorf("%s is not found by its unit %s", d, d.Unit())
		}
		if _, err := Parse("3 "+d.Unit(), d); err != nil {
			t.Errorf("the unit of %s: %v", d, err)
		}
		if _, err := Parse(d.With("3"), d); err != nil {
			t.Errorf("what the error about a bare %s shows: %v", d, err)
		}
	}
}
