package geometry

import (
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/geometry/course"
	"fallrule/plugins/geometry/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// joined are the ends where a junction fitting is.
var joined = []string{"stack", "branch", "drain", "sewer"}

func (b book) entryOf(n *node, put func(string, reply.Figure, *reply.Missing)) {
	f, m := entryAngle(n)
	put("entry_angle", f, m)
	f, m = b.entryRadius(n)
	put("entry_radius", f, m)
	f, m = b.entrySide(n)
	put("entry_side", f, m)
	f, m = b.overFoot(n)
	put("entry_over_foot", f, m)
	f, m = b.fromOffset(n)
	put("entry_from_offset", f, m)
}

// notJoined is the gap of a pipe that ends in no junction, or nobody knows where.
func notJoined(n *node) *reply.Missing {
	switch kind := n.pipe.To.Kind; {
	case kind == "" || kind == "unknown":
		return reply.NotTold(n.path+".to", "Nobody has told where "+n.path+" ends.")
	case !slices.Contains(joined, kind):
		return reply.Outside(n.path+".to", n.path+" does not end in a junction.")
	}
	return nil
}

func entryAngle(n *node) (reply.Figure, *reply.Missing) {
	if m := notJoined(n); m != nil {
		return reply.Figure{}, m
	}
	a := n.pipe.To.Angle
	if a == nil {
		return reply.Figure{}, reply.NotRead(n.path+".to.fitting", "Nobody has told the fitting by which "+n.path+" joins.")
	}
	return reply.Number(*sdk.BandOf(*a), "angle of the junction fitting", n.pipe.To.Made+" "+reply.Reading(*a, "°"), "layout"), nil
}

func (b book) entryRadius(n *node) (reply.Figure, *reply.Missing) {
	if m := notJoined(n); m != nil {
		return reply.Figure{}, m
	}
	const formula = "radius of the sweep at the junction; square is 0"
	switch to := n.pipe.To; {
	case b.index.straightOn(n):
		return b.farthest("entry_radius", formula, "it goes straight on as the next piece of its own pipe"), nil
	case to.Radius != nil:
		return reply.Number(*sdk.BandOf(*to.Radius), formula, reply.Reading(*to.Radius, "mm"), "layout"), nil
	case to.Swept == "square":
		return reply.Number(sdk.Band{}, formula, "square: 0 mm", "layout"), nil
	}
	return reply.Figure{}, reply.NotRead(n.path+".to.fitting.radius", "Nobody has told whether the fitting at the end of "+n.path+" is swept, and by what radius.")
}

func (b book) entrySide(n *node) (reply.Figure, *reply.Missing) {
	if m := notJoined(n); m != nil {
		return reply.Figure{}, m
	}
	if b.index.straightOn(n) {
		return reply.Figure{}, reply.Outside(n.path+".to", n.pipe.ID+" goes straight on as the next piece of its own pipe and enters it from no side.")
	}
	return b.word("entry_side", n.pipe.To.Side, n.path+".to.side", "Nobody has told from which side "+n.path+" enters.")
}

// intoStack is the stack that a pipe enters and the level at which it does.
func (b book) intoStack(n *node) (*plan.Stack, *plan.Reading, *reply.Missing) {
	to := n.pipe.To
	if to.Kind == "" || to.Kind == "unknown" {
		return nil, nil, reply.NotTold(n.path+".to", "Nobody has told where "+n.path+" ends.")
	}
	s := b.index.stacks[to.ID]
	if to.Kind != "stack" || s == nil {
		return nil, nil, reply.Outside(n.path+".to", n.path+" does not enter a stack.")
	}
	if to.Level == nil {
		return s, nil, noEntryLevel(n)
	}
	return s, to.Level, nil
}

func noEntryLevel(n *node) *reply.Missing {
	return reply.NotRead(n.path+".to.level", "Nobody has told at what level "+n.path+" enters the stack.")
}

func (b book) overFoot(n *node) (reply.Figure, *reply.Missing) {
	s, level, m := b.intoStack(n)
	if m != nil {
		return reply.Figure{}, m
	}
	if s.Foot == nil {
		return reply.Figure{}, reply.NotRead("stacks."+s.ID+".foot.level", "Nobody has told the level of the foot of stack "+s.ID+".")
	}
	over := level.Minus(*s.Foot)
	numbers := fmt.Sprintf("%s - %s = %s", reply.Value(level.Value, "mm"), reply.Value(s.Foot.Value, "mm"), reply.Reading(over, "mm"))
	return reply.Number(*sdk.BandOf(over), "height = level of the entry - level of the stack's foot", numbers, source), nil
}

func (b book) fromOffset(n *node) (reply.Figure, *reply.Missing) {
	s, level, m := b.intoStack(n)
	if s == nil {
		return reply.Figure{}, m
	}
	const formula = "height between the entry and the offset of the stack"
	needs := "stacks." + s.ID + ".offset"
	switch {
	case s.HasOffset == "straight":
		return b.farthest("entry_from_offset", formula, "the stack is straight and has no offset"), nil
	case s.HasOffset != "offset":
		return reply.Figure{}, reply.NotTold(needs, "Nobody has told whether stack "+s.ID+" is offset.")
	case s.Offset == nil:
		return reply.Figure{}, reply.NotRead(needs, "Nobody has told at what level stack "+s.ID+" is offset.")
	case m != nil:
		return reply.Figure{}, m
	}
	apart := course.Distance(level.Minus(*s.Offset))
	numbers := fmt.Sprintf("%s and %s: %s", reply.Value(level.Value, "mm"), reply.Value(s.Offset.Value, "mm"), reply.Reading(apart, "mm"))
	return reply.Number(*sdk.BandOf(apart), formula, numbers, source), nil
}

// farthest is the catalogue's greatest figure, which stands for a thing that is
// not there to be too near or too tight.
func (b book) farthest(quantity, formula, why string) reply.Figure {
	top := b.catalogue.ByName[quantity].High
	return reply.Number(sdk.Band{Low: top, Value: top, High: top}, formula, why+": the greatest figure of the catalogue stands for that", source)
}

func (b book) pairs() {
	for _, p := range b.index.plan.EntryPairs {
		if p.State == plan.Removed {
			continue
		}
		f, m := b.entryOffset(p)
		b.put("entry_offset", "entry_pairs", p.ID, f, m)
	}
}

// entryOffset is signed where one branch is the larger: the one that carries a
// water closet when the other does not, else the one of greater size class.
func (b book) entryOffset(p plan.EntryPair) (reply.Figure, *reply.Missing) {
	x, y := b.index.byID[p.A], b.index.byID[p.B]
	if x == nil || y == nil {
		return reply.Figure{}, reply.Outside(p.ID, "A branch of the pair "+p.ID+" is not in the layout.")
	}
	for _, n := range []*node{x, y} {
		if n.pipe.To.Level == nil {
			return reply.Figure{}, noEntryLevel(n)
		}
	}
	order, m := b.larger(x, y)
	if m != nil {
		return reply.Figure{}, m
	}
	over := x.pipe.To.Level.Minus(*y.pipe.To.Level)
	formula := "height of " + x.path + " over " + y.path
	switch order {
	case first:
		over, formula = over.Times(-1), "height of "+y.path+" over "+x.path
	case equal:
		over, formula = course.Distance(over), "distance of two branches of one size"
	case undecided:
		most := course.Distance(over).High
		over = plan.Reading{Low: -most, Value: math.Abs(over.Value), High: most}
		formula = "distance of two branches, of which either may be the larger"
	}
	return reply.Number(*sdk.BandOf(over), formula, reply.Reading(over, "mm"), source), nil
}

// order of two branches by size.
type order int

const (
	second order = iota // the second is the larger
	first
	equal
	undecided // their bands overlap
)

func (b book) larger(x, y *node) (order, *reply.Missing) {
	if a, c := b.index.carriesWC(x), b.index.carriesWC(y); a != c {
		if a {
			return first, nil
		}
		return second, nil
	}
	p, m := class(x.path, x.pipe.Size)
	if m != nil {
		return undecided, m
	}
	q, m := class(y.path, y.pipe.Size)
	if m != nil {
		return undecided, m
	}
	switch {
	case p.Band.Low > q.Band.High:
		return first, nil
	case q.Band.Low > p.Band.High:
		return second, nil
	case *p.Band == *q.Band && p.Band.Low == p.Band.High:
		return equal, nil
	}
	return undecided, nil
}
