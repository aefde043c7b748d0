package report

import (
	"encoding/csv"
	"io"
	"slices"
	"strconv"
	"strings"
)

// CompareColumns are the columns of the CSV form: a line for each row and
// profile. Where a code has several findings in a row, their rules, verdicts,
// limits, clauses and bases stand in the same order, parted by " | ". `reason`
// is said where there is no limit: an exemption, or a clause without a figure.
var CompareColumns = []string{
	"group", "subject", "topic", "quantity", "measured", "low", "value", "high", "unit", "also_measured",
	"profile", "role", "speaks", "verdict", "limit", "reason", "clause", "basis", "rule", "each_verdict", "needs", "see_rows", "see_verdict", "line",
}

func compareCSV(w io.Writer, c Comparison, _ Options) error {
	out := csv.NewWriter(w)
	if err := out.Write(CompareColumns); err != nil {
		return err
	}
	for _, r := range c.Rows {
		for _, cell := range r.Cells {
			if err := out.Write(compareRecord(r, cell)); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}

func compareRecord(r ComparisonRow, c ComparisonCell) []string {
	head := r.Measured[0]
	var low, value, high, unit string
	if b := head.Measured.Band; b != nil {
		low, value, high, unit = number(b.Low), number(b.Value), number(b.High), head.Measured.Unit
	}
	var also []string
	for _, f := range r.Measured[1:] {
		also = append(also, f.Label+" "+f.Text)
	}
	each := func(of func(ComparisonFinding) string) string {
		var parts []string
		for _, j := range c.Judged {
			parts = append(parts, of(j))
		}
		if !slices.ContainsFunc(parts, func(s string) bool { return s != "" }) {
			return ""
		}
		return strings.Join(parts, " | ")
	}
	return []string{
		string(r.Group), r.Subject, r.Topic, r.Quantity, head.Text, low, value, high, unit, strings.Join(also, "; "),
		c.Profile, role(c.Binding), string(c.Speaks), string(c.Verdict),
		each(func(j ComparisonFinding) string { return strings.Join(j.Asks, ", or ") }),
		each(func(j ComparisonFinding) string {
			if len(j.Asks) > 0 {
				return ""
			}
			return j.Finding.Message
		}),
		each(func(j ComparisonFinding) string { return j.Finding.Rule.DocTitle + ", " + j.Clause }),
		each(func(j ComparisonFinding) string { return string(j.Finding.Basis) }),
		each(func(j ComparisonFinding) string { return j.Finding.Rule.ID }),
		each(func(j ComparisonFinding) string { return string(j.Finding.Verdict) }),
		each(func(j ComparisonFinding) string { return strings.Join(j.Finding.Needs, ", ") }),
		strings.Join(c.SeeRows, ", "), string(c.SeeVerdict), strconv.Itoa(r.Position.Line),
	}
}

// number writes a figure in full; an end that nobody knows stays empty.
func number(v float64) string {
	if finite(v) == nil {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}
