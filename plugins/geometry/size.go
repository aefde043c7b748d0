package geometry

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"sync"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/geometry/course"
	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

//go:embed sizes.yaml
var sizesFile []byte

const sizesSource = "EN 12056-2:2000, table 1"

type nominal struct {
	Size float64 `yaml:"size"`
	Bore float64 `yaml:"bore"`
}

// sizes of the table, least first. It fails only when the embedded file is
// broken, which a test of this package shows.
var sizes = sync.OnceValues(func() ([]nominal, error) {
	var file struct {
		Sizes []nominal `yaml:"sizes"`
	}
	if err := yaml.Unmarshal(sizesFile, &file); err != nil {
		return nil, fmt.Errorf("read the table of nominal sizes: %w", err)
	}
	return file.Sizes, nil
})

// classOf is the greatest nominal size whose least bore this bore has, 0 when
// it is narrower than all.
func classOf(bore float64, table []nominal) float64 {
	class := 0.0
	for _, n := range table {
		if bore >= n.Bore {
			class = n.Size
		}
	}
	return class
}

// classBand follows the steps of the table over the band of the bore.
func classBand(bore plan.Reading) (sdk.Band, error) {
	table, err := sizes()
	if err != nil {
		return sdk.Band{}, err
	}
	return sdk.Band{Low: classOf(bore.Low, table), Value: classOf(bore.Value, table), High: classOf(bore.High, table)}, nil
}

func bore(path string, s *plan.Size) (reply.Figure, *reply.Missing) {
	if s == nil || s.Bore == nil {
		return reply.Figure{}, noSize(path)
	}
	return reply.Number(*sdk.BandOf(*s.Bore), "inner diameter", stamped(s)+reply.Reading(*s.Bore, "mm"), sizeSource(s)), nil
}

func noSize(path string) *reply.Missing {
	return reply.NotRead(path+".size", "Nobody has told the size of "+path+".")
}

func stamped(s *plan.Size) string {
	if s.Stamp == "" {
		return ""
	}
	return s.Stamp + ": "
}

func sizeSource(s *plan.Size) string {
	switch {
	case s.Source == "":
		return "layout"
	case s.Basis == "memory":
		return s.Source + " (from memory)"
	}
	return s.Source
}

func class(path string, s *plan.Size) (reply.Figure, *reply.Missing) {
	if s == nil || s.Bore == nil {
		return reply.Figure{}, noSize(path)
	}
	band, err := classBand(*s.Bore)
	if err != nil {
		return reply.Figure{}, reply.Outside(path+".size", "The table of nominal sizes cannot be read.")
	}
	numbers := fmt.Sprintf("bore %s -> size %s", reply.Reading(*s.Bore, "mm"), reply.Range(band, "mm"))
	return reply.Number(band, "greatest nominal size whose least bore it has", numbers, sizesSource), nil
}

// bore and class of a subject of any kind.
func (b book) bore(kind, id, path string, s *plan.Size) {
	f, m := bore(path, s)
	b.put("bore", kind, id, f, m)
	f, m = class(path, s)
	b.put("size_class", kind, id, f, m)
}

func (b book) sizesOf(n *node, put func(string, reply.Figure, *reply.Missing)) {
	b.bore(n.kind, n.pipe.ID, n.path, n.pipe.Size)
	f, m := b.pipeStep(n)
	put("size_step", f, m)
	f, m = b.trapStep(n)
	put("trap_step", f, m)
}

// sized is a thing with a size that flows into a pipe or stack.
type sized struct {
	path string
	size *plan.Size
}

// step is the class of a pipe less the greatest class of what flows into it.
func step(path string, own *plan.Size, before []sized, none, formula string) (reply.Figure, *reply.Missing) {
	if len(before) == 0 {
		return reply.Number(sdk.Band{}, formula, none+": no change of size", sizesSource), nil
	}
	o, m := class(path, own)
	if m != nil {
		return reply.Figure{}, m
	}
	greatest := sdk.Band{Low: math.Inf(-1), Value: math.Inf(-1), High: math.Inf(-1)}
	for _, s := range before {
		c, m := class(s.path, s.size)
		if m != nil {
			return reply.Figure{}, m
		}
		greatest = sdk.Band{Low: max(greatest.Low, c.Band.Low), Value: max(greatest.Value, c.Band.Value), High: max(greatest.High, c.Band.High)}
	}
	out := sdk.Band{Low: o.Band.Low - greatest.High, Value: o.Band.Value - greatest.Value, High: o.Band.High - greatest.Low}
	numbers := fmt.Sprintf("%s - %s = %s", reply.Range(*o.Band, "mm"), reply.Range(greatest, "mm"), reply.Range(out, "mm"))
	return reply.Number(out, formula, numbers, sizesSource), nil
}

const stepFormula = "own size class - greatest size class of what flows in"

func (b book) pipeStep(n *node) (reply.Figure, *reply.Missing) {
	var before []sized
	for _, id := range n.pipe.Upstream {
		if up := b.index.byID[id]; up != nil {
			before = append(before, sized{up.path, up.pipe.Size})
		} else if s := b.index.stacks[id]; s != nil {
			before = append(before, sized{"stacks." + s.ID, s.Size})
		}
	}
	for _, s := range b.index.stacksInto(n) {
		before = append(before, sized{"stacks." + s.ID, s.Size})
	}
	return step(n.path, n.pipe.Size, before, "nothing flows into its start", stepFormula)
}

func (b book) stackStep(s *plan.Stack) (reply.Figure, *reply.Missing) {
	var before []sized
	for _, id := range s.Entries {
		if up := b.index.byID[id]; up != nil {
			before = append(before, sized{up.path, up.pipe.Size})
		}
	}
	return step("stacks."+s.ID, s.Size, before, "nothing flows into it", stepFormula)
}

// trapStep takes the outlet of the fixture where a trap is part of it and has
// no size of its own.
func (b book) trapStep(n *node) (reply.Figure, *reply.Missing) {
	var before []sized
	for _, t := range b.index.traps[n.pipe.ID] {
		s := sized{t.ID, t.Size}
		built := slices.Contains(t.Kinds, "built_in")
		if f := b.index.fixtures[t.Fixture]; t.Size == nil && f != nil && (f.Outlet != nil || built) {
			s = sized{f.ID + ".outlet", &plan.Size{Bore: f.Outlet}}
		}
		before = append(before, s)
	}
	return step(n.path, n.pipe.Size, before, "no trap stands just before it", "own size class - greatest size class of the traps just before it")
}

func ventRun(v *plan.Vent) course.Run { return course.Run{Path: "vents." + v.ID, Legs: v.Legs} }
