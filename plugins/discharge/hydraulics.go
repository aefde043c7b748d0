package discharge

import (
	"fmt"
	"math"
	"slices"

	"fallrule/plugins/course"
	"fallrule/plugins/discharge/partfull"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

const lawSource = "Colebrook-White with hydraulic radius, roughness 1.0 mm, 1.31e-6 m2/s, g 9.81 (EN 12056-2:2000, Annex B, from memory)"

// water is the pipe and its flow as bands, in SI units.
type water struct{ flow, slope, bore sdk.Band }

func si(b sdk.Band) sdk.Band {
	return sdk.Band{Low: b.Low / 1000, Value: b.Value / 1000, High: b.High / 1000}
}

// emptyPipe is slope and bore of a pipe, or why they are not known.
type emptyPipe struct {
	water
	gap *sdk.Gap
}

// pipeOf is slope and bore of a pipe, worked out once.
func (s *site) pipeOf(p *plan.Pipe, path string) (water, *sdk.Gap) {
	e, known := s.pipes[p]
	if !known {
		e.water, e.gap = empty(p, path)
		s.pipes[p] = e
	}
	return e.water, e.gap
}

// empty is a pipe as it lies; one that does not fall has no steady flow.
func empty(p *plan.Pipe, path string) (water, *sdk.Gap) {
	fall := course.Of(*p, path).Fall()
	if fall.Gap != nil {
		return water{}, fall.Gap
	}
	bore, gap := sizes.Bore(p.Size, path+".size", "the bore of "+path)
	if gap != nil {
		return water{}, gap
	}
	w := water{slope: si(*fall.Band), bore: si(*sdk.BandOf(bore))}
	switch {
	case !w.bore.Valid() || w.bore.Value <= 0:
		return water{}, reply.NotRead(path+".size", "the readings of "+path+" contradict one another: measure again")
	case w.slope.High <= 0:
		return water{}, reply.Outside("pipe " + path + " does not fall, so no steady flow runs in it")
	case w.slope.Value <= 0:
		return water{}, reply.NotRead(path+".drop", "it is not sure that "+path+" falls at all, so how deep it runs is not known")
	}
	return w, nil
}

// systemFlow is the design flow in the system of the house.
func (s *site) systemFlow(l load) (sdk.Band, *sdk.Gap) {
	system := s.house.System
	if !slices.Contains(systems, system) {
		return sdk.Band{}, noSystem()
	}
	f := s.designFlow(l, system)
	if f.Gap != nil {
		return sdk.Band{}, f.Gap
	}
	return si(*f.Band), nil
}

func noSystem() *sdk.Gap {
	return reply.NotTold("house.system", "nobody has told by which system of EN 12056-2 the house drains")
}

// carries is the flow at a depth ratio; it grows with fall and bore.
func (w water) carries(ratio float64) reply.Answer {
	at := func(bore, slope float64) float64 {
		if math.IsInf(bore, 1) || math.IsInf(slope, 1) {
			return math.Inf(1)
		}
		return 1000 * partfull.AnnexB.Flow(max(bore, 0), max(slope, 0), ratio)
	}
	band := sdk.Band{Low: at(w.bore.Low, w.slope.Low), Value: at(w.bore.Value, w.slope.Value), High: at(w.bore.High, w.slope.High)}
	formula := fmt.Sprintf("flow at a depth of %g of the bore", ratio)
	return reply.Band(band, func() sdk.Working {
		return sdk.Working{Formula: formula, Numbers: w.pipe() + ": " + reply.Range(band, "l/s"), Source: lawSource}
	})
}

func (w water) pipe() string {
	return fmt.Sprintf("bore %s, fall %s", reply.Value(w.bore.Value*1000, "mm"), reply.Value(w.slope.Value*1000, "mm/m"))
}

// depth ratio and velocity of one flow in one pipe. A pipe that does not fall
// is taken as one that falls next to nothing: it runs full.
func runs(flow, slope, bore float64) (ratio, velocity float64, full bool) {
	switch {
	case math.IsInf(slope, 1):
		return 0, math.Inf(1), false
	case math.IsInf(bore, 1):
		return 0, 0, false
	case bore <= 0:
		return 1, math.Inf(1), true
	}
	return partfull.AnnexB.Carried(bore, slope, flow)
}

// depthFigure: least where least flows down the greatest fall in the widest
// bore, and the other way round.
func (w water) depthFigure() reply.Answer {
	low, _, _ := runs(w.flow.Low, w.slope.High, w.bore.High)
	value, _, full := runs(w.flow.Value, w.slope.Value, w.bore.Value)
	high, _, mayFull := runs(w.flow.High, w.slope.Low, w.bore.Low)
	band := sdk.Band{Low: low, Value: value, High: high}
	numbers := fmt.Sprintf("flow %s, %s: depth %s of the bore", reply.Value(w.flow.Value*1000, "l/s"), w.pipe(), reply.Range(band, "1"))
	return reply.Band(band, reply.By("depth at which the pipe carries the design flow, over the bore", numbers+beyond(full, mayFull), lawSource))
}

// beyond says when a depth of 1 stands for more than the pipe can carry.
func beyond(full, mayFull bool) string {
	switch {
	case full:
		return "; that is more than it can carry with a free surface: it runs full"
	case mayFull:
		return "; at the worst of the readings it runs full"
	}
	return ""
}

func (w water) velocityFigure() reply.Answer {
	_, value, full := runs(w.flow.Value, w.slope.Value, w.bore.Value)
	_, _, mayFull := runs(w.flow.High, w.slope.Low, w.bore.Low)
	band := w.velocities(value)
	numbers := fmt.Sprintf("flow %s, %s: velocity %s", reply.Value(w.flow.Value*1000, "l/s"), w.pipe(), reply.Range(band, "m/s"))
	return reply.Band(band, reply.By("velocity = flow / wetted area at that depth", numbers+beyond(full, mayFull), lawSource))
}

// velocities is the range over all readings. The crests hold the upper end; the
// lower one may also lie where the pipe just begins to run full.
func (w water) velocities(value float64) sdk.Band {
	band := w.extremes(value, func(flow, slope, bore float64) float64 { _, v, _ := runs(flow, slope, bore); return v })
	if full, ok := w.slowestFull(); ok {
		band.Low = min(band.Low, full)
	}
	return band
}

// extremes is the range of what hangs on the hydraulic radius, about a value. It
// always grows with the fall. Along flow and bore it has one crest each, flow at
// about 0.81 and bore at half of the depth, so the corners and the points where
// those lie inside the readings hold the ends, but for the step down where the
// pipe begins to run full.
func (w water) extremes(value float64, at func(flow, slope, bore float64) float64) sdk.Band {
	band := sdk.Band{Low: value, Value: value, High: value}
	look := func(flow, slope, bore float64) {
		v := at(flow, slope, bore)
		band.Low, band.High = min(band.Low, v), max(band.High, v)
	}
	for _, q := range []float64{w.flow.Low, w.flow.High} {
		for _, d := range []float64{w.bore.Low, w.bore.High} {
			look(q, w.slope.Low, d)
			look(q, w.slope.High, d)
		}
		look(q, w.slope.High, w.boreFor(q, crestByBore))
	}
	for _, d := range []float64{w.bore.Low, w.bore.High} {
		q := partfull.AnnexB.Flow(d, w.slope.High, crestByFlow)
		look(within(q, w.flow), w.slope.High, d)
	}
	return band
}

// Depth ratios at which the velocity is greatest: of a given bore, where the
// hydraulic radius is; of a given flow, where the area is least for its radius.
const (
	crestByFlow = 0.8128
	crestByBore = 0.5
)

// slowestFull is the least velocity of the pipe just running full at the least
// fall; false when it never does or does at every reading (then a corner holds it).
func (w water) slowestFull() (float64, bool) {
	if w.slope.Low <= 0 || math.IsInf(w.bore.High, 1) || w.bore.Low <= 0 {
		return 0, false
	}
	most := func(bore float64) float64 { _, q := partfull.AnnexB.Peak(bore, w.slope.Low); return q }
	area := func(bore float64) float64 { return partfull.SectionAt(bore, 1).Area }
	switch narrow := most(w.bore.Low); {
	case narrow > w.flow.High:
		return 0, false
	case narrow >= w.flow.Low:
		return narrow / area(w.bore.Low), true
	}
	bore := w.search(func(d float64) bool { return most(d) < w.flow.Low })
	return w.flow.Low / area(bore), true
}

// boreFor is the bore in the band in which a flow has a depth ratio, or the
// nearest end.
func (w water) boreFor(flow, ratio float64) float64 {
	return w.search(func(d float64) bool { return partfull.AnnexB.Flow(d, w.slope.High, ratio) < flow })
}

// search halves the bore's band to where tooNarrow turns false.
func (w water) search(tooNarrow func(bore float64) bool) float64 {
	low, high := w.bore.Low, w.bore.High
	if math.IsInf(high, 1) {
		return high
	}
	for range 60 {
		if mid := (low + high) / 2; tooNarrow(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}

func within(v float64, b sdk.Band) float64 { return min(max(v, b.Low), b.High) }
