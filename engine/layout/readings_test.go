package layout

import (
	"fmt"
	"strings"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// Without a tolerance a figure gets that of its kind and state: common
// practice, no source; what the document's `readings` say comes first, and a
// figure's own before that.
func TestDefaultBands(t *testing.T) {
	for _, c := range []struct {
		readings, length   string
		state              plan.State
		low, value, high   float64
		noTolerance, exact int
	}{
		{"{}", "2.00 m", plan.New, 1995, 2000, 2005, 1, 0},
		{"{}", "2.00 m", plan.Existing, 1990, 2000, 2010, 1, 0},
		{"{}", "2.00 m", plan.Laid, 1995, 2000, 2005, 1, 0},
		{"{}", "2.00 m ± 1 mm", plan.Existing, 1999, 2000, 2001, 0, 0},
		{"{}", "exact 2.00 m", plan.Existing, 2000, 2000, 2000, 0, 1},
		{"{}", "planned 2.00 m", plan.Existing, 1995, 2000, 2005, 1, 0},
		{"{}", "drawing 2.00 m", plan.Existing, 1950, 2000, 2050, 1, 0},
		{"{}", "guessed 2.00 m", plan.Existing, 1500, 2000, 2500, 0, 0},
		{"{ existing: ± 4 mm }", "2.00 m", plan.Existing, 1996, 2000, 2004, 1, 0},
		{"{ existing: ± 1 % }", "2.00 m", plan.Existing, 1980, 2000, 2020, 1, 0},
		{"{ planned: exact }", "2.00 m", plan.New, 2000, 2000, 2000, 1, 0},
		{"{ tape: ± 2 mm }", "taped 2.00 m", plan.Existing, 1998, 2000, 2002, 1, 0},
	} {
		lay := read(t, fmt.Sprintf("layout: 1\nreadings: %s\nfixtures: { tub: { kind: bath, state: %s, waste: { length: %s, to: unknown } } }", c.readings, c.state, c.length))
		is(t, c.readings+" "+c.length, lay.Plan.Branches[0].Legs[0].Length, c.low, c.value, c.high)
		if lay.Readings.NoTolerance != c.noTolerance || lay.Readings.Exact != c.exact {
			t.Errorf("%s %s: %+v", c.readings, c.length, lay.Readings)
		}
	}
}

func TestOpenBandsStayOpen(t *testing.T) {
	lay := read(t, "layout: 1\nfixtures: { tub: { kind: bath, waste: { length: at least 0.4 m, to: unknown } } }")
	if l := lay.Plan.Branches[0].Legs[0].Length; l.Low != 400 || l.Closed() {
		t.Errorf("at least 0.4 m: %+v", l)
	}
}

// What the maker prints is exact on new parts and read on old ones.
func TestSealsOfNewAndOldTraps(t *testing.T) {
	lay := read(t, `
layout: 1
fixtures:
  bowl: { kind: washbasin, trap: { kind: bottle, seal: 50 mm, weir: 0.5 m }, waste: { to: unknown } }
  sink: { kind: kitchen_sink, state: existing, trap: { kind: [p, s], seal: 60 mm ± 5 mm }, waste: { to: unknown } }
`)
	bowl, sink := lay.Plan.Traps[0], lay.Plan.Traps[1]
	is(t, "new seal", bowl.Seal, 50, 50, 50)
	is(t, "old seal", sink.Seal, 55, 60, 65)
	is(t, "weir, a level", bowl.Weir, 497, 500, 503)
	same(t, "kinds it may be", sink.Kinds, "p", "s")
	is(t, "the pipe starts at the weir", lay.Plan.Branches[0].Level, 497, 500, 503)
}

func TestSizes(t *testing.T) {
	size := func(market, written string) *plan.Size {
		t.Helper()
		lay := read(t, fmt.Sprintf("layout: 1\nmarket: %s\nfixtures: { tub: { kind: bath, waste: { size: %s, to: unknown } } }", market, written))
		return lay.Plan.Branches[0].Size
	}
	is(t, "GB 40 mm is 43 outside", size("gb", "40 mm").Outer, 42.5, 43, 43.5)
	is(t, "US 1 1/2 in", size("us", "1 1/2 in").Bore, 39.9, 40.9, 41.9)
	is(t, "measured bore is taken as read", size("gb", "{ stamp: 40 mm, bore: 38 mm }").Bore, 37, 38, 39)
	// 157.08 mm round is 50 mm across (π); the string is good to 1 mm.
	is(t, "girth", size("gb", "{ girth: 157.08 mm }").Outer, 49.68, 50, 50.32)
	if s := size("gb", "{ outer: 75 mm }"); s.Bore != nil || s.Stamp != "" || s.Market != "" {
		t.Errorf("a measured outside tells no bore: %+v", s)
	}
	if s := size("gb", "unknown"); s != nil {
		t.Errorf("unknown: %+v", s)
	}
	if s := size("es", "{ stamp: 40 mm, market: gb }"); s.Market != "gb" || s.Bore.Value != 40 {
		t.Errorf("a size of another market: %+v", s)
	}
}

func TestSystemByCountry(t *testing.T) {
	for country, want := range map[string]string{"gb": "iii", "ie": "iii", "fr": "iv", "nl": "i", "us": "unknown"} {
		if got := system(unknown, country); got != want {
			t.Errorf("%s: %s, want %s", country, got, want)
		}
	}
	if got := system("ii", "gb"); got != "ii" {
		t.Errorf("told: %s", got)
	}
}

func TestDegreesAsAFallAreWarnedOf(t *testing.T) {
	lay, faults := readAll(t, "layout: 1\nfixtures: { tub: { kind: bath, state: existing, waste: { fall: 1°, to: unknown } } }")
	if len(faults) != 1 || !faults[0].Warning || !strings.Contains(faults[0].What, "4 to 5 mm/m") {
		t.Fatalf("faults: %v", faults)
	}
	// tan 1° is 17.46 mm/m.
	is(t, "fall", lay.Plan.Branches[0].Legs[0].Fall, 13.06, 17.46, 21.86)
}

// What was read on site stands in for what was planned: a seal by dipstick to
// 5 mm, a hole by its saw to 1 mm, a level to 3 mm.
func TestTodaysReadingsOfParts(t *testing.T) {
	lay := read(t, `
layout: 1
joists: { at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: hole, diameter: 50 mm } } }
fixtures: { bowl: { kind: washbasin, trap: { seal: 50 mm }, waste: { to: { pipe: riser, level: 0.30 m } } } }
stacks: { riser: { foot: { level: -3 m } } }
as_built:
  bowl.trap: { seal: 54 mm }
  n1: { diameter: 57 mm }
  bowl.waste: { level: 0.28 m }
  riser: { level: -3.10 m }
`)
	is(t, "seal", lay.Plan.Traps[0].Seal, 49, 54, 59)
	is(t, "hole", lay.Plan.Openings[0].Diameter, 56, 57, 58)
	is(t, "end of the waste", lay.Plan.Branches[0].To.Level, 277, 280, 283)
	is(t, "foot", lay.Plan.Stacks[0].Foot, -3103, -3100, -3097)
}

// A stack's foot is where its drain starts: told twice, they must agree.
func TestFootAndDrainAgree(t *testing.T) {
	_, faults := readAll(t, "layout: 1\nstacks: { riser: { foot: { level: -3 m }, to: lane } }\ndrains: { lane: { start: -2 m, to: public_sewer } }")
	for _, f := range faults {
		if !f.Warning && strings.Contains(f.What, "stack riser has its foot at -3") {
			return
		}
	}
	t.Errorf("faults: %v", faults)
}
