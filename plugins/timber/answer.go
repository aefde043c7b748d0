package timber

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// answer is what one quantity of one subject comes to: a band, or the gap that
// stands in its place.
type answer struct {
	band    *plan.Reading
	working func() sdk.Working // made only when somebody wants to see it
	gap     *sdk.Gap
}

// method is one quantity and how it is worked out for all its subjects.
type method struct {
	quantity string
	each     each
}

// each hands over the answer for every subject of one kind.
type each func(s *site, put func(subject string, a answer))

// kinds joins the subjects of several kinds under one quantity.
func kinds(all ...each) each {
	return func(s *site, put func(string, answer)) {
		for _, e := range all {
			e(s, put)
		}
	}
}

// Describe names every quantity with the catalogue's unit and meaning.
func (Measurer) Describe(context.Context) (sdk.Description, error) {
	catalogue, err := schema.Quantities()
	if err != nil {
		return sdk.Description{}, err
	}
	d := sdk.Description{Name: name, Version: version}
	for _, m := range methods {
		q, known := catalogue.ByName[m.quantity]
		if !known {
			return sdk.Description{}, fmt.Errorf("describe %s: quantity %s is not in the catalogue", name, m.quantity)
		}
		d.Quantities = append(d.Quantities, sdk.Quantity{Name: q.Name, Unit: q.Unit, Doc: q.Says})
	}
	return d, nil
}

// Measure answers for every subject of the quantities asked for. It fails on a
// plan of another version and when the caller gives up.
func (Measurer) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	if req.Plan == nil || req.Plan.Version != plan.Version {
		return sdk.Response{}, fmt.Errorf("measure %s: want a plan of version %d", name, plan.Version)
	}
	s := survey(req.Plan)
	var out sdk.Response
	for _, m := range methods {
		if !req.Wants(m.quantity) {
			continue
		}
		if err := ctx.Err(); err != nil {
			return sdk.Response{}, fmt.Errorf("measure %s: %w", m.quantity, err)
		}
		m.each(s, func(subject string, a answer) { a.add(&out, m.quantity, subject, req.Working) })
	}
	return out, nil
}

func (a answer) add(out *sdk.Response, quantity, subject string, working bool) {
	if a.gap != nil {
		g := *a.gap
		g.Quantity, g.Subject = quantity, subject
		out.Gaps = append(out.Gaps, g)
		return
	}
	m := sdk.Measurement{Quantity: quantity, Subject: subject}
	if a.band != nil {
		m.Band = sdk.BandOf(*a.band)
	}
	if working && a.working != nil {
		m.Working = a.working()
	}
	out.Measurements = append(out.Measurements, m)
}

// number answers with a band. Readings that contradict each other so far that
// no band is left are a gap, not a number.
func number(r plan.Reading, working func() sdk.Working) answer {
	if !sdk.BandOf(r).Valid() {
		return missing(sdk.OutOfRange, "", "the readings it is worked out from contradict each other")
	}
	return answer{band: &r, working: working}
}

// asRead answers with a reading of the document as it stands, or with the gap
// that asks for it. What is the thing read, path its place in the document.
func asRead(r *plan.Reading, unit, path, what string) answer {
	got, gap := read(r, path, what)
	if gap != nil {
		return answer{gap: gap}
	}
	return number(got, func() sdk.Working {
		return sdk.Working{Formula: "as read", Numbers: show(got, unit) + how(got), Source: path}
	})
}

// read is the reading, or the gap that asks for it.
func read(r *plan.Reading, path, what string) (plan.Reading, *sdk.Gap) {
	if r == nil {
		return plan.Reading{}, missing(sdk.NotMeasured, path, what+" is not measured").gap
	}
	return *r, nil
}

// missing is the answer that there is none, and what would change that. The
// text becomes a sentence; it begins with a word, never with an id.
func missing(because sdk.Because, needs, text string) answer {
	text = strings.ToUpper(text[:1]) + text[1:] + "."
	return answer{gap: &sdk.Gap{Because: because, Needs: needs, Text: text}}
}

// without is the answer for a subject that cannot have the quantity at all.
func without(text string) answer { return missing(sdk.OutOfRange, "", text) }

// show writes a reading with its unit, and its band when it has one.
func show(r plan.Reading, unit string) string {
	value := figure(r.Value)
	if unit != "1" {
		value += " " + unit
	}
	switch {
	case r.Low == r.High:
		return value
	case r.Closed():
		return fmt.Sprintf("%s (%s to %s)", value, figure(r.Low), figure(r.High))
	case !math.IsInf(r.Low, 0):
		return fmt.Sprintf("%s (at least %s)", value, figure(r.Low))
	case !math.IsInf(r.High, 0):
		return fmt.Sprintf("%s (at most %s)", value, figure(r.High))
	}
	return value + " (no end known)"
}

func how(r plan.Reading) string {
	if r.How == "" {
		return ""
	}
	return ", " + string(r.How)
}

// figure writes a number to three decimals, without trailing noughts.
func figure(x float64) string {
	return strconv.FormatFloat(math.Round(x*1000)/1000, 'f', -1, 64)
}
