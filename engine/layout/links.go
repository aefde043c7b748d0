package layout

import (
	"strconv"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// lines cuts every line of the supply into the links between neighbours on its
// path. What is told of the length, rise and bends of several steps stays with
// the line: nobody knows how they share it.
func (r *reader) lines() {
	for _, p := range pairs(r.doc.Lookup("supply", "lines")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		path := texts(n.Get("path"))
		common := r.waterPipe(n.Get("pipe"), nil, state)
		common.Line, common.Known = p.Key, r.knownLine(n, state)
		whole := plan.Line{ID: p.Key, State: state}
		whole.Length, whole.Rise, whole.Bends = r.lengths(n.Get("length"), n, state)
		switch {
		case len(path) == 2:
			common.Length, common.Rise, common.Bends = whole.Length, whole.Rise, whole.Bends
		case whole.Bends != nil && len(whole.Bends) == 0:
			common.Bends = whole.Bends
		}
		for i := 1; i < len(path); i++ {
			link := common
			link.ID, link.A, link.B = p.Key, path[i-1], path[i]
			if len(path) > 2 {
				link.ID += "/" + strconv.Itoa(i)
			}
			whole.Steps = append(whole.Steps, link.ID)
			r.plan.Links = append(r.plan.Links, link)
		}
		if len(path) > 2 {
			r.plan.Lines = append(r.plan.Lines, whole)
		}
	}
}

// partLines warns of lines that tell one length for several steps and are left,
// or joined, on the way: of what lies up to there the length is not known.
func (r *reader) partLines() {
	ends := map[string]bool{}
	for _, x := range r.plan.Sources {
		ends[x.ID] = x.State != plan.Removed
	}
	for _, x := range r.plan.Heaters {
		ends[x.ID] = x.State != plan.Removed
	}
	for _, x := range r.plan.DrawOffs {
		ends[x.ID] = x.State != plan.Removed
	}
	met := map[string]int{}
	for _, l := range r.plan.Links {
		if l.State != plan.Removed {
			met[l.A]++
			met[l.B]++
		}
	}
	for _, line := range r.plan.Lines {
		n := r.doc.Lookup("supply", "lines", line.ID)
		length, path := n.Get("length"), texts(n.Get("path"))
		if length == nil || line.State == plan.Removed {
			continue
		}
		for _, id := range path[1 : len(path)-1] {
			if ends[id] || met[id] > 2 {
				r.warn(length.At, "the length of line %s is told for the whole of it, and water leaves or joins it at %s: how far that is along it is not known; tell the line in two, up to %s and from there", line.ID, id, id)
				break
			}
		}
	}
}

// cuts reads where water pipes are to be cut.
func (r *reader) cuts() {
	for _, p := range pairs(r.doc.Get("cuts")) {
		n, state := p.Value, plan.New
		if text(n.Get("state")) == "done" {
			state = plan.Laid
		}
		c := plan.Cut{ID: p.Key, State: state, Then: word(n.Get("then")), Stump: r.length(n.Get("stump"), state)}
		copy(c.Between[:], texts(n.Get("between")))
		if !r.joined(c.Between) {
			r.warn(p.KeyAt, "cut %s lies between %s and %s, and no line of the supply passes both: which pipe is cut is not known", p.Key, c.Between[0], c.Between[1])
		}
		r.plan.Cuts = append(r.plan.Cuts, c)
	}
}

// joined tells whether one line, or a manifold's home run, meets both ends.
func (r *reader) joined(ends [2]string) bool {
	met := map[string]map[string]bool{}
	for _, l := range r.plan.Links {
		line := l.Line
		if strings.Contains(l.ID, "~") {
			line = l.ID
		}
		if met[line] == nil {
			met[line] = map[string]bool{}
		}
		met[line][l.A], met[line][l.B] = true, true
		if met[line][ends[0]] && met[line][ends[1]] {
			return true
		}
	}
	return false
}

// knownLine: whoever lays a line knows its course; only of an old one it must
// be asked.
func (r *reader) knownLine(n *document.Node, state plan.State) string {
	if state == plan.New || state == plan.Laid {
		return orElse(n.Get("known"), "seen")
	}
	return word(n.Get("known"))
}

func (r *reader) lengths(length, n *document.Node, state plan.State) (whole, rise *plan.Reading, bends []plan.Bend) {
	return r.length(length, state), r.read(n.Get("rise"), quantity.Length, placed, state), r.bends(n.Get("bends"))
}

// waterPipe is what links of one pipe have in common: own is said at the link
// itself and goes before what is said for all.
func (r *reader) waterPipe(all, own *document.Node, state plan.State) plan.Link {
	get := func(key string) *document.Node {
		if n := own.Get(key); n != nil {
			return n
		}
		return all.Get(key)
	}
	l := plan.Link{
		State: state, MadeOf: word(get("made_of")), Insulated: word(get("insulated")), Place: word(get("place")),
		Clips: r.length(get("clips"), state), Bonded: word(get("bonded")), Carries: unknown,
	}
	measured := all
	for _, key := range []string{"size", "outer", "bore", "girth"} {
		if own.Get(key) != nil {
			measured = own
		}
	}
	l.Size = r.waterSize(measured.Get("size"), measured, l.MadeOf, state)
	return l
}

// manifolds makes a link of every home run.
func (r *reader) manifolds() {
	for _, p := range pairs(r.doc.Lookup("supply", "manifolds")) {
		n, state := p.Value, stateOf(p.Value, plan.New)
		for _, to := range pairs(n.Get("to")) {
			l := r.waterPipe(n.Get("pipe"), to.Value.Get("pipe"), state)
			l.ID, l.Line, l.A, l.B = p.Key+"~"+to.Key, p.Key, p.Key, to.Key
			l.Known = "seen" // one follows a home run from the manifold
			length := to.Value
			if length != nil && length.Kind == document.Map {
				length = length.Get("length")
			}
			l.Length, l.Rise, l.Bends = r.lengths(length, to.Value, state)
			r.lay.places[l.ID] = to.KeyAt
			r.plan.Links = append(r.plan.Links, l)
		}
	}
}
