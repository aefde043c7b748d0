package venting

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fallrule/plugins/interval"
	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/plugins/sizes"
)

// risks are the words of siphonage and induced, least first.
var risks = []string{"low", "raised", "high"}

const (
	low = iota
	raised
	high
)

// riskOf faults. From a round bottom the water stops at once: one fault raises
// the risk, two make it high. A flat bottom refills the trap with what trails
// off: it takes three, and within a code's length on a pipe that is wide enough
// there are at most two (common practice, no source).
func (g group) riskOf(faults int) int {
	switch {
	case faults == 0:
		return low
	case faults == 1, faults == 2 && g.Bottom == "flat":
		return raised
	}
	return high
}

// siphonage is the risk that a fixture's own discharge empties its trap.
//
// Nothing raises it where air surely comes in behind the trap, by a branch
// vent, a valve or a trap with an air valve of its own; for a water closet,
// whose cistern refills the pan (common practice, no source); or for a floor
// drain, into which water trickles (common practice, no source). Else the way
// is held against siphonage.yaml: its faults are a bore under the least, a
// length, a fall and an upright piece over the greatest, an S-trap's downpipe
// counted as one.
func siphonage(s *site, t plan.Trap) reply.Answer {
	kind := s.fixtures[t.Fixture].Kind
	g, known := s.groupOf(kind)
	only := ""
	if len(t.Kinds) == 1 {
		only = t.Kinds[0]
	}
	switch {
	case only == "none":
		return reply.Answer{Gap: reply.Outside("fixture " + t.Fixture + " has no trap that could be emptied")}
	case kind == "wc" || kind == "floor_drain":
		return reply.State("a "+strings.ReplaceAll(kind, "_", " ")+"'s trap is refilled", "common practice, no source", risks[low])
	case only == "anti_vacuum":
		return reply.State("its trap lets air in by itself", t.ID+".kind", risks[low])
	case kind == "" || kind == "unknown":
		return reply.Answer{Gap: reply.NotTold(t.Fixture+".kind", "what fixture trap "+t.ID+" serves is not told")}
	case !known:
		return reply.Answer{Gap: reply.Outside("no limit is known for the waste of a " + strings.ReplaceAll(kind, "_", " "))}
	}
	way := s.fromTrap(t)
	air := s.airOn(way)
	if air.surely {
		return reply.State("air comes in behind the trap", name, risks[low])
	}
	o, gap := s.outletOf(t, way)
	if gap != nil && o == nil {
		return reply.Answer{Gap: gap}
	}
	least, most := g.faults(*o)
	from, to := g.riskOf(least), g.riskOf(most)
	if air.perhaps || slices.Contains(t.Kinds, "anti_vacuum") {
		from = low
	}
	if gap == nil {
		gap = air.gap
	}
	return between(from, to, gap, func() sdk.Working { return g.working(*o, least, most) })
}

// between answers with the words from one risk to another. When all are
// possible for want of a reading, that reading is what helps.
func between(from, to int, gap *sdk.Gap, working func() sdk.Working) reply.Answer {
	if gap != nil && from == low && to == high {
		return reply.Answer{Gap: gap}
	}
	return reply.Words(risks[from:to+1], working)
}

func (g group) working(o outlet, least, most int) sdk.Working {
	row := g.Rows[0]
	for _, r := range g.Rows {
		if o.bore.Value >= r.Bore {
			row = r
		}
	}
	count := fmt.Sprint(least)
	if most > least {
		count += fmt.Sprintf(" to %d", most)
	}
	return sdk.Working{
		Formula: fmt.Sprintf("faults over: bore %s, length %s, fall %s, upright piece %s; %s bottom", reply.Value(row.Bore, "mm"), reply.Value(row.Length, "mm"), reply.Value(row.at(o.length.Value).Fall, "mm/m"), reply.Value(row.Upright, "mm"), g.Bottom),
		Numbers: fmt.Sprintf("bore %s, length %s, fall %s, upright piece %s%s; faults: %s", reply.Reading(o.bore, "mm"), reply.Reading(o.length, "mm"), reply.Reading(o.fall, "mm/m"), reply.Reading(o.upright, "mm"), o.sTrap.word(), count),
		Source:  row.Clause + " (" + row.basis(o.length.Value) + ")",
	}
}

// air is whether a vent or valve lets air in on the way.
type air struct {
	doubt
	words []string
	gap   *sdk.Gap
}

func (s *site) airOn(way route) air {
	got := s.ventedBy(way, nil)
	if got.Gap != nil {
		return air{doubt: doubt{perhaps: true}, gap: got.Gap}
	}
	airs := func(w string) bool { return w == "branch_vent" || w == "valve" }
	return air{words: got.Words, doubt: doubt{
		surely:  !slices.ContainsFunc(got.Words, func(w string) bool { return !airs(w) }),
		perhaps: slices.ContainsFunc(got.Words, airs)}}
}

// wide is the bore in which the water of a small waste no longer fills the
// pipe, so that what lies beyond does not suck: the least of DN 80, mm. Common
// practice, no source.
const wide = 75

// open is a reading that nobody took, of a thing that is never below nothing.
func open() plan.Reading { return plan.Reading{High: math.Inf(1), How: plan.Computed} }

// outletOf reads the way from a trap up to its end or to a wide pipe. The bore
// must be known; any other reading that is missing is open, and the gap says
// which was the first.
func (s *site) outletOf(t plan.Trap, way route) (*outlet, *sdk.Gap) {
	if len(way.pipes) == 0 {
		return nil, way.gap
	}
	path := s.pathOf(way.pipes[0])
	bore, gap := sizes.Bore(way.pipes[0].Size, path+".size", "the bore of pipe "+path)
	if gap != nil {
		return nil, gap
	}
	o := &outlet{bore: bore, sTrap: sTrap(t)}
	narrow := way.pipes
	if i := slices.IndexFunc(narrow, surelyWide); i >= 0 {
		narrow = narrow[:max(i, 1)]
	} else if way.gap != nil {
		gap = way.gap
	}
	length, missing := s.lengths(narrow)
	if missing != nil || gap != nil {
		length, gap = open(), first(gap, missing)
	}
	o.length = length
	for _, p := range narrow {
		fall, upright := s.run(p).Fall(), s.run(p).SteepDrop()
		o.fall, gap = greater(o.fall, fall, gap)
		o.upright, gap = sum(o.upright, upright, gap)
	}
	return o, gap
}

func surelyWide(p *plan.Pipe) bool {
	return p.Size != nil && p.Size.Bore != nil && p.Size.Bore.Low >= wide
}

func first(a, b *sdk.Gap) *sdk.Gap {
	if a != nil {
		return a
	}
	return b
}

// greater leaves a pipe that is all drop out: it has no fall.
func greater(so plan.Reading, a reply.Answer, gap *sdk.Gap) (plan.Reading, *sdk.Gap) {
	switch {
	case a.Gap == nil:
		return interval.Greater(so, a.Reading()), gap
	case a.Gap.Because == sdk.OutOfRange:
		return so, gap
	}
	return interval.Greater(so, open()), first(gap, a.Gap)
}

func sum(so plan.Reading, a reply.Answer, gap *sdk.Gap) (plan.Reading, *sdk.Gap) {
	if a.Gap != nil {
		return so.Plus(open()), first(gap, a.Gap)
	}
	return so.Plus(a.Reading()), gap
}

// sTrap tells whether the trap runs straight down; a kind nobody told may.
func sTrap(t plan.Trap) doubt {
	is := slices.Contains(t.Kinds, "s")
	return doubt{surely: is && len(t.Kinds) == 1, perhaps: is || len(t.Kinds) == 0 || slices.Contains(t.Kinds, "unknown")}
}

func (d doubt) word() string {
	switch {
	case d.surely:
		return " and an S-trap"
	case d.perhaps:
		return " and perhaps an S-trap"
	}
	return ""
}
