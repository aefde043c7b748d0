package course

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// drawn is a reading with a known truth inside.
type drawn struct{ low, high float64 }

func (d drawn) reading() *plan.Reading {
	return &plan.Reading{Low: d.low, Value: (d.low + d.high) / 2, High: d.high, How: plan.Taped}
}

func (d drawn) wider(by float64) drawn { return drawn{d.low - by, d.high + by} }

func (d drawn) pick(t *rapid.T) float64 { return rapid.Float64Range(d.low, d.high).Draw(t, "truth") }

func draw(t *rapid.T, low, high, tolerance float64) drawn {
	v := rapid.Float64Range(low, high).Draw(t, "value")
	e := rapid.Float64Range(0, tolerance).Draw(t, "tolerance")
	return drawn{v - e, v + e}
}

// legs with level distances and drops or falls.
type legs []struct {
	along, slope drawn
	told         bool // slope is a fall, not a drop
}

func drawLegs(t *rapid.T) legs {
	out := make(legs, rapid.IntRange(1, 4).Draw(t, "legs"))
	for i := range out {
		out[i].along = draw(t, 200, 4000, 30)
		out[i].told = rapid.Bool().Draw(t, "told as fall")
		out[i].slope = draw(t, -20, 120, 8)
	}
	return out
}

func (l legs) run(wider float64) Run {
	r := Run{Path: "p"}
	for _, leg := range l {
		one := plan.Leg{Along: leg.along.wider(wider).reading()}
		if leg.told {
			one.Fall = leg.slope.wider(wider).reading()
		} else {
			one.Drop = leg.slope.wider(wider).reading()
		}
		r.Legs = append(r.Legs, one)
	}
	return r
}

// drop as the values have it.
func (r Run) drop() float64 {
	d, _ := r.sumDrops(false)
	return d.Value
}

func (l legs) fallAt(at func(i int, d drawn) float64) float64 {
	drop, along := 0.0, 0.0
	for i, leg := range l {
		a, s := at(2*i, leg.along), at(2*i+1, leg.slope)
		if leg.told {
			s *= a / 1000
		}
		drop, along = drop+s, along+a
	}
	return 1000 * drop / along
}

// A fall's band holds every truth its readings allow, and no more than the
// corners of the readings reach.
func TestFallBandIsTheHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLegs(t)
		f := l.run(0).Fall()
		if f.Gap != nil {
			t.Fatalf("gap %+v", f.Gap)
		}
		truth := l.fallAt(func(_ int, d drawn) float64 { return d.pick(t) })
		if truth < f.Band.Low-1e-9 || truth > f.Band.High+1e-9 {
			t.Fatalf("truth %g outside %+v", truth, *f.Band)
		}
		low, high := math.Inf(1), math.Inf(-1)
		for corner := range 1 << (2 * len(l)) {
			v := l.fallAt(func(i int, d drawn) float64 {
				if corner>>i&1 == 0 {
					return d.low
				}
				return d.high
			})
			low, high = min(low, v), max(high, v)
		}
		if math.Abs(f.Band.Low-low) > 1e-9 || math.Abs(f.Band.High-high) > 1e-9 {
			t.Fatalf("band %+v, corners %g to %g", *f.Band, low, high)
		}
	})
}

func TestWiderReadingsNeverNarrowABand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLegs(t)
		by := rapid.Float64Range(0, 20).Draw(t, "wider")
		narrow, wide := l.run(0), l.run(by)
		drop := narrow.drop()
		end := plan.PlusMinus(-drop, 5, plan.Taped) // level of the end, beside the legs
		end2 := plan.PlusMinus(-drop, 5+by, plan.Taped)
		start := plan.Exactly(0)
		if rapid.Bool().Draw(t, "levels") {
			narrow.Start, narrow.End, wide.Start, wide.End = &start, &end, &start, &end2
		}
		for name, pair := range map[string][2]*sdk.Band{
			"fall":   {narrow.Fall().Band, wide.Fall().Band},
			"drop":   {narrow.Drop().Band, wide.Drop().Band},
			"length": {narrow.Length().Band, wide.Length().Band},
		} {
			a, b := pair[0], pair[1]
			if a == nil || b == nil {
				t.Fatalf("%s: no band", name)
			}
			if b.Low > a.Low+1e-9 || b.High < a.High-1e-9 {
				t.Fatalf("%s: %+v, with wider readings %+v", name, *a, *b)
			}
		}
	})
}

// A drop told with a length along the pipe: the drop is in both sides of the
// fraction and must not be counted twice.
func TestFallOfALengthAlongThePipe(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length, drop := draw(t, 500, 4000, 30), draw(t, -50, 300, 10)
		f := Run{Legs: []plan.Leg{{Length: length.reading(), Drop: drop.reading()}}}.Fall()
		if f.Gap != nil {
			t.Fatalf("gap %+v", f.Gap)
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, l := range []float64{length.low, length.high} {
			for _, d := range []float64{drop.low, drop.high} {
				v := 1000 * d / math.Sqrt(l*l-d*d)
				low, high = min(low, v), max(high, v)
			}
		}
		if math.Abs(f.Band.Low-low) > 1e-9 || math.Abs(f.Band.High-high) > 1e-9 {
			t.Fatalf("band %+v, corners %g to %g", *f.Band, low, high)
		}
	})
}

func TestOpenEnds(t *testing.T) {
	endless := plan.Reading{Low: 400, Value: 400, High: math.Inf(1)}
	drop := plan.PlusMinus(8, 4, plan.Taped)
	f := Run{Path: "p", Legs: []plan.Leg{{Along: &endless, Drop: &drop}}}.Fall()
	if f.Gap != nil || !f.Band.Valid() || f.Band.High != 30 || f.Band.Low < 0 || f.Band.Low > 1e-4 {
		t.Errorf("fall %+v, gap %+v", f.Band, f.Gap)
	}
	l := Run{Path: "p", Legs: []plan.Leg{{Along: &endless}}}.Length()
	if l.Gap != nil || l.Band.Low != 400 || !math.IsInf(l.Band.High, 1) {
		t.Errorf("length %+v, gap %+v", l.Band, l.Gap)
	}
	upright := plan.Exactly(220)
	l = Run{Path: "p", Legs: []plan.Leg{{Drop: &upright, Steep: true}}}.Length()
	if l.Gap != nil || l.Band.Value != 220 {
		t.Errorf("length of an upright piece %+v, gap %+v", l.Band, l.Gap)
	}
}

// Levels that say 50 mm beside a leg that says 20 ± 5 mm: no band at all.
func TestContradictingReadingsGiveNoBand(t *testing.T) {
	start, end := plan.Exactly(50), plan.Exactly(0)
	along, drop := plan.Exactly(1000), plan.PlusMinus(20, 5, plan.Taped)
	r := Run{Path: "p", Legs: []plan.Leg{{Along: &along, Drop: &drop}}, Start: &start, End: &end}
	for name, m := range map[string]*sdk.Gap{"drop": r.Drop().Gap, "fall": r.Fall().Gap, "runs": r.Runs().Gap} {
		if m == nil || m.Needs != "p.to.level" {
			t.Errorf("%s: gap %+v", name, m)
		}
	}
	drop = plan.Exactly(49.6) // the same, rounded to the millimetre
	if f := r.Fall(); f.Gap != nil || !f.Band.Valid() {
		t.Errorf("fall %+v, gap %+v", f.Band, f.Gap)
	}
}
