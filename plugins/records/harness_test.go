package records

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// probe is one number quantity of one subject: its readings, a plan made of
// them, and what a person with a calculator gets. A reading that is nil was
// not taken; needs says, by place, what is then asked for ("" is nothing).
type probe struct {
	about             string
	quantity, subject string
	in                []plan.Reading
	build             func(r []*plan.Reading) *plan.Plan
	want              sdk.Band // by hand
	needs             []string
	peak              []float64 // readings inside their bands where it is greatest, if the corners miss that
}

func (p probe) name() string { return p.quantity + " of " + p.subject + " " + p.about }

// plan is the layout with these readings.
func (p probe) plan(in []plan.Reading) *plan.Plan {
	r := make([]*plan.Reading, len(in))
	for i := range in {
		r[i] = &in[i]
	}
	return p.build(r)
}

func ask(t *testing.T, p *plan.Plan, quantity string) sdk.Response {
	t.Helper()
	p.Version = plan.Version
	out, err := Measurer{}.Measure(context.Background(), sdk.Request{Plan: p, Quantities: []string{quantity}, Working: true})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func measured(t *testing.T, p *plan.Plan, quantity, subject string) sdk.Measurement {
	t.Helper()
	out := ask(t, p, quantity)
	i := slices.IndexFunc(out.Measurements, func(m sdk.Measurement) bool { return m.Subject == subject })
	if i < 0 {
		t.Fatalf("%s of %s: no measurement, gaps %v", quantity, subject, out.Gaps)
	}
	return out.Measurements[i]
}

func band(t *testing.T, p *plan.Plan, quantity, subject string) sdk.Band {
	t.Helper()
	m := measured(t, p, quantity, subject)
	if m.Band == nil || !m.Band.Valid() {
		t.Fatalf("%s of %s: no valid band: %v", quantity, subject, m.Band)
	}
	if m.Working.Formula == "" || m.Working.Numbers == "" || m.Working.Source == "" {
		t.Errorf("%s of %s: the working lacks a part: %+v", quantity, subject, m.Working)
	}
	return *m.Band
}

func gap(t *testing.T, p *plan.Plan, quantity, subject string) sdk.Gap {
	t.Helper()
	out := ask(t, p, quantity)
	i := slices.IndexFunc(out.Gaps, func(g sdk.Gap) bool { return g.Subject == subject })
	if i < 0 {
		t.Fatalf("%s of %s: no gap, measurements %v", quantity, subject, out.Measurements)
	}
	g := out.Gaps[i]
	if g.Text == "" || g.Because == "" || (g.Needs == "") != (g.Because == sdk.OutOfRange) {
		t.Errorf("%s of %s: a gap that asks for nothing or for too much: %+v", quantity, subject, g)
	}
	return g
}

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= 1e-6*(1+math.Abs(b))
}

func TestByHand(t *testing.T) {
	for _, p := range probes {
		got := band(t, p.plan(p.in), p.quantity, p.subject)
		if !near(got.Low, p.want.Low) || !near(got.Value, p.want.Value) || !near(got.High, p.want.High) {
			t.Errorf("%s: got %v, by hand %v", p.name(), got, p.want)
		}
	}
}

func TestMissingReadingIsNamed(t *testing.T) {
	for _, p := range probes {
		if len(p.needs) != len(p.in) {
			t.Fatalf("%s: %d readings, %d names", p.name(), len(p.in), len(p.needs))
		}
		for i, needs := range p.needs {
			if needs == "" {
				continue
			}
			r := make([]*plan.Reading, len(p.in))
			for k := range p.in {
				if k != i {
					r[k] = &p.in[k]
				}
			}
			if g := gap(t, p.build(r), p.quantity, p.subject); g.Needs != needs || g.Because == sdk.OutOfRange {
				t.Errorf("%s without reading %d: asks for %s (%s), want %s", p.name(), i, g.Needs, g.Because, needs)
			}
		}
	}
}

// The band holds what 1,000 draws from the readings give, and is hardly wider
// than they and the corners span.
func TestBandHoldsAllDrawsAndLittleMore(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	for _, p := range probes {
		whole := band(t, p.plan(p.in), p.quantity, p.subject)
		low, high := math.Inf(1), math.Inf(-1)
		check := func(in []plan.Reading) {
			v := band(t, p.plan(in), p.quantity, p.subject).Value
			low, high = min(low, v), max(high, v)
			if slack := 1e-9 * (1 + math.Abs(v)); v < whole.Low-slack || v > whole.High+slack {
				t.Fatalf("%s: %v gives %v, outside %v", p.name(), in, v, whole)
			}
		}
		for range 1000 {
			check(draw(rng, p.in))
		}
		for corner := range 1 << len(p.in) {
			check(cornerOf(p.in, corner))
		}
		if p.peak != nil {
			check(exactly(p.peak))
		}
		if wide, spans := whole.High-whole.Low, high-low; wide > 1.05*spans+1e-9 {
			t.Errorf("%s: band %v is %g wide, draws and corners span %g", p.name(), whole, wide, spans)
		}
	}
}

func TestWideningNeverNarrows(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 5))
	for _, p := range probes {
		narrow := band(t, p.plan(p.in), p.quantity, p.subject)
		for range 50 {
			in := slices.Clone(p.in)
			for i := range in {
				in[i].Low -= rng.Float64() * 0.1 * math.Abs(in[i].Value)
				in[i].High += rng.Float64() * 0.1 * math.Abs(in[i].Value)
			}
			wide := band(t, p.plan(in), p.quantity, p.subject)
			if wide.Low > narrow.Low || wide.High < narrow.High {
				t.Fatalf("%s: %v widened to %v gives %v, narrower than %v", p.name(), p.in, in, wide, narrow)
			}
		}
	}
}

// Every number that this package offers has a probe: none goes unproved.
func TestEveryNumberHasAProbe(t *testing.T) {
	catalogue, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	d, err := Measurer{}.Describe(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range d.Quantities {
		known := catalogue.ByName[q.Name]
		if q.Unit != known.Unit {
			t.Errorf("%s: unit %s, the catalogue has %s", q.Name, q.Unit, known.Unit)
		}
		probed := slices.ContainsFunc(probes, func(p probe) bool { return p.quantity == q.Name })
		if !known.IsState() && !probed {
			t.Errorf("%s: no probe", q.Name)
		}
	}
}

func exactly(values []float64) []plan.Reading {
	out := make([]plan.Reading, len(values))
	for i, v := range values {
		out[i] = plan.Exactly(v)
	}
	return out
}

func draw(rng *rand.Rand, in []plan.Reading) []plan.Reading {
	out := make([]plan.Reading, len(in))
	for i, r := range in {
		out[i] = plan.Exactly(r.Low + rng.Float64()*(r.High-r.Low))
	}
	return out
}

func cornerOf(in []plan.Reading, corner int) []plan.Reading {
	out := make([]plan.Reading, len(in))
	for i, r := range in {
		out[i] = plan.Exactly(r.Low)
		if corner>>i&1 == 1 {
			out[i] = plan.Exactly(r.High)
		}
	}
	return out
}

func taped(v, tolerance float64) plan.Reading { return plan.PlusMinus(v, tolerance, plan.Taped) }
