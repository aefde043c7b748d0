package reply

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"fallrule/plugins/sdk"
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

// Whatever the number of fixtures, a working stays short and ends in its result.
func TestLongWorkingIsCutInTheMiddle(t *testing.T) {
	a := New(sdk.Request{Quantities: []string{"ud"}, Working: true})
	a.Put("ud", "main", Number(sdk.Band{}, "", strings.Repeat("küche 3 + ", 500)+"= 1500", ""), nil)
	n := a.Response().Measurements[0].Working.Numbers
	if len(n) > Longest || !utf8.ValidString(n) || !strings.HasSuffix(n, "= 1500") || !strings.Contains(n, " … ") {
		t.Errorf("%d bytes: %q", len(n), n)
	}
}

func TestPutTurnsAnImpossibleBandIntoAGap(t *testing.T) {
	a := New(sdk.Request{Quantities: []string{"fall"}})
	a.Put("fall", "bath.waste", Number(sdk.Band{Low: 2, Value: math.NaN(), High: 1}, "", "", ""), nil)
	a.Put("drop", "bath.waste", Number(sdk.Band{}, "", "", ""), nil)
	r := a.Response()
	if len(r.Measurements) != 0 || len(r.Gaps) != 1 || r.Gaps[0].Quantity != "fall" {
		t.Errorf("answers %+v", r)
	}
}
