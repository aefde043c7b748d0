// Package geometry measures what a tape, a level and the stamps on the parts
// tell of pipes: bores and size classes, lengths, drops and falls, bends,
// changes of size, entries into stacks, and whether a pipe can be rodded.
//
// Three conventions, since a rule must get an answer where a thing is absent:
//   - a pipe that nothing flows into, or that starts at no trap, is no
//     reduction: size_step and trap_step are 0;
//   - a pipe without bends is straight, its bend_radius endless; the
//     catalogue's greatest radius is told for it, and for the entry_radius of
//     a piece that goes straight on as the next piece of its own pipe;
//   - a straight stack has its offset nowhere; entry_from_offset is the
//     catalogue's greatest distance.
package geometry

import (
	"context"
	"fmt"
	"slices"

	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Measurer answers for the quantities of this package.
type Measurer struct{}

var _ sdk.Measurer = Measurer{}

const (
	name    = "geometry"
	version = "1"
	source  = "geometry"
)

// quantities in the catalogue's order.
var quantities = []string{
	"bore", "size_class", "length", "drop", "steep_drop", "fall", "runs",
	"bends", "turn", "turn_after_first", "sharpest_bend", "bend_radius",
	"size_step", "trap_step", "clip_spacing", "rodding",
	"entry_angle", "entry_radius", "entry_side", "entry_over_foot", "entry_from_offset", "entry_offset",
	"discharges_to", "material",
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

// Measure answers for every subject of every quantity asked for, those that
// are removed left out.
func (Measurer) Measure(ctx context.Context, req sdk.Request) (sdk.Response, error) {
	if req.Plan == nil {
		return sdk.Response{}, nil
	}
	if v := req.Plan.Version; v != plan.Version && v != 0 {
		return sdk.Response{}, fmt.Errorf("measure %s: the plan has version %d, version %d is understood", name, v, plan.Version)
	}
	c, err := schema.Quantities()
	if err != nil {
		return sdk.Response{}, err
	}
	b := book{index: newIndex(req.Plan), answers: reply.New(req), catalogue: c}
	for _, kind := range []func(){b.pipes, b.stacks, b.vents, b.access, b.pairs} {
		if err := ctx.Err(); err != nil {
			return sdk.Response{}, fmt.Errorf("measure %s: %w", name, err)
		}
		kind()
	}
	return b.answers.Response(), nil
}

// book is one request at work.
type book struct {
	index     *index
	answers   *reply.Answers
	catalogue schema.Catalogue
}

// put asks the catalogue whether this kind has the quantity before it answers.
func (b book) put(quantity, kind, subject string, f reply.Figure, m *reply.Missing) {
	if slices.Contains(b.catalogue.ByName[quantity].Of, kind) {
		b.answers.Put(quantity, subject, f, m)
	}
}

func (b book) pipes() {
	for _, n := range b.index.pipes {
		put := func(quantity string, f reply.Figure, m *reply.Missing) { b.put(quantity, n.kind, n.pipe.ID, f, m) }
		b.courseOf(n, put)
		b.bendsOf(n, put)
		b.sizesOf(n, put)
		b.entryOf(n, put)
		f, m := clips(n)
		put("clip_spacing", f, m)
		f, m = b.rodding(n)
		put("rodding", f, m)
		f, m = b.word("discharges_to", n.pipe.To.Kind, n.path+".to", "Nobody has told where "+n.path+" ends.")
		put("discharges_to", f, m)
		f, m = b.word("material", n.pipe.MadeOf, n.path+".made_of", "Nobody has told what "+n.path+" is made of.")
		put("material", f, m)
	}
}

func (b book) courseOf(n *node, put func(string, reply.Figure, *reply.Missing)) {
	run := n.run()
	f, m := run.Length()
	put("length", f, m)
	f, m = run.Drop()
	put("drop", f, m)
	f, m = run.SteepDrop()
	put("steep_drop", f, m)
	f, m = run.Fall()
	put("fall", f, m)
	f, m = run.Runs()
	put("runs", f, m)
}

func (b book) stacks() {
	for i := range b.index.plan.Stacks {
		s := &b.index.plan.Stacks[i]
		if s.State == plan.Removed {
			continue
		}
		path := "stacks." + s.ID
		b.bore("stacks", s.ID, path, s.Size)
		f, m := b.stackStep(s)
		b.put("size_step", "stacks", s.ID, f, m)
		f, m = b.word("material", s.MadeOf, path+".made_of", "Nobody has told what stack "+s.ID+" is made of.")
		b.put("material", "stacks", s.ID, f, m)
	}
}

func (b book) vents() {
	for i := range b.index.plan.Vents {
		v := &b.index.plan.Vents[i]
		if v.State == plan.Removed {
			continue
		}
		path := "vents." + v.ID
		b.bore("vents", v.ID, path, v.Size)
		f, m := ventRun(v).Length()
		b.put("length", "vents", v.ID, f, m)
		f, m = countBends(path, v.Legs)
		b.put("bends", "vents", v.ID, f, m)
		f, m = turn(path, v.Legs)
		b.put("turn", "vents", v.ID, f, m)
		f, m = b.word("material", v.MadeOf, path+".made_of", "Nobody has told what vent "+v.ID+" is made of.")
		b.put("material", "vents", v.ID, f, m)
	}
}

func (b book) access() {
	for _, a := range b.index.plan.Access {
		if a.State == plan.Removed {
			continue
		}
		f, m := bore("access."+a.ID, a.Size)
		b.put("bore", "access", a.ID, f, m)
	}
}

// word is a closed word of a quantity that was told, or the question for it.
func (b book) word(quantity, w, needs, text string) (reply.Figure, *reply.Missing) {
	if !slices.Contains(b.catalogue.ByName[quantity].Words, w) {
		return reply.Figure{}, reply.NotTold(needs, text)
	}
	return reply.Words([]string{w}, "as told", w, "layout"), nil
}

func clips(n *node) (reply.Figure, *reply.Missing) {
	c := n.pipe.Clips
	if c == nil {
		return reply.Figure{}, reply.NotRead(n.path+".clips", "Nobody has told how far the supports of "+n.path+" stand apart.")
	}
	return reply.Number(*sdk.BandOf(*c), "as read", reply.Reading(*c, "mm"), "layout"), nil
}
