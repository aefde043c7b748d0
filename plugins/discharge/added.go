package discharge

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// work is what changes at one stack or drain: the units of the fixtures that
// stay, go and come, and the frequency factor.
type work struct {
	stay, gone, come []unit
	k                float64
}

// changed is what hangs on the fixtures before the work as well as after it.
func changed(f func(work) reply.Answer) []reply.Each[*site] {
	at := func(s *site, id string, state plan.State, l load) reply.Answer {
		w, gap := s.workAt(id, state, l)
		if gap != nil {
			return reply.Answer{Gap: gap}
		}
		return f(w)
	}
	return []reply.Each[*site]{
		reply.Drains(func(s *site, p *plan.Pipe) reply.Answer {
			return at(s, p.ID, p.State, load{reply.DrainPath(p), p.Serves})
		}),
		reply.Stacks(func(s *site, x plan.Stack) reply.Answer {
			return at(s, x.ID, x.State, load{"stacks." + x.ID, x.Serves})
		}),
	}
}

// workAt sorts the fixtures of a stack or drain. One that the work makes had
// nothing before; one that was there had the existing fixtures that run into it
// now, and the removed ones whose pipes led to it.
func (s *site) workAt(id string, state plan.State, l load) (w work, gap *sdk.Gap) {
	system := s.house.System
	if !slices.Contains(systems, system) {
		return w, noSystem()
	}
	stay, gone, come := []string{}, []string{}, []string{}
	if state == plan.Existing {
		if gone, gap = s.removed.into(id); gap != nil {
			return w, gap
		}
	}
	for _, f := range l.ids {
		if state == plan.Existing && s.fixtures[f] != nil && s.fixtures[f].State == plan.Existing {
			stay = append(stay, f)
		} else {
			come = append(come, f)
		}
	}
	if len(l.ids)+len(gone) == 0 {
		return w, l.noFixtures()
	}
	if w.stay, gap = s.unitsOf(stay, s.fixtures, system); gap != nil {
		return w, gap
	}
	if w.gone, gap = s.unitsOf(gone, s.removed.fixtures, system); gap != nil {
		return w, gap
	}
	if w.come, gap = s.unitsOf(come, s.fixtures, system); gap != nil {
		return w, gap
	}
	return w, s.settle(&w)
}

// settle sets the frequency factor. A use that nobody told leaves it open; that
// is asked for unless every factor gives the same flows.
func (s *site) settle(w *work) *sdk.Gap {
	k, told := s.en.factor(s.house.Use)
	if !told {
		least, greatest := s.en.factors()
		if k = greatest; w.before(least) != w.before(k) || w.after(least) != w.after(k) {
			return noUse()
		}
	}
	w.k = k
	return nil
}

func (w work) before(k float64) sdk.Band { return flowOf(k, slices.Concat(w.stay, w.gone)) }

func (w work) after(k float64) sdk.Band { return flowOf(k, slices.Concat(w.stay, w.come)) }

const addedSource = "EN 12056-2:2000, tables 2 and 3; 6.3 (not less than the largest unit: from memory)"

func flowBefore(w work) reply.Answer {
	q := w.before(w.k)
	return reply.Band(q, func() sdk.Working {
		return sdk.Working{
			Formula: "flow = K x root of the sum of discharge units, at least the largest single unit, of what was there before the work",
			Numbers: fmt.Sprintf("K %s, units of %s: %s", reply.Value(w.k, "1"), listed(slices.Concat(w.stay, w.gone)), reply.Range(q, "l/s")),
			Source:  addedSource,
		}
	})
}

func flowAdded(w work) reply.Answer {
	q := w.added()
	return reply.Band(q, func() sdk.Working {
		before, after := w.before(w.k), w.after(w.k)
		return sdk.Working{
			Formula: "flow added = design flow after the work - design flow before it",
			Numbers: fmt.Sprintf("%s - %s = %s; come %s, go %s, stay %s", reply.Value(after.Value, "l/s"), reply.Value(before.Value, "l/s"), reply.Range(q, "l/s"),
				listed(w.come), listed(w.gone), listed(w.stay)),
			Source: addedSource,
		}
	})
}

// added is after less before. What stays is in both, so the two are not taken
// as independent. The difference grows with what comes and shrinks with what
// goes. Along the largest unit that stays it only ever rises or only falls;
// along the sum of what stays it turns where one of the flows stops being its
// largest unit, so the ends and those points hold its extremes.
func (w work) added() sdk.Band {
	sum, single := total(w.stay)
	come, comeSingle := total(w.come)
	gone, goneSingle := total(w.gone)
	at := func(s, m, a, am, r, rm float64) float64 {
		return max(w.k*math.Sqrt(s+a), max(m, am)) - max(w.k*math.Sqrt(s+r), max(m, rm))
	}
	out := sdk.Band{Value: at(sum.Value, single.Value, come.Value, comeSingle.Value, gone.Value, goneSingle.Value)}
	out.Low, out.High = out.Value, out.Value
	turns := func(m, a, am, r, rm float64) []float64 {
		after, before := max(m, am)/w.k, max(m, rm)/w.k
		return []float64{sum.Low, sum.High, min(max(after*after-a, sum.Low), sum.High), min(max(before*before-r, sum.Low), sum.High)}
	}
	for _, m := range []float64{single.Low, single.High} {
		for _, s := range turns(m, come.Low, comeSingle.Low, gone.High, goneSingle.High) {
			out.Low = min(out.Low, at(s, m, come.Low, comeSingle.Low, gone.High, goneSingle.High))
		}
		for _, s := range turns(m, come.High, comeSingle.High, gone.Low, goneSingle.Low) {
			out.High = max(out.High, at(s, m, come.High, comeSingle.High, gone.Low, goneSingle.Low))
		}
	}
	return out
}

// listed names units: "basin 0.30 l/s".
func listed(units []unit) string {
	if len(units) == 0 {
		return "none"
	}
	parts := make([]string, len(units))
	for i, u := range units {
		parts[i] = u.id + " " + reply.Value(u.band.Value, "l/s")
	}
	return strings.Join(parts, ", ")
}
