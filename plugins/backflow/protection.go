package backflow

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

const (
	unprotected = 1 // what no gap and no device protect from: wholesome water
	foulest     = 5 // the highest category
)

// guard is the highest category that one thing protects from. The gap is the
// reading without which it stays open.
type guard struct {
	plan.Reading
	is, source string
	gap        *sdk.Gap
}

func protects(low, high float64) plan.Reading {
	return plan.Reading{Low: low, Value: low, High: high, How: plan.Computed}
}

func nothing(is string) guard { return guard{Reading: protects(unprotected, unprotected), is: is} }

// bridged guards do not count as far as spout or hose gets below the rim.
func (g guard) bridged(r reach) guard {
	if by := r.own.or(r.pan); by.surely {
		g.Reading = protects(unprotected, unprotected)
		g.is += ", bridged"
	} else if by.perhaps {
		g.Low = unprotected
		g.Value = unprotected
	}
	return g
}

// categories that a tap gap of so many mm protects from at a bore, at least and
// at most. A limit from memory alone decides nothing: under it, and over the
// least that was read, both are possible.
func (t devices) categories(gap, bore float64) (least, most float64) {
	row := rowFor(t.Taps.Domestic, bore)
	least, most = unprotected, unprotected
	switch {
	case gap >= row.Gap:
		least, most = row.Category, row.Category
	case row.Basis == "memory" && gap >= t.Taps.Domestic[0].Gap:
		most = row.Category
	}
	if h := t.Taps.Higher; gap >= h.Least && gap >= h.Bores*bore {
		most = h.Category
		if gap >= row.Gap {
			least = most
		}
	}
	return least, most
}

// byGap is what the air gap of a spout or of a cistern's inlet protects from.
func (s *site) byGap(d plan.DrawOff, row fluid, r reach) guard {
	switch {
	case row.Dips == "none":
		return nothing("no spout")
	case s.gapByLetters(d):
		return nothing("a gap told by its letters")
	}
	height, gap := s.gapOf(d)
	if gap != nil {
		return guard{Reading: protects(unprotected, foulest), is: "an air gap that nobody read", gap: gap}.bridged(r)
	}
	bore, gap := boreOf(d)
	if gap != nil {
		bore = endless()
	}
	g := guard{is: "air gap of " + reply.Reading(height, "mm"), gap: gap}
	if s.cistern(d) {
		g.source = "gaps of cisterns, UK consumer guidance (read)"
		at := func(h, b float64) float64 {
			if row := rowFor(s.devices.Cisterns, b); h >= row.Gap {
				return row.Category
			}
			return unprotected
		}
		g.Reading = plan.Reading{Low: at(height.Low, bore.High), Value: at(height.Value, bore.Value), High: at(height.High, bore.Low), How: plan.Computed}
	} else {
		least := func(h, b float64) float64 { c, _ := s.devices.categories(h, b); return c }
		_, most := s.devices.categories(height.High, bore.Low)
		g.source = "AUK2 and AUK3 of the UK Regulators' specification (read; over G1/2 from memory)"
		g.Reading = plan.Reading{Low: least(height.Low, bore.High), Value: least(height.Value, bore.Value), High: most, How: plan.Computed}
	}
	if gap != nil {
		g.Value = g.Low
	}
	return g.bridged(r)
}

// tapGaps are the families that are an air gap at the draw-off itself: a reading
// of that gap says more than their letters, and a hose bridges them.
var tapGaps = []string{"AA", "AUK2", "AUK3"}

func lettersOf(d plan.DrawOff) string { return strings.ToUpper(strings.TrimSpace(d.Class)) }

// gapByLetters tells whether all that is known of a tap gap is its family.
func (s *site) gapByLetters(d plan.DrawOff) bool {
	read := d.Gap != nil || d.Level != nil && s.rim(d) != nil
	return !read && slices.Contains(tapGaps, lettersOf(d))
}

// byDevice is what the device protects from, by its letters or else its word.
func (s *site) byDevice(d plan.DrawOff, r reach) guard {
	letters := lettersOf(d)
	if f, known := s.devices.Families[letters]; known {
		g := f.guard(letters)
		switch {
		case !slices.Contains(tapGaps, letters):
			return g
		case !s.gapByLetters(d):
			return nothing(letters + ", by its reading")
		}
		return g.bridged(r)
	}
	if f, known := s.devices.Devices[d.Device]; known {
		return f.guard(strings.ReplaceAll(d.Device, "_", " "))
	}
	switch {
	case letters != "" && letters != "UNKNOWN":
		return guard{Reading: protects(unprotected, foulest), is: "device " + letters, gap: reply.Outside("what a device of family " + letters + " protects from is not in the table")}
	case d.Device == "none":
		return nothing("no device")
	case d.Device == "air_gap":
		return nothing("no device but the gap")
	}
	return guard{Reading: protects(unprotected, foulest), is: "a device that nobody has told of",
		gap: reply.NotTold(d.ID+".device", "what keeps water from flowing back at draw-off "+d.ID+" is not told")}
}

func (f device) guard(is string) guard {
	return guard{Reading: protects(f.Low, f.High), is: is + " (" + f.Is + ")", source: f.Clause + " (" + f.Basis + ")"}
}

// protection is the better of gap and device. Where something is not told, what
// is known still counts as the least; when that is less than the hazard there,
// what is not told is asked for.
func protection(s *site, d plan.DrawOff) reply.Answer {
	row, gap := s.fluid(d)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	r := s.reachOf(d, row)
	byGap, byDevice := s.byGap(d, row, r), s.byDevice(d, r)
	best := interval.Greater(byGap.Reading, byDevice.Reading)
	hazard := float64(foulest)
	if c := fluidCategory(s, d); c.Gap == nil {
		hazard = c.Band.High
	}
	if missing := firstOpen(byGap.gap, r.gap, byDevice.gap); missing != nil && best.Low < hazard && best.Low < best.High {
		return reply.Answer{Gap: missing}
	}
	return reply.Number(best, func() sdk.Working {
		return sdk.Working{Formula: "the higher of what gap and device protect from, back-siphonage",
			Numbers: fmt.Sprintf("%s: %s; %s: %s; %s", byGap.is, reply.Reading(byGap.Reading, "1"), byDevice.is, reply.Reading(byDevice.Reading, "1"), reply.Reading(best, "1")),
			Source:  sources(byGap.source, byDevice.source)}
	})
}

func firstOpen(gaps ...*sdk.Gap) *sdk.Gap {
	for _, g := range gaps {
		if g != nil {
			return g
		}
	}
	return nil
}

func sources(all ...string) string {
	told := slices.DeleteFunc(all, func(s string) bool { return s == "" })
	if len(told) == 0 {
		return name
	}
	return strings.Join(told, "; ")
}

// protectionMargin is negative where the hazard is greater than what keeps it
// out.
func protectionMargin(s *site, d plan.DrawOff) reply.Answer {
	kept, hazard := protection(s, d), fluidCategory(s, d)
	if gap := firstOpen(kept.Gap, hazard.Gap); gap != nil {
		return reply.Answer{Gap: gap}
	}
	margin := kept.Reading().Minus(hazard.Reading())
	return reply.Number(margin, func() sdk.Working {
		return sdk.Working{Formula: "category protected from - fluid category", Source: name,
			Numbers: fmt.Sprintf("%s - %s = %s", reply.Reading(kept.Reading(), "1"), reply.Reading(hazard.Reading(), "1"), reply.Reading(margin, "1"))}
	})
}
