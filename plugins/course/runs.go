package course

import (
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk/plan"
)

// The ways a run may lie, in the catalogue's words and order.
var ways = []string{"falls", "level", "rises"}

// Runs is whether the near-level run falls, lies level or rises: from the band
// of its fall, and where that leaves more than one way from what a spirit
// level showed on the legs. What is still possible is all told. An upright
// pipe falls.
func (r Run) Runs() reply.Answer {
	const formula = "sign of the fall; a bubble settles what the band leaves open"
	if len(r.Legs) > 0 && !slices.ContainsFunc(r.Legs, func(l plan.Leg) bool { return !l.Steep }) {
		return reply.Words([]string{"falls"}, reply.By(formula, "it stands at 45° or steeper all its way", source))
	}
	seen, told := r.byBubbles()
	fall := r.Fall()
	if fall.Gap != nil {
		if told {
			return reply.Words(seen, reply.By(formula, "spirit level on every leg", source))
		}
		return fall
	}
	states := signs(fall.Reading())
	numbers := "fall " + reply.Range(*fall.Band, "mm/m")
	if len(r.Legs) > 0 {
		settled := shared(states, seen)
		if len(settled) == 0 {
			settled = joined(states, seen) // level and band contradict one another: both stand
		}
		if len(settled) < len(states) {
			numbers += ", spirit level"
		}
		states = settled
	}
	return reply.Words(states, reply.By(formula, numbers, source))
}

// byBubbles is what the legs allow one by one, by bubble or else by their own
// readings, and whether a bubble was read on each of them.
func (r Run) byBubbles() (states []string, all bool) {
	all = true
	up, down := false, false // some leg surely rises, falls
	mayUp, mayDown := false, false
	for _, leg := range r.Legs {
		if leg.Steep {
			continue
		}
		one := ways
		if slices.Contains(ways, leg.Bubble) {
			one = []string{leg.Bubble}
		} else {
			all = false
			if p, ok := pieceOf(leg); ok {
				one = signs(mean([]piece{p}))
			}
		}
		down = down || slices.Equal(one, []string{"falls"})
		up = up || slices.Equal(one, []string{"rises"})
		mayDown = mayDown || slices.Contains(one, "falls")
		mayUp = mayUp || slices.Contains(one, "rises")
	}
	if mayDown {
		states = append(states, "falls")
	}
	if mayDown && mayUp || !up && !down {
		states = append(states, "level")
	}
	if mayUp {
		states = append(states, "rises")
	}
	return states, all && len(r.Legs) > 0
}

// signs a fall may have.
func signs(f plan.Reading) []string {
	var out []string
	if f.High > 0 {
		out = append(out, "falls")
	}
	if f.Low <= 0 && f.High >= 0 {
		out = append(out, "level")
	}
	if f.Low < 0 {
		out = append(out, "rises")
	}
	return out
}

// shared ways, in order.
func shared(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(ways), func(w string) bool { return !slices.Contains(a, w) || !slices.Contains(b, w) })
}

// joined ways, in order.
func joined(a, b []string) []string {
	return slices.DeleteFunc(slices.Clone(ways), func(w string) bool { return !slices.Contains(a, w) && !slices.Contains(b, w) })
}
