package supply

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/supply/pipeflow"
)

// differ tells whether figures of ways are so far apart that a band over them
// says nothing: the least is less than three quarters of the greatest.
func differ(list []plan.Reading) bool {
	least, greatest := math.Inf(1), math.Inf(-1)
	for _, r := range list {
		least, greatest = min(least, r.Value), max(greatest, r.Value)
	}
	return greatest > 0 && least < 0.75*greatest
}

// overWays spans the figures of a draw-off's ways about the least or the
// greatest of them, or asks to prove the way where they differ much and one of
// them is a guess.
func overWays(d *plan.DrawOff, all []way, list []plan.Reading, shown func(a, b float64) bool) (plan.Reading, *sdk.Gap) {
	out := list[0]
	for _, r := range list[1:] {
		if shown(r.Value, out.Value) {
			out = interval.Hull(r, out)
		} else {
			out = interval.Hull(out, r)
		}
	}
	if l := guessed(all); l != nil && differ(list) {
		return out, reply.NotTold(place(l, "known"), "water may come to "+d.ID+" on ways that differ much: prove whether it comes by "+l.ID)
	}
	return out, nil
}

func less(a, b float64) bool { return a < b }
func more(a, b float64) bool { return a > b }

func (s *site) sourceFlow(x *plan.Source) reply.Answer {
	at := sourcePath(x.ID) + ".bucket"
	if x.Bucket == nil {
		return reply.Answer{Gap: reply.NotRead(at, "nobody has filled a bucket to see what "+x.ID+" gives")}
	}
	return reply.Number(*x.Bucket, func() sdk.Working {
		where := ""
		if x.BucketAt != "" {
			where = " at " + x.BucketAt
		}
		return sdk.Working{Formula: "volume of the bucket over the time it took" + where, Numbers: reply.Reading(*x.Bucket, "l/s"), Source: at}
	})
}

func (s *site) sourcePressure(x *plan.Source) reply.Answer {
	if x.Static == nil && x.Kind == "tank" {
		return reply.Number(plan.Exactly(0), reply.By("a tank stands open to the air", "0 kPa at its water level", sourcePath(x.ID)))
	}
	return reply.AsRead(x.Static, "kPa", sourcePath(x.ID)+".static", "the pressure of "+x.ID+" with all taps shut")
}

// starts is the pressure a chain may start from: read while water ran, else
// with all shut. One that is only guessed starts none.
func (s *site) starts(x *plan.Source) (plan.Reading, *sdk.Gap) {
	at := sourcePath(x.ID) + ".static"
	p := x.Running
	if p == nil {
		p = x.Static
	}
	switch {
	case p == nil && x.Kind == "tank":
		return plan.Exactly(0), nil
	case p == nil:
		return plan.Reading{}, reply.NotRead(at, "the pressure of "+x.ID+" is not measured")
	case p.How == plan.Guessed:
		return plan.Reading{}, reply.NotRead(at, "the pressure of "+x.ID+" is only guessed")
	}
	return *p, nil
}

// height of a draw-off over a way's source, mm: by their levels, else by the
// rise of every pipe between.
func (s *site) height(d *plan.DrawOff, w way) (plan.Reading, *sdk.Gap) {
	if d.Level != nil && w.source.Level != nil {
		return d.Level.Minus(*w.source.Level), nil
	}
	sum, at := plan.Exactly(0), w.source.ID
	for _, t := range s.stretches(w.links) {
		rise := t.rise(at)
		switch {
		case rise == nil && d.Level == nil:
			return sum, reply.NotRead(d.ID+".level", "the level of "+d.ID+" is not measured")
		case rise == nil:
			return sum, reply.NotRead(sourcePath(w.source.ID)+".level", "the level of "+w.source.ID+" is not measured")
		}
		sum = sum.Plus(*rise)
		for _, l := range t.links {
			at = other(l, at)
		}
	}
	return sum, nil
}

// headOf is what a height takes, kPa, in water of 10 °C, which is the heavier.
func headOf(height plan.Reading) plan.Reading {
	w, _ := pipeflow.WaterAt(coldAt)
	return height.Times(pipeflow.Pressure(mm, w.Density) / kilo)
}

func (s *site) staticHead(d *plan.DrawOff) reply.Answer {
	all, gap := s.waysTo(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var list []plan.Reading
	var heights []string
	for _, w := range all {
		h, gap := s.height(d, w)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		list = append(list, headOf(h))
		if text := reply.Reading(h, "mm") + " over " + w.source.ID; !slices.Contains(heights, text) {
			heights = append(heights, text)
		}
	}
	p, gap := overWays(d, all, list, more)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(p, func() sdk.Working {
		return sdk.Working{Formula: "height × density × 9.80665 m/s²; water at 10 °C: 999.7 kg/m³", Numbers: strings.Join(heights, ", ") + ": " + reply.Reading(p, "kPa"), Source: "hydrostatics"}
	})
}

// flowAt is the flow somebody measured at a draw-off.
func (s *site) flowAt(d *plan.DrawOff) *plan.Reading {
	if d.Flow != nil {
		return d.Flow
	}
	for _, x := range s.sources {
		if x.BucketAt == d.ID && x.Bucket != nil {
			return x.Bucket
		}
	}
	return nil
}

// refuted tells whether a bucket at the tap shows less than the chain is made
// for: then something narrows the way that no formula knows.
func (s *site) refuted(d *plan.DrawOff) *sdk.Gap {
	got := s.flowAt(d)
	t, gap := s.tapOf(d)
	if got == nil || gap != nil || got.Value >= t.flow.Low {
		return nil
	}
	return reply.NotRead(d.ID+".pressure", fmt.Sprintf("at %s only %s was measured, less than the %s it is reckoned with, so a pressure worked out for it would not be true",
		d.ID, reply.Reading(*got, "l/s"), reply.Value(t.flow.Low, "l/s")))
}

// chain is the pressure along one way, kPa.
type chain struct {
	start, head, loss, left plan.Reading
	parts                   []string
}

func (s *site) pressureLeft(d *plan.DrawOff) reply.Answer {
	if d.Pressure != nil {
		return reply.AsRead(d.Pressure, "kPa", d.ID+".pressure", "the pressure at "+d.ID)
	}
	if gap := s.refuted(d); gap != nil {
		return reply.Answer{Gap: gap}
	}
	all, gap := s.waysTo(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	var list []plan.Reading
	var shown chain
	for i, w := range all {
		c, gap := s.chainOf(d, w)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if len(all) > 1 && guessed(all) == nil {
			c = c.shared(len(all))
		}
		if i == 0 || c.left.Value < shown.left.Value {
			shown = c
		}
		list = append(list, c.left)
	}
	p, gap := overWays(d, all, list, less)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(p, func() sdk.Working { return shown.working(p, all) })
}

// shared is the chain where water comes on n ways at once: the loss is at most
// that of all water on one way, and at least that of its nth part, which goes
// with the square.
func (c chain) shared(n int) chain {
	c.loss.Low /= float64(n * n)
	c.left = c.start.Minus(c.head).Minus(c.loss)
	return c
}

func (c chain) working(p plan.Reading, all []way) sdk.Working {
	formula := "pressure at the source - height - losses on the way at design flow"
	if len(all) > 1 {
		formula += fmt.Sprintf(", the worst of %d ways", len(all))
	}
	return sdk.Working{Formula: formula + onTrust(all), Numbers: fmt.Sprintf("%s - %s - (%s) = %s", reply.Value(c.start.Value, "kPa"), reply.Value(c.head.Value, "kPa"), strings.Join(c.parts, " + "), reply.Reading(p, "kPa")),
		Source: "Darcy-Weisbach, Colebrook-White, K of bends, tees and valves from engineering reference tables; flows: EN 806-3, curve from memory"}
}

func (s *site) chainOf(d *plan.DrawOff, w way) (chain, *sdk.Gap) {
	var c chain
	var gap *sdk.Gap
	if c.start, gap = s.starts(w.source); gap != nil {
		return c, gap
	}
	height, gap := s.height(d, w)
	if gap != nil {
		return c, gap
	}
	c.head, c.loss = headOf(height), plan.Exactly(0)
	nodes := w.nodes
	for _, t := range s.stretches(w.links) {
		r, gap := s.runOver(t)
		if gap != nil {
			return c, gap
		}
		k, part, gap := s.partsOn(d, nodes[:len(t.links)])
		nodes = nodes[len(t.links):]
		if gap != nil {
			return c, gap
		}
		r.k = r.k.Plus(k)
		p, err := r.loss()
		if err != nil {
			return c, reply.Outside("the loss of the pipe " + t.name() + " cannot be worked out: " + err.Error())
		}
		c.loss, c.parts = c.loss.Plus(p), append(c.parts, part+t.name()+" "+fmt.Sprintf("%.2f", p.Value))
	}
	c.left = c.start.Minus(c.head).Minus(c.loss)
	return c, nil
}

// partAt is the K of what stands at a place on a way, met at the speed of the
// pipe after it.
func (s *site) partAt(d *plan.DrawOff, id string) (plan.Reading, string, *sdk.Gap) {
	part := ""
	switch valve, heater := s.valves[id], s.heaters[id]; {
	case s.sources[id] != nil:
		return plan.Exactly(0), "", nil
	case valve != nil && (valve.Kind == "" || valve.Kind == "unknown"):
		return plan.Reading{}, "", reply.NotTold("supply.valves."+id+".kind", "nobody has told what kind of valve "+id+" is")
	case valve != nil:
		part = valve.Kind
	case heater != nil && (heater.Kind == "" || heater.Kind == "unknown"):
		return plan.Reading{}, "", reply.NotTold(heaterPath(id)+".kind", "nobody has told what kind of heater "+id+" is")
	case heater != nil && heater.System != "open" && stores(heater):
		part = "store"
	case heater != nil:
		part = heater.Kind
	case len(s.at[id]) > 2:
		part = "tee"
	default:
		return plan.Exactly(0), "", nil
	}
	k, known := s.pipes.Parts[part]
	if !known {
		return plan.Reading{}, "", reply.NotRead(d.ID+".pressure", "what pressure is left behind "+id+" no table tells")
	}
	return plan.Reading{Low: k.K.Low, Value: k.K.Value, High: k.K.High}, strings.ReplaceAll(part, "_", " ") + " and ", nil
}

// stores tells whether a heater is a vessel that water flows through freely.
func stores(h *plan.Heater) bool {
	switch h.Kind {
	case "electric_store", "store", "heat_pump", "solar":
		return true
	}
	return false
}
