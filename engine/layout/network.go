package layout

import "fallrule/plugins/sdk/plan"

// network is the supply as a graph: what one meets, and the links between,
// in the direction of flow. Removed links are not in it.
type network struct {
	place map[string]int // of a node, by its id
	edges []edge         // as in plan.Links
	out   [][]int        // edges that leave a node
	in    [][]int        // edges that reach it
}

type edge struct {
	from, to int
	line     string
	sure     bool // proved or seen
	gone     bool
}

func newNetwork(links []plan.Link) *network {
	g := &network{place: map[string]int{}}
	for i, l := range links {
		e := edge{from: g.node(l.A), to: g.node(l.B), line: l.Line, sure: l.Known == "proved" || l.Known == "seen", gone: l.State == plan.Removed}
		g.edges = append(g.edges, e)
		if !e.gone {
			g.out[e.from], g.in[e.to] = append(g.out[e.from], i), append(g.in[e.to], i)
		}
	}
	return g
}

func (g *network) node(id string) int {
	if n, known := g.place[id]; known {
		return n
	}
	n := len(g.out)
	g.place[id] = n
	g.out, g.in = append(g.out, nil), append(g.in, nil)
	return n
}

// runOfWater tells every link what it carries and whom it serves.
func (r *reader) runOfWater() {
	g := newNetwork(r.plan.Links)
	var sources, heaters []int
	for _, s := range r.plan.Sources {
		if n, met := g.place[s.ID]; met && s.State != plan.Removed {
			sources = append(sources, n)
		}
	}
	for _, h := range r.plan.Heaters {
		if n, met := g.place[h.ID]; met && h.State != plan.Removed {
			heaters = append(heaters, n)
		}
	}
	var alternatives [][]string
	for _, set := range items(r.doc.Lookup("supply", "alternatives")) {
		alternatives = append(alternatives, texts(set))
	}
	cold, hot := g.waters(sources, heaters)
	fed := g.fed(append(append([]int{}, sources...), heaters...), alternatives)
	for i := range r.plan.Links {
		r.plan.Links[i].Carries = unknown
		switch from := g.edges[i].from; {
		case !fed[from]:
		case hot[from] && !cold[from]:
			r.plan.Links[i].Carries = "hot"
		case cold[from] && !hot[from]:
			r.plan.Links[i].Carries = "cold"
		}
	}
	above := g.dominators(sources)
	for _, d := range r.plan.DrawOffs {
		n, met := g.place[d.ID]
		if !met || d.State == plan.Removed {
			continue
		}
		for at := above.node(n); at != 0; at = above.idom[at] {
			if i, isEdge := above.edge(at); isEdge {
				r.plan.Links[i].Serves = append(r.plan.Links[i].Serves, d.ID)
			}
		}
	}
}

// waters tells which nodes water reaches without passing a heater and which
// through one, over all links, guessed ones too: what every way agrees on does
// not hang on a guess.
func (g *network) waters(sources, heaters []int) (cold, hot []bool) {
	cold, hot = make([]bool, len(g.out)), make([]bool, len(g.out))
	heats := make([]bool, len(g.out))
	for _, h := range heaters {
		heats[h] = true
	}
	g.spread(hot, heaters, func(int) bool { return true })
	var starts []int
	for _, s := range sources {
		if !heats[s] {
			starts = append(starts, s)
		}
	}
	g.spread(cold, starts, func(i int) bool { return !heats[g.edges[i].to] })
	return cold, hot
}

// spread marks the starts and all that is reached from them over edges that
// may be used.
func (g *network) spread(reached []bool, starts []int, use func(edge int) bool) {
	var queue []int
	reach := func(n int) {
		if !reached[n] {
			reached[n] = true
			queue = append(queue, n)
		}
	}
	for _, n := range starts {
		reach(n)
	}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		for _, i := range g.out[n] {
			if use(i) {
				reach(g.edges[i].to)
			}
		}
	}
}

// fed tells which nodes water reaches whatever is true of the guessed lines:
// over sure links, and where exactly one of several lines is true, over each
// of them.
func (g *network) fed(starts []int, alternatives [][]string) []bool {
	reached := make([]bool, len(g.out))
	sure := func(i int) bool { return g.edges[i].sure }
	g.spread(reached, starts, sure)
	ofLine := map[string][]int{}
	for i, e := range g.edges {
		if !e.gone {
			ofLine[e.line] = append(ofLine[e.line], i)
		}
	}
	for grown := true; grown; {
		grown = false
		for _, set := range alternatives {
			both := g.byEach(reached, set, ofLine)
			if len(both) > 0 {
				g.spread(reached, both, sure)
				grown = true
			}
		}
	}
	return reached
}

// byEach are the nodes not reached yet that each line of a set would feed.
func (g *network) byEach(reached []bool, set []string, ofLine map[string][]int) []int {
	count := map[int]int{}
	var all []int
	for k, line := range set {
		met := map[int]bool{}
		queue := []int{}
		visit := func(n int) {
			if reached[n] || met[n] {
				return
			}
			met[n] = true
			queue = append(queue, n)
			if count[n] == k { // by every line before it
				count[n]++
				all = append(all, n)
			}
		}
		follow := func(from int) {
			for _, i := range g.out[from] {
				if g.edges[i].sure || g.edges[i].line == line {
					visit(g.edges[i].to)
				}
			}
		}
		for _, i := range ofLine[line] {
			if reached[g.edges[i].from] {
				visit(g.edges[i].to)
			}
		}
		for len(queue) > 0 {
			n := queue[0]
			queue = queue[1:]
			follow(n)
		}
	}
	var both []int
	seen := map[int]bool{}
	for _, n := range all {
		if count[n] == len(set) && !seen[n] {
			seen[n] = true
			both = append(both, n)
		}
	}
	return both
}
