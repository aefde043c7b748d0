package fit

import (
	"fmt"
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// underBoards are the fixtures whose outlet lies at the boards, so that the trap
// of a waste in the floor stands in the floor.
var underBoards = []string{"shower", "floor_drain"}

// trapFits is what a trap leaves of the void it stands in.
func (s *site) trapFits(t plan.Trap) reply.Answer {
	f, gap := s.floorUnder(t)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	high, gap := reply.Read(t.Height, t.ID+".height", "the height that "+t.ID+" needs")
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	deep, gap := clear(f)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	left := deep.Minus(high)
	return reply.Number(left, func() sdk.Working {
		return sdk.Working{Formula: "room = height of the void - height of the trap", Source: source,
			Numbers: fmt.Sprintf("%s - %s = %s", reply.Value(deep.Value, "mm"), reply.Value(high.Value, "mm"), reply.Reading(left, "mm"))}
	})
}

// floorUnder is the floor that a trap stands in: that of its waste, unless its
// weir lies over the boards or it is part of a fixture that stands on them. A
// trap of which neither is known may stand above.
func (s *site) floorUnder(t plan.Trap) (*plan.Floor, *sdk.Gap) {
	outletAtBoards := slices.Contains(underBoards, t.Serves)
	if slices.Contains(t.Kinds, "built_in") && len(t.Kinds) == 1 && !outletAtBoards {
		return nil, reply.Outside("trap " + t.ID + " is part of its fixture and stands over the boards")
	}
	p := s.branches[t.Branch]
	if p == nil {
		return nil, reply.NotTold(t.Fixture+".waste.place", "nobody has told where the waste of "+t.ID+" lies")
	}
	f, gap := s.floorOf(p)
	if gap != nil {
		return nil, gap
	}
	if t.Weir == nil {
		if outletAtBoards {
			return f, nil
		}
		return nil, reply.NotRead(t.ID+".weir", "nobody has told the level of the weir of "+t.ID+", so whether it stands over or under the boards is not known")
	}
	under, gap := underside(f)
	switch {
	case gap != nil:
		return nil, gap
	case t.Weir.Low > under.High:
		return nil, reply.Outside("trap " + t.ID + " stands over the boards")
	case t.Weir.High > under.Low && !outletAtBoards:
		return nil, reply.NotRead(t.ID+".weir", "whether "+t.ID+" stands over or under the boards is too close to tell: measure its weir again")
	}
	return f, nil
}
