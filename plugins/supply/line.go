package supply

import (
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// stretch is what one figure of length, rise and bends is told of: a link, or
// all links of a line of several steps one after another.
type stretch struct {
	links []*plan.Link
	line  *plan.Line // nil: of one link
}

func single(l *plan.Link) stretch { return stretch{links: []*plan.Link{l}} }

// stretches of a way's links: where it passes every step of a line, the line's
// own figures hold for them together.
func (s *site) stretches(links []*plan.Link) []stretch {
	var out []stretch
	for len(links) > 0 {
		next := single(links[0])
		if line := s.lines[links[0].Line]; line != nil {
			n := 1
			for n < len(links) && links[n].Line == line.ID {
				n++
			}
			if n == len(line.Steps) && n > 1 {
				next = stretch{links[:n], line}
			}
		}
		out, links = append(out, next), links[len(next.links):]
	}
	return out
}

func (t stretch) name() string {
	if t.line != nil {
		return t.line.ID
	}
	return t.links[0].ID
}

// rise of the stretch when one comes from a node.
func (t stretch) rise(from string) *plan.Reading {
	first, rise := t.links[0], t.links[0].Rise
	if t.line != nil {
		rise = t.line.Rise
	}
	if rise == nil || first.A == from {
		return rise
	}
	down := rise.Times(-1)
	return &down
}

func (s *site) lengthOver(t stretch) (plan.Reading, *sdk.Gap) {
	if t.line == nil {
		return s.lengthOf(t.links[0])
	}
	got, gap := reply.Read(t.line.Length, place(t.links[0], "length"), "the length of the line "+t.line.ID)
	return interval.AtLeast(got, 0), gap
}

func (s *site) bendsOver(t stretch) (plan.Reading, *sdk.Gap) {
	l := *t.links[0]
	if t.line != nil {
		l.ID, l.Bends = t.line.ID, t.line.Bends
	}
	return s.bendsOf(&l)
}

// flowOver a stretch, l/s: where some of its steps carry more than others, from
// the least of them to the greatest, which is shown. Loss grows with flow, so
// however the length is shared between them the whole lies between.
func (s *site) flowOver(t stretch) (plan.Reading, *sdk.Gap) {
	var out plan.Reading
	for i, l := range t.links {
		flow := s.supplyFlow(l)
		if flow.Gap != nil {
			return out, flow.Gap
		}
		switch q := flow.Reading(); {
		case i == 0:
			out = q
		case q.Value > out.Value:
			out = interval.Hull(q, out)
		default:
			out = interval.Hull(out, q)
		}
	}
	return out, nil
}

// runOver is a stretch with its flow. All of it is one pipe.
func (s *site) runOver(t stretch) (run, *sdk.Gap) {
	var r run
	var gap *sdk.Gap
	if r.bore, gap = s.boreOf(t.links[0]); gap != nil {
		return run{}, gap
	}
	if r.length, gap = s.lengthOver(t); gap != nil {
		return run{}, gap
	}
	if r.wall, gap = s.wallOf(t.links[0]); gap != nil {
		return run{}, gap
	}
	if r.k, gap = s.bendsOver(t); gap != nil {
		return run{}, gap
	}
	if r.flow, gap = s.flowOver(t); gap != nil {
		return run{}, gap
	}
	r.shown = hotAt
	for _, l := range t.links {
		r.hot = r.hot || l.Carries != "cold"
		if l.Carries != "hot" {
			r.shown = coldAt
		}
	}
	return r, nil
}

// partsOn a stretch of a way: the K of what stands before each of its links.
func (s *site) partsOn(d *plan.DrawOff, nodes []string) (k plan.Reading, named string, gap *sdk.Gap) {
	k = plan.Exactly(0)
	var names strings.Builder
	for _, id := range nodes {
		one, name, gap := s.partAt(d, id)
		if gap != nil {
			return k, "", gap
		}
		k = k.Plus(one)
		names.WriteString(name)
	}
	return k, names.String(), nil
}
