package supply

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

func (s *site) clips(l *plan.Link) reply.Answer {
	return reply.AsRead(l.Clips, "mm", place(l, "pipe.clips"), "the greatest distance between the supports of the pipe "+l.ID)
}

func (s *site) madeOf(l *plan.Link) reply.Answer {
	return reply.Word("supply_material", l.MadeOf, place(l, "pipe.made_of"), "the material of the pipe "+l.ID)
}

// stopping are the valves one can shut a draw-off with.
var stopping = []string{"stopcock", "ball", "gate", "service", "stop_and_drain"}

// ownStop is as told, or fitted where a valve is met before the first tee.
func (s *site) ownStop(d *plan.DrawOff) reply.Answer {
	if d.Stop == "fitted" || d.Stop == "without" {
		return reply.Word("own_stop", d.Stop, d.ID+".stop", "a valve of its own")
	}
	id, seen := d.ID, []*plan.Link{}
	for {
		next := slices.DeleteFunc(slices.Clone(s.at[id]), func(l *plan.Link) bool { return slices.Contains(seen, l) })
		if len(next) != 1 {
			return reply.Answer{Gap: reply.NotTold(d.ID+".stop", "whether "+d.ID+" has a valve of its own is not told")}
		}
		seen, id = append(seen, next[0]), other(next[0], id)
		if v := s.valves[id]; v != nil && slices.Contains(stopping, v.Kind) && len(s.at[id]) == 2 {
			return reply.State("a valve on the pipe that serves it alone", "supply.valves."+id, "fitted")
		}
		if s.heaters[id] != nil || s.sources[id] != nil {
			return reply.Answer{Gap: reply.NotTold(d.ID+".stop", "whether "+d.ID+" has a valve of its own is not told")}
		}
	}
}
