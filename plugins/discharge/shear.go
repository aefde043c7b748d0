package discharge

import (
	"fmt"
	"math"

	"fallrule/plugins/discharge/partfull"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
)

// weight of water per volume, N/m³: 1000 kg/m³ times 9.81 m/s².
const weight = 9810

const shearSource = "uniform flow: tau = rho g Rh J, as engineers quote it from an ASCE manual of practice; the depth by " + lawSource

// pull is the mean shear (Pa) on the wetted wall. A pipe that does not fall has
// none; one that is endless steep has no end of it.
func pull(flow, slope, bore float64) float64 {
	switch {
	case slope <= 0:
		return 0
	case math.IsInf(slope, 1):
		return math.Inf(1)
	}
	ratio, _, _ := runs(flow, slope, bore)
	if math.IsInf(bore, 1) {
		return 0
	}
	return weight * partfull.SectionAt(max(bore, 0), ratio).Radius * slope
}

// shearFigure hangs on the hydraulic radius, as velocity does. A pipe that runs
// full has a quarter of its bore, so its least is that of the least bore, which
// is a corner.
func (w water) shearFigure() reply.Answer {
	ratio, _, full := runs(w.flow.Value, w.slope.Value, w.bore.Value)
	_, _, mayFull := runs(w.flow.High, w.slope.Low, w.bore.Low)
	band := w.extremes(pull(w.flow.Value, w.slope.Value, w.bore.Value), pull)
	return reply.Band(band, func() sdk.Working {
		radius := partfull.SectionAt(w.bore.Value, ratio).Radius
		numbers := fmt.Sprintf("flow %s, %s: depth %s of the bore, hydraulic radius %s; 9810 N/m3 x %.5f m x %.5f = %s", reply.Value(w.flow.Value*1000, "l/s"), w.pipe(),
			reply.Value(ratio, "1"), reply.Value(radius*1000, "mm"), radius, w.slope.Value, pascals(band))
		return sdk.Working{Formula: "shear = weight of water x hydraulic radius x fall, at the depth of the design flow", Numbers: numbers + beyond(full, mayFull), Source: shearSource}
	})
}

// pascals writes a shear to the hundredth: what cleans a drain is about one.
func pascals(b sdk.Band) string {
	if b.Low == b.High {
		return fmt.Sprintf("%.2f Pa", b.Value)
	}
	return fmt.Sprintf("%.2f Pa (%.2f Pa to %.2f Pa)", b.Value, b.Low, b.High)
}
