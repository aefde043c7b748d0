package supply

import (
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// site is the plan's supply as a graph, what is removed left out.
type site struct {
	tables
	house    plan.House
	fixtures map[string]*plan.Fixture
	sources  map[string]*plan.Source
	heaters  map[string]*plan.Heater
	valves   map[string]*plan.Valve
	drawOffs []*plan.DrawOff
	taps     map[string]*plan.DrawOff // the same by id
	links    []*plan.Link             // at their places, as those of at
	at       map[string][]*plan.Link  // links that meet at an id
	lines    map[string]*plan.Line    // of several steps
	found    map[string]ways          // by draw-off
}

// way is one path of links from a source to a draw-off. nodes are what it
// meets, one more than links.
type way struct {
	source *plan.Source
	links  []*plan.Link
	nodes  []string
}

// ways are all of a draw-off; tangled when there are more than are worth
// following.
type ways struct {
	all     []way
	tangled bool
}

// A house has a way or two to a tap; a net with more than these is a tangle.
const (
	mostWays  = 16
	mostSteps = 20000
)

func survey(p *plan.Plan) (*site, error) {
	t, err := load()
	if err != nil {
		return nil, err
	}
	s := &site{tables: t, house: p.House, fixtures: map[string]*plan.Fixture{}, sources: map[string]*plan.Source{},
		heaters: map[string]*plan.Heater{}, valves: map[string]*plan.Valve{}, taps: map[string]*plan.DrawOff{}, at: map[string][]*plan.Link{}, lines: map[string]*plan.Line{}, found: map[string]ways{}}
	keep(p.Fixtures, func(f *plan.Fixture) (string, plan.State) { return f.ID, f.State }, s.fixtures)
	keep(p.Sources, func(x *plan.Source) (string, plan.State) { return x.ID, x.State }, s.sources)
	keep(p.Heaters, func(x *plan.Heater) (string, plan.State) { return x.ID, x.State }, s.heaters)
	keep(p.Valves, func(x *plan.Valve) (string, plan.State) { return x.ID, x.State }, s.valves)
	keep(p.Lines, func(x *plan.Line) (string, plan.State) { return x.ID, x.State }, s.lines)
	for i := range p.Links {
		if l := &p.Links[i]; l.State != plan.Removed {
			s.links = append(s.links, l)
			s.at[l.A], s.at[l.B] = append(s.at[l.A], l), append(s.at[l.B], l)
		}
	}
	for i := range p.DrawOffs {
		if d := &p.DrawOffs[i]; d.State != plan.Removed {
			s.drawOffs, s.taps[d.ID] = append(s.drawOffs, d), d
		}
	}
	for _, d := range s.drawOffs {
		s.found[d.ID] = s.follow(d)
	}
	return s, nil
}

func keep[T any](list []T, key func(*T) (string, plan.State), into map[string]*T) {
	for i := range list {
		if id, state := key(&list[i]); state != plan.Removed {
			into[id] = &list[i]
		}
	}
}

// other end of a link.
func other(l *plan.Link, id string) string {
	if l.A == id {
		return l.B
	}
	return l.A
}

// follow finds the ways from sources to a draw-off: the cold ones meet no
// heater, the hot ones do. Through a pipe that somebody has seen water may run
// either way, as in a loop; a guessed one is taken as it is told.
func (s *site) follow(d *plan.DrawOff) ways {
	var out ways
	steps, nodes, path := 0, []string{d.ID}, []*plan.Link{}
	var walk func(id string, heated bool)
	walk = func(id string, heated bool) {
		if steps++; steps > mostSteps || len(out.all) > mostWays {
			out.tangled = true
			return
		}
		if source := s.sources[id]; source != nil {
			if heated == (d.Water == "hot") {
				out.all = append(out.all, reversed(source, path, nodes))
			}
			return
		}
		for _, l := range s.at[id] {
			next := other(l, id)
			backwards := l.A == id && unseen(l)
			if backwards || slices.Contains(nodes, next) || s.taps[next] != nil || s.heaters[next] != nil && d.Water == "cold" {
				continue
			}
			nodes, path = append(nodes, next), append(path, l)
			walk(next, heated || s.heaters[next] != nil)
			nodes, path = nodes[:len(nodes)-1], path[:len(path)-1]
		}
	}
	walk(d.ID, false)
	return out
}

func reversed(source *plan.Source, path []*plan.Link, nodes []string) way {
	w := way{source: source, links: slices.Clone(path), nodes: slices.Clone(nodes)}
	slices.Reverse(w.links)
	slices.Reverse(w.nodes)
	return w
}

// waysTo a draw-off, or the gap that asks for one.
func (s *site) waysTo(d *plan.DrawOff) ([]way, *sdk.Gap) {
	switch w := s.found[d.ID]; {
	case w.tangled:
		return nil, reply.Outside("the pipes to " + d.ID + " are meshed too much to follow")
	case len(w.all) == 0 && d.Water == "hot":
		return nil, reply.NotTold("supply.lines", "no way of pipes from a source over a heater to "+d.ID+" is told")
	case len(w.all) == 0:
		return nil, reply.NotTold("supply.lines", "no way of pipes from a source to "+d.ID+" is told")
	default:
		return w.all, nil
	}
}

// guessed tells the first link of the ways that nobody has seen and that not
// all of them share; nil where the ways are a loop that was seen.
func guessed(all []way) *plan.Link {
	for _, w := range all {
		for _, l := range w.links {
			shared := !slices.ContainsFunc(all, func(o way) bool { return !slices.Contains(o.links, l) })
			if !shared && unseen(l) {
				return l
			}
		}
	}
	return nil
}

// unseen reports whether nobody has seen a link or proved it.
func unseen(l *plan.Link) bool { return l.Known == "guessed" || l.Known == "unknown" || l.Known == "" }

// onTrust names the links of ways that nobody has seen, to stand in a working.
func onTrust(all []way) string {
	var names []string
	for _, w := range all {
		for _, l := range w.links {
			if unseen(l) && !slices.Contains(names, l.ID) {
				names = append(names, l.ID)
			}
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "; nobody has seen " + strings.Join(names, ", ")
}

// heaterOf is the last heater that a way meets.
func (s *site) heaterOf(w way) (*plan.Heater, int) {
	for i := len(w.nodes) - 1; i >= 0; i-- {
		if h := s.heaters[w.nodes[i]]; h != nil {
			return h, i
		}
	}
	return nil, -1
}

// place of a link's word in the document: of its line, or of the manifold's
// home run.
func place(l *plan.Link, word string) string {
	manifold, to, home := strings.Cut(l.ID, "~")
	switch {
	case home && strings.HasPrefix(word, "pipe."):
		return "supply.manifolds." + manifold + "." + word
	case home:
		return "supply.manifolds." + manifold + ".to." + to + "." + word
	case l.Line == "":
		line, _, _ := strings.Cut(l.ID, "/")
		return "supply.lines." + line + "." + word
	}
	return "supply.lines." + l.Line + "." + word
}

// sourcePath is a source's place in the document.
func sourcePath(id string) string {
	if id == "meter" {
		return "supply.meter"
	}
	return "supply.sources." + id
}

// heaterPath is a heater's place in the document.
func heaterPath(id string) string {
	if id == "heater" {
		return "supply.heater"
	}
	return "supply.heaters." + id
}
