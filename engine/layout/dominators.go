package layout

// dominators is a tree over a network's nodes and links: whatever stands over
// something in it is passed by every way of the water to it. Its root, 0,
// stands before all sources; then come the nodes and then the links.
type dominators struct {
	nodes int
	idom  []int // 0 for the root, and for what no water reaches
}

func (d *dominators) node(n int) int { return 1 + n }

func (d *dominators) edge(at int) (int, bool) { return at - 1 - d.nodes, at > d.nodes }

// dominators of the network. Water enters at the sources, and at nodes that
// nothing in the document leads to: a part whose feed nobody knows is looked
// at by itself.
func (g *network) dominators(sources []int) *dominators {
	d := &dominators{nodes: len(g.out)}
	enters := make([]bool, len(g.out))
	for _, s := range sources {
		enters[s] = true
	}
	for n := range g.out {
		enters[n] = enters[n] || len(g.in[n]) == 0
	}
	size := 1 + len(g.out) + len(g.edges)
	next := func(at int) []int {
		var to []int
		switch i, isEdge := d.edge(at); {
		case at == 0:
			for n, in := range enters {
				if in {
					to = append(to, d.node(n))
				}
			}
		case isEdge:
			to = append(to, d.node(g.edges[i].to))
		default:
			for _, e := range g.out[at-1] {
				to = append(to, 1+d.nodes+e)
			}
		}
		return to
	}
	before := func(at int) []int {
		if i, isEdge := d.edge(at); isEdge {
			return []int{d.node(g.edges[i].from)}
		}
		var from []int
		for _, e := range g.in[at-1] {
			from = append(from, 1+d.nodes+e)
		}
		if enters[at-1] {
			from = append(from, 0)
		}
		return from
	}
	d.idom = immediate(size, next, before)
	return d
}

// immediate dominators of a graph with root 0, by the iterative method over
// the reverse postorder (Cooper, Harvey and Kennedy 2001). 0 for what the root
// does not reach.
func immediate(size int, next, before func(int) []int) []int {
	order := postorder(size, next)
	rank := make([]int, size) // in postorder, from 1; 0: not reached
	for i, at := range order {
		rank[at] = i + 1
	}
	idom := make([]int, size)
	set := make([]bool, size)
	set[0] = true
	meet := func(a, b int) int {
		for a != b {
			if rank[a] < rank[b] {
				a = idom[a]
			} else {
				b = idom[b]
			}
		}
		return a
	}
	for changed := true; changed; {
		changed = false
		for i := len(order) - 2; i >= 0; i-- { // the root is last
			at, best := order[i], -1
			for _, from := range before(at) {
				switch {
				case !set[from]:
				case best < 0:
					best = from
				default:
					best = meet(from, best)
				}
			}
			if best >= 0 && (!set[at] || idom[at] != best) {
				idom[at], set[at], changed = best, true, true
			}
		}
	}
	return idom
}

// postorder of what is reached from 0, without recursion.
func postorder(size int, next func(int) []int) []int {
	type visit struct {
		at   int
		rest []int
	}
	seen := make([]bool, size)
	seen[0] = true
	stack := []visit{{0, next(0)}}
	var order []int
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if len(top.rest) == 0 {
			order = append(order, top.at)
			stack = stack[:len(stack)-1]
			continue
		}
		to := top.rest[0]
		top.rest = top.rest[1:]
		if !seen[to] {
			seen[to] = true
			stack = append(stack, visit{to, next(to)})
		}
	}
	return order
}
