package fit

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

func floorPath(f *plan.Floor, word string) string { return "floors." + f.ID + "." + word }

func joistPath(j *plan.Joist, word string) string { return "joists.at." + j.ID + "." + word }

// floorOf is the floor that a run lies in: as the plan has it, else that of the
// joists it crosses.
func (s *site) floorOf(p *plan.Pipe) (*plan.Floor, *sdk.Gap) {
	path := reply.BranchPath(p)
	switch p.Place {
	case "in_floor":
	case "", "unknown":
		if p.Floor == "" {
			return nil, reply.NotTold(path+".place", "nobody has told where "+path+" lies")
		}
	default:
		return nil, reply.Outside("pipe " + path + " does not lie in a floor")
	}
	if f := s.floors[p.Floor]; f != nil {
		return f, nil
	}
	for _, c := range s.crossings[p.ID] {
		if j := s.joists[c.B]; j != nil && s.floors[j.Floor] != nil {
			return s.floors[j.Floor], nil
		}
	}
	return nil, reply.NotTold(path+".room", "nobody has told under which room's floor "+path+" lies")
}

// underside is the level of the boards' underside, where the joists' tops are.
func underside(f *plan.Floor) (plan.Reading, *sdk.Gap) {
	top, gap := reply.Read(f.Top, floorPath(f, "top"), "the level of the boards' top of floor "+f.ID)
	if gap != nil {
		return top, gap
	}
	boards, gap := reply.Read(f.Boards, floorPath(f, "boards"), "the thickness of the boards of floor "+f.ID)
	return top.Minus(boards), gap
}

// clear is the height of the void.
func clear(f *plan.Floor) (plan.Reading, *sdk.Gap) {
	return reply.Read(f.Clear, floorPath(f, "void.clear"), "the clear height under the boards of floor "+f.ID)
}

// outside is what of a pipe has to fit, and how a working calls it.
type outside struct {
	across plan.Reading // mm
	of     string
}

// widest is the outside of the sockets where told, else of the pipe.
func widest(p *plan.Pipe) (outside, *sdk.Gap) {
	if p.Socket != nil {
		return outside{*p.Socket, "its sockets"}, nil
	}
	across, gap := pipeOutside(p)
	return outside{across, "the pipe (its sockets are not told)"}, gap
}

func pipeOutside(p *plan.Pipe) (plan.Reading, *sdk.Gap) {
	path := reply.BranchPath(p)
	if p.Size == nil {
		return reply.Read(nil, path+".size", "the outside of "+path)
	}
	return reply.Read(p.Size.Outer, path+".size", "the outside of "+path)
}

// axis is how far the pipe's axis lies over its invert.
func axis(p *plan.Pipe) (plan.Reading, *sdk.Gap) {
	path := reply.BranchPath(p)
	if p.Size == nil {
		return reply.Read(nil, path+".size", "the bore of "+path)
	}
	bore, gap := reply.Read(p.Size.Bore, path+".size", "the bore of "+path)
	return bore.Times(0.5), gap
}

// height is what a run has to lie within: the void, and no more than the
// shallowest joist that it crosses.
func (s *site) height(p *plan.Pipe, f *plan.Floor) (plan.Reading, string, *sdk.Gap) {
	least, gap := clear(f)
	if gap != nil {
		return least, "", gap
	}
	within := "void " + reply.Value(least.Value, "mm")
	for _, c := range s.crossings[p.ID] {
		j := s.joists[c.B]
		if j == nil {
			continue
		}
		depth, gap := joistDepth(j)
		if gap != nil {
			return least, "", gap
		}
		least = interval.Lesser(least, depth)
		within += fmt.Sprintf(", joist %s %s", j.ID, reply.Value(depth.Value, "mm"))
	}
	return least, within, nil
}

func joistDepth(j *plan.Joist) (plan.Reading, *sdk.Gap) {
	return reply.Read(j.Depth, joistPath(j, "depth"), "the depth of joist "+j.ID)
}
