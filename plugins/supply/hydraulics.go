package supply

import (
	"fmt"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/supply/pipeflow"
)

// The temperatures losses are worked out at, °C. A hot pipe is cold before it
// is hot, and cold water is stiffer.
const (
	coldAt = 10.0
	hotAt  = 60.0
)

// Units of the plan to those of pipeflow and back.
const (
	mm    = 1e-3 // in m
	litre = 1e-3 // in m³
	kilo  = 1e3  // Pa in kPa
)

func (s *site) boreOf(l *plan.Link) (plan.Reading, *sdk.Gap) {
	switch {
	case l.Size != nil && l.Size.Bore == nil && l.Size.Outer != nil:
		return plan.Reading{}, reply.NotRead(place(l, "pipe.bore"), "the inner diameter of the pipe "+l.ID+" is not told, and its outside alone does not give it")
	case l.Size == nil || l.Size.Bore == nil:
		return plan.Reading{}, reply.NotRead(place(l, "pipe.size"), "the size of the pipe "+l.ID+" is not told")
	case l.Size.Bore.Value <= 0:
		return plan.Reading{}, reply.Outside("the bore of the pipe " + l.ID + " is nothing")
	}
	return interval.AtLeast(*l.Size.Bore, 0), nil
}

func (s *site) bore(l *plan.Link) reply.Answer {
	d, gap := s.boreOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	return reply.Number(d, func() sdk.Working {
		source := l.Size.Source
		if source == "" {
			source = place(l, "pipe")
		}
		return sdk.Working{Formula: "inner diameter", Numbers: reply.Reading(d, "mm") + reply.How(d), Source: source}
	})
}

// velocity is the design flow over the bore's section.
func (s *site) velocity(l *plan.Link) reply.Answer {
	d, gap := s.boreOf(l)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	flow := s.supplyFlow(l)
	if flow.Gap != nil {
		return flow
	}
	q := flow.Reading()
	at := func(q, d float64) float64 { return pipeflow.Velocity(q*litre, d*mm) }
	v := plan.Reading{Low: at(q.Low, d.High), Value: at(q.Value, d.Value), High: at(q.High, d.Low), How: plan.Computed}
	return reply.Number(v, func() sdk.Working {
		return sdk.Working{Formula: "design flow / (π/4 × bore²)", Numbers: fmt.Sprintf("%s / (π/4 × (%s)²) = %s",
			reply.Value(q.Value, "l/s"), reply.Value(d.Value, "mm"), reply.Reading(v, "m/s")), Source: "continuity; design flow: " + s.Curve.Source}
	})
}

// run is a pipe with its flow as bands: what is needed for its loss.
type run struct {
	flow, bore, length, wall, k plan.Reading // l/s, mm, mm, mm, -
	shown                       float64      // °C the value is worked out at
	hot                         bool         // may be hot: from 10 °C to 60 °C
}

func (s *site) lengthOf(l *plan.Link) (plan.Reading, *sdk.Gap) {
	what := "the length of the pipe " + l.ID
	if s.pieces(l) > 1 {
		what = fmt.Sprintf("the length from %s to %s, which is to be told as a line of its own,", l.A, l.B)
	}
	got, gap := reply.Read(l.Length, place(l, "length"), what)
	if gap != nil {
		return got, gap
	}
	return interval.AtLeast(got, 0), nil
}

// pieces that a line is cut into: it tells one length for all of them.
func (s *site) pieces(l *plan.Link) int {
	n := 0
	for _, o := range s.links {
		if o.Line == l.Line && o.ID != l.Line && !strings.Contains(o.ID, "~") {
			n++
		}
	}
	return n
}

// wallOf is the roughness of the wall, mm; of a pipe in use up to that of an
// old one.
func (s *site) wallOf(l *plan.Link) (plan.Reading, *sdk.Gap) {
	w, known := s.pipes.Walls[l.MadeOf]
	if !known {
		return plan.Reading{}, reply.NotTold(place(l, "pipe.made_of"), "nobody has told what the pipe "+l.ID+" is made of")
	}
	r := plan.Reading{Low: w.K.Low, Value: w.K.Value, High: w.K.High, How: plan.Computed}
	if l.State == plan.Existing {
		r.High = max(r.High, w.Old)
	}
	return r, nil
}

// bendsOf is the sum of the K of a pipe's bends.
func (s *site) bendsOf(l *plan.Link) (plan.Reading, *sdk.Gap) {
	if l.Bends == nil {
		return plan.Reading{}, reply.NotTold(place(l, "bends"), "the bends of the pipe "+l.ID+" are not told")
	}
	k := plan.Exactly(0)
	for _, b := range l.Bends {
		if b.Angle == nil {
			return plan.Reading{}, reply.NotRead(place(l, "bends"), "the angle of a bend of the pipe "+l.ID+" is not told")
		}
		k = k.Plus(plan.Reading{Low: s.pipes.Bend(b.Angle.Low).Low, Value: s.pipes.Bend(b.Angle.Value).Value, High: s.pipes.Bend(b.Angle.High).High})
	}
	return k, nil
}

// corner is one choice out of the bands of a run.
type corner struct{ flow, bore, length, wall, k float64 }

// loss of the corner in kPa.
func (c corner) loss(w pipeflow.Water) float64 {
	return pipeflow.Pipe{Bore: c.bore * mm, Length: c.length * mm, Roughness: c.wall * mm, K: c.k}.Loss(c.flow*litre, w) / kilo
}

// turned is water at which the corner's flow has this Reynolds number.
func (c corner) turned(reynolds float64, like pipeflow.Water) pipeflow.Water {
	kinematic := pipeflow.Velocity(c.flow*litre, c.bore*mm) * c.bore * mm / reynolds
	return pipeflow.Water{Density: like.Density, Viscosity: kinematic * like.Density}
}

// loss of the run in kPa. It never falls with flow, length, roughness or K and
// never rises with the bore. With the water's stiffness it falls only on the
// way from laminar to turbulent, so both ends of that way are tried as well.
func (r run) loss() (plan.Reading, error) {
	cold, err := pipeflow.WaterAt(coldAt)
	if err != nil {
		return plan.Reading{}, err
	}
	hot, err := pipeflow.WaterAt(hotAt)
	if err != nil {
		return plan.Reading{}, err
	}
	least := corner{r.flow.Low, r.bore.High, r.length.Low, r.wall.Low, r.k.Low}
	most := corner{r.flow.High, r.bore.Low, r.length.High, r.wall.High, r.k.High}
	shown := cold
	if r.shown == hotAt {
		shown = hot
	}
	out := plan.Reading{Low: least.loss(cold), Value: corner{r.flow.Value, r.bore.Value, r.length.Value, r.wall.Value, r.k.Value}.loss(shown), High: most.loss(cold), How: plan.Computed}
	if !r.hot {
		return out, nil
	}
	out.Low, out.High = min(out.Low, least.loss(hot)), max(out.High, most.loss(hot))
	within := func(w pipeflow.Water) bool {
		return w.Kinematic() > hot.Kinematic() && w.Kinematic() < cold.Kinematic()
	}
	if w := least.turned(pipeflow.LaminarUpTo, hot); within(w) {
		out.Low = min(out.Low, least.loss(w))
	}
	if w := most.turned(pipeflow.TurbulentFrom, cold); within(w) {
		out.High = max(out.High, most.loss(w))
	}
	return out, nil
}

func (s *site) pressureLoss(l *plan.Link) reply.Answer {
	r, gap := s.runOver(single(l))
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	p, err := r.loss()
	if err != nil {
		return reply.Answer{Gap: reply.Outside("the loss of the pipe " + l.ID + " cannot be worked out: " + err.Error())}
	}
	return reply.Number(p, func() sdk.Working { return r.working(p, s.pipes.Walls[l.MadeOf]) })
}

// working of a loss: speed, Reynolds number, friction factor, then the sum.
func (r run) working(p plan.Reading, wall pipeflow.Wall) sdk.Working {
	w, _ := pipeflow.WaterAt(r.shown) // a constant that loss has been through
	v := pipeflow.Velocity(r.flow.Value*litre, r.bore.Value*mm)
	re := pipeflow.Reynolds(v, r.bore.Value*mm, w.Kinematic())
	f := pipeflow.Friction(re, r.wall.Value/r.bore.Value)
	water := fmt.Sprintf("water at %g °C: %.1f kg/m³, %.3f mm²/s", r.shown, w.Density, w.Kinematic()*1e6)
	if r.hot {
		water += fmt.Sprintf(" (band: %g to %g °C)", coldAt, hotAt)
	}
	return sdk.Working{
		Formula: "(f × length / bore + K of the bends) × density × speed² / 2; f by Colebrook-White",
		Numbers: fmt.Sprintf("%s; %s in %s: %.4f m/s; Re %.0f; wall %g mm; f %.5f; (%.5f × %s / %s + %s) × %.1f × %.4f² / 2 = %s", water, reply.Value(r.flow.Value, "l/s"), reply.Value(r.bore.Value, "mm"),
			v, re, r.wall.Value, f, f, reply.Value(r.length.Value, "mm"), reply.Value(r.bore.Value, "mm"), reply.Value(r.k.Value, "1"), w.Density, v, reply.Reading(p, "kPa")),
		Source: "Darcy-Weisbach, Colebrook-White; wall: " + wall.K.Source + "; K: engineering reference tables; flow: EN 806-3, curve from memory",
	}
}
