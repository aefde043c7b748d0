package profile

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
)

// limitAt is one number of a rule's rows.
type limitAt struct{ quantity, end, text string }

// unheld lists the limits of a rule that may change without an example
// noticing: a mistyped figure would go through. A limit is held when an example
// lies right at it, or one close to it on either side.
func (s *Set) unheld(own *ruleSource, trials []*trial) []string {
	var out []string
	for _, l := range limitsOf(own.limits) {
		const hair, tenth = 1e-6, 0.1
		at := s.notices(l, hair, trials) || s.notices(l, -hair, trials)
		near := s.notices(l, tenth, trials) && s.notices(l, -tenth, trials)
		if !at && !near {
			out = append(out, fmt.Sprintf("no example notices when %s %s of %s is another figure", l.end, l.text, l.quantity))
		}
	}
	return out
}

func limitsOf(rows []finding.Row) []limitAt {
	var out []limitAt
	for _, row := range rows {
		for _, name := range slices.Sorted(maps.Keys(row.Need)) {
			for _, end := range slices.Sorted(maps.Keys(row.Need[name].Text)) {
				l := limitAt{name, end, row.Need[name].Text[end]}
				if !slices.Contains(out, l) {
					out = append(out, l)
				}
			}
		}
	}
	return out
}

// notices tells whether some example's verdict turns when a limit is shifted by
// a share of itself.
func (s *Set) notices(l limitAt, share float64, trials []*trial) bool {
	for _, one := range trials {
		if one.forgot != "" || one.asked == nil {
			continue
		}
		moved := *one.asked
		moved.Any = shifted(one.asked.Any, l, share)
		if worst(judge.One(moved, s.Derive(moved.Rule.Of, one.read), s.cat)).Verdict != finding.Verdict(one.verdict) {
			return true
		}
	}
	return false
}

func shifted(rows []finding.Row, l limitAt, share float64) []finding.Row {
	out := slices.Clone(rows)
	for i, row := range out {
		b, bounded := row.Need[l.quantity]
		if !bounded || b.Text[l.end] != l.text {
			continue
		}
		move := func(x *float64) *float64 {
			y := *x + share*math.Max(math.Abs(*x), 1)
			return &y
		}
		switch l.end {
		case "at_least":
			b.AtLeast = move(b.AtLeast)
		case "at_most":
			b.AtMost = move(b.AtMost)
		case "above":
			b.Above = move(b.Above)
		case "below":
			b.Below = move(b.Below)
		}
		out[i].Need = maps.Clone(row.Need)
		out[i].Need[l.quantity] = b
	}
	return out
}
