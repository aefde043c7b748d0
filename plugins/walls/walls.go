// Package walls measures what is cut into walls: how large a core is for the
// wall, what room a sleeve leaves round its pipe, how deep a chase goes. It
// judges nothing and knows nothing of what the wall carries.
package walls

import (
	"fmt"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "walls"
	version = "1"
)

// Measurer answers for sleeves and chases.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("core_ratio", sleeves(coreRatio)),
	reply.Measure("sleeve_room", sleeves(sleeveRoom)),
	reply.Measure("chase_ratio", chases(chaseRatio)),
}}

// pipe is what passes a sleeve: its pieces' sizes and the place of its size in the
// words of the document.
type pipe struct {
	sizes []*plan.Size
	path  string
}

type site struct {
	walls map[string]plan.Wall
	pipes map[string]pipe // by the id of the document, whole
}

func survey(p *plan.Plan) (*site, error) {
	s := &site{walls: map[string]plan.Wall{}, pipes: map[string]pipe{}}
	for _, w := range p.Walls {
		s.walls[w.ID] = w
	}
	for i := range p.Branches {
		s.add(reply.BranchPath(&p.Branches[i]), reply.BranchPath(&p.Branches[i])+".size", p.Branches[i].Size, p.Branches[i].State)
	}
	for i := range p.Drains {
		s.add(reply.BranchPath(&p.Drains[i]), reply.DrainPath(&p.Drains[i])+".size", p.Drains[i].Size, p.Drains[i].State)
	}
	for _, x := range p.Stacks {
		s.add(x.ID, "stacks."+x.ID+".size", x.Size, x.State)
	}
	for _, v := range p.Vents {
		s.add(v.ID, "vents."+v.ID+".size", v.Size, v.State)
	}
	for _, l := range p.Links {
		s.add(l.Line, "supply.lines."+l.Line+".size", l.Size, l.State)
	}
	for _, f := range p.Fans {
		s.add(f.ID, "air."+f.ID+".duct", f.Duct, f.State)
	}
	return s, nil
}

func (s *site) add(id, path string, size *plan.Size, state plan.State) {
	if id == "" || state == plan.Removed {
		return
	}
	p := s.pipes[id]
	p.sizes, p.path = append(p.sizes, size), path
	s.pipes[id] = p
}

func sleeves(f func(*site, plan.Sleeve) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, x := range p.Sleeves {
			if x.State != plan.Removed {
				put(x.ID, f(s, x))
			}
		}
	}
}

func chases(f func(*site, plan.Chase) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, x := range p.Chases {
			if x.State != plan.Removed {
				put(x.ID, f(s, x))
			}
		}
	}
}

func sleevePath(id, word string) string { return "walls.sleeves." + id + "." + word }
func chasePath(id, word string) string  { return "walls.chases." + id + "." + word }

// thicknessOf the wall that something is cut into.
func (s *site) thicknessOf(wall, path string) (plan.Reading, *sdk.Gap) {
	w, known := s.walls[wall]
	if !known {
		return plan.Reading{}, reply.NotTold(path, "the wall it is cut into is not told")
	}
	return reply.Read(w.Thickness, "walls."+w.ID+".thickness", "the thickness of wall "+w.ID)
}

// over is a cut over the wall's thickness.
func (s *site) over(cut plan.Reading, wall, wallPath, formula string) reply.Answer {
	thick, gap := s.thicknessOf(wall, wallPath)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	ratio, ok := interval.Quotient(interval.AtLeast(cut, 0), thick)
	if !ok {
		return reply.Answer{Gap: reply.NotRead("walls."+wall+".thickness", "the thickness of wall "+wall+" must be more than nothing")}
	}
	return reply.Number(ratio, func() sdk.Working {
		return sdk.Working{Formula: formula, Source: name,
			Numbers: fmt.Sprintf("%s / %s = %s", reply.Reading(cut, "mm"), reply.Reading(thick, "mm"), reply.Reading(ratio, "1"))}
	})
}

func coreRatio(s *site, x plan.Sleeve) reply.Answer {
	bore, gap := reply.Read(x.Bore, sleevePath(x.ID, "bore"), "the bore of sleeve "+x.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return s.over(bore, x.Wall, sleevePath(x.ID, "wall"), "core ratio = bore of the hole / thickness of the wall")
}

func chaseRatio(s *site, x plan.Chase) reply.Answer {
	depth, gap := reply.Read(x.Depth, chasePath(x.ID, "depth"), "the depth of chase "+x.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return s.over(depth, x.Wall, chasePath(x.ID, "wall"), "chase ratio = depth of the chase / thickness of the wall")
}

// sleeveRoom is the gap all round, the pipe in the middle. Sockets are wider:
// none belongs inside a wall.
func sleeveRoom(s *site, x plan.Sleeve) reply.Answer {
	bore, gap := reply.Read(x.Bore, sleevePath(x.ID, "bore"), "the bore of sleeve "+x.ID)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	p, known := s.pipes[x.For]
	if !known {
		return reply.Answer{Gap: reply.NotTold(sleevePath(x.ID, "for"), "the pipe through sleeve "+x.ID+" is not told")}
	}
	outer, gap := p.outer(x)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	room := bore.Minus(outer).Times(0.5)
	return reply.Number(room, func() sdk.Working {
		return sdk.Working{Formula: "room = (bore of the sleeve - outside of the pipe) / 2", Source: name,
			Numbers: fmt.Sprintf("(%s - %s) / 2 = %s", reply.Reading(bore, "mm"), reply.Reading(outer, "mm"), reply.Reading(room, "mm"))}
	})
}

// outer is the outside of the pipe; of pieces that differ any may be the one
// in the wall, and the widest is the value.
func (p pipe) outer(x plan.Sleeve) (plan.Reading, *sdk.Gap) {
	var all plan.Reading
	for i, size := range p.sizes {
		if size == nil || size.Outer == nil {
			return all, reply.NotRead(p.path, "the outside of the pipe through sleeve "+x.ID+" is not known")
		}
		if i == 0 {
			all = *size.Outer
			continue
		}
		wide := all
		if size.Outer.Value > all.Value {
			wide = *size.Outer
		}
		all = interval.Hull(wide, interval.Hull(all, *size.Outer))
	}
	return all, nil
}
