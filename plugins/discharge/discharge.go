// Package discharge measures what pipes carry: fixtures and water closets
// upstream, discharge units and design flows to EN 12056-2 and DB-HS 5, and
// how deep and how fast the design flow runs.
package discharge

import (
	"context"
	"fmt"

	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Measurer answers for the quantities of this package.
type Measurer struct{}

var _ sdk.Measurer = Measurer{}

const (
	name    = "discharge"
	version = "1"
)

// systems of EN 12056-2, clause 4.2.
var systems = []string{"i", "ii", "iii", "iv"}

var quantities = []string{
	"fixtures", "wcs",
	"units_i", "units_ii", "units_iii", "units_iv", "flow_i", "flow_ii", "flow_iii", "flow_iv",
	"ud", "depth_ratio", "velocity", "flow_half", "flow_seven",
}

// Describe names the quantities with the catalogue's units.
func (Measurer) Describe(context.Context) (sdk.Description, error) {
	c, err := schema.Quantities()
	if err != nil {
		return sdk.Description{}, err
	}
	d := sdk.Description{Name: name, Version: version}
	for _, q := range quantities {
		entry, ok := c.ByName[q]
		if !ok {
			return sdk.Description{}, fmt.Errorf("describe %s: the catalogue has no quantity %s", name, q)
		}
		d.Quantities = append(d.Quantities, sdk.Quantity{Name: q, Unit: entry.Unit, Doc: entry.Says})
	}
	return d, nil
}

// Measure answers for every branch, drain and stack, those that are removed
// left out.
func (Measurer) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	if req.Plan == nil {
		return sdk.Response{}, nil
	}
	if v := req.Plan.Version; v != plan.Version && v != 0 {
		return sdk.Response{}, fmt.Errorf("measure %s: the plan has version %d, version %d is understood", name, v, plan.Version)
	}
	t, err := tables()
	if err != nil {
		return sdk.Response{}, err
	}
	b := book{plan: req.Plan, en: t.en, es: t.es, answers: reply.New(req), fixtures: map[string]*plan.Fixture{}}
	for i := range req.Plan.Fixtures {
		if f := &req.Plan.Fixtures[i]; f.State != plan.Removed {
			b.fixtures[f.ID] = f
		}
	}
	for _, kind := range []func(){b.branches, b.drains, b.stacks} {
		if err := ctx.Err(); err != nil {
			return sdk.Response{}, fmt.Errorf("measure %s: %w", name, err)
		}
		kind()
	}
	return b.answers.Response(), nil
}

// book is one request at work.
type book struct {
	plan     *plan.Plan
	en       unitTables
	es       unidadTables
	fixtures map[string]*plan.Fixture
	answers  *reply.Answers
}

// fixture by its id, nil when it is removed or not in the plan.
func (b book) fixture(id string) *plan.Fixture { return b.fixtures[id] }

func (b book) branches() { b.pipes(b.plan.Branches, "") }

func (b book) drains() { b.pipes(b.plan.Drains, "drains.") }

func (b book) pipes(pipes []plan.Pipe, prefix string) {
	for i := range pipes {
		p := &pipes[i]
		if p.State == plan.Removed {
			continue
		}
		whole := p.Whole
		if whole == "" {
			whole = p.ID
		}
		l := load{prefix + whole, p.Serves}
		b.carried(p.ID, l)
		b.hydraulics(p, l)
	}
}

func (b book) stacks() {
	for i := range b.plan.Stacks {
		if s := &b.plan.Stacks[i]; s.State != plan.Removed {
			b.carried(s.ID, load{"stacks." + s.ID, s.Serves})
		}
	}
}

// carried answers all that hangs on the fixtures upstream alone.
func (b book) carried(subject string, l load) {
	f, m := b.count(l, "")
	b.answers.Put("fixtures", subject, f, m)
	f, m = b.count(l, "wc")
	b.answers.Put("wcs", subject, f, m)
	for _, system := range systems {
		f, m = b.sumFigure(l, system)
		b.answers.Put("units_"+system, subject, f, m)
		f, m = b.designFlow(l, system)
		b.answers.Put("flow_"+system, subject, f, m)
	}
	f, m = b.unidades(l)
	b.answers.Put("ud", subject, f, m)
}
