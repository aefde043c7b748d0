package layout

import (
	"math"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// bend reads how one corner is made: "2 x 45°", or an angle with a radius.
func (r *reader) bend(n *document.Node, state plan.State) []plan.Bend {
	if n == nil {
		return nil
	}
	if n.Kind != document.Map {
		return r.bends(n)
	}
	angle := r.read(n.Get("angle"), quantity.Angle, asTold, state)
	b := plan.Bend{Angle: stamped(angle), Radius: r.gauge(n.Get("radius"), state), Made: text(n.Get("angle"))}
	count := 1
	if c := r.read(n.Get("count"), quantity.Count, asTold, state); c != nil && c.Value >= 1 && c.Value <= 10 {
		count = int(c.Value)
	}
	var out []plan.Bend
	for range count {
		out = append(out, b)
	}
	return out
}

// bends reads a list of bends in words; a bend nobody knows the angle of is
// one all the same.
func (r *reader) bends(n *document.Node) []plan.Bend {
	switch written := text(n); written {
	case "":
		return nil
	case none:
		return []plan.Bend{} // told: straight
	case unknown:
		return unknownBends()
	default:
		angles, err := quantity.ParseBends(written)
		if err != nil {
			r.parseFault(n, err)
			return nil
		}
		var out []plan.Bend
		for _, a := range angles {
			out = append(out, plan.Bend{Angle: stamped(&a), Made: written})
		}
		return out
	}
}

// unknownBends stand where bends may be and nobody knows: no count and no turn
// follows from them.
func unknownBends() []plan.Bend { return []plan.Bend{{Made: unknown}} }

// stamped is a fitting's angle: exact, read off the part.
func stamped(angle *plan.Reading) *plan.Reading {
	if angle == nil {
		return nil
	}
	a := *angle
	if a.How == "" || a.How == plan.Planned || a.How == plan.Taped {
		a.How = plan.Stamped
	}
	return &a
}

// straightWithin is the turn below which a corner of points is none, degrees:
// no fitting turns so little.
const straightWithin = 5.0

// corner is how a corner of that many degrees is made: as told for all the
// pipe's corners when the angles add up to it, or else as one bend. Angles
// near a fitting's are taken as the fitting's: a run at its fall and a vertical
// piece stand at 89° and are joined by an 87° or 90° bend.
func corner(degrees float64, made []plan.Bend) []plan.Bend {
	if degrees < straightWithin {
		return []plan.Bend{}
	}
	var turned float64
	for _, b := range made {
		if b.Angle != nil {
			turned += b.Angle.Value
		}
	}
	if len(made) > 0 && (turned == 0 || math.Abs(turned-degrees) <= 10) {
		return made
	}
	angle := plan.Exactly(math.Round(degrees))
	for _, fitting := range []float64{15, 22.5, 30, 45, 67.5, 90} {
		if math.Abs(degrees-fitting) <= 3 {
			angle = plan.Exactly(fitting)
		}
	}
	angle.How = plan.Computed
	return []plan.Bend{{Angle: &angle, Made: "corner"}}
}

// turnOf is the sum of all bends' angles; nil when one is not known.
func turnOf(legs []plan.Leg) *float64 {
	var total float64
	for _, leg := range legs {
		for _, b := range leg.Bends {
			if b.Angle == nil {
				return nil
			}
			total += b.Angle.Value
		}
	}
	return &total
}
