package replytest

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Probe is one number quantity of one subject: its readings, a plan made of
// them, and what a person with a calculator gets. A reading that is nil was
// not taken; Needs says, by place, what is then asked for ("" is nothing).
type Probe struct {
	About             string
	Quantity, Subject string
	In                []plan.Reading
	Build             func(r []*plan.Reading) *plan.Plan
	Want              sdk.Band // by hand
	Needs             []string
	Peak              []float64 // readings inside their bands where it is greatest, if the corners miss that
}

func (p Probe) name() string { return p.Quantity + " of " + p.Subject + " " + p.About }

// bandOf the plan with these readings.
func (b Bench) bandOf(t *testing.T, p Probe, in []plan.Reading) sdk.Band {
	t.Helper()
	r := make([]*plan.Reading, len(in))
	for i := range in {
		r[i] = &in[i]
	}
	return b.Band(t, p.Build(r), p.Quantity, p.Subject)
}

// Prove holds every probe against its figure by hand, its gaps, a thousand
// draws and wider readings, and every number on offer to having a probe.
func (b Bench) Prove(t *testing.T, probes []Probe) {
	for _, p := range probes {
		t.Run(p.name(), func(t *testing.T) {
			b.byHand(t, p)
			b.missingReadingIsNamed(t, p)
			b.holdsAllDrawsAndLittleMore(t, p)
			b.wideningNeverNarrows(t, p)
		})
	}
	b.everyNumberHasAProbe(t, probes)
}

func (b Bench) byHand(t *testing.T, p Probe) {
	got := b.bandOf(t, p, p.In)
	if !Near(got.Low, p.Want.Low) || !Near(got.Value, p.Want.Value) || !Near(got.High, p.Want.High) {
		t.Errorf("got %v, by hand %v", got, p.Want)
	}
}

func (b Bench) missingReadingIsNamed(t *testing.T, p Probe) {
	if len(p.Needs) != len(p.In) {
		t.Fatalf("%d readings, %d names", len(p.In), len(p.Needs))
	}
	for i, needs := range p.Needs {
		if needs == "" {
			continue
		}
		r := make([]*plan.Reading, len(p.In))
		for k := range p.In {
			if k != i {
				r[k] = &p.In[k]
			}
		}
		if g := b.Gap(t, p.Build(r), p.Quantity, p.Subject); g.Needs != needs || g.Because == sdk.OutOfRange {
			t.Errorf("without reading %d: asks for %s (%s), want %s", i, g.Needs, g.Because, needs)
		}
	}
}

// The band holds what 10,000 draws from the readings give, and is hardly wider
// than they and the corners span.
func (b Bench) holdsAllDrawsAndLittleMore(t *testing.T, p Probe) {
	rng := rand.New(rand.NewPCG(7, 11))
	whole := b.bandOf(t, p, p.In)
	low, high := math.Inf(1), math.Inf(-1)
	check := func(in []plan.Reading) {
		v := b.bandOf(t, p, in).Value
		low, high = min(low, v), max(high, v)
		if slack := 1e-9 * (1 + math.Abs(v)); v < whole.Low-slack || v > whole.High+slack {
			t.Fatalf("%v gives %v, outside %v", in, v, whole)
		}
	}
	for range 10_000 {
		check(draw(rng, p.In))
	}
	for corner := range 1 << len(p.In) {
		check(cornerOf(p.In, corner))
	}
	if p.Peak != nil {
		check(exactly(p.Peak))
	}
	if wide, spans := whole.High-whole.Low, high-low; wide > 1.05*spans+1e-9 {
		t.Errorf("band %v is %g wide, draws and corners span %g", whole, wide, spans)
	}
}

func (b Bench) wideningNeverNarrows(t *testing.T, p Probe) {
	rng := rand.New(rand.NewPCG(3, 5))
	narrow := b.bandOf(t, p, p.In)
	for range 50 {
		in := slices.Clone(p.In)
		for i := range in {
			in[i].Low -= rng.Float64() * 0.1 * math.Abs(in[i].Value)
			in[i].High += rng.Float64() * 0.1 * math.Abs(in[i].Value)
		}
		wide := b.bandOf(t, p, in)
		if wide.Low > narrow.Low || wide.High < narrow.High {
			t.Fatalf("%v widened to %v gives %v, narrower than %v", p.In, in, wide, narrow)
		}
	}
}

// everyNumberHasAProbe of the measurer's offer: none goes unproved.
func (b Bench) everyNumberHasAProbe(t *testing.T, probes []Probe) {
	catalogue, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	d, err := b.Measurer.Describe(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range d.Quantities {
		known := catalogue.ByName[q.Name]
		if q.Unit != known.Unit {
			t.Errorf("%s: unit %s, the catalogue has %s", q.Name, q.Unit, known.Unit)
		}
		probed := slices.ContainsFunc(probes, func(p Probe) bool { return p.Quantity == q.Name })
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
