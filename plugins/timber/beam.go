package timber

import (
	"fmt"
	"math"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/timber/ec5"
)

// An old joist bears no stamp. It is taken as C16, the lowest class that
// joists are sold in, and at best as C24; that is an assumption, and every
// working says so.
const (
	cautiousClass = "C16"
	likelyBest    = "C24"
)

// state is one joist with every reading at one end of its band: all for the
// worse, as told, or all for the better. SI units.
type state struct {
	width, depth float64 // m
	class        ec5.Class
	load         lineLoad
}

// member is a joist as a beam. Span is in m, clear; it is kept as a band since
// a longer span is not the worse in everything.
type member struct {
	joist               plan.Joist
	better, told, worse state
	span                plan.Reading
	load                joistLoad
	assumed             []string
}

// memberOf makes a beam of a joist, or the gap of what it lacks.
func (s *site) memberOf(j plan.Joist) (member, *sdk.Gap) {
	m := member{joist: j}
	if gap := forEngineer(j); gap != nil {
		return m, gap
	}
	worse, better, gap := m.classes()
	if gap != nil {
		return m, gap
	}
	var width, depth plan.Reading
	for _, r := range []struct {
		read *plan.Reading
		into *plan.Reading
		word string
		what string
	}{{j.Width, &width, "width", "width"}, {j.Depth, &depth, "depth", "depth"}, {j.Span, &m.span, "span", "clear span"}} {
		got, gap := size(r.read, joistPath(j.ID, r.word), "the "+r.what+" of joist "+j.ID)
		if gap != nil {
			return m, gap
		}
		*r.into = got.Times(0.001)
	}
	if m.load, gap = s.loadOf(j); gap != nil {
		return m, gap
	}
	m.better = state{width.High, depth.High, better, m.load.lighter}
	m.told = state{width.Value, depth.Value, worse, m.load.told}
	m.worse = state{width.Low, depth.Low, worse, m.load.heavier}
	return m, nil
}

// size is a reading that is more than nothing and has both ends.
func size(r *plan.Reading, path, what string) (plan.Reading, *sdk.Gap) {
	got, gap := reply.Read(r, path, what)
	switch {
	case gap != nil:
		return got, gap
	case got.Low <= 0:
		return got, nothing(path)
	case !got.Closed():
		return got, reply.NotRead(path, what+" is known from one side only")
	}
	return got, nil
}

// forEngineer is why no sum of ours holds for a timber: what is rotten, eaten
// or split has no strength class, a trimmer carries other joists, and what is
// made in a works has its maker's figures. Nil for a plain joist.
func forEngineer(j plan.Joist) *sdk.Gap {
	switch j.Looks {
	case "rot", "worm", "split":
		return reply.Outside(fmt.Sprintf("joist %s shows %s, which has no strength to reckon with: ask an engineer", j.ID, j.Looks))
	}
	switch j.Member {
	case "joist":
		return nil
	case "", "unknown":
		return reply.NotTold(joistPath(j.ID, "member"), "what member "+j.ID+" is, joist or trimmer, is not told")
	case "engineered":
		return reply.Outside("member " + j.ID + " is engineered: only its maker's figures hold")
	}
	return reply.Outside(fmt.Sprintf("member %s is a %s, not a plain joist under a floor: ask an engineer", j.ID, j.Member))
}

// classes are the strength class to reckon with, and the best it may be.
func (m *member) classes() (worse, better ec5.Class, gap *sdk.Gap) {
	stamp := strings.ToUpper(strings.TrimSpace(m.joist.Grade))
	if stamp == "" || stamp == "UNKNOWN" {
		worse, _ = ec5.ClassOf(cautiousClass)
		better, _ = ec5.ClassOf(likelyBest)
		m.assumed = append(m.assumed, fmt.Sprintf("grade unknown: value and worse end by %s, better end by %s, both a guess for an old joist", cautiousClass, likelyBest))
	} else {
		c, known := ec5.ClassOf(stamp)
		if !known {
			return worse, better, reply.Outside(fmt.Sprintf("strength class %s of joist %s is not in the table: C16, C18, C24, C30, D30", m.joist.Grade, m.joist.ID))
		}
		worse, better = c, c
	}
	if m.joist.Looks != "sound" {
		m.assumed = append(m.assumed, "taken as sound, nobody looked")
	}
	return worse, better, nil
}

// bends is the design strength in bending, Pa, with the depth factor.
func (s state) bends() float64 {
	return ec5.Design(s.class.Bending*ec5.Kh(s.depth), ec5.KmodMedium, ec5.GammaM)
}

// shears is the design strength in shear, Pa.
func (s state) shears() float64 { return ec5.Design(s.class.Shear, ec5.KmodMedium, ec5.GammaM) }

func (s state) whole() ec5.Section { return ec5.Whole(s.width, s.depth) }

func (s state) beam(span float64) ec5.Beam {
	return ec5.Beam{Span: span, Section: s.whole(), E: s.class.Stiffness, G: s.class.ShearStiffness}
}

// bound works a utilisation out for all better, as told and all worse, where
// it grows with the span.
func (m member) bound(f func(s state, span float64) float64) plan.Reading {
	return plan.Reading{Low: f(m.better, m.span.Low), Value: f(m.told, m.span.Value), High: f(m.worse, m.span.High), How: plan.Computed}
}

// spot is a place along a joist of one length, m.
type spot struct{ at, span float64 }

// spots are those among which the best and the worst of a place and a span
// lie, for whatever is symmetric about mid span and rises or falls towards it:
// the ends of both bands, mid span if it is among them, and the span to which
// an end of the place is mid span.
func spots(at, span plan.Reading) []spot {
	clamp := func(x, low, high float64) float64 { return min(max(x, low), high) }
	var out []spot
	for _, l := range []float64{span.Low, span.High, clamp(2*at.Low, span.Low, span.High), clamp(2*at.High, span.Low, span.High)} {
		for _, x := range []float64{at.Low, at.High, clamp(l/2, at.Low, at.High)} {
			out = append(out, spot{clamp(x, 0, l), l})
		}
	}
	return out
}

// ends are the least and the greatest over the spots.
func ends(all []spot, better, worse func(spot) float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range all {
		low, high = min(low, better(p)), max(high, worse(p))
	}
	return low, high
}

// answer writes a utilisation with its working: every assumption is told
// beside the source.
func (m member) answer(r plan.Reading, formula, numbers, source string) reply.Answer {
	r = interval.AtLeast(r, 0)
	return reply.Number(r, func() sdk.Working {
		told := append(append([]string{}, m.assumed...), m.load.assumed...)
		return sdk.Working{Formula: formula, Numbers: numbers + " = " + reply.Reading(r, "1"), Source: source + "; " + strings.Join(told, "; ")}
	})
}
