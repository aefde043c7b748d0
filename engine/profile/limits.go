package profile

import "fallrule/engine/finding"

// Limit is one row of a rule's table as it stands in the profile.
type Limit struct {
	Rule *finding.Rule
	For  map[string][]string // facts that the row holds for; nil: for all in scope
	Row  finding.Row
}

// Limits lists all limits of a profile and of what it extends, without a
// layout: by rule, rows in the order of the table.
func (s *Set) Limits(id string) []Limit {
	p := s.profiles[id]
	if p == nil {
		return nil
	}
	var out []Limit
	for _, rule := range p.Rules {
		own := s.profiles[rule.Origin].tables[rule.ID]
		for i, row := range own.limits {
			l := Limit{Rule: rule, Row: row}
			if own.table != nil {
				l.For = own.table.fors[i]
			}
			out = append(out, l)
		}
	}
	return out
}
