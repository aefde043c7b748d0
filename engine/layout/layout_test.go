package layout

import (
	"math"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/plugins/sdk/plan"
)

// readAll reads a document and gives its faults, warnings too.
func readAll(t *testing.T, src string) (*Layout, []document.Fault) {
	t.Helper()
	doc, faults := document.Read("house.yaml", []byte(strings.TrimLeft(src, "\n")))
	if document.Refused(faults) {
		t.Fatalf("the test's document cannot be read: %v", faults)
	}
	return Read(doc)
}

// read is readAll for a document that must have no fault; warnings may be.
func read(t *testing.T, src string) *Layout {
	t.Helper()
	lay, faults := readAll(t, src)
	for _, f := range faults {
		if !f.Warning {
			t.Fatalf("unexpected fault: %s", f)
		}
	}
	return lay
}

func branch(t *testing.T, l *Layout, id string) plan.Pipe {
	t.Helper()
	for _, p := range append(append([]plan.Pipe{}, l.Plan.Branches...), l.Plan.Drains...) {
		if p.ID == id {
			return p
		}
	}
	t.Fatalf("no piece %s; there are %v", id, ids(l))
	return plan.Pipe{}
}

func ids(l *Layout) []string {
	var out []string
	for _, p := range append(append([]plan.Pipe{}, l.Plan.Branches...), l.Plan.Drains...) {
		out = append(out, p.ID)
	}
	return out
}

// is compares a reading with what was worked out by hand, to 0.01.
func is(t *testing.T, what string, got *plan.Reading, low, value, high float64) {
	t.Helper()
	if got == nil {
		t.Errorf("%s: not there, want %.2f (%.2f to %.2f)", what, value, low, high)
		return
	}
	for _, pair := range [][2]float64{{got.Low, low}, {got.Value, value}, {got.High, high}} {
		if !(math.Abs(pair[0]-pair[1]) <= 0.011) && pair[0] != pair[1] {
			t.Errorf("%s: %.2f (%.2f to %.2f), want %.2f (%.2f to %.2f)", what, got.Value, got.Low, got.High, value, low, high)
			return
		}
	}
}

func same(t *testing.T, what string, got []string, want ...string) {
	t.Helper()
	if strings.Join(got, " ") != strings.Join(want, " ") {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// The shortest useful document: three fixtures and a stack, in whole figures.
const short = `
layout: 1
house: { country: es, storeys: 2 }
fixtures:
  pan: { kind: wc, flush: 6 l, waste: { size: DN 110, length: 0.60 m, drop: 15 mm, to: riser } }
  bowl: { kind: washbasin, waste: { size: DN 40, length: 2.00 m, drop: 50 mm, bends: 3 x 90°, to: pan.waste } }
  tub: { kind: bath, waste: { size: DN 50, length: 2.50 m, drop: 60 mm, bends: 4 x 90°, to: riser } }
stacks:
  riser: { size: DN 110, state: existing }
`

func TestEightLinesGiveFallSizeAndLength(t *testing.T) {
	lay, faults := readAll(t, short)
	if len(faults) != 0 {
		t.Fatalf("faults: %v", faults)
	}
	same(t, "pieces", ids(lay), "pan.waste/1", "pan.waste/2", "bowl.waste", "tub.waste")
	tub := branch(t, lay, "tub.waste")
	// Planned lengths are good to 5 mm, a drop set by one level to 3 mm; the
	// level side of the triangle: sqrt(2500² - 60²) = 2499.28.
	is(t, "tub length", tub.Legs[0].Length, 2495, 2500, 2505)
	is(t, "tub drop", tub.Legs[0].Drop, 57, 60, 63)
	if math.Abs(tub.Legs[0].Along.Value-2499.28) > 0.01 {
		t.Errorf("tub along: %v", tub.Legs[0].Along)
	}
	is(t, "tub bore: 50 less twice 3.0", tub.Size.Bore, 44, 44, 45)
	if len(tub.Legs[0].Bends) != 4 || tub.Legs[0].Bends[0].Angle.Value != 90 {
		t.Errorf("tub bends: %+v", tub.Legs[0].Bends)
	}
	// Nobody told where the bowl joins: both pieces keep the fall, 15 mm over
	// 599.81 mm = 25.01 mm/m, and their lengths are not known.
	for _, id := range []string{"pan.waste/1", "pan.waste/2"} {
		leg := branch(t, lay, id).Legs[0]
		if leg.Length != nil || leg.Along != nil || leg.Fall == nil || math.Abs(leg.Fall.Value-25.008) > 0.01 {
			t.Errorf("%s: %+v", id, leg)
		}
	}
	if lay.Plan.House.System != "i" {
		t.Errorf("system in Spain: %s", lay.Plan.House.System)
	}
	if got := lay.Readings; got.NoTolerance != 7 || got.Exact != 1 || got.ByHow["planned"] != 7 {
		t.Errorf("readings: %+v, want six lengths and drops and a flush without a tolerance, and the storeys counted", got)
	}
}

func TestPiecesKnowWhatTheyCarry(t *testing.T) {
	lay := read(t, short)
	one, two := branch(t, lay, "pan.waste/1"), branch(t, lay, "pan.waste/2")
	same(t, "serves of the first piece", one.Serves, "pan")
	same(t, "serves of the second", two.Serves, "pan", "bowl")
	same(t, "upstream of the second", two.Upstream, "pan.waste/1", "bowl.waste")
	if one.Fixture != "wc" || two.Fixture != "mixed" {
		t.Errorf("kinds: %s, %s", one.Fixture, two.Fixture)
	}
	if one.To.ID != "pan.waste/2" || one.To.Kind != "branch" || one.To.Angle.Value != 0 {
		t.Errorf("the first piece goes straight on: %+v", one.To)
	}
	if to := branch(t, lay, "bowl.waste").To; to.ID != "pan.waste/2" || to.Kind != "branch" {
		t.Errorf("the bowl ends at the piece that begins there: %+v", to)
	}
	same(t, "entries", lay.Plan.Stacks[0].Entries, "pan.waste/2", "tub.waste")
	same(t, "stack serves", lay.Plan.Stacks[0].Serves, "pan", "bowl", "tub")
	for _, trap := range lay.Plan.Traps {
		if trap.Fixture == "pan" && (trap.Branch != "pan.waste/1" || trap.Kinds[0] != "built_in") {
			t.Errorf("pan.trap: %+v", trap)
		}
		if trap.Fixture == "bowl" && trap.Kinds != nil {
			t.Errorf("nobody told the bowl's trap: %+v", trap)
		}
	}
}

func TestPlacesKindsAndReadings(t *testing.T) {
	lay := read(t, short)
	for id, want := range map[string]int{"house": 2, "pan": 4, "pan.waste/2": 4, "bowl.trap": 5, "riser": 8, "pan.waste/2~tub.waste": 4} {
		if got := lay.Position(id); got.Line != want || got.File != "house.yaml" {
			t.Errorf("%s stands at %v, want line %d", id, got, want)
		}
	}
	if also := lay.Also("pan.waste/2~tub.waste"); len(also) != 1 || also[0].Line != 6 {
		t.Errorf("the pair's other member: %v", also)
	}
	for id, want := range map[string]string{"house": "buildings", "pan.waste/1": "branches", "pan.waste": "", "riser": "stacks", "pan.waste/2~tub.waste": "entry_pairs"} {
		if got := lay.Kind(id); got != want || lay.Has(id) != (want != "") {
			t.Errorf("%s is of kind %q, want %q", id, got, want)
		}
	}
	if lay.State("riser") != plan.Existing || lay.State("pan.waste/1") != plan.New {
		t.Error("states of riser and pan.waste/1")
	}
	for _, c := range [][3]string{
		{"pan.waste/2", "place", "pan.waste.place"}, {"bowl.trap", "use", "bowl.use"}, {"riser", "made_of", "stacks.riser.made_of"},
		{"house", "work", "work.kind"}, {"bowl.trap", "system", "house.system"}, {"pan.waste/1", "system", "house.system"}, {"riser", "system", "house.system"}, {"pan.waste/2~tub.waste", "facing", "pan.waste.to.side"},
	} {
		if got := lay.Reading(c[0], c[1]); got != c[2] {
			t.Errorf("%s of %s is read as %s, want %s", c[1], c[0], got, c[2])
		}
	}
}

func TestAnswersAndWaivers(t *testing.T) {
	lay := read(t, short+`
answers:
  es.tanked: { is: fitted, of: { bowl.trap: absent } }
waivers:
  es/fall/tub.waste: { by: town, reference: 4/30 }
  es/seal/bowl.trap/seal: { by: town, reference: 5/30, date: "2026-01-02" }
`)
	if word, told := lay.Answer("es.tanked", "pan"); !told || word != "fitted" {
		t.Errorf("answer: %q, %v", word, told)
	}
	if word, _ := lay.Answer("es.tanked", "bowl.trap"); word != "absent" {
		t.Errorf("answer of one subject: %q", word)
	}
	if _, told := lay.Answer("es.other", "pan"); told {
		t.Error("a question nobody answered is answered")
	}
	if w, found := lay.Waiver("es", "fall", "tub.waste", "length"); !found || w.Reference != "4/30" {
		t.Errorf("a waiver of the whole rule: %+v, %v", w, found)
	}
	if _, found := lay.Waiver("es", "seal", "bowl.trap", "trap_bore"); found {
		t.Error("a waiver of one quantity allows another")
	}
}
