package layout

import (
	"slices"

	"fallrule/plugins/sdk/plan"
)

// pairs makes the subjects that a clause looks at two at a time.
func (r *reader) pairs() {
	r.oneDatum()
	r.entryPairs()
	r.openingPairs()
}

// Entries of a stack that are known to lie further apart than entryReach are no
// pair: the codes speak of some 200 to 250 mm between opposed entries.
const entryReach = 1000.0

func (r *reader) entryPairs() {
	for _, s := range r.plan.Stacks {
		for i, a := range s.Entries {
			for _, b := range s.Entries[i+1:] {
				p, q := r.pieces[a], r.pieces[b]
				facing := facing(p.To.Side, q.To.Side)
				if facing == "" || p.State == plan.Removed && q.State == plan.Removed {
					continue
				}
				if farApart(p.To.Level, q.To.Level) {
					continue
				}
				r.plan.EntryPairs = append(r.plan.EntryPairs, plan.EntryPair{
					Pair:  plan.Pair{ID: a + "~" + b, State: ofBoth(p.State, q.State), A: a, B: b},
					Stack: s.ID, Carries: r.carriesEither(p.Serves, q.Serves), Facing: facing,
				})
			}
		}
	}
}

func farApart(a, b *plan.Reading) bool {
	return a != nil && b != nil && (a.Low-b.High > entryReach || b.Low-a.High > entryReach)
}

// facing tells how two sides of a stack lie to each other; "" when they are
// known not to face.
func facing(a, b string) string {
	opposite := map[string]string{"left": "right", "right": "left", "front": "rear", "rear": "front"}
	switch {
	case a == unknown || b == unknown:
		return unknown
	case opposite[a] == b:
		return "opposed"
	}
	return ""
}

// ofBoth is the state of a pair: what is removed makes no pair, what is new
// makes a new one.
func ofBoth(a, b plan.State) plan.State {
	for _, s := range []plan.State{plan.Removed, plan.New, plan.Laid} {
		if a == s || b == s {
			return s
		}
	}
	return plan.Existing
}

func (r *reader) carriesEither(a, b []string) string {
	return carries(slices.Concat(a, b), func(id string) plan.Fixture { return r.plan.Fixtures[r.fixture[id]] })
}

// carries tells whether a water closet is among fixtures.
func carries(ids []string, fixture func(string) plan.Fixture) string {
	doubt := false
	for _, id := range ids {
		switch fixture(id).Kind {
		case "wc":
			return "wc"
		case unknown:
			doubt = true
		}
	}
	if doubt {
		return unknown
	}
	return "waste"
}

// oneDatum brings the openings of one joist that are measured from different
// walls to one of them, by the span.
func (r *reader) oneDatum() {
	first, spans := map[string]string{}, map[string]*plan.Reading{}
	for _, j := range r.plan.Joists {
		spans[j.ID] = j.Span
	}
	for i := range r.plan.Openings {
		o := &r.plan.Openings[i]
		wall := r.from[o.ID]
		if wall == "" || o.Distance == nil {
			continue
		}
		if first[o.Joist] == "" {
			first[o.Joist] = wall
		}
		if first[o.Joist] == wall {
			continue
		}
		span := spans[o.Joist]
		if span == nil {
			r.warn(r.ids[o.ID].at, "openings of joist %s are measured from %s and from %s and its span is not told: they cannot be compared", o.Joist, first[o.Joist], wall)
			continue
		}
		d := span.Minus(*o.Distance)
		o.Distance = positive(d)
		r.from[o.ID] = first[o.Joist]
	}
}

// openingPairs are neighbours on one joist, by distance. An opening whose
// distance nobody told may be anyone's neighbour.
func (r *reader) openingPairs() {
	byJoist := map[string][]plan.Opening{}
	var joists []string
	for _, o := range r.plan.Openings {
		if byJoist[o.Joist] == nil {
			joists = append(joists, o.Joist)
		}
		byJoist[o.Joist] = append(byJoist[o.Joist], o)
	}
	for _, j := range joists {
		var placed, lost []plan.Opening
		for _, o := range byJoist[j] {
			if o.Distance == nil {
				lost = append(lost, o)
			} else {
				placed = append(placed, o)
			}
		}
		slices.SortStableFunc(placed, func(a, b plan.Opening) int {
			switch {
			case a.Distance.Value < b.Distance.Value:
				return -1
			case a.Distance.Value > b.Distance.Value:
				return 1
			}
			return 0
		})
		for i := 1; i < len(placed); i++ {
			r.openingPair(placed[i-1], placed[i])
		}
		for i, a := range lost {
			for _, b := range append(slices.Clone(placed), lost[i+1:]...) {
				r.openingPair(a, b)
			}
		}
	}
}

func (r *reader) openingPair(a, b plan.Opening) {
	if a.State == plan.Removed && b.State == plan.Removed || r.from[a.ID] != r.from[b.ID] && r.from[a.ID] != "" && r.from[b.ID] != "" {
		return
	}
	r.plan.OpeningPairs = append(r.plan.OpeningPairs, plan.Pair{ID: a.ID + "~" + b.ID, State: ofBoth(a.State, b.State), A: a.ID, B: b.ID})
}
