package discharge

import (
	"math"
	"slices"

	"fallrule/plugins/reply"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// choice is the rows of a table that a fixture may count under, and the one
// that its reading names when taken literally. Where nothing was read all rows
// are possible and the figure shown is the greatest.
type choice struct {
	rows    []unitRow
	literal string // row, "" for the greatest
}

// choose picks the rows of table 2 for a fixture.
func choose(t unitTables, f *plan.Fixture) (choice, *sdk.Gap) {
	rows := t.of[f.Kind]
	if len(rows) == 0 {
		return choice{}, noKind(f.ID)
	}
	switch f.Kind {
	case "shower":
		return byPlug(rows, f), nil
	case "washing_machine":
		return upTo(rows, f.Load, f.ID+".load", func(r unitRow) float64 { return r.Load })
	case "wc":
		return upTo(rows, f.Flush, f.ID+".flush", func(r unitRow) float64 { return r.Flush })
	case "floor_drain":
		return byOutlet(rows, f)
	}
	return choice{rows: rows}, nil
}

func byPlug(rows []unitRow, f *plan.Fixture) choice {
	for _, r := range rows {
		if r.Plug == f.Plug {
			return choice{rows: []unitRow{r}}
		}
	}
	return choice{rows: rows}
}

// upTo takes rows that hold up to a limit. A reading between two limits may
// count under either: the lower row is what such a fixture gives at least, the
// upper what the table says literally.
func upTo(rows []unitRow, reading *plan.Reading, needs string, limit func(unitRow) float64) (choice, *sdk.Gap) {
	if reading == nil {
		return choice{rows: rows}, nil
	}
	last := limit(rows[len(rows)-1])
	if reading.Value > last || math.IsInf(reading.High, 1) {
		return choice{}, reply.Outside("the reading " + needs + " lies beyond the table of discharge units")
	}
	out := choice{}
	for i, r := range rows {
		below := math.Inf(-1) // rows[i-1]'s limit: from there on this row is the literal one
		if i > 0 {
			below = limit(rows[i-1])
		}
		above := math.Inf(1) // rows[i+1]'s limit: up to there this row is the least
		if i+1 < len(rows) {
			above = limit(rows[i+1])
		}
		if reading.High > below && reading.Low < above {
			out.rows = append(out.rows, r)
		}
		if reading.Value > below && reading.Value <= limit(r) {
			out.literal = r.Row
		}
	}
	return out, nil
}

// byOutlet takes the rows of nominal sizes. A size between two rows may count
// under either.
func byOutlet(rows []unitRow, f *plan.Fixture) (choice, *sdk.Gap) {
	if f.Outlet == nil {
		return choice{rows: rows}, nil
	}
	o := *f.Outlet
	if o.Value < rows[0].Bore || o.Value >= rows[len(rows)-1].Top {
		return choice{}, reply.Outside("the outlet of " + f.ID + " lies beyond the table of discharge units")
	}
	out := choice{}
	for i, r := range rows {
		from, to := math.Inf(-1), math.Inf(1)
		if i > 0 {
			from = rows[i-1].Top
		}
		if i+1 < len(rows) {
			to = rows[i+1].Bore
		}
		if o.High >= from && o.Low < to {
			out.rows = append(out.rows, r)
		}
		if o.Value >= r.Bore && o.Value < r.Top {
			out.literal = r.Row
		}
	}
	return out, nil
}

// unit is the discharge unit of one fixture in a system, l/s, and the row it
// is from.
type unit struct {
	id   string
	band plan.Reading
	row  string
	from origin
}

func (c choice) unit(f *plan.Fixture, system string) (unit, *sdk.Gap) {
	u := unit{id: f.ID, band: plan.Reading{Low: math.Inf(1), High: math.Inf(-1)}}
	greatest, literal := -1, -1 // rows
	for i, r := range c.rows {
		cell := r.in(system)
		if len(cell) == 0 {
			continue
		}
		u.band.Low = min(u.band.Low, slices.Min(cell))
		if most := slices.Max(cell); most > u.band.High {
			u.band.High, greatest = most, i
		}
		if r.Row == c.literal {
			literal = i
		}
	}
	if greatest < 0 {
		return unit{}, reply.Outside("the table of discharge units has no figure for " + f.ID + " in system " + system)
	}
	if literal < 0 {
		literal = greatest
	}
	shown := c.rows[literal]
	u.band.Value, u.row, u.from = slices.Max(shown.in(system)), shown.Row, shown.origin
	return u, nil
}
