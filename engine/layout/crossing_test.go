package layout

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// joistHouse has a waste told by points across joists, one told by its
// openings, one above the boards and one in another room. Invented.
const joistHouse = `
layout: 1
market: gb
readings: { existing: ± 10 mm, planned: ± 5 mm, levels: ± 3 mm }
rooms: { bath_room: {}, hall: {} }
floors: { upper: { rooms: [bath_room], top: 0 mm ± 2 mm, out_of_level: none, made_of: timber } }
joists:
  common: { floor: upper, along: y, member: joist, width: 80 mm, depth: 200 mm, span: 3.00 m ± 20 mm, looks: sound }
  at: { j1: 0.40 m, j2: 0.80 m, j3: { at: 1.20 m, looks: worm }, j4: 2.60 m, j5: unknown }
  openings:
    o2: { joist: j2, shape: hole, diameter: 60 mm, distance: 0.30 m, for: bath.waste }
    o5: { joist: j5, shape: notch_top, depth: 20 mm, distance: 2.60 m, for: basin.waste }
walls: { rear: { at: y 0, carries: joists }, partition: { at: y 1.5 m, carries: nothing } }
fixtures:
  bath:
    kind: bath
    room: bath_room
    waste: { size: 40 mm, place: in_floor, points: [[0.20 m, 0.10 m, 40 mm], [0.20 m, 0.10 m, -60 mm], [1.00 m, 0.70 m, -80 mm], [1.00 m, 2.00 m, -100 mm]], to: main }
  basin: { kind: washbasin, room: bath_room, waste: { size: 32 mm, length: 2 m, drop: 40 mm, place: in_floor, to: { pipe: bath.waste, distance: 0.50 m } } }
  sink: { kind: kitchen_sink, room: bath_room, waste: { size: 40 mm, points: [[0.10 m, 0.5 m, 300 mm], [1.50 m, 0.5 m, 270 mm]], to: main } }
  low: { kind: shower, room: bath_room, waste: { size: 40 mm, points: [[0.50 m, 2.5 m, -30 mm], [1.50 m, 2.5 m, -60 mm]], to: main } }
  other: { kind: shower, room: hall, waste: { size: 40 mm, place: in_floor, points: [[0.10 m, 0.5 m, -30 mm], [1.50 m, 0.5 m, -60 mm]], to: main } }
stacks: { main: { size: 100 mm, state: existing } }
`

func crossings(l *Layout) map[string]plan.Crossing {
	out := map[string]plan.Crossing{}
	for _, c := range l.Plan.Crossings {
		out[c.ID] = c
	}
	return out
}

// The bath's run goes 0.80 m along x and 0.60 m along y: 1.00 m of level way,
// so a joist at x is met after (x - 0.20) / 0.80 of it. It is cut where the
// basin joins: 0.50 m along it, of which 0.10 m is the upright piece.
func TestCrossingsByPoints(t *testing.T) {
	lay := read(t, joistHouse)
	all := crossings(lay)
	var ids []string
	for _, c := range lay.Plan.Crossings {
		ids = append(ids, c.ID)
	}
	same(t, "crossings", ids, "bath.waste/1~j1", "bath.waste/2~j2", "low.waste~j2", "low.waste~j3", "basin.waste~j5")
	c := all["bath.waste/1~j1"] // a quarter: 250 mm along, y = 100 + 150, level -60 - 5
	value := func(what string, v *plan.Reading, want float64) {
		t.Helper()
		if v == nil || math.Abs(v.Value-want) > 0.01 || v.Low >= want || v.High <= want {
			t.Errorf("%s: %+v, want %.1f", what, v, want)
		}
	}
	value("along to j1", c.Along, 250)
	value("on the span of j1", c.OnSpan, 250)
	value("invert over j1", c.Invert, -65)
	c = all["bath.waste/2~j2"] // three quarters: 750 along the whole, 400 of pipe, measured along its slope, before the basin joins
	value("along to j2", c.Along, 750-400*1000/math.Hypot(1000, 20))
	value("on the span of j2", c.OnSpan, 550)
	value("invert over j2", c.Invert, -75)
	if c.Opening != "o2" || c.A != "bath.waste/2" || c.B != "j2" || c.State != plan.New {
		t.Errorf("j2: %+v", c)
	}
	// 2.50 m from the rear wall of a span of 3.00 m is 0.50 m from the other end.
	value("nearer bearing", all["low.waste~j2"].OnSpan, 500)
	if lay.Kind("low.waste~j3") != "crossings" || len(lay.Also("low.waste~j3")) != 1 {
		t.Error("a crossing is a subject with two places")
	}
	for _, f := range lay.Input().Crossings {
		if want := map[bool]string{true: "worm", false: "sound"}[f.B == "j3"]; f.Looks != want || f.Member != "joist" {
			t.Errorf("%s: %+v", f.ID, f)
		}
	}
}

func TestCrossingsByOpenings(t *testing.T) {
	c := crossings(read(t, joistHouse))["basin.waste~j5"]
	// 2.60 m from one wall, and 3.00 m ± 20 mm less that from the other.
	is(t, "on the span", c.OnSpan, 375, 400, 425)
	if c.Opening != "o5" || c.Along != nil || c.Invert != nil {
		t.Errorf("%+v", c)
	}
	bare := crossings(read(t, strings.Replace(joistHouse, "rear: { at: y 0, carries: joists }", "rear: { carries: joists }", 1)))
	if bare["low.waste~j2"].OnSpan != nil {
		t.Error("no wall tells where the joists begin, and the place on the span is told")
	}
	is(t, "of an opening made for it", bare["bath.waste/2~j2"].OnSpan, 295, 300, 305)
	for id := range crossings(read(t, strings.Replace(joistHouse, "along: y, ", "", 1))) {
		if id != "bath.waste/1~j2" && id != "basin.waste~j5" {
			t.Errorf("nobody told which way the joists run, and %s is there", id)
		}
	}
}

func TestPipesInFloors(t *testing.T) {
	lay := read(t, joistHouse)
	for id, want := range map[string]string{"bath.waste/1": "upper", "bath.waste/2": "upper", "basin.waste": "upper", "sink.waste": "", "low.waste": "upper", "other.waste": ""} {
		if got := branch(t, lay, id).Floor; got != want {
			t.Errorf("%s lies in floor %q, want %q", id, got, want)
		}
	}
	for id, want := range map[string]bool{"bath.waste/1": true, "bath.waste/2": true, "sink.waste": true, "basin.waste": false} {
		if branch(t, lay, id).Placed != want {
			t.Errorf("course of %s over the plan told: %t", id, !want)
		}
	}
	lost := strings.Replace(joistHouse, "{ pipe: bath.waste, distance: 0.50 m }", "bath.waste", 1)
	if branch(t, read(t, lost), "bath.waste/2").Placed {
		t.Error("where the basin joins nobody told, so which piece meets which joist is not known")
	}
	is(t, "boards' top", lay.Plan.Floors[0].Top, -2, 0, 2)
	water := read(t, waterHouse)
	// The mark lies on the boards, which are up to 14 mm out of level.
	is(t, "top at the mark", water.Plan.Floors[0].Top, -14, 0, 14)
	is(t, "sockets", branch(t, water, "basin.waste").Socket, 49, 50, 51)
	if read(t, fullHouse).Plan.Floors[0].Top != nil {
		t.Error("nobody told where levels start, and the boards have one")
	}
}

// Whatever the corners and the joist truly are within their bands, the place
// lies within the crossing's band.
func TestCrossingsHoldAllDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	draw := func(v *plan.Reading) float64 { return v.Low + rng.Float64()*(v.High-v.Low) }
	r := func(v, by float64) *plan.Reading { x := plan.PlusMinus(v, by, plan.Taped); return &x }
	for range 40 {
		ax, dx, dy := rng.Float64()*500, 300+rng.Float64()*2000, rng.Float64()*3000-1500
		m := meeting{a: point{r(ax, 5), r(900, 5), r(-50, 3)}, b: point{r(ax+dx, 5), r(900+dy, 5), r(-90, 3)}, joist: plan.Joist{At: r(ax+dx*(0.1+0.8*rng.Float64()), 10)}}
		if !m.find() {
			t.Fatalf("not met: %+v", m)
		}
		invert := inverted(m.a[2], m.b[2], m)
		for range 500 {
			x0, y0, x1, y1, at := draw(m.a[0]), draw(m.a[1]), draw(m.b[0]), draw(m.b[1]), draw(m.joist.At)
			s := (at - x0) / (x1 - x0)
			along, place := s*math.Hypot(x1-x0, y1-y0), y0+s*(y1-y0)
			if along < m.along.Low-1e-9 || along > m.along.High+1e-9 || place < m.place.Low-1e-9 || place > m.place.High+1e-9 {
				t.Fatalf("along %v, place %v outside %+v", along, place, m)
			}
			z0, z1 := draw(m.a[2]), draw(m.b[2])
			if z := z0 + s*(z1-z0); z < invert.Low-1 || z > invert.High+1 { // the slope itself has a band, which is left out
				t.Fatalf("level %v outside %+v", z, invert)
			}
		}
	}
}
