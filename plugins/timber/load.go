package timber

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/timber/ec5"
)

// Loads of a floor, Pa (N/m²). Boards with their joists are read in a table
// of a university textbook; the ceiling under them is from memory, lath and
// plaster. Filling between old joists is not in it: it can weigh as much again.
const (
	floorOwn = 300
	ceiling  = 300
)

// Live load of a dwelling's floor, category A of EN 1991-1-1, Pa: 1.5 kN/m² in
// the United Kingdom and 1.75 kN/m² in the Netherlands (both read), else the
// upper recommended value, 2.0 kN/m² (memory; a worked example uses it, read).
func liveOf(country string) float64 {
	switch country {
	case "gb":
		return 1500
	case "nl":
		return 1750
	}
	return 2000
}

const gravity = 9.81 // m/s²

// A bath: 175 l of water (read, an ordinary bath in use), and tub and bather as
// worked checks assume them. A cast iron tub weighs 136 to 181 kg (read), a
// large bath holds 290 l (read): the working says that neither is in it.
const (
	bathWater  = 175.0 // kg
	bathTub    = 40.0  // kg, memory
	bathPerson = 80.0  // kg, memory
)

// A new shower: 50 mm of mortar at 1678 kg/m³ and 10 mm of dense tile at
// 2300 kg/m³ (densities read, thicknesses assumed), Pa.
var showerBed = layer(0.050, 1678) + layer(0.010, 2300)

// layer is the load of a layer, Pa, of a thickness in m and a density in kg/m³.
func layer(thickness, density float64) float64 { return thickness * density * gravity }

// pressing is the load of a thing, Pa, of a mass in kg over an area in m².
func pressing(mass, area float64) float64 { return mass * gravity / area }

// lineLoad is what one joist carries, N/m.
type lineLoad struct {
	dead, live float64
	pieces     []piece
}

// piece is a load on a part of the joist, where it is worst: N/m and m.
type piece struct{ line, length float64 }

// spread is all of it as one load over the whole span, N/m: the pieces by the
// moment they make where they are worst.
func (l lineLoad) spread(span, gammaG, gammaQ float64) float64 {
	q := l.live
	for _, p := range l.pieces {
		q += ec5.Spread(p.line, p.length, span)
	}
	return ec5.Factored(l.dead, q, gammaG, gammaQ)
}

// shear at x, N, factored, with all that may move where it is worst.
func (l lineLoad) shear(span, x float64) float64 {
	moving := ec5.ShearMoving(l.live, span, span, x)
	for _, p := range l.pieces {
		moving += ec5.ShearMoving(p.line, p.length, span, x)
	}
	return ec5.Factored(ec5.ShearFixed(l.dead, span, x), moving, ec5.GammaG, ec5.GammaQ)
}

// joistLoad is a joist's load at its lightest, as told and at its heaviest.
type joistLoad struct {
	lighter, told, heavier lineLoad
	spacing                plan.Reading // m
	live                   float64      // Pa
	names                  []string     // of the pieces
	assumed                []string
}

func (s *site) loadOf(j plan.Joist) (joistLoad, *sdk.Gap) {
	l := joistLoad{live: liveOf(s.plan.House.Country)}
	switch s.plan.House.Use {
	case "dwelling", "guest_house":
	case "", "unknown":
		l.assumed = append(l.assumed, "use not told, taken as a dwelling")
	default:
		return l, reply.Outside("the floor is not a dwelling's: its live load is for an engineer")
	}
	if gap := weighs(j); gap != nil {
		return l, gap
	}
	spacing, gap := s.spacingOf(j)
	if gap != nil {
		return l, gap
	}
	l.spacing = spacing.Times(0.001)
	at := func(s float64) lineLoad { return lineLoad{dead: s * (floorOwn + ceiling), live: s * l.live} }
	l.lighter, l.told, l.heavier = at(l.spacing.Low), at(l.spacing.Value), at(l.spacing.High)
	for _, f := range s.plan.Fixtures {
		l.add(s, j, f)
	}
	if slices.Contains(j.Loads, "bath") && !slices.ContainsFunc(s.plan.Fixtures, func(f plan.Fixture) bool { return f.Kind == "bath" && s.mayStand(f, j) }) {
		l.add(s, j, plan.Fixture{ID: "a bath told among its loads", Kind: "bath", State: plan.Existing})
	}
	walls := "no wall on it"
	if slices.Equal(j.Loads, []string{"nothing"}) {
		walls = "nothing heavy on it, as told"
	}
	l.assumed = append(l.assumed, fmt.Sprintf("floor %s, ceiling %s, live %s kN/m², no filling between joists, %s", kilo(floorOwn), kilo(ceiling), kilo(l.live), walls))
	return l, nil
}

// weighs is the gap of a joist that carries what no figure here stands for.
func weighs(j plan.Joist) *sdk.Gap {
	for _, heavy := range []string{"wall", "partition", "tank"} {
		if slices.Contains(j.Loads, heavy) {
			return reply.Outside(fmt.Sprintf("joist %s is told to carry a %s: what that weighs and what the joist then bears is for an engineer", j.ID, heavy))
		}
	}
	return nil
}

// add puts a bath or a new shower on the joist if it may stand on it. Where in
// its footprint the waste begins the plan does not tell, so that at best this
// joist carries none of it.
func (l *joistLoad) add(s *site, j plan.Joist, f plan.Fixture) {
	if !s.mayStand(f, j) || f.Kind != "bath" && f.Kind != "shower" {
		return
	}
	if aside := s.clearOf(f, j, l.spacing.High*1000); aside != "" {
		l.assumed = append(l.assumed, f.ID+" stands clear of it: "+aside)
		return
	}
	var mass, even float64 // kg, Pa
	switch {
	case f.Kind == "bath":
		mass = bathWater + bathTub + bathPerson
		l.assumed = append(l.assumed, "bath of 175 l, tub 40 kg, bather 80 kg (cast iron or 290 l: more)")
	case f.Kind == "shower" && f.State != plan.Existing:
		even = showerBed
		l.assumed = append(l.assumed, "shower on 50 mm of mortar and tile")
	default:
		return
	}
	long, short := takes(f)
	l.assumed = append(l.assumed, fmt.Sprintf("%s %s by %s m, long side along the joist where it is worst, none of it at best", f.ID, metres(long.Value), metres(short.Value)))
	l.names = append(l.names, f.ID)
	on := func(spacing, long, short float64) piece {
		extra := even
		if mass > 0 { // where it stands nobody walks
			extra = max(pressing(mass, long*short)-l.live, 0)
		}
		return piece{extra * min(spacing, short), long}
	}
	l.told.pieces = append(l.told.pieces, on(l.spacing.Value, long.Value, short.Value))
	l.heavier.pieces = append(l.heavier.pieces, l.heaviest(on, long, short))
}

// heaviest tries the ends of both sides: a small bath presses harder, a large
// tray weighs more.
func (l *joistLoad) heaviest(on func(spacing, long, short float64) piece, long, short plan.Reading) piece {
	var most piece
	for _, a := range []float64{long.Low, long.High} {
		for _, b := range []float64{short.Low, short.High} {
			p := on(l.spacing.High, a, b)
			most.line, most.length = max(most.line, p.line), max(most.length, p.length)
		}
	}
	return most
}

// takes is what a fixture covers, m, long side first; without a reading an
// ordinary bath of 1.70 by 0.70 m, or a tray of 0.90 by 0.90 m (common
// practice).
func takes(f plan.Fixture) (long, short plan.Reading) {
	if len(f.Takes) >= 2 && f.Takes[0].Low > 0 && f.Takes[1].Low > 0 && f.Takes[0].Closed() && f.Takes[1].Closed() {
		a, b := f.Takes[0].Times(0.001), f.Takes[1].Times(0.001)
		if a.Value < b.Value {
			a, b = b, a
		}
		return a, b
	}
	if f.Kind == "bath" {
		return plan.Exactly(1.7), plan.Exactly(0.7)
	}
	return plan.Exactly(0.9), plan.Exactly(0.9)
}

// clearOf says why a fixture loads no board that lies on the joist, or nothing
// where it may: its waste begins farther aside than its longer side and one
// spacing, over which boards carry to the next joist. Both its place and its
// footprint have to be told, and which way the joist runs.
func (s *site) clearOf(f plan.Fixture, j plan.Joist, spacing float64) string {
	across, known := map[string]int{"y": 0, "x": 1}[j.Along]
	if !known || j.At == nil || len(f.At) <= across || len(f.Takes) < 2 {
		return ""
	}
	aside, side := interval.Magnitude(f.At[across].Minus(*j.At)), interval.Greater(f.Takes[0], f.Takes[1])
	if !aside.Closed() || !side.Closed() || aside.Low <= side.High+spacing {
		return ""
	}
	return fmt.Sprintf("its waste is %s m aside, its longer side is %s m", metres(aside.Value/1000), metres(side.Value/1000))
}

// mayStand tells whether a fixture may stand on the joist's floor: it is in one
// of its rooms, or nobody told which room or which floor.
func (s *site) mayStand(f plan.Fixture, j plan.Joist) bool {
	if f.State == plan.Removed {
		return false
	}
	if f.Room == "" || j.Floor == "" {
		return true
	}
	for _, floor := range s.plan.Floors {
		if floor.ID == j.Floor && len(floor.Rooms) > 0 {
			return slices.Contains(floor.Rooms, f.Room)
		}
	}
	return true
}

// spacingOf is the width of floor that a joist carries, mm: as told centre to
// centre, or half of what lies between its neighbours. At the end of a row it
// is the whole distance to the one neighbour, which is a little much.
func (s *site) spacingOf(j plan.Joist) (plan.Reading, *sdk.Gap) {
	path := joistPath(j.ID, "spaced")
	if j.Spaced != nil {
		return size(j.Spaced, path, "the spacing of joist "+j.ID)
	}
	var row []plan.Joist
	for _, x := range s.plan.Joists {
		if x.At != nil && x.State != plan.Removed && x.Floor == j.Floor {
			row = append(row, x)
		}
	}
	slices.SortStableFunc(row, func(a, b plan.Joist) int {
		return cmp.Compare(a.At.Value, b.At.Value)
	})
	i := slices.IndexFunc(row, func(x plan.Joist) bool { return x.ID == j.ID })
	if i < 0 || len(row) < 2 {
		return plan.Reading{}, reply.NotRead(path, "the spacing of joist "+j.ID+" is not measured")
	}
	first, last := max(i-1, 0), min(i+1, len(row)-1)
	between := row[last].At.Minus(*row[first].At)
	if last-first == 2 {
		between = between.Times(0.5)
	}
	return size(&between, path, "the distance of joist "+j.ID+" from its neighbours")
}

// joistLoadOf answers with all of it as one load over the span, kN/m.
func joistLoadOf(s *site, j plan.Joist) reply.Answer {
	if gap := forEngineer(j); gap != nil && gap.Because != sdk.NotTold {
		return reply.Answer{Gap: gap}
	}
	l, gap := s.loadOf(j)
	if gap != nil {
		return reply.Answer{Gap: gap}
	}
	span := plan.Exactly(1)
	if len(l.names) > 0 { // only a piece needs the span it lies on
		if span, gap = size(j.Span, joistPath(j.ID, "span"), "the clear span of joist "+j.ID); gap != nil {
			return reply.Answer{Gap: gap}
		}
		span = span.Times(0.001)
	}
	q := plan.Reading{
		Low: l.lighter.spread(span.High, 1, 1) / 1000, Value: l.told.spread(span.Value, 1, 1) / 1000,
		High: l.heavier.spread(span.Low, 1, 1) / 1000, How: plan.Computed,
	}
	return reply.Number(q, func() sdk.Working {
		parts := []string{fmt.Sprintf("%s m × (%s + %s + %s)", metres(l.spacing.Value), kilo(floorOwn), kilo(ceiling), kilo(l.live))}
		for i, p := range l.told.pieces {
			parts = append(parts, fmt.Sprintf("%s %s over %s m", l.names[i], kilo(ec5.Spread(p.line, p.length, span.Value)), metres(p.length)))
		}
		return sdk.Working{
			Formula: "load = spacing × (floor + ceiling + live) + pieces, p (2 c/L - (c/L)²) each, all characteristic",
			Numbers: fmt.Sprintf("%s = %s kN/m (%s to %s)", strings.Join(parts, " + "), kilo(q.Value*1000), kilo(q.Low*1000), kilo(q.High*1000)),
			Source:  "EN 1991-1-1, category A; " + strings.Join(l.assumed, "; "),
		}
	})
}

// kilo writes N as kN, Pa as kPa and so on.
func kilo(n float64) string { return fmt.Sprintf("%.2f", n/1000) }

// metres writes a length in m.
func metres(m float64) string { return fmt.Sprintf("%.3g", m) }
