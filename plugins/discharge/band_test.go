package discharge

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/discharge/partfull"
	"fallrule/plugins/reply"
	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// span of a value and a tolerance, cut off at nought.
func span(t *rapid.T, low, high, share float64) sdk.Band {
	v := rapid.Float64Range(low, high).Draw(t, "value")
	e := rapid.Float64Range(0, share).Draw(t, "share") * v
	return sdk.Band{Low: v - e, Value: v, High: v + e}
}

func drawWater(t *rapid.T) water {
	return water{flow: span(t, 1e-4, 5e-3, 0.5), slope: span(t, 0.002, 0.1, 1), bore: span(t, 0.03, 0.15, 0.1)}
}

func (w water) wider(by float64) water {
	out := func(b sdk.Band) sdk.Band {
		return sdk.Band{Low: b.Low - by*b.Value, Value: b.Value, High: b.High + by*b.Value}
	}
	return water{sdk.Band{Low: max(0, out(w.flow).Low), Value: w.flow.Value, High: out(w.flow).High}, out(w.slope), sdk.Band{Low: max(0.001, out(w.bore).Low), Value: w.bore.Value, High: out(w.bore).High}}
}

func (w water) bands() map[string]sdk.Band {
	return map[string]sdk.Band{"depth": *w.depthFigure().Band, "velocity": *w.velocityFigure().Band, "shear": *w.shearFigure().Band, "flow": *w.carries(0.7).Band}
}

func pick(t *rapid.T, b sdk.Band) float64 { return rapid.Float64Range(b.Low, b.High).Draw(t, "truth") }

func TestBandsHoldEveryTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWater(t)
		bands := w.bands()
		for range 50 {
			q, j, d := pick(t, w.flow), pick(t, w.slope), pick(t, w.bore)
			depth, v, _ := runs(q, j, d)
			if b := bands["depth"]; depth < b.Low-1e-9 || depth > b.High+1e-9 {
				t.Fatalf("depth %g outside %+v", depth, b)
			}
			if b := bands["velocity"]; v < b.Low-1e-9 || v > b.High+1e-9 {
				t.Fatalf("velocity %.12g outside %+v", v, b)
			}
			if b, tau := bands["shear"], pull(q, j, d); tau < b.Low-1e-9 || tau > b.High+1e-9 {
				t.Fatalf("shear %.12g outside %+v", tau, b)
			}
		}
	})
}

// The bands reach no further than 1.05 times what a fine grid over the readings
// finds, ends included; 0.005 more is the grid's own coarseness.
func TestBandsAreNoWiderThanTheHull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWater(t)
		const steps = 16
		at := func(b sdk.Band, i int) float64 { return b.Low + (b.High-b.Low)*float64(i)/steps }
		depth, speed, shear := sdk.Band{Low: 1, High: 0}, sdk.Band{Low: math.Inf(1), High: 0}, sdk.Band{Low: math.Inf(1), High: 0}
		for i := range steps + 1 {
			for j := range steps + 1 {
				for _, slope := range []float64{w.slope.Low, w.slope.Value, w.slope.High} {
					h, v, _ := runs(at(w.flow, i), slope, at(w.bore, j))
					depth.Low, depth.High = min(depth.Low, h), max(depth.High, h)
					speed.Low, speed.High = min(speed.Low, v), max(speed.High, v)
					tau := pull(at(w.flow, i), slope, at(w.bore, j))
					shear.Low, shear.High = min(shear.Low, tau), max(shear.High, tau)
				}
			}
		}
		for j := range steps + 1 { // just running full: a step that a grid steps over
			d := at(w.bore, j)
			if _, most := partfull.AnnexB.Peak(d, w.slope.Low); most > w.flow.Low && most*1.0001 < w.flow.High {
				_, v, _ := runs(most*1.0001, w.slope.Low, d)
				speed.Low = min(speed.Low, v)
			}
		}
		for i := range 400 { // the same along the bores, at the least flow
			d := w.bore.Low + (w.bore.High-w.bore.Low)*float64(i)/400
			if _, v, full := runs(w.flow.Low, w.slope.Low, d); full {
				speed.Low = min(speed.Low, v)
			}
		}
		for name, pair := range map[string][2]sdk.Band{"depth": {w.bands()["depth"], depth}, "velocity": {w.bands()["velocity"], speed}, "shear": {w.bands()["shear"], shear}} {
			if got, hull := pair[0].High-pair[0].Low, pair[1].High-pair[1].Low; got > 1.05*hull+0.005 {
				t.Fatalf("%s: %+v is %g wide, the hull %+v %g", name, pair[0], got, pair[1], hull)
			}
		}
	})
}

func TestWiderReadingsNeverNarrowABand(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWater(t)
		wide := w.wider(rapid.Float64Range(0, 0.5).Draw(t, "wider")).bands()
		for name, b := range w.bands() {
			if o := wide[name]; o.Low > b.Low+1e-9 || o.High < b.High-1e-9 {
				t.Fatalf("%s: %+v, with wider readings %+v", name, b, o)
			}
		}
	})
}

func TestMoreFallNeverGivesMoreDepth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := drawWater(t)
		more := w
		k := rapid.Float64Range(1, 3).Draw(t, "more fall")
		more.slope = sdk.Band{Low: w.slope.Low * k, Value: w.slope.Value * k, High: w.slope.High * k}
		a, b := *w.depthFigure().Band, *more.depthFigure().Band
		if b.Low > a.Low+1e-12 || b.Value > a.Value+1e-12 || b.High > a.High+1e-12 {
			t.Fatalf("depth %+v, with more fall %+v", a, b)
		}
	})
}

// A load read more roughly may count under more rows, never under fewer; and
// what an exact load counts lies in the band of every reading that holds it.
func TestUnitsOfRoughReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(3, 12).Draw(t, "load")
		e := rapid.Float64Range(0, 4).Draw(t, "tolerance")
		truth := rapid.Float64Range(max(v-e, 1), min(v+e, 12)).Draw(t, "truth")
		at := func(load *plan.Reading) sdk.Band {
			f := fixture("washer", "washing_machine")
			f.Load = load
			resp, err := Measurer.Measure(context.Background(), sdk.Request{Plan: house(f, fixture("bath", "bath")), Quantities: []string{"flow_i"}})
			if err != nil || len(resp.Measurements) != 1 {
				t.Fatalf("%+v, %v", resp, err)
			}
			return *resp.Measurements[0].Band
		}
		rough, exact := at(replytest.Read(v, e)), at(replytest.Read(truth, 0))
		if exact.Low < rough.Low || exact.High > rough.High {
			t.Fatalf("%g kg: %+v, %g ± %g kg: %+v", truth, exact, v, e, rough)
		}
	})
}

// Readings all but exact: the last digit of a solver must not cross the ends.
func TestAllButExactReadingsGiveBands(t *testing.T) {
	near := func(v, share float64) sdk.Band { return sdk.Band{Low: v - v*share, Value: v, High: v + v*share} }
	w := water{flow: near(0.000244140625, 2.9e-14), slope: near(0.03125, 1.2e-13), bore: near(0.15, 7.2e-15)}
	for name, a := range map[string]reply.Answer{"depth": w.depthFigure(), "velocity": w.velocityFigure(), "flow": w.carries(0.7)} {
		if a.Gap != nil {
			t.Errorf("%s: gap %+v", name, a.Gap)
		}
	}
}
