package geometry

import (
	"fmt"
	"slices"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

func (ix *index) class(path string, s *plan.Size) reply.Answer {
	class, gap := ix.classOf(path, s)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(class, func() sdk.Working {
		numbers := fmt.Sprintf("bore %s -> size %s", reply.Reading(*s.Bore, "mm"), reply.Reading(class, "mm"))
		return sdk.Working{Formula: "greatest nominal size whose least bore it has", Numbers: numbers, Source: sizes.Source}
	})
}

func (ix *index) classOf(path string, s *plan.Size) (plan.Reading, *sdk.Gap) {
	bore, gap := sizes.Bore(s, path+".size", "the bore of "+path)
	return ix.classes.Class(bore), gap
}

// nominal is the class for comparing sizes along the flow: of what is stamped
// the class of its bore as sold, without the band that wear or another maker
// gives it, since new and old pipe of one nominal size are one size.
func (ix *index) nominal(path string, s *plan.Size) (plan.Reading, *sdk.Gap) {
	if s != nil && s.Stamp != "" && s.Bore != nil {
		sold := *s
		bore := plan.Exactly(s.Bore.Value)
		sold.Bore = &bore
		s = &sold
	}
	return ix.classOf(path, s)
}

// sized is a thing with a size that flows into a pipe or stack.
type sized struct {
	path string
	size *plan.Size
}

// step is the class of a pipe less the greatest class of what flows into it.
func (ix *index) step(path string, own *plan.Size, before []sized, none, formula string) reply.Answer {
	if len(before) == 0 {
		return reply.Count(0, reply.By(formula, none+": no change of size", sizes.Source))
	}
	class, gap := ix.nominal(path, own)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var greatest plan.Reading
	for i, s := range before {
		c, gap := ix.nominal(s.path, s.size)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if i == 0 {
			greatest = c
		}
		greatest = interval.Greater(greatest, c)
	}
	out := class.Minus(greatest)
	return reply.Number(out, func() sdk.Working {
		numbers := fmt.Sprintf("%s - %s = %s", reply.Reading(class, "mm"), reply.Reading(greatest, "mm"), reply.Reading(out, "mm"))
		return sdk.Working{Formula: formula, Numbers: numbers, Source: sizes.Source}
	})
}

const stepFormula = "own size class - greatest size class of what flows in"

func (ix *index) pipeStep(n *node) reply.Answer {
	var before []sized
	for _, id := range n.pipe.Upstream {
		if up := ix.byID[id]; up != nil {
			before = append(before, sized{up.path, up.pipe.Size})
		} else if s := ix.stacks[id]; s != nil {
			before = append(before, sized{"stacks." + s.ID, s.Size})
		}
	}
	for _, s := range ix.stacksInto(n) {
		before = append(before, sized{"stacks." + s.ID, s.Size})
	}
	return ix.step(n.path, n.pipe.Size, before, "nothing flows into its start", stepFormula)
}

func (ix *index) stackStep(s plan.Stack) reply.Answer {
	var before []sized
	for _, id := range s.Entries {
		if up := ix.byID[id]; up != nil {
			before = append(before, sized{up.path, up.pipe.Size})
		}
	}
	return ix.step("stacks."+s.ID, s.Size, before, "nothing flows into it", stepFormula)
}

// trapStep takes the outlet of the fixture where a trap is part of it and has
// no size of its own.
func (ix *index) trapStep(n *node) reply.Answer {
	var before []sized
	for _, t := range ix.traps[n.pipe.ID] {
		if untrapped(t) {
			continue
		}
		s := sized{t.ID, t.Size}
		built := slices.Contains(t.Kinds, "built_in")
		if f := ix.fixtures[t.Fixture]; t.Size == nil && f != nil && (f.Outlet != nil || built) {
			s = sized{f.ID + ".outlet", &plan.Size{Bore: f.Outlet}}
		}
		before = append(before, s)
	}
	return ix.step(n.path, n.pipe.Size, before, "no trap stands just before it", "own size class - greatest size class of the traps just before it")
}
