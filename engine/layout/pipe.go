package layout

import (
	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// pipe is a whole pipe as the document tells it, before it is cut.
type pipe struct {
	plan.Pipe
	drain   bool
	whole   bool            // told in whole figures
	corners []*plan.Reading // inverts of its corners, when points tell them
	points  []point         // its corners, when points tell its course
	room    string          // told for the pipe itself
	at      finding.Position
	fixture string  // whose waste it is; "" for a drain
	to      *target // nil: nothing said where it leads
	joins   []*join // what ends in it, in the document's order
	parent  string  // what receives it: pipe, stack or trap box; "" for a sewer
}

// target is where a pipe ends, as told.
type target struct {
	id       string
	at       finding.Position
	junction plan.Junction
	placed   bool // a distance or level was said, known or not
}

// join is a pipe or stack that ends in another pipe.
type join struct {
	pipe     *pipe // nil for a stack
	stack    string
	distance *plan.Reading
	atStart  bool
}

// segment is one piece of a cut pipe.
type segment struct {
	id   string
	from *plan.Reading // along the whole pipe, where it begins; nil: not known
}

// newPipe reads a waste or drain.
func (r *reader) newPipe(id string, n *document.Node, at finding.Position, state plan.State) *pipe {
	state = stateOf(n, state)
	p := &pipe{at: at, Pipe: plan.Pipe{
		ID: id, Whole: id, State: state, MadeOf: word(n.Get("made_of")), Place: word(n.Get("place")), Reach: word(n.Get("reach")), Fixture: unknown,
	}}
	size, sizeState := r.built(id, n, "size", state)
	p.Size = r.size(size, p.MadeOf, sizeState)
	clips, clipsState := r.built(id, n, "clips", state)
	p.Clips = r.length(clips, clipsState)
	p.Socket = r.gauge(n.Get("socket"), state)
	p.room = text(n.Get("room"))
	c := r.course(id, n, state)
	p.Told = c.told
	p.Legs, p.whole, p.points = c.legs, c.whole, c.points
	start, startState := r.built(id, n, "start", state)
	p.Level = r.level(start, startState)
	p.to = r.target(id, n.Get("to"), state)
	r.levelsOfPoints(p, c.levels, r.seen(id, n, p.Size), start)
	r.pipes[id] = p
	r.inOrder = append(r.inOrder, p)
	return p
}

// levelsOfPoints takes start and end of a pipe from its points, read a shift
// above the invert, and holds them against what is told beside them.
func (r *reader) levelsOfPoints(p *pipe, levels []*plan.Reading, shift *plan.Reading, start *document.Node) {
	if len(levels) == 0 || shift == nil {
		return
	}
	for _, l := range levels {
		p.corners = append(p.corners, lower(l, shift))
	}
	first, last := p.corners[0], p.corners[len(p.corners)-1]
	if apart(p.Level, first) {
		r.fault(start.At, "the pipe starts at %s and its first point lies at %s: one of them is wrong", show(p.Level, "mm"), show(first, "mm"))
	}
	if p.Level == nil {
		p.Level = first
	}
	if p.to == nil {
		return
	}
	if apart(p.to.junction.Level, last) {
		r.fault(p.to.at, "the pipe ends at %s and its last point lies at %s: one of them is wrong", show(p.to.junction.Level, "mm"), show(last, "mm"))
	}
	if p.to.junction.Level == nil {
		p.to.junction.Level = last
	}
}

// seen is how far above the invert the line lies that the points were read
// on; nil when that does not follow from what is known of the size.
func (r *reader) seen(id string, n *document.Node, size *plan.Size) *plan.Reading {
	if today := r.today[id]; today.Get("points") != nil {
		n = today
	}
	zero := plan.Exactly(0)
	switch at := text(n.Get("points_at")); {
	case at == "" || at == "invert":
		return &zero
	case at == unknown || size == nil || size.Bore == nil:
		return nil
	case at == "centre":
		half := size.Bore.Times(0.5)
		return &half
	case size.Outer == nil:
		return nil
	}
	top := size.Bore.Plus(*size.Outer).Times(0.5)
	return &top
}

func lower(level, by *plan.Reading) *plan.Reading {
	if level == nil || by.Value == 0 {
		return level
	}
	l := level.Minus(*by)
	return &l
}

// target reads `to`: an id, or where along it and how.
func (r *reader) target(id string, n *document.Node, state plan.State) *target {
	if n == nil {
		return nil
	}
	t := &target{id: text(n), at: n.At, junction: plan.Junction{Kind: unknown, Swept: unknown, Side: unknown}}
	if n.Kind == document.Map {
		t.id = text(n.Get("pipe"))
		t.placed = n.Get("distance") != nil || n.Get("level") != nil
		t.junction.Side = word(n.Get("side"))
		r.fitting(n.Get("fitting"), &t.junction, state)
	}
	distance, distanceState := r.built(id, n, "distance", state)
	t.junction.Distance = r.length(distance, distanceState)
	level, levelState := n.Get("level"), state
	if today := r.today[id].Get("level"); today != nil {
		level, levelState = today, plan.Laid
	}
	t.junction.Level = r.level(level, levelState)
	if t.id == "" {
		return nil
	}
	return t
}

// fitting reads how a junction is made. Angles are stamped, so exact.
func (r *reader) fitting(n *document.Node, j *plan.Junction, state plan.State) {
	if n == nil {
		return
	}
	j.Made = text(n)
	if n.Kind != document.Map {
		if j.Made != unknown && j.Made != none {
			j.Angle = stamped(r.read(n, quantity.Angle, asTold, state))
		}
		return
	}
	j.Angle = stamped(r.read(n.Get("angle"), quantity.Angle, asTold, state))
	j.Radius = r.gauge(n.Get("radius"), state)
	j.Swept = word(n.Get("swept"))
	j.Made = text(n.Get("angle"))
}

// drains reads the pipes that belong to no fixture.
func (r *reader) drains() {
	for _, p := range pairs(r.doc.Get("drains")) {
		d := r.newPipe(p.Key, p.Value, p.KeyAt, plan.New)
		d.drain = true
		r.leads(d)
	}
}

// leads says that a pipe leads nowhere: a fault in what is to be built.
func (r *reader) leads(p *pipe) {
	if p.to != nil {
		return
	}
	r.add(document.Fault{
		At: p.at, What: p.ID + " leads nowhere: it has no `to`", Allowed: "to: the id of a stack, drain, waste or trap box, or public_sewer, own_treatment, cesspool, gully, hopper, outside, unknown",
		Warning: p.State == plan.Existing || p.State == plan.Removed,
	})
}
