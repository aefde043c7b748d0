// Package replytest is how tests of the bundled measurers ask them and hold
// their answers against figures worked out by hand. Only tests import it.
package replytest

import (
	"context"
	"math"
	"slices"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Bench is one measurer under test.
type Bench struct{ Measurer sdk.Measurer }

// Taped is a reading with the same tolerance on both sides.
func Taped(v, tolerance float64) plan.Reading { return plan.PlusMinus(v, tolerance, plan.Taped) }

// Read is a taped reading of a plan, where nil is one that was not taken.
func Read(v, tolerance float64) *plan.Reading {
	r := Taped(v, tolerance)
	return &r
}

// Near tells whether two figures are the same but for the last digits.
func Near(a, b float64) bool {
	if math.IsInf(a, 0) || math.IsInf(b, 0) {
		return a == b
	}
	return math.Abs(a-b) <= 1e-6*(1+math.Abs(b))
}

// Quantities are all that the measurer offers.
func (b Bench) Quantities(t testing.TB) []string {
	t.Helper()
	d, err := b.Measurer.Describe(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, q := range d.Quantities {
		out = append(out, q.Name)
	}
	return out
}

// Ask asks for these quantities, or for all on offer when none is named.
func (b Bench) Ask(t testing.TB, p *plan.Plan, quantities ...string) Answers {
	t.Helper()
	if len(quantities) == 0 {
		quantities = b.Quantities(t)
	}
	p.Version = plan.Version
	out, err := b.Measurer.Measure(t.Context(), sdk.Request{Plan: p, Quantities: quantities, Working: true})
	if err != nil {
		t.Fatal(err)
	}
	return Answers{out}
}

// Measured is the measurement of one quantity of one subject.
func (b Bench) Measured(t testing.TB, p *plan.Plan, quantity, subject string) sdk.Measurement {
	t.Helper()
	return b.Ask(t, p, quantity).measured(t, quantity, subject)
}

// Band is a band that can stand, with a whole working.
func (b Bench) Band(t testing.TB, p *plan.Plan, quantity, subject string) sdk.Band {
	t.Helper()
	return b.Ask(t, p, quantity).band(t, quantity, subject)
}

// Gap is a gap that asks for one thing, and for none outside a table.
func (b Bench) Gap(t testing.TB, p *plan.Plan, quantity, subject string) sdk.Gap {
	t.Helper()
	return b.Ask(t, p, quantity).gap(t, quantity, subject)
}

// WantWords holds the words still possible against these.
func (b Bench) WantWords(t testing.TB, p *plan.Plan, quantity, subject string, want ...string) {
	t.Helper()
	b.Ask(t, p, quantity).WantWords(t, quantity, subject, want...)
}

// WantGap holds a gap against its reason and what it asks for.
func (b Bench) WantGap(t testing.TB, p *plan.Plan, quantity, subject string, because sdk.Because, needs string) {
	t.Helper()
	if g := b.Gap(t, p, quantity, subject); g.Because != because || g.Needs != needs {
		t.Errorf("%s of %s: %s, asks for %q; want %s, %q", quantity, subject, g.Because, g.Needs, because, needs)
	}
}

// Answers are all answers to one request.
type Answers struct{ sdk.Response }

// Find is the measurement of a quantity of a subject, or else its gap.
func (a Answers) Find(quantity, subject string) (*sdk.Measurement, *sdk.Gap) {
	for i, m := range a.Measurements {
		if m.Quantity == quantity && m.Subject == subject {
			return &a.Measurements[i], nil
		}
	}
	for i, g := range a.Gaps {
		if g.Quantity == quantity && g.Subject == subject {
			return nil, &a.Gaps[i]
		}
	}
	return nil, nil
}

func (a Answers) measured(t testing.TB, quantity, subject string) sdk.Measurement {
	t.Helper()
	m, g := a.Find(quantity, subject)
	if m == nil {
		t.Fatalf("%s of %s: no measurement, gap %+v", quantity, subject, g)
	}
	return *m
}

func (a Answers) band(t testing.TB, quantity, subject string) sdk.Band {
	t.Helper()
	m := a.measured(t, quantity, subject)
	if m.Band == nil || !m.Band.Valid() {
		t.Fatalf("%s of %s: no valid band: %v", quantity, subject, m.Band)
	}
	if m.Working.Formula == "" || m.Working.Numbers == "" || m.Working.Source == "" {
		t.Errorf("%s of %s: the working lacks a part: %+v", quantity, subject, m.Working)
	}
	return *m.Band
}

func (a Answers) gap(t testing.TB, quantity, subject string) sdk.Gap {
	t.Helper()
	m, g := a.Find(quantity, subject)
	if g == nil {
		t.Fatalf("%s of %s: no gap, measurement %+v", quantity, subject, m)
	}
	if !sound(*g) {
		t.Errorf("%s of %s: a gap that asks for nothing or for too much: %+v", quantity, subject, g)
	}
	return *g
}

// sound gaps say why, and ask for a reading unless there is none to take.
func sound(g sdk.Gap) bool {
	return g.Text != "" && g.Because != "" && (g.Needs == "") == (g.Because == sdk.OutOfRange)
}

// WantBand holds a band against these ends, each to within the tolerance.
func (a Answers) WantBand(t testing.TB, quantity, subject string, want sdk.Band, tolerance float64) {
	t.Helper()
	got := a.band(t, quantity, subject)
	near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= tolerance }
	if !near(got.Low, want.Low) || !near(got.Value, want.Value) || !near(got.High, want.High) {
		t.Errorf("%s of %s: %+v, want %+v", quantity, subject, got, want)
	}
}

// WantWords holds the words still possible against these.
func (a Answers) WantWords(t testing.TB, quantity, subject string, want ...string) {
	t.Helper()
	if got := a.measured(t, quantity, subject).States; !slices.Equal(got, want) {
		t.Errorf("%s of %s: %v, want %v", quantity, subject, got, want)
	}
}

// WantNeeds holds a gap against the reading it asks for.
func (a Answers) WantNeeds(t testing.TB, quantity, subject, needs string) {
	t.Helper()
	if g := a.gap(t, quantity, subject); g.Needs != needs {
		t.Errorf("%s of %s: gap %+v, want one that needs %q", quantity, subject, g, needs)
	}
}

// RefusesStrangePlans holds the measurer to plans of the version it knows.
func (b Bench) RefusesStrangePlans(t *testing.T) {
	t.Helper()
	for _, p := range []*plan.Plan{nil, {Version: plan.Version + 1}} {
		if _, err := b.Measurer.Measure(t.Context(), sdk.Request{Plan: p}); err == nil {
			t.Errorf("a plan of another version is measured: %v", p)
		}
	}
}

// AnswersOnce wants exactly one answer to every quantity of the subject of
// each kind that has it, and none else. A subject per kind: "branches": "b/1".
func (b Bench) AnswersOnce(t *testing.T, p *plan.Plan, subjects map[string]string) {
	t.Helper()
	c, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	answers, seen := b.Ask(t, p), map[[2]string]int{}
	for _, m := range answers.Measurements {
		seen[[2]string{m.Quantity, m.Subject}]++
	}
	for _, g := range answers.Gaps {
		seen[[2]string{g.Quantity, g.Subject}]++
		if !sound(g) {
			t.Errorf("gap %+v", g)
		}
	}
	for _, q := range b.Quantities(t) {
		for _, kind := range c.ByName[q].Of {
			key := [2]string{q, subjects[kind]}
			if seen[key] != 1 {
				t.Errorf("%s of %s (%s): %d answers", q, subjects[kind], kind, seen[key])
			}
			delete(seen, key)
		}
	}
	if len(seen) > 0 {
		t.Errorf("answers that nobody asked for: %v", seen)
	}
}

// some offers a few of a measurer's quantities.
type some struct {
	sdk.Measurer
	names []string
}

// Only offers some quantities of a measurer, to be proved by probes of theirs.
func Only(m sdk.Measurer, names ...string) sdk.Measurer { return some{m, names} }

func (s some) Describe(ctx context.Context) (sdk.Description, error) {
	d, err := s.Measurer.Describe(ctx)
	d.Quantities = slices.DeleteFunc(d.Quantities, func(q sdk.Quantity) bool { return !slices.Contains(s.names, q.Name) })
	return d, err
}
