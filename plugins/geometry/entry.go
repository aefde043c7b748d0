package geometry

import (
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// joined are the ends where a junction fitting is.
var joined = []string{"stack", "branch", "drain", "sewer"}

// notJoined is the gap of a pipe that ends in no junction, or nobody knows where.
func notJoined(n *node) *sdk.Gap {
	switch kind := n.pipe.To.Kind; {
	case kind == "" || kind == "unknown":
		return reply.NotTold(n.path+".to", "nobody has told where "+n.path+" ends")
	case !slices.Contains(joined, kind):
		return reply.Outside("pipe " + n.path + " does not end in a junction")
	}
	return nil
}

func entryAngle(_ *index, n *node) reply.Answer {
	if gap := notJoined(n); gap != nil {
		return reply.Answer{Gap: gap}
	}
	a := n.pipe.To.Angle
	if a == nil {
		return reply.Answer{Gap: reply.NotRead(n.path+".to.fitting", "nobody has told the fitting by which "+n.path+" joins")}
	}
	return reply.Number(*a, reply.By("angle of the junction fitting", n.pipe.To.Made+" "+reply.Reading(*a, "°"), n.path+".to"))
}

func (ix *index) entryRadius(n *node) reply.Answer {
	if gap := notJoined(n); gap != nil {
		return reply.Answer{Gap: gap}
	}
	const formula = "radius of the sweep at the junction; square is 0"
	switch to := n.pipe.To; {
	case ix.straightOn(n):
		return ix.farthest("entry_radius", formula, "it goes straight on as the next piece of its own pipe")
	case to.Radius != nil:
		return reply.Number(*to.Radius, reply.By(formula, reply.Reading(*to.Radius, "mm"), n.path+".to"))
	case to.Swept == "square":
		return reply.Count(0, reply.By(formula, "square: 0 mm", n.path+".to"))
	}
	return reply.Answer{Gap: reply.NotRead(n.path+".to.fitting.radius", "nobody has told whether the fitting at the end of "+n.path+" is swept, and by what radius")}
}

func (ix *index) entrySide(n *node) reply.Answer {
	if gap := notJoined(n); gap != nil {
		return reply.Answer{Gap: gap}
	}
	if ix.straightOn(n) {
		return reply.Answer{Gap: reply.Outside("piece " + n.pipe.ID + " goes straight on as the next piece of its own pipe and enters it from no side")}
	}
	return reply.Word("entry_side", n.pipe.To.Side, n.path+".to.side", "from which side "+n.path+" enters")
}

// intoStack is the stack that a pipe enters and the level at which it does.
func (ix *index) intoStack(n *node) (*plan.Stack, *plan.Reading, *sdk.Gap) {
	to := n.pipe.To
	if to.Kind == "" || to.Kind == "unknown" {
		return nil, nil, reply.NotTold(n.path+".to", "nobody has told where "+n.path+" ends")
	}
	s := ix.stacks[to.ID]
	if to.Kind != "stack" || s == nil {
		return nil, nil, reply.Outside("pipe " + n.path + " does not enter a stack")
	}
	if to.Level == nil {
		return s, nil, noEntryLevel(n)
	}
	return s, to.Level, nil
}

func noEntryLevel(n *node) *sdk.Gap {
	return reply.NotRead(n.path+".to.level", "nobody has told at what level "+n.path+" enters the stack")
}

func (ix *index) overFoot(n *node) reply.Answer {
	s, level, gap := ix.intoStack(n)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if s.Foot == nil {
		return reply.Answer{Gap: reply.NotRead("stacks."+s.ID+".foot.level", "nobody has told the level of the foot of stack "+s.ID)}
	}
	over := level.Minus(*s.Foot)
	numbers := fmt.Sprintf("%s - %s = %s", reply.Value(level.Value, "mm"), reply.Value(s.Foot.Value, "mm"), reply.Reading(over, "mm"))
	return reply.Number(over, reply.By("height = level of the entry - level of the stack's foot", numbers, source))
}

func (ix *index) fromOffset(n *node) reply.Answer {
	s, level, gap := ix.intoStack(n)
	if s == nil {
		return reply.Answer{Gap: gap}
	}
	const formula = "height between the entry and the offset of the stack"
	needs := "stacks." + s.ID + ".offset"
	switch {
	case s.HasOffset == "straight":
		return ix.farthest("entry_from_offset", formula, "the stack is straight and has no offset")
	case s.HasOffset != "offset":
		return reply.Answer{Gap: reply.NotTold(needs, "nobody has told whether stack "+s.ID+" is offset")}
	case s.Offset == nil:
		return reply.Answer{Gap: reply.NotRead(needs, "nobody has told at what level stack "+s.ID+" is offset")}
	case gap != nil:
		return reply.Answer{Gap: gap}
	}
	apart := interval.Magnitude(level.Minus(*s.Offset))
	numbers := fmt.Sprintf("%s and %s: %s", reply.Value(level.Value, "mm"), reply.Value(s.Offset.Value, "mm"), reply.Reading(apart, "mm"))
	return reply.Number(apart, reply.By(formula, numbers, source))
}

// farthest is the catalogue's greatest figure, which stands for a thing that is
// not there to be too near or too tight.
func (ix *index) farthest(quantity, formula, why string) reply.Answer {
	top := ix.catalogue.ByName[quantity].High
	return reply.Count(top, reply.By(formula, why+": the greatest figure of the catalogue stands for that", source))
}

// entryOffset is signed where one branch is the larger: the one that carries a
// water closet when the other does not, else the one of greater size class.
func (ix *index) entryOffset(p plan.EntryPair) reply.Answer {
	x, y := ix.byID[p.A], ix.byID[p.B]
	if x == nil || y == nil {
		return reply.Answer{Gap: reply.Outside("a branch of the pair " + p.ID + " is not in the layout")}
	}
	for _, n := range []*node{x, y} {
		if n.pipe.To.Level == nil {
			return reply.Answer{Gap: noEntryLevel(n)}
		}
	}
	order, gap := ix.larger(x, y)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	over := x.pipe.To.Level.Minus(*y.pipe.To.Level)
	formula := "height of " + x.path + " over " + y.path
	switch order {
	case first:
		over, formula = over.Times(-1), "height of "+y.path+" over "+x.path
	case equal:
		over, formula = interval.Magnitude(over), "distance of two branches of one size"
	case undecided:
		most := interval.Magnitude(over).High
		over = plan.Reading{Low: -most, Value: math.Abs(over.Value), High: most}
		formula = "distance of two branches, of which either may be the larger"
	}
	return reply.Number(over, reply.By(formula, reply.Reading(over, "mm"), source))
}

// order of two branches by size.
type order int

const (
	second order = iota // the second is the larger
	first
	equal
	undecided // their bands overlap
)

func (ix *index) larger(x, y *node) (order, *sdk.Gap) {
	if a, c := ix.carriesWC(x), ix.carriesWC(y); a != c {
		if a {
			return first, nil
		}
		return second, nil
	}
	p, gap := ix.classOf(x.path, x.pipe.Size)
	if gap != nil {
		return undecided, gap
	}
	q, gap := ix.classOf(y.path, y.pipe.Size)
	if gap != nil {
		return undecided, gap
	}
	switch {
	case p.Low > q.High:
		return first, nil
	case q.Low > p.High:
		return second, nil
	case p == q && p.Low == p.High:
		return equal, nil
	}
	return undecided, nil
}
