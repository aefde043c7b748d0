package judge

import (
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"fallrule/engine/finding"
	"fallrule/schema"
)

var cat = schema.Catalogue{
	Names: []string{"length", "fall", "bore", "vented"},
	ByName: map[string]schema.Quantity{
		"length": {Name: "length", Unit: "mm", Low: 0, High: 1e6},
		"fall":   {Name: "fall", Unit: "mm/m", Low: -1000, High: 1000},
		"bore":   {Name: "bore", Unit: "mm", Low: 0, High: 2000},
		"vented": {Name: "vented", Words: []string{"branch_vent", "valve", "none"}},
	},
}

func num(x float64) *float64 { return &x }

func band(low, value, high float64) finding.Measured {
	return finding.Measured{Band: &finding.Band{Low: low, Value: value, High: high}}
}

func exactly(v float64) finding.Measured { return band(v, v, v) }

func word(w ...string) finding.Measured { return finding.Measured{States: w} }

func need(rows ...finding.Row) finding.Requirement {
	rule := &finding.Rule{ID: "r", Quantities: []string{"length", "fall", "bore", "vented"}}
	return finding.Requirement{Rule: rule, Of: "b", Any: rows}
}

func row(basis finding.Basis, need map[string]finding.Bound) finding.Row {
	return finding.Row{Need: need, Basis: basis}
}

// The four rows of a basin's waste: England, Approved Document H, Table 2 and
// Diagram 3 with the step table, and "any length when ventilated".
func basin() finding.Requirement {
	at := func(length, most float64) map[string]finding.Bound {
		return map[string]finding.Bound{"length": {AtMost: num(length)}, "fall": {AtLeast: num(18), AtMost: num(most)}}
	}
	return need(row(finding.Read, at(1700, 22)), row(finding.Memory, at(1100, 44)), row(finding.Memory, at(700, 87)),
		row(finding.Read, map[string]finding.Bound{"vented": {Words: []string{"branch_vent", "valve"}}}))
}

func TestOneBound(t *testing.T) {
	least := need(row(finding.Read, map[string]finding.Bound{"length": {AtLeast: num(100)}}))
	above := need(row(finding.Read, map[string]finding.Bound{"length": {Above: num(100)}}))
	most := need(row(finding.Read, map[string]finding.Bound{"length": {AtMost: num(100)}}))
	below := need(row(finding.Read, map[string]finding.Bound{"length": {Below: num(100)}}))
	for _, c := range []struct {
		name string
		req  finding.Requirement
		m    finding.Measured
		want finding.Verdict
	}{
		{"at least, equal", least, exactly(100), finding.Meets},
		{"at least, equal but for rounding", least, exactly(100 - 1e-8), finding.Meets},
		{"at least, band above", least, band(100, 101, 102), finding.Meets},
		{"at least, band below", least, band(97, 98, 99), finding.Breaks},
		{"at least, band ends on it", least, band(98, 99, 100), finding.TooClose},
		{"at least, across", least, band(99, 100, 101), finding.TooClose},
		{"above, equal", above, exactly(100), finding.Breaks},
		{"above, band starts on it", above, band(100, 101, 102), finding.TooClose},
		{"above, beyond", above, band(101, 102, 103), finding.Meets},
		{"at most, equal", most, exactly(100), finding.Meets},
		{"at most, starts on it", most, band(100, 101, 102), finding.TooClose},
		{"at most, beyond", most, band(101, 102, 103), finding.Breaks},
		{"below, equal", below, exactly(100), finding.Breaks},
		{"below, ends on it", below, band(98, 99, 100), finding.TooClose},
		{"missing", least, finding.Measured{}, finding.CannotTell},
		{"at least 150, end not seen", least, band(150, 150, math.Inf(1)), finding.Meets},
		{"at least 50, end not seen", least, band(50, 50, math.Inf(1)), finding.CannotTell},
		{"at most 50, start not seen", least, band(math.Inf(-1), 50, 50), finding.Breaks},
	} {
		got := One(c.req, map[string]finding.Measured{"length": c.m}, cat)
		if len(got) != 1 || got[0].Verdict != c.want {
			t.Errorf("%s: %v, want %s", c.name, got[0].Verdict, c.want)
		}
	}
}

func TestAlternatives(t *testing.T) {
	for _, c := range []struct {
		name  string
		m     map[string]finding.Measured
		want  finding.Verdict
		needs []string
	}{
		{"short and steep", map[string]finding.Measured{"length": exactly(1000), "fall": exactly(30), "vented": word("none")}, finding.Meets, nil},
		{"near the step, steep", map[string]finding.Measured{"length": band(1070, 1090, 1110), "fall": exactly(30), "vented": word("none")}, finding.TooClose, []string{"length"}},
		{"near the step, gentle", map[string]finding.Measured{"length": band(1070, 1090, 1110), "fall": exactly(20), "vented": word("none")}, finding.Meets, nil},
		{"too long", map[string]finding.Measured{"length": band(2380, 2400, 2420), "fall": exactly(20), "vented": word("none")}, finding.Breaks, nil},
		{"too long, vent not known", map[string]finding.Measured{"length": band(2380, 2400, 2420), "fall": exactly(20)}, finding.CannotTell, []string{"vented"}},
		{"too long, vented", map[string]finding.Measured{"length": band(2380, 2400, 2420), "fall": exactly(20), "vented": word("valve")}, finding.Meets, nil},
		{"short, vent not known", map[string]finding.Measured{"length": exactly(600), "fall": exactly(20)}, finding.Meets, nil},
		{"length unknown, too flat, no vent", map[string]finding.Measured{"fall": exactly(17), "vented": word("none")}, finding.Breaks, nil},
		{"length unknown", map[string]finding.Measured{"fall": exactly(20), "vented": word("none")}, finding.CannotTell, []string{"length"}},
		{"one of two words", map[string]finding.Measured{"length": exactly(2400), "fall": exactly(20), "vented": word("valve", "none")}, finding.CannotTell, []string{"vented"}},
		{"two allowed words", map[string]finding.Measured{"length": exactly(2400), "fall": exactly(20), "vented": word("valve", "branch_vent")}, finding.Meets, nil},
	} {
		got := One(basin(), c.m, cat)
		if len(got) != 1 {
			t.Fatalf("%s: %d findings", c.name, len(got))
		}
		if got[0].Verdict != c.want || !slices.Equal(got[0].Undecided, c.needs) {
			t.Errorf("%s: %s for want of %v, want %s %v", c.name, got[0].Verdict, got[0].Undecided, c.want, c.needs)
		}
	}
}

// Neither row covers the band, the two together do: a judge that settles each
// row by itself would call it open.
func TestRowsTogetherCoverTheBand(t *testing.T) {
	req := need(
		row(finding.Read, map[string]finding.Bound{"length": {AtMost: num(100)}}),
		row(finding.Memory, map[string]finding.Bound{"length": {AtLeast: num(100)}}))
	got := One(req, map[string]finding.Measured{"length": band(90, 100, 110)}, cat)[0]
	if got.Verdict != finding.Meets || got.Basis != finding.Memory {
		t.Errorf("%s on %s, want meets on memory", got.Verdict, got.Basis)
	}
	gap := need(
		row(finding.Read, map[string]finding.Bound{"length": {AtMost: num(99)}}),
		row(finding.Read, map[string]finding.Bound{"length": {AtLeast: num(101)}}))
	if got := One(gap, map[string]finding.Measured{"length": band(90, 100, 110)}, cat)[0]; got.Verdict != finding.TooClose {
		t.Errorf("a gap between the rows: %s", got.Verdict)
	}
}

func TestAllowedMarginAndBasis(t *testing.T) {
	got := One(basin(), map[string]finding.Measured{"length": band(2380, 2400, 2420), "fall": exactly(20), "vented": word("none")}, cat)[0]
	if len(got.Allowed) != 1 || got.Allowed[0].High != 1700 || !math.IsInf(got.Allowed[0].Low, -1) {
		t.Errorf("allowed %v, want up to 1700", got.Allowed)
	}
	if got.Margin == nil || *got.Margin != -700 {
		t.Errorf("margin %v, want -700", got.Margin)
	}
	if got.Basis != finding.Memory {
		t.Errorf("a break had every row against it, the weakest counts: %s", got.Basis)
	}
	met := One(basin(), map[string]finding.Measured{"length": exactly(1650), "fall": exactly(20), "vented": word("none")}, cat)[0]
	if met.Basis != finding.Read || met.Margin == nil || *met.Margin != 50 {
		t.Errorf("one confirmed row is enough: basis %s, margin %v", met.Basis, met.Margin)
	}
	steep := One(basin(), map[string]finding.Measured{"length": exactly(1000), "fall": exactly(60), "vented": word("none")}, cat)[0]
	if steep.Verdict != finding.Breaks {
		t.Fatalf("60 mm/m over 1 m: %s", steep.Verdict)
	}
	for _, part := range []string{"length at most 700 mm", "fall 18 mm/m to 44 mm/m", "branch vent or valve"} {
		if !strings.Contains(steep.Message, part) {
			t.Errorf("%q does not tell the way %q", steep.Message, part)
		}
	}
}

func TestConjunctionGivesAFindingPerQuantity(t *testing.T) {
	req := need(row(finding.Read, map[string]finding.Bound{"bore": {AtLeast: num(40)}, "fall": {AtLeast: num(18)}}))
	got := One(req, map[string]finding.Measured{"bore": exactly(44), "fall": exactly(10)}, cat)
	if len(got) != 2 || got[0].Quantity != "fall" || got[0].Verdict != finding.Breaks || got[1].Verdict != finding.Meets {
		t.Errorf("%+v", got)
	}
}

func TestPartialTableNeverBreaks(t *testing.T) {
	req := basin()
	req.Rule.Partial = true
	got := One(req, map[string]finding.Measured{"length": exactly(2400), "fall": exactly(20), "vented": word("none")}, cat)[0]
	if got.Verdict != finding.CannotTell || got.Because != finding.PartialTable {
		t.Errorf("%s because %s", got.Verdict, got.Because)
	}
}

func TestFaultyRowsNeverMeet(t *testing.T) {
	for name, req := range map[string]finding.Requirement{
		"no row":           need(),
		"empty need":       need(row(finding.Read, map[string]finding.Bound{})),
		"empty bound":      need(row(finding.Read, map[string]finding.Bound{"length": {}})),
		"unknown quantity": need(row(finding.Read, map[string]finding.Bound{"lenght": {AtMost: num(1)}})),
	} {
		for _, f := range One(req, map[string]finding.Measured{"length": exactly(1)}, cat) {
			if f.Verdict != finding.CannotTell || f.Because != finding.ProfileFault {
				t.Errorf("%s: %s because %s", name, f.Verdict, f.Because)
			}
		}
	}
}

// Random row sets against random draws from the bands: no meets with a draw
// that fails, no breaks with one that passes, and a too_close has both within
// reach of the cell corners. The draws know nothing of cells or masks.
func TestVerdictAgreesWithDraws(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	names := []string{"length", "fall", "bore"}
	for n := 0; n < 5000; n++ {
		req := randomRequirement(rng, names)
		m := map[string]finding.Measured{}
		for _, name := range names {
			low := float64(rng.Intn(20))
			high := low + float64(rng.Intn(6))
			m[name] = band(low, low+(high-low)*rng.Float64(), high)
		}
		got := alternatives(req, quantitiesOf(req), m, cat)
		for d := 0; d < 200; d++ {
			ok := passes(req, m, rng)
			if got.Verdict == finding.Meets && !ok || got.Verdict == finding.Breaks && ok {
				t.Fatalf("%s, but a draw says otherwise: rows %+v, readings %+v", got.Verdict, req.Any, m)
			}
		}
	}
}

func randomRequirement(rng *rand.Rand, names []string) finding.Requirement {
	var rows []finding.Row
	for i := 0; i <= rng.Intn(4); i++ {
		need := map[string]finding.Bound{}
		for _, name := range names {
			switch l := float64(rng.Intn(22)); rng.Intn(4) {
			case 0:
				need[name] = finding.Bound{AtLeast: num(l)}
			case 1:
				need[name] = finding.Bound{AtMost: num(l)}
			case 2:
				need[name] = finding.Bound{Above: num(l), AtMost: num(l + float64(rng.Intn(9)))}
			}
		}
		if len(need) > 0 {
			rows = append(rows, row(finding.Read, need))
		}
	}
	if len(rows) == 0 {
		rows = append(rows, row(finding.Read, map[string]finding.Bound{"length": {AtLeast: num(10)}}))
	}
	return need(rows...)
}

func passes(req finding.Requirement, m map[string]finding.Measured, rng *rand.Rand) bool {
	draw := map[string]float64{}
	for name, r := range m {
		draw[name] = r.Band.Low + (r.Band.High-r.Band.Low)*rng.Float64()
	}
	for _, row := range req.Any {
		ok := true
		for name, b := range row.Need {
			x := draw[name]
			ok = ok && (b.AtLeast == nil || x >= *b.AtLeast) && (b.AtMost == nil || x <= *b.AtMost) && (b.Above == nil || x > *b.Above) && (b.Below == nil || x < *b.Below)
		}
		if ok {
			return true
		}
	}
	return false
}
