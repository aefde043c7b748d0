package layout

import (
	"math"
	"slices"
	"strings"

	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// inFloors tells pipes which floor they lie in and where they meet its joists.
func (r *reader) inFloors() {
	for _, p := range r.inOrder {
		for _, s := range r.segments[p.ID] {
			r.pieces[s.id].Floor = r.floorOf(p, r.pieces[s.id])
			r.pieces[s.id].Placed = r.placed(p)
		}
	}
	made := map[string]bool{}
	for _, p := range r.inOrder {
		if p.State != plan.Removed {
			r.crossByPoints(p, made)
		}
	}
	r.crossByOpenings(made)
}

// floorOf is the floor that a piece lies in: told to lie in one, or not told
// where and known to dip below the boards, in a room of just one floor.
func (r *reader) floorOf(p *pipe, piece *plan.Pipe) string {
	room := p.room
	if room == "" && p.fixture != "" {
		room = r.plan.Fixtures[r.fixture[p.fixture]].Room
	}
	var floor *plan.Floor
	for i := range r.plan.Floors {
		if f := &r.plan.Floors[i]; room != "" && oneOf(room, f.Rooms) {
			if floor != nil {
				return ""
			}
			floor = f
		}
	}
	if floor == nil {
		return ""
	}
	if p.Place == "in_floor" {
		return floor.ID
	}
	below := func(level *plan.Reading) bool { return level != nil && floor.Top != nil && level.High < floor.Top.Low }
	if p.Place == unknown && (below(piece.Level) || below(piece.To.Level)) {
		return floor.ID
	}
	return ""
}

// placed tells whether all corners of a pipe are told, and which piece lies
// between which of them.
func (r *reader) placed(p *pipe) bool {
	untold := func(l plan.Leg) bool { return l.Along == nil }
	return len(p.points) == len(p.Legs)+1 && !slices.ContainsFunc(p.Legs, untold) &&
		!slices.ContainsFunc(r.segments[p.ID][1:], func(s segment) bool { return s.from == nil })
}

// crossByPoints finds the joists under a pipe whose corners are told.
func (r *reader) crossByPoints(p *pipe, made map[string]bool) {
	if len(p.points) != len(p.Legs)+1 {
		return
	}
	for _, j := range r.plan.Joists {
		axis, known := map[string]int{"x": 1, "y": 0}[j.Along] // of the place across the joist
		if !known || j.At == nil || j.State == plan.Removed {
			continue
		}
		before := plan.Exactly(0)
		for i, leg := range p.Legs {
			c := meeting{across: axis, a: p.points[i], b: p.points[i+1], joist: j}
			if leg.Along == nil {
				break
			}
			if !leg.Steep && c.find() {
				r.crossing(p, i, before, c, made)
			}
			before = before.Plus(*lengthOrAlong(leg))
		}
	}
}

// meeting is where a straight piece from a to b meets a joist.
type meeting struct {
	across int // 0: the joist lies across x, 1: across y
	a, b   point
	joist  plan.Joist
	t      float64      // share of the way
	along  plan.Reading // level distance from a
	place  plan.Reading // coordinate along the joist
}

// find works out the place. False: the piece passes no such joist. One that
// ends within the joist's own width meets it.
func (m *meeting) find() bool {
	x, y := m.across, 1-m.across
	half := 0.0
	if m.joist.Width != nil {
		half = m.joist.Width.Value / 2
	}
	from, to, at := m.a[x].Value, m.b[x].Value, m.joist.At.Value
	if from == to || at < math.Min(from, to)-half || at > math.Max(from, to)+half {
		return false
	}
	t, along, place := meet(from, m.a[y].Value, to, m.b[y].Value, at)
	m.t, m.along, m.place = t, plan.PlusMinus(along, 0, plan.Computed), plan.PlusMinus(place, 0, plan.Computed)
	m.widen()
	return true
}

// meet is where the way from a to b passes the joist: the share of the way,
// the distance along it and the place along the joist.
func meet(ax, ay, bx, by, at float64) (t, along, place float64) {
	if ax == bx {
		return 0, 0, ay
	}
	t = math.Max(0, math.Min(1, (at-ax)/(bx-ax)))
	return t, t * math.Hypot(bx-ax, by-ay), ay + t*(by-ay)
}

// widen gives a meeting its bands: both grow or shrink with each of the five
// readings alone, so that the ends of all combinations hold them; only of a way
// that may run straight across the distance is least there.
func (m *meeting) widen() {
	x, y := m.across, 1-m.across
	of := [5]*plan.Reading{m.a[x], m.a[y], m.b[x], m.b[y], m.joist.At}
	for _, v := range of {
		if !v.Closed() {
			m.along.Low, m.along.High = 0, math.Inf(1)
			m.place.Low, m.place.High = math.Inf(-1), math.Inf(1)
			return
		}
	}
	straight := m.a[y].Low <= m.b[y].High && m.b[y].Low <= m.a[y].High
	for k := range 1 << len(of) {
		var v [5]float64
		for i, reading := range of {
			if v[i] = reading.Low; k>>i&1 == 1 {
				v[i] = reading.High
			}
		}
		_, along, place := meet(v[0], v[1], v[2], v[3], v[4])
		m.along.Low, m.along.High = math.Min(m.along.Low, along), math.Max(m.along.High, along)
		m.place.Low, m.place.High = math.Min(m.place.Low, place), math.Max(m.place.High, place)
		if straight {
			_, along, _ = meet(v[0], 0, v[2], 0, v[4])
			m.along.Low = math.Min(m.along.Low, along)
		}
	}
}

// crossing makes the subject of a meeting on leg i of a pipe, which lies so
// far along it. before is the length of the legs before.
func (r *reader) crossing(p *pipe, i int, before plan.Reading, m meeting, made map[string]bool) {
	leg := p.Legs[i]
	slant := 1.0
	if leg.Along.Value > 0 {
		slant = lengthOrAlong(leg).Value / leg.Along.Value
	}
	distance := before.Plus(m.along.Times(slant))
	id, _ := r.locate(p.ID, &distance)
	piece := r.pieces[id]
	if piece == nil || !r.onFloor(m.joist, piece.Floor) {
		return
	}
	c := plan.Crossing{
		Pair:   plan.Pair{ID: id + "~" + m.joist.ID, State: ofBoth(piece.State, m.joist.State), A: id, B: m.joist.ID},
		Along:  r.alongPiece(p, id, i, m.along),
		OnSpan: r.fromBearing(m),
	}
	if len(p.corners) == len(p.points) {
		c.Invert = inverted(p.corners[i], p.corners[i+1], m)
	}
	if above := r.topOf(piece.Floor); above != nil && c.Invert != nil && c.Invert.Low > above.High {
		return
	}
	if made[c.ID] {
		r.warn(p.at, "%s meets joist %s twice: only the first place is looked at", p.ID, m.joist.ID)
		return
	}
	made[c.ID] = true
	if o := r.openingFor(p.ID, m.joist.ID); o != nil {
		c.Opening = o.ID
		if c.OnSpan == nil {
			c.OnSpan = nearer(o.Distance, m.joist.Span)
		}
	}
	r.plan.Crossings = append(r.plan.Crossings, c)
}

// inverted is the level between two corners at a meeting, as exact as they are
// and as the slope lets the place be.
func inverted(a, b *plan.Reading, m meeting) *plan.Reading {
	if a == nil || b == nil {
		return nil
	}
	slope := 0.0
	if length := m.along.Value / math.Max(m.t, 1e-9); length > 0 {
		slope = math.Abs(a.Value-b.Value) / length
	}
	aside := math.Max(m.along.High-m.along.Value, m.along.Value-m.along.Low)
	by := weigh(1-m.t, within(a)) + weigh(m.t, within(b)) + weigh(slope, aside)
	v := plan.PlusMinus(a.Value+(b.Value-a.Value)*m.t, by, plan.Computed)
	return &v
}

// alongPiece is the level distance from the start of a piece to a place on leg
// i of its pipe. nil: where the piece begins is not known.
func (r *reader) alongPiece(p *pipe, id string, i int, on plan.Reading) *plan.Reading {
	level := func(legs []plan.Leg) plan.Reading {
		total := plan.Exactly(0)
		for _, leg := range legs {
			if !leg.Steep {
				total = total.Plus(*leg.Along)
			}
		}
		return total
	}
	along := level(p.Legs[:i]).Plus(on)
	pieces := r.segments[p.ID]
	if pieces[0].id == id {
		if len(pieces) > 1 && pieces[1].from == nil {
			return nil
		}
		return &along
	}
	for _, s := range pieces {
		if s.id != id {
			continue
		}
		if s.from == nil {
			return nil
		}
		left := *s.from
		for k, leg := range p.Legs {
			length := lengthOrAlong(leg)
			if length == nil || leg.Along == nil {
				return nil
			}
			if k+1 < len(p.Legs) && left.Value >= length.Value {
				left = left.Minus(*length)
				continue
			}
			start := level(p.Legs[:k])
			if !leg.Steep && length.Value > 0 {
				start = start.Plus(left.Times(leg.Along.Value / length.Value))
			}
			return positive(along.Minus(start))
		}
	}
	return nil
}

// onFloor tells whether a joist carries a floor.
func (r *reader) onFloor(j plan.Joist, floor string) bool {
	return floor != "" && (j.Floor == floor || j.Floor == "" && len(r.plan.Floors) == 1)
}

func (r *reader) topOf(floor string) *plan.Reading {
	for _, f := range r.plan.Floors {
		if f.ID == floor {
			return f.Top
		}
	}
	return nil
}

// fromBearing is how far along the joist a meeting lies from its nearer
// bearing. nil when no wall that carries joists is told to stand across its
// axis: where the joist begins is then not known.
func (r *reader) fromBearing(m meeting) *plan.Reading {
	axis := "y"
	if m.across == 1 {
		axis = "x"
	}
	var best *plan.Reading
	for _, p := range pairs(r.doc.Get("walls")) {
		if text(p.Value.Get("carries")) != "joists" {
			continue
		}
		face := r.face(text(p.Value.Get("at")), axis)
		if face == nil {
			continue
		}
		d := m.place.Minus(*face)
		if d.Value < 0 {
			d = d.Times(-1)
		}
		if best = positive(d); m.joist.Span != nil {
			best = nearer(best, m.joist.Span)
		}
		if m.joist.Span == nil || d.Low <= m.joist.Span.High {
			return best
		}
	}
	return nil
}

// face reads where a wall's face lies, "y 0" or "x 2.60 m"; nil when it lies
// across another axis or was not told.
func (r *reader) face(at, axis string) *plan.Reading {
	figure, found := strings.CutPrefix(strings.TrimSpace(at), axis)
	if !found {
		return nil
	}
	if figure = strings.TrimSpace(figure); figure == "0" {
		zero := plan.Exactly(0)
		return &zero
	}
	q, err := quantity.Parse(figure, quantity.Length)
	if err != nil || q.Word != "" {
		return nil
	}
	v := q.Reading
	if !q.HasTolerance {
		r.widen(&v, quantity.Length, placed, plan.Existing, nil, false)
	}
	return &v
}

// nearer is a distance from one bearing as one from the nearer of both. Of a
// joist whose span nobody told it is taken as told.
func nearer(d, span *plan.Reading) *plan.Reading {
	if d == nil || span == nil {
		return d
	}
	o := span.Minus(*d)
	return positive(plan.Reading{Low: math.Min(d.Low, o.Low), Value: math.Min(d.Value, o.Value), High: math.Min(d.High, o.High), How: d.How})
}

func (r *reader) openingFor(pipe, joist string) *plan.Opening {
	for i := range r.plan.Openings {
		if o := &r.plan.Openings[i]; o.For == pipe && o.Joist == joist && o.State != plan.Removed {
			return o
		}
	}
	return nil
}

// crossByOpenings adds the joists that a pipe is known to pass by the opening
// made for it.
func (r *reader) crossByOpenings(made map[string]bool) {
	joists := map[string]plan.Joist{}
	for _, j := range r.plan.Joists {
		joists[j.ID] = j
	}
	crossed := map[[2]string]bool{}
	for _, c := range r.plan.Crossings {
		crossed[[2]string{r.pieces[c.A].Whole, c.B}] = true
	}
	for _, o := range r.plan.Openings {
		p, j, pieces := r.pipes[o.For], joists[o.Joist], r.segments[o.For]
		if p == nil || j.ID == "" || len(pieces) == 0 || p.State == plan.Removed || o.State == plan.Removed || crossed[[2]string{p.ID, j.ID}] {
			continue
		}
		id := pieces[0].id + "~" + j.ID
		if made[id] {
			continue
		}
		made[id] = true
		r.plan.Crossings = append(r.plan.Crossings, plan.Crossing{
			Pair:   plan.Pair{ID: id, State: ofBoth(p.State, j.State), A: pieces[0].id, B: j.ID},
			OnSpan: nearer(o.Distance, j.Span), Opening: o.ID,
		})
	}
}

// lengthOrAlong is a leg's length, or its level distance where no levels tell
// the length.
func lengthOrAlong(leg plan.Leg) *plan.Reading {
	if leg.Length != nil {
		return leg.Length
	}
	return leg.Along
}
