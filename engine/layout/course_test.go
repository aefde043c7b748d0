package layout

import (
	"fmt"
	"math"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// one reads a house with one bath, whose waste is given.
func one(t *testing.T, waste, more string) plan.Pipe {
	t.Helper()
	lay := read(t, fmt.Sprintf(`
layout: 1
house: { country: es }
%s
fixtures:
  tub: { kind: bath, waste: { size: DN 50, %s } }
stacks: { riser: { size: DN 110, state: existing } }
`, more, waste))
	return branch(t, lay, "tub.waste")
}

const corners = `points: [[0.40 m, 0.50 m, 60 mm], [0.40 m, 0.30 m, 57 mm], [0.40 m, 0.30 m, -60 mm], [1.50 m, 0.30 m, -82 mm], [1.50 m, -0.40 m, -96 mm]], to: riser`

// By hand: below the boards 1100 + 700 = 1800 mm along, 22 + 14 = 36 mm down.
// Its corners were planned to 5 mm: the first and last move its length by 5
// each, the one in the middle by 5 along either leg, together 20. Of the
// levels only those of the two ends count, 3 mm each.
func TestPointsGiveLegsWhoseBandsAddUpToTheRun(t *testing.T) {
	p := one(t, corners, "")
	if len(p.Legs) != 4 || !p.Legs[1].Steep || p.Legs[2].Steep {
		t.Fatalf("legs: %+v", p.Legs)
	}
	run := p.Legs[2:]
	is(t, "along", sum(run, alongOf), 1780, 1800, 1820)
	is(t, "drop", sum(run, dropOf), 30, 36, 42)
	is(t, "vertical piece", p.Legs[1].Drop, 111, 117, 123)
	is(t, "start", p.Level, 57, 60, 63)
	is(t, "end", p.To.Level, -99, -96, -93)
	for i, leg := range p.Legs[:3] {
		if len(leg.Bends) != 1 || leg.Bends[0].Angle.Value != 90 {
			t.Errorf("corner %d: %+v", i, leg.Bends)
		}
	}
	if last := p.Legs[3].Bends; last == nil || len(last) != 0 {
		t.Errorf("the last leg ends in a junction, which is no bend, and that is told: %+v", last)
	}
}

// A length told to 9 mm is one tape reading of the whole, whatever the points
// give (2117.38 mm by hand: 200.02 + 117 + 1100.22 + 700.14).
func TestToldLengthNarrowsThePoints(t *testing.T) {
	p := one(t, corners+", length: 2.12 m ± 9 mm, bend: 2 x 45°", "")
	is(t, "told length", p.Told, 2111, 2120, 2129)
	is(t, "sum of the legs", sum(p.Legs, lengthOf), 2081.25, 2117.38, 2153.68)
	if b := p.Legs[0].Bends; len(b) != 2 || b[0].Angle.Value != 45 || b[0].Made != "2 x 45°" {
		t.Errorf("a corner made of two: %+v", b)
	}
}

// The level side, the drop and the slant by the right-angled triangle:
// 90 mm/m over 1.20 m is 1.20·sqrt(1+0.0081) = 1204.85 mm long.
func TestRunsKeepWhatWasTold(t *testing.T) {
	p := one(t, `runs: [{ along: 1.20 m ± 4 mm, fall: 90 mm/m ± 2 mm/m, bend: 87° }, { down: 0.30 m }, { along: 0.40 m, drop: 12 mm, bubble: falls }], to: riser`, "")
	if len(p.Legs) != 3 {
		t.Fatalf("legs: %+v", p.Legs)
	}
	first, down, last := p.Legs[0], p.Legs[1], p.Legs[2]
	is(t, "fall", first.Fall, 88, 90, 92)
	if first.Drop != nil || math.Abs(first.Length.Value-1204.85) > 0.01 {
		t.Errorf("first leg: %+v", first)
	}
	is(t, "along of a vertical piece", down.Along, 0, 0, 0)
	is(t, "down", down.Drop, 295, 300, 305)
	if !down.Steep || len(down.Bends) != 1 || down.Bends[0].Angle.Value != 90 {
		t.Errorf("vertical piece and the corner after it: %+v", down)
	}
	is(t, "drop told directly", last.Drop, 9, 12, 15)
	if last.Fall != nil || last.Bubble != "falls" {
		t.Errorf("last leg: %+v", last)
	}
}

// 45° is where a fall ends and a drop begins.
func TestSteepFrom45Degrees(t *testing.T) {
	for along, steep := range map[string]bool{"301 mm": false, "300 mm": true, "100 mm": true} {
		p := one(t, fmt.Sprintf(`runs: [{ along: %s, down: 300 mm }], to: riser`, along), "")
		if p.Legs[0].Steep != steep {
			t.Errorf("300 mm down over %s: steep is %v", along, p.Legs[0].Steep)
		}
	}
}

// A planned fall is set by levels good to 3 mm over the run: 3 mm over 1.50 m
// is 2 mm/m. Of a run nobody knows the length of, 1 mm/m.
func TestPlannedFallsGetTheLevelsBand(t *testing.T) {
	is(t, "over 1.50 m", one(t, `runs: [{ along: 0.50 m, fall: 20 mm/m }, { along: 1.00 m, fall: 20 mm/m }], to: riser`, "").Legs[0].Fall, 18, 20, 22)
	is(t, "over nobody knows what", one(t, `fall: 20 mm/m, to: riser`, "").Legs[0].Fall, 19, 20, 21)
	is(t, "with levels to 1.5 mm", one(t, `length: 1.50 m, fall: 20 mm/m, to: riser`, "readings: { levels: ± 1.5 mm }").Legs[0].Fall, 19, 20, 21)
}

// With level length a and vertical v: a + v = 2000 and 0.02 a + v = 430 give
// a = 1570/0.98 = 1602.04 and v = 397.96.
func TestFallAndAGreaterDropMeanAVerticalPiece(t *testing.T) {
	p := one(t, `length: exact 2.00 m, drop: exact 430 mm, fall: exact 20 mm/m, bends: 2 x 90°, to: riser`, "")
	if len(p.Legs) != 2 || !p.Legs[0].Steep || len(p.Legs[1].Bends) != 2 {
		t.Fatalf("legs: %+v", p.Legs)
	}
	is(t, "vertical", p.Legs[0].Drop, 397.96, 397.96, 397.96)
	is(t, "along", p.Legs[1].Along, 1602.04, 1602.04, 1602.04)
}

// Today's figures stand in for the planned ones: laid work is read to 5 mm.
func TestAsBuiltReplacesThePlan(t *testing.T) {
	p := one(t, `start: 50 mm, length: 2.00 m, drop: 40 mm, to: riser`, "as_built: { tub.waste: { length: 2.08 m, drop: 30 mm ± 1 mm, start: 52 mm } }")
	is(t, "length", p.Legs[0].Length, 2075, 2080, 2085)
	is(t, "drop", p.Legs[0].Drop, 29, 30, 31)
	is(t, "start", p.Level, 49, 52, 55)
	is(t, "end: 52 less 30", p.To.Level, 18, 22, 26)
	if p.Legs[0].Length.How != plan.Taped {
		t.Errorf("how: %s", p.Legs[0].Length.How)
	}
	// A fall read today goes to the near-level pieces only.
	p = one(t, `runs: [{ down: 0.20 m }, { along: 1.00 m, fall: 20 mm/m }], to: riser`, "as_built: { tub.waste: { fall: 12 mm/m ± 1 mm/m } }")
	is(t, "fall", p.Legs[1].Fall, 11, 12, 13)
	is(t, "vertical", p.Legs[0].Drop, 195, 200, 205)
}

// The last point lies on the pipe's centre: the invert is half a bore lower,
// 44/2 = 22 (the bore may be 1 mm more, so half a millimetre more of band).
func TestPointsOnTheCentreLine(t *testing.T) {
	p := one(t, `points_at: centre, points: [[0 m, 0 m, 30 mm], [1 m, 0 m, 10 mm]], to: riser`, "")
	is(t, "start", p.Level, 4.5, 8, 11)
	is(t, "drop", p.Legs[0].Drop, 14, 20, 26)
}

func TestLevelsFollowFromEachOther(t *testing.T) {
	// 500 less 40: both to 3 mm.
	is(t, "end from start", one(t, `start: 0.50 m, length: 2 m, drop: 40 mm, to: riser`, "").To.Level, 454, 460, 466)
	is(t, "start from end", one(t, `length: 2 m, drop: 40 mm, to: { pipe: riser, level: 0.30 m }`, "").Level, 334, 340, 346)
}

// What the whole drop leaves after the vertical piece goes to the others by
// length: 340 less 300 is 40, of which 1.00 m of 1.60 m takes 25 and 0.60 m 15.
func TestWholeDropIsSharedOut(t *testing.T) {
	p := one(t, `runs: [{ length: 1.00 m }, { down: exact 0.30 m }, { along: 0.60 m }], drop: exact 340 mm, to: riser`, "")
	is(t, "first", p.Legs[0].Drop, 25, 25, 25)
	is(t, "last", p.Legs[2].Drop, 15, 15, 15)
	is(t, "all of it", sum(p.Legs, dropOf), 340, 340, 340)
}
