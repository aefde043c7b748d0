package hygiene

import (
	"math"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// The zones, mm: IEC 60364-7-701 as NF C 15-100, part 7-701, has it (as quoted by
// a trade guide). The height is counted over the bath's bottom there and over the
// floor in the international text (from memory); between the two both words stand.
const (
	zoneHeight = 2250.0
	zoneBeyond = 600.0
	zoneSource = "IEC 60364-7-701: zone 1 to 2.25 m, zone 2 within 0.60 m of it (NF C 15-100, 7-701, as quoted by a trade guide)"
)

// zones from the strictest to none.
var zones = []string{"zone_0", "zone_1", "zone_2", "outside"}

// zone tells in which zones round the baths and showers of its room a thing
// may sit. The nearest waste is not always the nearest bath, so all are looked
// at, and the strictest zone counts.
func zone(s *site, e plan.Electric) reply.Answer {
	tubs, gap := s.tubsBy(e)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	if len(tubs) == 0 {
		return reply.State("no bath or shower in the same room", "electrics."+e.ID+".room", "outside")
	}
	var words, numbers []string
	for i, tub := range tubs {
		w, n, gap := s.zonesOf(e, tub)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		if i == 0 {
			words = w
		} else {
			words = strictest(words, w)
		}
		numbers = append(numbers, n)
	}
	return reply.Words(words, reply.By("level distance to the edge of bath or tray, and height", strings.Join(numbers, "; "), zoneSource))
}

// strictest are the zones that count when a thing may sit in one of a and in
// one of b.
func strictest(a, b []string) []string {
	var out []string
	for i, w := range zones {
		inA, inB := slices.Contains(a, w), slices.Contains(b, w)
		laxer := func(list []string) bool {
			return slices.ContainsFunc(list, func(x string) bool { return slices.Index(zones, x) >= i })
		}
		if inA && laxer(b) || inB && laxer(a) {
			out = append(out, w)
		}
	}
	return out
}

// tubsBy are the baths and showers that are, or may be, in a thing's room.
func (s *site) tubsBy(e plan.Electric) ([]plan.Fixture, *sdk.Gap) {
	var out []plan.Fixture
	for _, f := range s.plan.Fixtures {
		if f.State == plan.Removed || f.Room != "" && e.Room != "" && f.Room != e.Room {
			continue
		}
		switch f.Kind {
		case "bath", "shower":
			out = append(out, f)
		case "", "unknown":
			return nil, reply.NotTold(f.ID+".kind", "what "+f.ID+" is, near "+e.ID+", is not told")
		}
	}
	return out, nil
}

// awayFrom is the level distance in mm between a thing and the edge of a bath
// or tray. The document tells the waste's place and the footprint along x and
// y, not where in the footprint the waste is: it may be anywhere.
func awayFrom(e plan.Electric, tub plan.Fixture) (plan.Reading, *sdk.Gap) {
	switch {
	case len(e.At) < 2:
		return plan.Reading{}, reply.NotRead("electrics."+e.ID+".at", "where "+e.ID+" sits is not measured")
	case len(tub.At) < 2:
		return plan.Reading{}, reply.NotRead(tub.ID+".at", "where the waste of "+tub.ID+" begins is not measured")
	case len(tub.Takes) < 2:
		return plan.Reading{}, reply.NotRead(tub.ID+".takes", "the footprint of "+tub.ID+" is not measured")
	}
	var axis [2]plan.Reading
	for i := range axis {
		off, side := interval.Magnitude(e.At[i].Minus(tub.At[i])), tub.Takes[i]
		axis[i] = plan.Reading{Low: max(0, off.Low-side.High), Value: max(0, off.Value-side.Value/2), High: off.High, How: plan.Computed}
	}
	return interval.Hypotenuse(axis[0], axis[1]), nil
}

// zonesOf one bath or shower. The height is asked for only where the level
// distance leaves a zone open.
func (s *site) zonesOf(e plan.Electric, tub plan.Fixture) (words []string, numbers string, gap *sdk.Gap) {
	away, gap := awayFrom(e, tub)
	if gap != nil {
		return nil, "", gap
	}
	numbers = reply.Reading(away, "mm") + " from " + tub.ID
	if away.Low > zoneBeyond {
		return []string{"outside"}, numbers, nil
	}
	if len(e.At) < 3 {
		return nil, "", reply.NotRead("electrics."+e.ID+".at", "how high "+e.ID+" sits is not measured")
	}
	top, gap := s.zoneTop(e, tub)
	if gap != nil {
		return nil, "", gap
	}
	z := e.At[2]
	numbers += ", at level " + reply.Reading(z, "mm") + ", zones end at " + reply.Reading(top, "mm")
	if z.Low <= top.High && away.Low <= 0 {
		if words, gap = within(z, tub); gap != nil {
			return nil, "", gap
		}
	}
	if z.Low <= top.High && away.High > 0 {
		words = append(words, "zone_2")
	}
	if z.High > top.Low || away.High > zoneBeyond {
		words = append(words, "outside")
	}
	return words, numbers, nil
}

// within tells zone 0, the inside of a bath or tray, from zone 1 over and
// under it.
func within(z plan.Reading, tub plan.Fixture) ([]string, *sdk.Gap) {
	rim, gap := reply.Read(tub.Rim, tub.ID+".rim", "the rim of "+tub.ID)
	if gap != nil {
		return nil, gap
	}
	bottom := plan.Reading{Low: math.Inf(-1), Value: rim.Value, High: rim.High}
	if tub.OutletAt != nil {
		bottom = *tub.OutletAt
	}
	var words []string
	if z.Low <= rim.High && z.High >= bottom.Low {
		words = append(words, "zone_0")
	}
	if z.High > rim.Low || z.Low < bottom.High {
		words = append(words, "zone_1")
	}
	return words, nil
}

// zoneTop is the level at which zones 1 and 2 end: over the bottom of the bath
// or tray and over the floor, where that is known, whichever the text in force
// counts from. A bottom nobody measured lies between the floor and the rim.
func (s *site) zoneTop(e plan.Electric, tub plan.Fixture) (plan.Reading, *sdk.Gap) {
	base, floor := tub.OutletAt, s.floorUnder(tub.Room, e.Room)
	if base == nil && floor != nil {
		base = tub.Rim
	}
	bottom, gap := reply.Read(base, tub.ID+".outlet.level", "the level of the bottom of "+tub.ID)
	if gap != nil {
		return bottom, gap
	}
	if floor != nil {
		bottom = interval.Hull(*floor, bottom)
	}
	return bottom.Plus(plan.Exactly(zoneHeight)), nil
}

// floorUnder is the level of the floor of the first of these rooms that has
// one, or nothing.
func (s *site) floorUnder(rooms ...string) *plan.Reading {
	for _, room := range rooms {
		for _, f := range s.plan.Floors {
			if f.State != plan.Removed && f.Top != nil && slices.Contains(f.Rooms, room) {
				return f.Top
			}
		}
	}
	return nil
}
