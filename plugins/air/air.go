// Package air measures how rooms are aired: fans with their ducts, and old
// pipes to the air that the work closes or takes over.
//
// Fans that are listed are all there are, so a room without one extracts
// nothing; where no fan is written at all nobody told, and that is a gap. A
// house without fans says so with one that is removed.
//
// What an old pipe airs counts only when somebody saw or proved it: a pipe that
// brings a stove its air looks like any other, and closing it kills.
package air

import (
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	name    = "air"
	version = "1"
)

// Measurer answers for rooms, fans and vents.
var Measurer sdk.Measurer = reply.Table[*site]{Name: name, Version: version, Survey: survey, Rows: []reply.Row[*site]{
	reply.Measure("extract_flow", rooms(extractFlow)),
	reply.Measure("air_changes", rooms(airChanges)),
	reply.Measure("overrun", fans(overrun)),
	reply.Measure("duct_length", fans(ductLength)),
	reply.Measure("duct_turn", fans(ductTurn)),
	reply.Measure("duct_end", fans(ductEnd)),
	reply.Measure("reused_vent", fans(reusedVent)),
	reply.Measure("closes_passive", allVents(closesPassive)),
}}

// site is the plan with the fans that stay or come, and its old pipes by id.
type site struct {
	fans   []plan.Fan
	told   bool // a fan is written, be it one that goes
	vents  map[string]plan.Vent
	drains map[string]bool // stacks, branches and drains
}

func survey(p *plan.Plan) (*site, error) {
	s := &site{told: len(p.Fans) > 0, vents: map[string]plan.Vent{}, drains: map[string]bool{}}
	for _, f := range p.Fans {
		if f.State != plan.Removed {
			s.fans = append(s.fans, f)
		}
	}
	for _, v := range p.Vents {
		s.vents[v.ID] = v
	}
	for _, x := range p.Stacks {
		s.drains[x.ID] = true
	}
	for _, list := range [][]plan.Pipe{p.Branches, p.Drains} {
		for _, x := range list {
			s.drains[x.ID], s.drains[x.Whole] = true, true
		}
	}
	return s, nil
}

func rooms(f func(*site, plan.Room) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, r := range p.Rooms {
			if r.State != plan.Removed {
				put(r.ID, f(s, r))
			}
		}
	}
}

func fans(f func(*site, plan.Fan) reply.Answer) reply.Each[*site] {
	return func(_ *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, x := range s.fans {
			put(x.ID, f(s, x))
		}
	}
}

// allVents answers for the removed ones as well: they are what closes.
func allVents(f func(*site, plan.Vent) reply.Answer) reply.Each[*site] {
	return func(p *plan.Plan, s *site, put func(string, reply.Answer)) {
		for _, v := range p.Vents {
			put(v.ID, f(s, v))
		}
	}
}

// path is a fan's place in the words of the document.
func path(f plan.Fan) string {
	if f.ID == "fan" {
		return "air.fan"
	}
	return "air.fans." + f.ID
}

func overrun(_ *site, f plan.Fan) reply.Answer {
	if f.Overrun == nil && f.RunsWith == "always" {
		return reply.Answer{Gap: reply.Outside("a fan that always runs has no overrun")}
	}
	return reply.AsRead(f.Overrun, "s", path(f)+".overrun", "how long fan "+f.ID+" runs on")
}

func ductLength(_ *site, f plan.Fan) reply.Answer {
	return reply.AsRead(f.Length, "mm", path(f)+".duct.length", "the length of the duct of fan "+f.ID)
}

func ductEnd(_ *site, f plan.Fan) reply.Answer {
	return reply.Word("duct_end", f.Ends, path(f)+".duct.ends", "where the duct of fan "+f.ID+" ends")
}

// ductTurn adds the angles of all bends, as they are told.
func ductTurn(_ *site, f plan.Fan) reply.Answer {
	at := path(f) + ".duct.bends"
	if f.Bends == nil {
		return reply.Answer{Gap: reply.NotTold(at, "what bends the duct of fan "+f.ID+" has is not told")}
	}
	total, parts := plan.Exactly(0), []string{}
	for _, b := range f.Bends {
		angle, gap := reply.Read(b.Angle, at, "a bend of the duct of fan "+f.ID)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		total = total.Plus(angle)
		parts = append(parts, reply.Value(angle.Value, "°"))
	}
	return reply.Number(total, func() sdk.Working {
		return sdk.Working{Formula: "sum of the angles of all bends", Numbers: reply.Sum(parts, reply.Reading(total, "°")), Source: at}
	})
}

// reusedVent tells what the old pipe aired that becomes the fan's duct.
func reusedVent(s *site, f plan.Fan) reply.Answer {
	if f.Reuses == "" {
		return reply.State("no old pipe is named", path(f)+".duct.reuses", "own_duct")
	}
	if v, known := s.vents[f.Reuses]; known {
		return aired(v, "the old pipe "+v.ID+", which the duct takes over")
	}
	if s.drains[f.Reuses] {
		return reply.State("pipe "+f.Reuses+" carries drainage, and so the air of the drains", path(f)+".duct.reuses", "drain_vent")
	}
	return reply.Answer{Gap: reply.NotTold(path(f)+".duct.reuses", "what pipe the duct of fan "+f.ID+" takes over is not told")}
}

// closesPassive tells what goes without air when a vent is removed, or given
// to a fan, which then pulls where it used to breathe.
func closesPassive(s *site, v plan.Vent) reply.Answer {
	for _, f := range s.fans {
		if f.Reuses == v.ID {
			return aired(v, "vent "+v.ID+", which becomes the duct of fan "+f.ID)
		}
	}
	if v.State != plan.Removed {
		return reply.State("it is not removed", "vents."+v.ID+".state", "stays")
	}
	return aired(v, "vent "+v.ID+", which goes")
}

// uses are the words for what an old pipe airs.
var uses = map[string]string{"drain": "drain_vent", "room": "room_vent", "combustion": "combustion_air", "flue": "flue"}

// aired answers what a pipe airs, where somebody saw or proved it. A valve
// airs drainage by its nature.
func aired(v plan.Vent, which string) reply.Answer {
	at := "vents." + v.ID
	word, told := uses[v.Airs]
	switch {
	case v.Kind == "valve":
		return reply.State("an air admittance valve airs drainage", at+".kind", "drain_vent")
	case !told:
		return reply.Answer{Gap: reply.NotTold(at+".airs", "what "+which+", airs is not told")}
	case v.Known != "seen" && v.Known != "proved":
		return reply.Answer{Gap: reply.NotTold(at+".known", "what "+which+", airs was neither seen nor proved")}
	}
	return reply.State("as "+v.Known, at+".airs", word)
}
