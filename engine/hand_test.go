package engine

import (
	"slices"
	"testing"

	"fallrule/engine/finding"
)

// The figures of the brick house as worked out by hand, each with its formula
// and numbers in testdata/houses/brick_house.hand.md. Tolerance: 0.05 of the
// last digit that stands there, so a figure rounded otherwise fails.
func TestFiguresWorkedOutByHand(t *testing.T) {
	house := inspect(t, "brick_house.yaml", "", "")
	for _, row := range []struct {
		subject, quantity string
		low, value, high  float64
		digit             float64 // of the hand figure: 0.1 for one decimal
	}{
		{"bath.waste/1", "steep_drop", 119, 125, 131, 1},
		{"bath.waste/1", "length", 895, 900, 905, 1},
		{"bath.waste/1", "fall", 12.162, 15, 17.89, 0.001},
		{"bath.waste/2", "fall", 12.162, 15, 17.89, 0.001},
		{"bath.waste/2", "length", 1394.2, 1425.2, 1456.3, 0.1},
		{"bath.waste/2", "bore", 49, 51, 53, 1},
		{"bath.waste/2", "size_step", 0, 0, 0, 1},
		{"bath.waste/2", "fixtures", 2, 2, 2, 1},
		{"bath.waste/2", "units_i", 2.3, 2.3, 2.3, 0.1},
		{"bath.waste/2", "flow_i", 1.5, 1.5, 1.5, 0.1},
		{"bath.waste/2", "units_iii", 2.5, 2.5, 2.5, 0.1},
		{"bath.waste/2", "flow_iii", 1.3, 1.3, 1.3, 0.1},
		{"bath.waste/2", "ud", 6, 6, 6, 1},
		{"basin.waste", "turn", 360, 360, 360, 1},
		{"basin.waste", "turn_after_first", 270, 270, 270, 1},
		{"basin.waste", "bends", 5, 5, 5, 1},
		{"basin.waste", "length", 2130.3, 2150.4, 2170.4, 0.1},
		{"basin.waste", "fall", 19, 20, 21, 1},
		{"basin.trap", "to_stack", 2620.4, 2650.5, 2680.5, 0.1},
		{"basin.trap", "seal", 50, 50, 50, 1},
		{"washer.waste", "fall", 26.23, 30, 33.90, 0.01},
		{"hand_basin.waste", "fall", 19.01, 20.00, 21.01, 0.01},
		{"hand_basin.waste", "entry_over_foot", 310, 430, 550, 1},
		{"hand_basin.trap", "outlet_to_weir", 520, 526, 532, 1},
		{"wc.waste/2", "fall", 18.18, 20, 21.85, 0.01},
		{"wc.waste/2~bath.waste/2", "entry_offset", -274, -268, -262, 1},
		{"bath_notch", "notch_ratio", 0.3297, 0.35, 0.3714, 0.0001},
		{"bath_notch", "span_ratio", 0.0979, 0.1, 0.1022, 0.0001},
		{"old_notch", "notch_ratio", 0.0973, 0.1111, 0.1257, 0.0001},
		{"old_notch", "span_ratio", 0.4826, 0.4892, 0.4959, 0.0001},
		{"main", "bore", 97, 100, 103, 1},
		{"main", "ud", 19, 19, 19, 1},
		{"main", "flow_iii", 1.6, 2, 2, 0.1},
		{"main", "size_step", 0, 0, 0, 1},
		{"house", "open_vents", 1, 1, 1, 1},
	} {
		m, known := house.measures.Of(row.quantity, row.subject)
		if !known || m.Band == nil {
			t.Errorf("%s of %s is not known: %s", row.quantity, row.subject, m.Text)
			continue
		}
		b, within := *m.Band, 0.55*row.digit
		if !near(b.Low, row.low, within) || !near(b.Value, row.value, within) || !near(b.High, row.high, within) {
			t.Errorf("%s of %s is %v (%v to %v), by hand %v (%v to %v)", row.quantity, row.subject, b.Value, b.Low, b.High, row.value, row.low, row.high)
		}
	}
}

// The verdicts that follow from these figures by the clauses, worked out in
// the same place. es is compared only: the house stands in Great Britain.
func TestVerdictsWorkedOutByHand(t *testing.T) {
	s := check(t, "brick_house.yaml", "", "")
	for _, row := range []struct {
		subject, rule string
		verdict       finding.Verdict
	}{
		{"bath.waste/1", "uk/branch_fall", finding.Breaks},
	} {
		wants(t, s, row.rule, row.subject, row.verdict)
	}
	_ = slices.Contains[[]string]
}
