package report

import (
	"fmt"
	"io"
	"slices"
	"sort"

	"fallrule/engine/finding"
)

// Comparison is a layout under several codes side by side, worded and in
// order; engine/compare makes it. It judges nothing: every verdict in it is
// that of a finding.
type Comparison struct {
	Sheet   *finding.Sheet // what is compared; its profiles say which bind
	Country string         // where the house stands, ISO 3166 in lower case, may be empty
	Rows    []ComparisonRow
}

// ComparisonRow is what each code makes of one quantity of one subject under
// one topic.
type ComparisonRow struct {
	Subject  string
	Kinds    []string // kinds of subject that the rules take it for
	Topic    string
	Quantity string
	Label    string // the quantity as people say it
	Group    Group
	Measured []ComparisonFigure // the row's quantity first, then what else its limits name
	Cells    []ComparisonCell   // one a profile, in the order of the sheet's
	Position finding.Position
}

// Group says why a row stands where it does.
type Group string

// The groups, in the order in which they are told.
const (
	Misleads Group = "habit_misleads" // met by another code, broken or too close here
	OtherWay Group = "other_way"      // broken by another code, met here
	TheRest  Group = "rest"
)

// Groups in order.
var Groups = []Group{Misleads, OtherWay, TheRest}

// ComparisonFigure is one measured quantity with its band as text.
type ComparisonFigure struct {
	Quantity, Label, Text string
	Measured              finding.Measured
}

// Speaks tells how a code comes into a row.
type Speaks string

// The ways.
const (
	Judged     Speaks = "judged"      // it has findings in this row
	Elsewhere  Speaks = "elsewhere"   // it names this very figure of this subject in other rows: beside another figure, or under another topic
	Otherwise  Speaks = "otherwise"   // it holds this subject on this topic by other figures
	PassesOver Speaks = "passes_over" // it has rules of this topic for this kind of subject, none reaches this one
	Silent     Speaks = "silent"      // it has no rule of this topic for this kind of subject
)

// ComparisonCell is one code in one row.
type ComparisonCell struct {
	Profile    string
	Binding    bool
	Speaks     Speaks
	Verdict    finding.Verdict // the worst of Judged, "" without any
	Judged     []ComparisonFinding
	SeeRows    []string        // for Elsewhere and Otherwise: "topic quantity" of the rows that it fills
	SeeVerdict finding.Verdict // the worst of those rows, "" without any
}

// ComparisonFinding is a finding with its limits as the rule wrote them.
type ComparisonFinding struct {
	Finding finding.Finding
	Asks    []string // one for each alternative of the limit, those that hold as read first
	Clause  string
}

// ComparisonFormats by name.
var ComparisonFormats = map[string]func(io.Writer, Comparison, Options) error{
	"text": compareText,
	"json": compareJSON,
	"csv":  compareCSV,
}

// ComparisonNames lists the formats of a comparison in order.
func ComparisonNames() []string {
	var out []string
	for name := range ComparisonFormats {
		out = append(out, name)
	}
	sort.Strings(out)
	return out
}

// WriteComparison gives the comparison in the named form.
func WriteComparison(w io.Writer, format string, c Comparison, o Options) error {
	form, known := ComparisonFormats[format]
	if !known {
		return fmt.Errorf("write the comparison: there is no format %q, only %v", format, ComparisonNames())
	}
	return form(w, c, o)
}

// In lists the rows of one group.
func (c Comparison) In(g Group) []ComparisonRow {
	return slices.DeleteFunc(slices.Clone(c.Rows), func(r ComparisonRow) bool { return r.Group != g })
}

// Idle tells whether no code asks anything in the row: all is not applicable
// or not spoken of.
func (r ComparisonRow) Idle() bool {
	return !slices.ContainsFunc(r.Cells, func(c ComparisonCell) bool {
		return c.Verdict != "" && c.Verdict != finding.NotApplicable
	})
}
