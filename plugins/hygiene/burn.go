package hygiene

import (
	"math"
	"strings"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// burnTable is seconds to a burn by °C, coolest first.
type burnTable struct {
	Source string
	Rows   []burnRow
}

type burnRow struct{ At, Takes float64 }

// after is the seconds to a burn at a temperature. The value is on the straight
// line through the logarithms of the neighbouring rows, which gives the table's
// own inner rows 0.84 to 1.77 times too long when each is left out. So the ends
// are those rows themselves: not sooner than at the hotter one, not later than at
// the cooler one. Outside the table it is the end row's figure, with where the
// truth lies in the ends.
func (b burnTable) after(t float64) (low, value, high float64) {
	first, last := b.Rows[0], b.Rows[len(b.Rows)-1]
	switch {
	case t < first.At:
		return first.Takes, first.Takes, math.Inf(1)
	case t > last.At:
		return 0, last.Takes, last.Takes
	}
	for i, r := range b.Rows[1:] {
		before := b.Rows[i]
		switch {
		case t == before.At:
			return before.Takes, before.Takes, before.Takes
		case t < r.At:
			part := (t - before.At) / (r.At - before.At)
			return r.Takes, before.Takes * math.Pow(r.Takes/before.Takes, part), before.Takes
		}
	}
	return last.Takes, last.Takes, last.Takes
}

// over follows the table over a reading: the hotter, the sooner.
func (b burnTable) over(t plan.Reading) plan.Reading {
	low, _, _ := b.after(t.High)
	_, value, _ := b.after(t.Value)
	_, _, high := b.after(t.Low)
	return plan.Reading{Low: low, Value: value, High: high, How: plan.Computed}
}

// text writes the rows, for the working.
func (b burnTable) text() string {
	parts := make([]string, len(b.Rows))
	for i, r := range b.Rows {
		parts[i] = reply.Value(r.At, "°C") + " " + reply.Value(r.Takes, "s")
	}
	return strings.Join(parts, ", ")
}

func burnTime(s *site, d plan.DrawOff) reply.Answer {
	water := outletTemperature(s, d)
	if water.Gap != nil {
		return water
	}
	at := water.Reading()
	takes := s.Burn.over(at)
	return reply.Number(takes, func() sdk.Working {
		return sdk.Working{
			Formula: "seconds to a second-degree burn, value log-linear, ends the neighbouring rows themselves, of " + s.Burn.text(),
			Numbers: "at " + reply.Reading(at, "°C") + ": " + reply.Reading(takes, "s"),
			Source:  s.Burn.Source,
		}
	})
}
