package layout

import (
	"math"
	"slices"
	"strconv"

	"fallrule/engine/finding"
	"fallrule/plugins/sdk/plan"
)

// sameplace is how near two junctions are one place along a pipe, mm.
const samePlace = 1.0

// cutting is a place where a pipe is cut: all that joins there.
type cutting struct {
	distance *plan.Reading // nil: not known
	joins    []*join
}

// cut makes the pieces of a pipe: it begins anew wherever another joins.
func (r *reader) cut(p *pipe) {
	r.levels(p)
	cuts := r.cuttings(p)
	parts := divide(p.Legs, cuts)
	ids := make([]string, len(parts))
	for i := range parts {
		ids[i] = p.ID
		if len(parts) > 1 {
			ids[i] += "/" + strconv.Itoa(i+1)
		}
	}
	r.placeBends(p, parts)
	level := p.Level
	for i, legs := range parts {
		piece := p.Pipe
		piece.ID, piece.Legs, piece.Level = ids[i], legs, level
		level = fallen(level, legs)
		if i < len(cuts) {
			if at := levelAt(p, cuts[i].distance); at != nil {
				level = at
			}
		}
		if i+1 < len(parts) {
			piece.To = r.straightOn(p, ids[i+1], level)
		} else if p.to != nil {
			piece.To = p.to.junction
		} else {
			piece.To = plan.Junction{Kind: unknown, Swept: unknown, Side: unknown}
		}
		var from *plan.Reading
		if i == 0 {
			zero := plan.Exactly(0)
			from = &zero
		} else {
			from = cuts[i-1].distance
		}
		if len(parts) > 1 {
			piece.Told, piece.Beyond = stretch(p, cuts, i)
		}
		r.segments[p.ID] = append(r.segments[p.ID], segment{ids[i], from})
		r.pieces[ids[i]] = &piece
	}
	for i, c := range cuts {
		for _, j := range c.joins {
			if j.pipe != nil {
				j.pipe.to.junction.ID = ids[i+1]
			}
		}
	}
	r.pieceJoins(p)
}

// stretch gives the length of a piece between its junctions, and from its
// start to the pipe's end, as far as they are known.
func stretch(p *pipe, cuts []cutting, i int) (told, beyond *plan.Reading) {
	from, total := plan.Exactly(0), sum(p.Legs, lengthOf)
	switch {
	case total == nil:
		total = p.Told
	case p.Told != nil:
		total = cutBy(*total, *p.Told)
	}
	if i > 0 {
		if cuts[i-1].distance == nil {
			return nil, nil
		}
		from = *cuts[i-1].distance
	}
	if total != nil {
		beyond = positive(total.Minus(from))
	}
	if i == len(cuts) {
		return beyond, beyond
	}
	if upto := cuts[i].distance; upto != nil {
		told = positive(upto.Minus(from))
	}
	return told, beyond
}

// placeBends of a pipe told in whole figures: all told ones are counted at its
// end, where its one leg ends, and of the pieces before a junction nobody knows
// whether they bend.
func (r *reader) placeBends(p *pipe, parts [][]plan.Leg) {
	if !p.whole || len(p.Legs) == 0 {
		return
	}
	told := p.Legs[len(p.Legs)-1].Bends
	if len(parts) == 1 && (told != nil || p.Legs[0].Length != nil) || told != nil && len(told) == 0 {
		return
	}
	if len(parts) > 1 && len(told) > 0 {
		r.warn(p.at, "others join %s and its bends are told for the whole: they are counted after the last junction; tell them run by run", p.ID)
	}
	for i, legs := range parts {
		if len(legs) == 0 || i == len(parts)-1 && told != nil {
			continue
		}
		bent := slices.Clone(legs)
		bent[len(bent)-1].Bends = unknownBends()
		parts[i] = bent
	}
}

// pieceJoins puts ids found after the joining pipe was cut on its last piece,
// and those of pipes that run into the beginning.
func (r *reader) pieceJoins(p *pipe) {
	for _, j := range p.joins {
		if j.pipe == nil {
			continue
		}
		if j.atStart {
			j.pipe.to.junction.ID = r.segments[p.ID][0].id
		}
		if parts := r.segments[j.pipe.ID]; len(parts) > 0 {
			r.pieces[parts[len(parts)-1].id].To.ID = j.pipe.to.junction.ID
		}
	}
}

// straightOn is the junction of a piece with the next one of its own pipe: it
// turns by nothing.
func (r *reader) straightOn(p *pipe, next string, level *plan.Reading) plan.Junction {
	zero := plan.Exactly(0)
	kind := "branch"
	if p.drain {
		kind = "drain"
	}
	return plan.Junction{Kind: kind, ID: next, Level: level, Angle: &zero, Swept: "swept", Side: unknown, Made: "straight on"}
}

// cuttings are the places where others join, in the order of the flow. Those
// at a distance nobody told come first, as one: the pieces after them carry
// all, which errs to the safe side.
func (r *reader) cuttings(p *pipe) []cutting {
	total := sum(p.Legs, lengthOf)
	var unsure, sure []*join
	for _, j := range p.joins {
		switch {
		case j.atStart:
		case j.distance == nil:
			unsure = append(unsure, j)
		default:
			if total != nil && j.distance.Low > total.High {
				r.fault(r.joinedAt(j), "the junction lies %s along %s, which is only %s long", show(j.distance, "mm"), p.ID, show(total, "mm"))
			}
			sure = append(sure, j)
		}
	}
	slices.SortStableFunc(sure, func(a, b *join) int {
		switch {
		case a.distance.Value < b.distance.Value:
			return -1
		case a.distance.Value > b.distance.Value:
			return 1
		}
		return 0
	})
	var cuts []cutting
	if len(unsure) > 0 {
		cuts = append(cuts, cutting{nil, unsure})
	}
	for _, j := range sure {
		if last := len(cuts) - 1; last >= 0 && cuts[last].distance != nil && math.Abs(cuts[last].distance.Value-j.distance.Value) <= samePlace {
			cuts[last].joins = append(cuts[last].joins, j)
			continue
		}
		cuts = append(cuts, cutting{j.distance, []*join{j}})
	}
	return cuts
}

// divide shares a pipe's legs out to its pieces.
func divide(legs []plan.Leg, cuts []cutting) [][]plan.Leg {
	var known []plan.Reading
	unsure := false
	for _, c := range cuts {
		if c.distance == nil {
			unsure = true
		} else {
			known = append(known, *c.distance)
		}
	}
	parts := split(legs, known)
	if !unsure {
		return parts
	}
	before, after := blur(parts[0])
	return append([][]plan.Leg{before, after}, parts[1:]...)
}

// blur divides legs at a place nobody knows. Of a single near-level leg the
// fall stays true of both pieces; their lengths are not known.
func blur(legs []plan.Leg) (before, after []plan.Leg) {
	if len(legs) != 1 || legs[0].Steep {
		return nil, nil
	}
	leg := plan.Leg{Fall: fallOf(legs[0]), Bubble: legs[0].Bubble}
	if leg.Fall == nil && leg.Bubble == "" && len(legs[0].Bends) == 0 {
		return nil, nil
	}
	end := leg
	end.Bends = legs[0].Bends
	return []plan.Leg{leg}, []plan.Leg{end}
}

// split divides legs at distances along the pipe, which ascend.
func split(legs []plan.Leg, at []plan.Reading) [][]plan.Leg {
	parts := make([][]plan.Leg, 0, len(at)+1)
	rest := legs
	done := plan.Exactly(0)
	for _, d := range at {
		before, after, ok := splitOnce(rest, d.Minus(done))
		if !ok {
			before, after = shorten(rest, d.Minus(done))
		}
		parts = append(parts, before)
		rest, done = after, d
	}
	return append(parts, rest)
}

// shorten divides a single leg of unknown length: the first piece is as long
// as the distance tells, the rest is not known.
func shorten(legs []plan.Leg, d plan.Reading) (before, after []plan.Leg) {
	before, after = blur(legs)
	if len(before) == 1 && d.Value > 0 {
		length := plan.Reading{Low: math.Max(0, d.Low), Value: d.Value, High: d.High, How: d.How}
		before[0].Length = &length
		finish(&before[0])
	}
	return before, after
}

// splitOnce divides legs at one distance; not ok when a length is not known.
func splitOnce(legs []plan.Leg, d plan.Reading) (before, after []plan.Leg, ok bool) {
	if sum(legs, lengthOf) == nil {
		return nil, nil, false
	}
	for i, leg := range legs {
		length := leg.Length.Value
		if d.Value >= length-samePlace && i+1 < len(legs) {
			before = append(before, leg)
			d = d.Minus(*leg.Length)
			if math.Abs(d.Value) <= samePlace {
				return before, legs[i+1:], true
			}
			continue
		}
		first, second := splitLeg(leg, d)
		before = append(before, first)
		return before, append([]plan.Leg{second}, legs[i+1:]...), true
	}
	return before, nil, true
}

// splitLeg divides one leg. Its slope is one, so drop and level distance are
// shared by length and their bands with them.
func splitLeg(leg plan.Leg, d plan.Reading) (first, second plan.Leg) {
	total := leg.Length.Value
	part := 0.0
	if total > 0 {
		part = math.Max(0, math.Min(1, d.Value/total))
	}
	first, second = leg, leg
	first.Bends = []plan.Bend{}
	rest := leg.Length.Minus(d)
	first.Length, second.Length = positive(d), positive(rest)
	if leg.Along != nil {
		first.Along, second.Along = share(*leg.Along, part), share(*leg.Along, 1-part)
		if !leg.Steep && total > 0 {
			slant := leg.Along.Value / total
			first.Along, second.Along = positive(d.Times(slant)), positive(rest.Times(slant))
		}
	}
	if leg.Drop != nil {
		first.Drop, second.Drop = share(*leg.Drop, part), share(*leg.Drop, 1-part)
	}
	if leg.Drop != nil && !leg.Steep {
		// The fall is that of the whole leg, known better than from the
		// pieces' own figures.
		first.Fall, second.Fall = fallOf(leg), fallOf(leg)
		first.Drop, second.Drop = nil, nil
	}
	return first, second
}

func positive(v plan.Reading) *plan.Reading {
	return &plan.Reading{Low: math.Max(0, v.Low), Value: math.Max(0, v.Value), High: math.Max(0, v.High), How: v.How}
}

// joinedAt is where the document says that something joins a pipe.
func (r *reader) joinedAt(j *join) finding.Position {
	if j.pipe != nil {
		return j.pipe.to.at
	}
	return r.stackTo[j.stack].at
}
