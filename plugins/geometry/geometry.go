// Package geometry measures what a tape, a level and the stamps on the parts
// tell of pipes: bores and size classes, lengths, drops, levels and falls,
// bends, changes of size, entries into stacks, and from where a pipe can be rodded.
//
// What nobody told is a gap, bends as well: a pipe is straight when a leg of it
// says that there is none. Three conventions, since a rule must get an answer
// where a thing is absent:
//   - a pipe that nothing flows into, or that starts at no trap, is no
//     reduction: size_step and trap_step are 0;
//   - a pipe without bends is straight, its bend_radius endless; the
//     catalogue's greatest radius is told for it, and for the entry_radius of
//     a piece that goes straight on as the next piece of its own pipe;
//   - a straight stack has its offset nowhere; entry_from_offset is the
//     catalogue's greatest distance.
package geometry

import (
	"fallrule/plugins/course"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

const (
	name    = "geometry"
	version = "1"
	source  = "geometry"
)

// Measurer answers for pipes, stacks, vents and access points.
var Measurer sdk.Measurer = reply.Table[*index]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*index]{
	reply.Measure("bore", reply.Pipes(pipeBore), reply.Stacks(stackBore), reply.Vents(ventBore), reply.Access(accessBore)),
	reply.Measure("size_class", reply.Pipes(pipeClass), reply.Stacks(stackClass), reply.Vents(ventClass)),
	reply.Measure("length", reply.Pipes(along(course.Run.Length)), reply.Vents(ventLength)),
	reply.Measure("drop", reply.Pipes(along(course.Run.Drop))),
	reply.Measure("steep_drop", reply.Pipes(along(course.Run.SteepDrop))),
	reply.Measure("fall", reply.Pipes(along(course.Run.Fall))),
	reply.Measure("runs", reply.Pipes(along(course.Run.Runs))),
	reply.Measure("bends", reply.Pipes(bent(countBends)), reply.Vents(ventBends)),
	reply.Measure("turn", reply.Pipes(bent(turn)), reply.Vents(ventTurn)),
	reply.Measure("turn_after_first", reply.Pipes(of((*index).turnAfterFirst))),
	reply.Measure("sharpest_bend", reply.Pipes(bent(sharpest))),
	reply.Measure("bend_radius", reply.Pipes(of((*index).bendRadius))),
	reply.Measure("size_step", reply.Pipes(of((*index).pipeStep)), reply.Stacks((*index).stackStep)),
	reply.Measure("trap_step", reply.Branches(of((*index).trapStep))),
	reply.Measure("clip_spacing", reply.Pipes(of(clips))),
	reply.Measure("rodding", reply.Pipes(of((*index).rodding))),
	reply.Measure("rod_length", reply.Pipes(of((*index).rodLength))),
	reply.Measure("start_level", reply.Pipes(along(course.Run.StartLevel))),
	reply.Measure("end_level", reply.Pipes(along(course.Run.EndLevel))),
	reply.Measure("start_crown", reply.Pipes(of(startCrown))),
	reply.Measure("end_crown", reply.Pipes(of(endCrown))),
	reply.Measure("fall_least", reply.Pipes(along(course.Run.FallLeast))),
	reply.Measure("fall_greatest", reply.Pipes(along(course.Run.FallGreatest))),
	reply.Measure("entry_angle", reply.Pipes(of(entryAngle))),
	reply.Measure("entry_radius", reply.Pipes(of((*index).entryRadius))),
	reply.Measure("entry_side", reply.Branches(of((*index).entrySide))),
	reply.Measure("entry_over_foot", reply.Branches(of((*index).overFoot))),
	reply.Measure("entry_from_offset", reply.Branches(of((*index).fromOffset))),
	reply.Measure("entry_offset", reply.EntryPairs((*index).entryOffset)),
	reply.Measure("discharges_to", reply.Branches(of(dischargesTo))),
	reply.Measure("material", reply.Pipes(of(pipeMaterial)), reply.Stacks(stackMaterial), reply.Vents(ventMaterial)),
}}

// of works a pipe's quantity out on its node.
func of(f func(*index, *node) reply.Answer) func(*index, *plan.Pipe) reply.Answer {
	return func(ix *index, p *plan.Pipe) reply.Answer { return f(ix, ix.byID[p.ID]) }
}

// along works it out on the pipe's course.
func along(f func(course.Run) reply.Answer) func(*index, *plan.Pipe) reply.Answer {
	return of(func(_ *index, n *node) reply.Answer { return f(course.Of(*n.pipe, n.path)) })
}

// bent works it out on the bends of its legs.
func bent(f func(path string, legs []plan.Leg) reply.Answer) func(*index, *plan.Pipe) reply.Answer {
	return of(func(_ *index, n *node) reply.Answer { return f(n.path, n.pipe.Legs) })
}

func stackPath(s plan.Stack) string { return "stacks." + s.ID }

func ventPath(v plan.Vent) string { return "vents." + v.ID }

func ventLength(_ *index, v plan.Vent) reply.Answer {
	return course.Run{Path: ventPath(v), Legs: v.Legs}.Length()
}

func ventBends(_ *index, v plan.Vent) reply.Answer { return countBends(ventPath(v), v.Legs) }

func ventTurn(_ *index, v plan.Vent) reply.Answer { return turn(ventPath(v), v.Legs) }

func clips(_ *index, n *node) reply.Answer {
	return reply.AsRead(n.pipe.Clips, "mm", n.path+".clips", "how far the supports of "+n.path+" stand apart")
}

func dischargesTo(_ *index, n *node) reply.Answer {
	return reply.Word("discharges_to", n.pipe.To.Kind, n.path+".to", "where "+n.path+" ends")
}

func pipeMaterial(_ *index, n *node) reply.Answer { return material(n.path, n.pipe.MadeOf) }

func stackMaterial(_ *index, s plan.Stack) reply.Answer { return material(stackPath(s), s.MadeOf) }

func ventMaterial(_ *index, v plan.Vent) reply.Answer { return material(ventPath(v), v.MadeOf) }

func material(path, madeOf string) reply.Answer {
	return reply.Word("material", madeOf, path+".made_of", "what "+path+" is made of")
}

func pipeBore(ix *index, p *plan.Pipe) reply.Answer { return bore(ix.byID[p.ID].path, p.Size) }

func stackBore(_ *index, s plan.Stack) reply.Answer { return bore(stackPath(s), s.Size) }

func ventBore(_ *index, v plan.Vent) reply.Answer { return bore(ventPath(v), v.Size) }

func accessBore(_ *index, a plan.Access) reply.Answer { return bore("access."+a.ID, a.Size) }

func bore(path string, s *plan.Size) reply.Answer {
	return sizes.BoreAnswer(s, path+".size", "the bore of "+path)
}

func pipeClass(ix *index, p *plan.Pipe) reply.Answer { return ix.class(ix.byID[p.ID].path, p.Size) }

func stackClass(ix *index, s plan.Stack) reply.Answer { return ix.class(stackPath(s), s.Size) }

func ventClass(ix *index, v plan.Vent) reply.Answer { return ix.class(ventPath(v), v.Size) }
