package layout

import (
	"math"

	"fallrule/plugins/sdk/plan"
)

// nearLevelSlack is how much longer a near-level piece whose fall nobody told
// may be than its level distance: 142 mm/m and less.
const nearLevelSlack = 1.01

// finish works out what follows from what was told of a leg: a vertical piece
// has no level distance, the rest by the right-angled triangle. A leg of 45°
// or more is steep: a drop and no fall.
func finish(leg *plan.Leg) {
	switch {
	case leg.Along == nil && leg.Length == nil && leg.Fall == nil && leg.Drop != nil && leg.Steep:
		zero := plan.Exactly(0)
		length := absolute(*leg.Drop)
		leg.Along, leg.Length = &zero, &length
	case leg.Along != nil:
		finishAlong(leg)
	case leg.Length != nil:
		finishLength(leg)
	}
	if leg.Fall != nil && math.Abs(leg.Fall.Value) >= 1000 {
		if d := dropOf(*leg); d != nil {
			leg.Drop, leg.Fall, leg.Steep = d, nil, true
		}
	}
	if leg.Drop != nil && leg.Along != nil && math.Abs(leg.Drop.Value) >= leg.Along.Value {
		leg.Steep = true
	}
}

func finishAlong(leg *plan.Leg) {
	if leg.Length != nil {
		return
	}
	a := *leg.Along
	length := plan.Reading{Low: a.Low, Value: a.Value, High: a.High * nearLevelSlack, How: plan.Computed}
	switch {
	case leg.Drop != nil:
		d := absolute(*leg.Drop)
		length = plan.Reading{Low: math.Hypot(a.Low, d.Low), Value: math.Hypot(a.Value, d.Value), High: math.Hypot(a.High, d.High), How: plan.Computed}
	case leg.Fall != nil:
		f := absolute(*leg.Fall).Times(0.001)
		length = plan.Reading{Low: a.Low * math.Hypot(1, f.Low), Value: a.Value * math.Hypot(1, f.Value), High: a.High * math.Hypot(1, f.High), How: plan.Computed}
	}
	leg.Length = &length
}

func finishLength(leg *plan.Leg) {
	l := *leg.Length
	along := plan.Reading{Low: l.Low / nearLevelSlack, Value: l.Value, High: l.High, How: plan.Computed}
	switch {
	case leg.Drop != nil:
		d := absolute(*leg.Drop)
		along = plan.Reading{Low: cathetus(l.Low, d.High), Value: cathetus(l.Value, d.Value), High: cathetus(l.High, d.Low), How: plan.Computed}
	case leg.Fall != nil:
		f := absolute(*leg.Fall).Times(0.001)
		along = plan.Reading{Low: l.Low / math.Hypot(1, f.High), Value: l.Value / math.Hypot(1, f.Value), High: l.High / math.Hypot(1, f.Low), How: plan.Computed}
	}
	leg.Along = &along
}

// cathetus is the level side of a triangle with that hypotenuse and height.
func cathetus(length, height float64) float64 {
	if height >= length {
		return 0
	}
	if math.IsInf(length, 1) {
		return length
	}
	return math.Sqrt(length*length - height*height)
}

func absolute(r plan.Reading) plan.Reading {
	switch {
	case r.Low >= 0:
		return r
	case r.High <= 0:
		return plan.Reading{Low: -r.High, Value: -r.Value, High: -r.Low, How: r.How}
	}
	return plan.Reading{Low: 0, Value: math.Abs(r.Value), High: math.Max(-r.Low, r.High), How: r.How}
}

// product of two readings, worst case to worst case.
func product(a, b plan.Reading) plan.Reading {
	p := plan.Reading{Low: math.Inf(1), Value: a.Value * b.Value, High: math.Inf(-1), How: plan.Computed}
	for _, x := range []float64{a.Low, a.High} {
		for _, y := range []float64{b.Low, b.High} {
			v := x * y
			if math.IsNaN(v) { // nothing times an open end
				v = 0
			}
			p.Low, p.High = math.Min(p.Low, v), math.Max(p.High, v)
		}
	}
	return p
}

// dropOf is how much lower a leg's end lies than its start; nil when that does
// not follow from what was told.
func dropOf(leg plan.Leg) *plan.Reading {
	if leg.Drop != nil {
		return leg.Drop
	}
	if leg.Fall == nil || leg.Along == nil {
		return nil
	}
	d := product(*leg.Fall, *leg.Along).Times(0.001)
	return &d
}

// fallOf is a near-level leg's fall in mm/m; nil when it is steep or does not
// follow from what was told.
func fallOf(leg plan.Leg) *plan.Reading {
	switch {
	case leg.Steep:
		return nil
	case leg.Fall != nil:
		return leg.Fall
	case leg.Drop == nil || leg.Along == nil || leg.Along.Low <= 0:
		return nil
	}
	a, d := *leg.Along, *leg.Drop
	inverse := plan.Reading{Low: 1000 / a.High, Value: 1000 / a.Value, High: 1000 / a.Low}
	f := product(d, inverse)
	return &f
}

// sum adds up what f gives of each leg; nil when it gives nothing of one.
func sum(legs []plan.Leg, f func(plan.Leg) *plan.Reading) *plan.Reading {
	if len(legs) == 0 {
		return nil
	}
	total := plan.Reading{How: plan.Computed}
	for _, leg := range legs {
		v := f(leg)
		if v == nil {
			return nil
		}
		total = total.Plus(*v)
	}
	return &total
}

func lengthOf(leg plan.Leg) *plan.Reading { return leg.Length }

func alongOf(leg plan.Leg) *plan.Reading { return leg.Along }

func nearLevel(legs []plan.Leg) []plan.Leg {
	var out []plan.Leg
	for _, leg := range legs {
		if !leg.Steep {
			out = append(out, leg)
		}
	}
	return out
}

// share is a part of a reading that stays one reading: its band shrinks with
// it, so that the parts add up to the whole and not to more.
func share(r plan.Reading, part float64) *plan.Reading {
	s := r.Times(part)
	s.How = r.How
	return &s
}
