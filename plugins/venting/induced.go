package venting

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// The figures that induced siphonage is told by.
const (
	sharedBore = 44.0 // least bore of DN 50: "the common pipe of a bath and a basin to the stack must be 50 mm", a textbook (read)
	soilBore   = 96.0 // least bore of DN 100: a waste may join a branch of 100 mm in its upper part, AD H (read)
	sharedMost = 4    // basins on one unvented branch of 50 mm, AD H, Table 2 (read)
	alikeMost  = 3    // basins on one unvented branch of 30 to 40 mm, AD H, Table 2 (memory)

	footLow       = 450.0 // mm over the foot in a house of up to three storeys, AD H, 1.11 (read)
	footHigh      = 750.0 // mm in a higher one, EN 12056-2, national annex of the United Kingdom (read)
	footLowMost   = 3.0   // storeys
	sealKept      = 25.0  // mm that must stay of a seal, DIN 1986-100 (read)
	stackSuction  = 375.0 // Pa that a stack may pull at most: AD H and EN 12056-2 (memory)
	gravity       = 9.81  // m/s²
	waterDensity  = 1000. // kg/m³
	equalLegs     = 1.0   // inlet leg of a trap over its outlet leg, by area
	millimetres   = 1000.0
	inducedSource = "AD H; DIN 1986-100; a textbook on shared wastes; the rest common practice, no source"
)

// waterGauge is the height in mm of the water column that a pressure in Pa
// holds: p / (ρ g).
func waterGauge(pressure float64) float64 { return pressure / (waterDensity * gravity) * millimetres }

// sealLost is what a trap of two legs loses, in mm, to a slow pull in Pa: the
// outlet leg stays brim-full while the inlet leg sinks, and when the pull ends
// the water that is left levels out. Ratio is inlet area over outlet area.
// Volume balance of our own.
func sealLost(pressure, ratio float64) float64 { return waterGauge(pressure) * ratio / (1 + ratio) }

// cause raises the risk to a word, surely or perhaps; the gap is the reading
// that would tell.
type cause struct {
	to  int
	why string
	doubt
	gap *sdk.Gap
}

// induced is the risk that other fixtures' discharge empties a trap or blows it
// out. On a piece that others share and no vent airs, a water closet makes it
// high in a pipe under DN 100 and raises it in a wider one; other fixtures make
// it high under DN 50, or raise it when they are all alike and few. So does a
// stack that carries others and has no vent. It is raised where the trap's pipe
// enters near the stack's foot, where the water backs up, and where the pull
// that a stack may give leaves less than 25 mm of the seal.
func induced(s *site, t plan.Trap) reply.Answer {
	if len(t.Kinds) == 1 && t.Kinds[0] == "none" {
		return reply.Answer{Gap: reply.Outside("fixture " + t.Fixture + " has no trap that could be emptied")}
	}
	way := s.fromTrap(t)
	if way.gap != nil {
		return reply.Answer{Gap: way.gap}
	}
	air := s.airOn(way)
	if slices.Contains(t.Kinds, "anti_vacuum") {
		air.surely, air.perhaps = air.surely || len(t.Kinds) == 1, true
	}
	causes := s.causes(t, way, air)
	from, to := low, low
	var why []string
	var gap *sdk.Gap
	for _, c := range causes {
		if c.surely {
			from = max(from, c.to)
		}
		if c.surely || c.perhaps {
			to = max(to, c.to)
			why = append(why, c.word())
		}
	}
	for _, c := range causes {
		if c.perhaps && c.to > from {
			gap = first(gap, c.gap)
		}
	}
	if from == low && to == high && gap == nil {
		gap = air.gap
	}
	return between(from, to, gap, func() sdk.Working {
		numbers := "no cause found"
		if len(why) > 0 {
			numbers = strings.Join(why, "; ")
		}
		return sdk.Working{Formula: "the worst of: what shares its unvented pipe, the stack's head, the height over its foot, the depth of its seal", Numbers: numbers, Source: inducedSource}
	})
}

func (c cause) word() string {
	if c.surely {
		return c.why + ": " + risks[c.to]
	}
	return c.why + ": perhaps " + risks[c.to]
}

// causes of suction do not reach a trap behind a vent, and only perhaps one
// that a vent may serve. A vent pipe relieves a foot as well, a valve does not.
func (s *site) causes(t plan.Trap, way route, air air) []cause {
	var out []cause
	if !air.surely {
		for _, p := range way.pipes {
			out = append(out, s.sharing(t, p)...)
		}
		if x, known := s.stacks[way.end.ID]; known && way.end.Kind == "stack" {
			out = append(out, s.headless(t, x), shallow(t))
		}
		for i := range out {
			out[i].surely, out[i].perhaps = out[i].surely && !air.perhaps, out[i].surely || out[i].perhaps
		}
	}
	if c, is := s.nearFoot(way); is && !(air.surely && len(air.words) == 1 && air.words[0] == "branch_vent") {
		out = append(out, c)
	}
	return out
}

// sharing is what others on one piece do to a trap.
func (s *site) sharing(t plan.Trap, p *plan.Pipe) []cause {
	others := s.others(p, t)
	if len(others) == 0 {
		return nil
	}
	path := s.pathOf(p)
	bore, gap := sizes.Bore(p.Size, path+".size", "the bore of pipe "+path)
	if gap != nil {
		bore = open()
	}
	wc, alike := doubt{}, doubt{surely: true, perhaps: true}
	for _, f := range others {
		wc = wc.or(doubt{surely: f.Kind == "wc", perhaps: !told(f.Kind)})
		alike.surely = alike.surely && told(f.Kind) && f.Kind == s.fixtures[t.Fixture].Kind
	}
	narrow := func(limit float64) doubt { return doubt{bore.High < limit, bore.Low < limit} }
	both := func(a, b doubt) doubt {
		return doubt{a.surely && b.surely, (a.surely || a.perhaps) && (b.surely || b.perhaps)}
	}
	few := alike.surely && len(others) < alikeMost
	crowd := raised
	if !few {
		crowd = high
	}
	many := doubt{surely: len(others) >= sharedMost}
	return []cause{
		{to: high, why: "a water closet shares the narrow pipe " + path, doubt: both(wc, narrow(soilBore)), gap: gap},
		{to: raised, why: "a water closet shares pipe " + path, doubt: wc},
		{to: crowd, why: fmt.Sprintf("%d others share the narrow pipe %s", len(others), path), doubt: narrow(sharedBore), gap: gap},
		{to: raised, why: fmt.Sprintf("%d others share pipe %s", len(others), path), doubt: both(many, narrow(wide)), gap: gap},
	}
}

// headless is a stack that carries others and lets in no air at its head.
func (s *site) headless(t plan.Trap, x plan.Stack) cause {
	c := cause{to: high, why: "stack " + x.ID + " has no vent"}
	if len(s.others(&plan.Pipe{Serves: x.Serves}, t)) == 0 {
		return c
	}
	head := stackVented(s, x)
	if head.Gap != nil {
		c.perhaps, c.gap = true, head.Gap
		return c
	}
	for _, w := range head.Words {
		c.perhaps = c.perhaps || w == "none"
	}
	c.surely = c.perhaps && len(head.Words) == 1
	return c
}

// shallow is a seal of which a stack's pull may leave too little.
func shallow(t plan.Trap) cause {
	least := sealKept + sealLost(stackSuction, equalLegs)
	c := cause{to: raised, why: fmt.Sprintf("a seal under %s keeps less than %s", reply.Value(least, "mm"), reply.Value(sealKept, "mm"))}
	seal, gap := reply.Read(t.Seal, t.ID+".seal", "the seal of trap "+t.ID)
	if gap != nil {
		c.perhaps, c.gap = true, gap
		return c
	}
	c.doubt = doubt{seal.High < least, seal.Low < least}
	return c
}

// nearFoot is a pipe that enters a stack lower over its foot than the code of
// the house's height wants.
func (s *site) nearFoot(way route) (cause, bool) {
	x, known := s.stacks[way.end.ID]
	if way.end.Kind != "stack" || !known {
		return cause{}, false
	}
	c := cause{to: raised, why: "it enters near the foot of stack " + x.ID}
	path := s.pathOf(way.pipes[len(way.pipes)-1])
	entry, gap := reply.Read(way.end.Level, path+".to.level", "the level at which pipe "+path+" enters stack "+x.ID)
	if gap == nil {
		var foot plan.Reading
		if foot, gap = reply.Read(x.Foot, "stacks."+x.ID+".foot.level", "the level of the foot of stack "+x.ID); gap == nil {
			height := entry.Minus(foot)
			limit := footOf(s.plan.House.Storeys)
			c.doubt = doubt{height.High < limit.Low, height.Low < limit.High}
			return c, true
		}
	}
	c.perhaps, c.gap = true, gap
	return c, true
}

// footOf a house of so many storeys; of one nobody counted, either.
func footOf(storeys *plan.Reading) plan.Reading {
	limit := plan.Reading{Low: footLow, Value: footLow, High: footHigh}
	switch {
	case storeys != nil && storeys.High <= footLowMost:
		limit.High = footLow
	case storeys != nil && storeys.Low > footLowMost:
		limit.Low = footHigh
	}
	return limit
}
