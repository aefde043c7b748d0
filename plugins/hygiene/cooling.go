package hygiene

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// conditions are what a shut pipe is taken to cool under; units in figures.yaml.
type conditions struct {
	To        float64
	Air       span
	Surface   span
	Sleeve    span
	Conducts  span
	Water     float64
	Materials map[string]material
}

type material struct{ Heat, Wall span }

// shut is one hot pipe that nothing flows through, in m, °C, W and J.
type shut struct {
	bore, outer plan.Reading
	heat        plan.Reading // of the pipe's wall, J/(m³ K)
	from        plan.Reading
	insulated   bool
	conditions
}

// end is one value of each reading of a shut pipe. The outside stands twice:
// a thicker pipe holds more and also loses more.
type end struct {
	bore, holdsOuter, losesOuter, heat, from, air, surface, sleeve, conducts float64
}

// capacity of a metre of water and wall, J/(m K).
func (c conditions) capacity(e end) float64 {
	wall := max(0, e.holdsOuter*e.holdsOuter-e.bore*e.bore)
	return math.Pi / 4 * (c.Water*1e6*e.bore*e.bore + e.heat*wall)
}

// resistance of a metre to the air, m K/W.
func (e end) resistance() float64 {
	skin := e.losesOuter + 2*e.sleeve
	r := 1 / (e.surface * math.Pi * skin)
	if e.sleeve > 0 {
		r += math.Log(skin/e.losesOuter) / (2 * math.Pi * e.conducts)
	}
	return r
}

// seconds is T(t) = Ta + (T0 - Ta) exp(-t / (C R)) solved for t.
func (c conditions) seconds(e end) float64 {
	if e.from <= c.To {
		return 0
	}
	return c.capacity(e) * e.resistance() * math.Log((e.from-e.air)/(c.To-e.air))
}

// cools is how long it takes. Everything but the outside pulls one way: more
// water, warmer water, warmer air, a thicker or better sleeve and stiller air
// take longer.
func (s shut) cools() plan.Reading {
	low, value, high := s.ends()
	if !s.thickerIsSlower() {
		low.losesOuter, high.losesOuter = high.losesOuter, low.losesOuter
	}
	return plan.Reading{Low: s.seconds(low), Value: s.seconds(value), High: s.seconds(high), How: plan.Computed}
}

// thickerIsSlower tells whether what a thicker wall holds outweighs what its
// larger skin loses: c D² >= (c_water - c) d². Resistance falls by at most 1/D
// a unit of D, bare or sleeved, and capacity grows by 2 c D over its sum.
// Otherwise (thin lead, light plastic) both are taken apart, which is wider
// than the truth by what the outside's own tolerance does, and never narrower.
func (s shut) thickerIsSlower() bool {
	return s.heat.Low*s.outer.Low*s.outer.Low >= (s.Water*1e6-s.heat.Low)*s.bore.High*s.bore.High
}

func (s shut) ends() (low, value, high end) {
	air, surface := s.Air.reading(1), s.Surface.reading(1)
	sleeve, conducts := plan.Exactly(0), plan.Exactly(1)
	if s.insulated {
		sleeve, conducts = s.Sleeve.reading(1e-3), s.Conducts.reading(1)
	}
	low = end{s.bore.Low, s.outer.Low, s.outer.Low, s.heat.Low, s.from.Low, air.Low, surface.High, sleeve.Low, conducts.High}
	value = end{s.bore.Value, s.outer.Value, s.outer.Value, s.heat.Value, s.from.Value, air.Value, surface.Value, sleeve.Value, conducts.Value}
	high = end{s.bore.High, s.outer.High, s.outer.High, s.heat.High, s.from.High, air.High, surface.Low, sleeve.High, conducts.Low}
	return low, value, high
}

func coolingTime(s *site, l plan.Link) reply.Answer {
	switch l.Carries {
	case "hot":
	case "cold":
		return reply.Answer{Gap: reply.Outside("a cold pipe needs no time to cool")}
	default:
		return reply.Answer{Gap: reply.NotTold(linePath(l), "whether pipe "+l.ID+" is hot is not told by its line")}
	}
	pipe, from, gap := s.shutPipe(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	takes := pipe.cools()
	return reply.Number(takes, func() sdk.Working {
		w := pipe.working(takes, from)
		if cuts := s.cuts[l.ID]; len(cuts) > 0 {
			w.Formula += "; shut it that long before it is opened at cut " + strings.Join(cuts, ", ")
		}
		return w
	})
}

// shutPipe gathers what the heat balance needs.
func (s *site) shutPipe(l plan.Link) (shut, string, *sdk.Gap) {
	made, known := s.Cooling.Materials[l.MadeOf]
	if !known {
		return shut{}, "", reply.NotTold(linkPath(l, "made_of"), "what pipe "+l.ID+" is made of is not told")
	}
	bore, outer, gap := sizeOf(l, made.Wall.reading(1))
	if gap != nil {
		return shut{}, "", gap
	}
	if l.Insulated != "insulated" && l.Insulated != "bare" {
		return shut{}, "", reply.NotTold(linkPath(l, "insulated"), "whether pipe "+l.ID+" is wrapped is not told")
	}
	h, gap := s.heatAt(l.A)
	if gap != nil {
		return shut{}, "", gap
	}
	if h.mixed { // colder than the heater is set, by what nobody read
		h.set.Low = min(h.set.Low, s.Cooling.To)
	}
	return shut{bore: bore.Times(1e-3), outer: outer.Times(1e-3), heat: made.Heat.reading(1e6), from: h.set, insulated: l.Insulated == "insulated", conditions: s.Cooling}, h.from, nil
}

// sizeOf is bore and outside in mm; where one was not measured the material's
// usual wall gives it.
func sizeOf(l plan.Link, wall plan.Reading) (bore, outer plan.Reading, gap *sdk.Gap) {
	path := linkPath(l, "size")
	if l.Size == nil || l.Size.Bore == nil && l.Size.Outer == nil {
		return bore, outer, reply.NotRead(path, "the size of pipe "+l.ID+" is not measured")
	}
	switch {
	case l.Size.Bore == nil:
		outer = *l.Size.Outer
		bore = interval.AtLeast(outer.Minus(wall.Times(2)), 0)
	case l.Size.Outer == nil:
		bore = *l.Size.Bore
		outer = bore.Plus(wall.Times(2))
	default:
		bore, outer = *l.Size.Bore, *l.Size.Outer
	}
	if bore.Low < 0 || outer.Low <= 0 || bore.Value > outer.Value || outer.Value <= 0 {
		return bore, outer, reply.Outside("the readings of its bore and outside contradict one another: measure again")
	}
	return bore, outer, nil
}

func (s shut) working(takes plan.Reading, from string) sdk.Working {
	_, value, _ := s.ends()
	numbers := fmt.Sprintf("C = %.0f J/(m K), R = %.3g m K/W, T0 = %s, Ta = %s: %s",
		s.capacity(value), value.resistance(), reply.Reading(s.from, "°C"), reply.Reading(s.Air.reading(1), "°C"), reply.Reading(takes, "s"))
	taken := fmt.Sprintf("lumped heat balance; assumed: still air, %g (%g to %g) W/(m² K) to it (span from memory)", s.Surface.Value, s.Surface.Low, s.Surface.High)
	if s.insulated {
		taken += fmt.Sprintf(", sleeve of %g (%g to %g) mm with %g (%g to %g) W/(m K) (from memory)", s.Sleeve.Value, s.Sleeve.Low, s.Sleeve.High, s.Conducts.Value, s.Conducts.Low, s.Conducts.High)
	}
	return sdk.Working{
		Formula: fmt.Sprintf("t = C R ln((T0 - Ta) / (%g °C - Ta)); C: heat a metre of water and pipe holds, R: resistance of a metre to the air", s.To),
		Numbers: numbers,
		Source:  taken + "; T0: " + from,
	}
}

// linkPath is the place of a word on a supply pipe in the document: the line's
// pipe, or the manifold's for a home run, whose id is manifold~draw-off.
func linkPath(l plan.Link, word string) string { return linePath(l) + ".pipe." + word }

func linePath(l plan.Link) string {
	if manifold, _, homeRun := strings.Cut(l.ID, "~"); homeRun {
		return "supply.manifolds." + manifold
	}
	line := l.Line
	if line == "" {
		line, _, _ = strings.Cut(l.ID, "/")
	}
	return "supply.lines." + line
}
