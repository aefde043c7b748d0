package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// rodded is the bath's waste as one length, its trap out of reach or not, with
// access points at these distances.
func rodded(trap string, length *plan.Reading, at ...*plan.Reading) *plan.Plan {
	p := bath()
	p.Traps[0].Reach = trap
	p.Branches[0].Legs = []plan.Leg{{Length: length, Drop: exact(36), Bends: bends()}}
	for i, d := range at {
		p.Access = append(p.Access, plan.Access{ID: "eye_" + string(rune('a'+i)), Pipe: "bath.waste", Reach: "hatch", Distance: d})
	}
	return p
}

// By hand: from an eye at 0.40 m it is 2.00 m to the end of 2.40 m; with the
// start as well it is half of the 2.00 m before an eye there.
func TestRodLengthFromToldPlaces(t *testing.T) {
	bench := replytest.Bench{Measurer: Measurer}
	length, eye := replytest.Taped(2400, 20), replytest.Taped(400, 5)
	for _, c := range []struct {
		about string
		p     *plan.Plan
		want  sdk.Band
	}{
		{"an eye alone", rodded("none", &length, &eye), sdk.Band{Low: 1975, Value: 2000, High: 2025}},
		{"an eye alone, near the end", rodded("none", &length, replytest.Read(2300, 5)), sdk.Band{Low: 2295, Value: 2300, High: 2305}},
		{"an eye and the start", rodded("panel", &length, replytest.Read(2000, 5)), sdk.Band{Low: 997.5, Value: 1000, High: 1002.5}},
		{"two eyes", rodded("none", &length, &eye, replytest.Read(2000, 5)), sdk.Band{Low: 795, Value: 800, High: 805}},
		{"one eye out of reach", func() *plan.Plan {
			p := rodded("none", &length, &eye, replytest.Read(2000, 5))
			p.Access[1].Reach = "none"
			return p
		}(), sdk.Band{Low: 1975, Value: 2000, High: 2025}},
		// an eye somewhere may at best leave a third of 2.38 m, at worst nothing better than the start
		{"one somewhere and the start", rodded("panel", &length, nil), sdk.Band{Low: 2380. / 3, Value: 2400, High: 2420}},
		// 0.40 m told, one more somewhere: a quarter at best
		{"one told, one somewhere", rodded("none", &length, &eye, nil), sdk.Band{Low: 2380. / 4, Value: 2000, High: 2025}},
	} {
		t.Run(c.about, func(t *testing.T) { bench.Ask(t, c.p).WantBand(t, "rod_length", "bath.waste", c.want, 1e-9) })
	}
	m := bench.Measured(t, rodded("none", &length, &eye), "rodding", "bath.waste")
	if want := "access point eye_a at 400 mm (395 mm to 405 mm) from its start"; m.Working.Numbers != want {
		t.Errorf("rodding: %q, want %q", m.Working.Numbers, want)
	}
}

// Whatever the places and the pipe's ends are within their bands, the farthest
// point of the pipe, found by walking it, lies within the band of the answer.
func TestFarthestHoldsAllDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	draw := func(r plan.Reading) float64 { return r.Low + rng.Float64()*(r.High-r.Low) }
	for range 100 {
		from := plan.PlusMinus(rng.Float64()*1000, rng.Float64()*40, plan.Taped)
		to := plan.PlusMinus(from.Value+rng.Float64()*3000, rng.Float64()*40, plan.Taped)
		var p places
		for range 1 + rng.IntN(3) {
			p.known = append(p.known, plan.PlusMinus(rng.Float64()*4000, rng.Float64()*60, plan.Taped))
		}
		band := p.farthest(from, to)
		if band.Low > band.Value || band.Value > band.High {
			t.Fatalf("%v of %v on %v to %v", band, p.known, from, to)
		}
		for range 50 {
			a, b := draw(from), draw(to)
			at := make([]float64, len(p.known))
			for i, k := range p.known {
				at[i] = draw(k)
			}
			if a > b {
				continue
			}
			if most := walked(a, b, at); most < band.Low-(b-a)/1000 || most > band.High+1e-9 {
				t.Fatalf("%g on %g to %g from %v, outside %v", most, a, b, at, band)
			}
		}
	}
}

// walked is the farthest of a thousand and one points from the nearest place.
func walked(from, to float64, at []float64) float64 {
	most := 0.0
	for i := range 1001 {
		x, least := from+(to-from)*float64(i)/1000, math.Inf(1)
		for _, p := range at {
			least = min(least, math.Abs(x-p))
		}
		most = max(most, least)
	}
	return most
}
