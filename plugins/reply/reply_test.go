package reply

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func TestRange(t *testing.T) {
	for _, c := range []struct {
		band sdk.Band
		unit string
		want string
	}{
		{sdk.Band{Low: 12.397, Value: 15, High: 17.647}, "mm/m", "15.0 mm/m (12.4 mm/m to 17.6 mm/m)"},
		{sdk.Band{Low: 2380, Value: 2400, High: 2420}, "mm", "2.400 m (2.380 m to 2.420 m)"},
		{sdk.Band{Low: 36, Value: 36, High: 36}, "mm", "36 mm"},
		{sdk.Band{Low: 400, Value: 400, High: math.Inf(1)}, "mm", "400 mm (at least 400 mm)"},
		{sdk.Band{Low: math.Inf(-1), Value: 12, High: 12}, "mm", "12 mm (at most 12 mm)"},
		{sdk.Band{Low: 90, Value: 90, High: 90}, "°", "90°"},
		{sdk.Band{Low: 3, Value: 3, High: 3}, "1", "3"},
	} {
		if got := Range(c.band, c.unit); got != c.want {
			t.Errorf("%+v: %q, want %q", c.band, got, c.want)
		}
	}
}

// tableOf answers one quantity of the catalogue with the same for one subject.
func tableOf(quantity string, a Answer) Table[int] {
	return Table[int]{Name: "tests", Version: "1", Survey: func(*plan.Plan) (int, error) { return 0, nil },
		Rows: []Row[int]{Measure(quantity, func(_ *plan.Plan, _ int, put func(string, Answer)) { put("main", a) })}}
}

func measure(t *testing.T, table Table[int], quantities ...string) sdk.Response {
	t.Helper()
	out, err := table.Measure(t.Context(), sdk.Request{Plan: &plan.Plan{Version: plan.Version}, Quantities: quantities, Working: true})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Whatever the number of fixtures, a working stays short and ends in its result.
func TestLongWorkingIsCutInTheMiddle(t *testing.T) {
	long := Band(sdk.Band{}, By("", strings.Repeat("küche 3 + ", 500)+"= 1500", ""))
	n := measure(t, tableOf("ud", long), "ud").Measurements[0].Working.Numbers
	if len(n) > Longest || !utf8.ValidString(n) || !strings.HasSuffix(n, "= 1500") || !strings.Contains(n, " … ") {
		t.Errorf("%d bytes: %q", len(n), n)
	}
}

func TestImpossibleBandIsAGap(t *testing.T) {
	broken := Band(sdk.Band{Low: 2, Value: math.NaN(), High: 1}, nil)
	r := measure(t, tableOf("fall", broken), "fall", "drop")
	if len(r.Measurements) != 0 || len(r.Gaps) != 1 || r.Gaps[0].Quantity != "fall" || r.Gaps[0].Subject != "main" {
		t.Errorf("answers %+v", r)
	}
}

// Exact readings: 0.1 + 0.2 is no contradiction of 0.3.
func TestRoundingIsNoContradiction(t *testing.T) {
	third := 0.1 + 0.2
	a := Band(sdk.Band{Low: third, Value: 0.3, High: 0.3}, nil)
	b := Band(sdk.Band{Low: 0.3, Value: third, High: 0.3}, nil)
	if a.Gap != nil || a.Band.Low != 0.3 || b.Gap != nil || b.Band.High != third {
		t.Errorf("%+v, %+v", a.Band, b.Band)
	}
	if c := Band(sdk.Band{Low: 0.300001, Value: 0.3, High: 0.4}, nil); c.Gap == nil {
		t.Errorf("a contradiction stands: %+v", c.Band)
	}
}

func TestOnlyWhatIsAskedForIsAnswered(t *testing.T) {
	if r := measure(t, tableOf("fall", Count(1, nil)), "drop"); len(r.Measurements)+len(r.Gaps) != 0 {
		t.Errorf("answers %+v", r)
	}
}

func TestQuantityOutsideTheCatalogueIsNotOffered(t *testing.T) {
	if d, err := tableOf("wetness", Answer{}).Describe(t.Context()); err == nil {
		t.Errorf("described %+v", d)
	}
}

// A gap's text is a sentence, and what the table does not speak of asks for
// no reading.
func TestGaps(t *testing.T) {
	for want, g := range map[string]sdk.Gap{
		"Its length is not measured.": *NotRead("sink.waste.length", "its length is not measured"),
		"A tap has no seal.":          *Outside("a tap has no seal"),
	} {
		if g.Text != want || (g.Needs == "") != (g.Because == sdk.OutOfRange) {
			t.Errorf("%+v, want %q", g, want)
		}
	}
}

func TestSum(t *testing.T) {
	for want, got := range map[string]string{"0 mm": Sum(nil, "0 mm"), "5 mm": Sum([]string{"5 mm"}, "5 mm"), "a 5 mm = 5 mm": Sum([]string{"a 5 mm"}, "5 mm"), "1 + 2 = 3": Sum([]string{"1", "2"}, "3")} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
