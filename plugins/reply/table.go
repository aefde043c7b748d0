package reply

import (
	"context"
	"fmt"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Table is a measurer: its quantities in order, each with what works it out.
// S is what the package makes of a plan, once a request.
type Table[S any] struct {
	Name    string
	Version string
	Survey  func(*plan.Plan) (S, error)
	Rows    []Row[S]
}

// Row is one quantity and how it is worked out for all its subjects.
type Row[S any] struct {
	quantity string
	each     []Each[S]
}

// Measure makes the row of a quantity; a subject of each kind that has it.
func Measure[S any](quantity string, each ...Each[S]) Row[S] { return Row[S]{quantity, each} }

// Quantities names all rows, in order.
func (t Table[S]) Quantities() []string {
	out := make([]string, len(t.Rows))
	for i, r := range t.Rows {
		out[i] = r.quantity
	}
	return out
}

// Describe names every quantity with the catalogue's unit and meaning.
func (t Table[S]) Describe(context.Context) (sdk.Description, error) {
	catalogue, err := schema.Quantities()
	if err != nil {
		return sdk.Description{}, err
	}
	d := sdk.Description{Name: t.Name, Version: t.Version}
	for _, r := range t.Rows {
		q, known := catalogue.ByName[r.quantity]
		if !known {
			return sdk.Description{}, fmt.Errorf("describe %s: quantity %s is not in the catalogue", t.Name, r.quantity)
		}
		d.Quantities = append(d.Quantities, sdk.Quantity{Name: q.Name, Unit: q.Unit, Doc: q.Says})
	}
	return d, nil
}

// Measure answers for every subject of the quantities asked for. It fails on a
// plan of another version and when the caller gives up.
func (t Table[S]) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	if req.Plan == nil || req.Plan.Version != plan.Version {
		return sdk.Response{}, fmt.Errorf("measure %s: want a plan of version %d", t.Name, plan.Version)
	}
	site, err := t.Survey(req.Plan)
	if err != nil {
		return sdk.Response{}, fmt.Errorf("measure %s: %w", t.Name, err)
	}
	var out sdk.Response
	for _, r := range t.Rows {
		if !req.Wants(r.quantity) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return sdk.Response{}, fmt.Errorf("measure %s: %w", r.quantity, err)
		}
		for _, each := range r.each {
			each(req.Plan, site, func(subject string, a Answer) { a.add(&out, r.quantity, subject, req.Working) })
		}
	}
	return out, nil
}

func (a Answer) add(out *sdk.Response, quantity, subject string, working bool) {
	if a.Gap != nil {
		g := *a.Gap
		g.Quantity, g.Subject = quantity, subject
		out.Gaps = append(out.Gaps, g)
		return
	}
	m := sdk.Measurement{Quantity: quantity, Subject: subject, Band: a.Band, States: a.Words}
	if working && a.Working != nil {
		m.Working = a.Working()
		m.Working.Numbers = shortened(m.Working.Numbers)
	}
	out.Measurements = append(out.Measurements, m)
}
