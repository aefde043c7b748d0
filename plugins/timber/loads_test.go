package timber

import (
	"strings"
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// overBath is the joist j2 along y at 3.00 m, 0.40 m from its neighbours, and a
// bath of 1.70 by 0.70 m whose waste begins at x.
func overBath(x float64) *plan.Plan {
	p := uncut([]*plan.Reading{replytest.Read(75, 0), replytest.Read(200, 0), replytest.Read(3900, 0), replytest.Read(400, 5)})
	p.Joists[0].At, p.Joists[0].Along = replytest.Read(3000, 5), "y"
	p.Fixtures = []plan.Fixture{{ID: "bath", Kind: "bath", Room: "bathroom",
		At: []plan.Reading{replytest.Taped(x, 10), replytest.Taped(3000, 10)}, Takes: []plan.Reading{replytest.Taped(700, 5), replytest.Taped(1700, 5)}}}
	return p
}

// The bath may reach 1.705 m aside from its waste and its boards 0.405 m more;
// with 15 mm of the two readings it surely stands clear from 2.125 m on.
func TestBathClearOfTheJoist(t *testing.T) {
	carries := func(p *plan.Plan) bool {
		b := bench.Band(t, p, "joist_load", "j2")
		return b.High > 0.405*2.1+1e-9 // floor, ceiling and live alone: 2.1 kN/m²
	}
	for _, c := range []struct {
		x    float64
		want bool
	}{{874, false}, {876, true}, {3000, true}, {5124, true}, {5126, false}} {
		if got := carries(overBath(c.x)); got != c.want {
			t.Errorf("waste at %g mm, joist at 3000 mm: carries it %t", c.x, got)
		}
	}
	p := overBath(500)
	if w := bench.Measured(t, p, "joist_load", "j2").Working; !strings.Contains(w.Source, "bath stands clear of it") {
		t.Errorf("the working does not say why: %q", w.Source)
	}
	for what, change := range map[string]func(*plan.Plan){
		"the joist's axis":   func(p *plan.Plan) { p.Joists[0].Along = "unknown" },
		"along x it lies at": func(p *plan.Plan) { p.Joists[0].Along = "x" }, // y of the waste is 3.00 m too
		"the joist's place":  func(p *plan.Plan) { p.Joists[0].At = nil },
		"the waste's place":  func(p *plan.Plan) { p.Fixtures[0].At = nil },
		"the footprint":      func(p *plan.Plan) { p.Fixtures[0].Takes = nil },
	} {
		p := overBath(500)
		change(p)
		if !carries(p) {
			t.Errorf("%s is not told so, and the bath stands clear", what)
		}
	}
}

// What a wall or a tank weighs nobody told: no sum holds for that joist.
func TestJoistToldToCarryAWall(t *testing.T) {
	for _, heavy := range []string{"wall", "partition", "tank"} {
		p := overBath(500)
		p.Joists[0].Loads = []string{"bath", heavy}
		for _, q := range []string{"joist_load", "bending_before", "shear_before", "deflection_before"} {
			bench.WantGap(t, p, q, "j2", sdk.OutOfRange, "")
		}
	}
}

// A bath told among the loads counts like one told as a fixture, and not twice.
func TestBathAmongTheLoads(t *testing.T) {
	p := overBath(3000)
	p.Fixtures[0].Takes = nil // the ordinary one of 1.70 by 0.70 m
	as := bench.Band(t, p, "joist_load", "j2")
	p.Joists[0].Loads = []string{"bath"}
	if both := bench.Band(t, p, "joist_load", "j2"); both != as {
		t.Errorf("told twice %v, once %v", both, as)
	}
	p.Fixtures = nil
	if told := bench.Band(t, p, "joist_load", "j2"); told != as {
		t.Errorf("told as a load %v, as a fixture %v", told, as)
	}
	p.Joists[0].Loads = []string{"nothing"}
	m := bench.Measured(t, p, "joist_load", "j2")
	if m.Band.High >= as.High || !strings.Contains(m.Working.Source, "nothing heavy on it, as told") {
		t.Errorf("nothing stands on it: %v, %q", m.Band, m.Working.Source)
	}
}

// By hand, from expression 6.62: α = 0.8, x = 20 + 30 + 80 = 130 mm from the
// middle of a bearing of 160 mm: √200 (0.4 + 0.8·0.65·√0.61) = 11.400; 5/11.400.
func TestBearingAsTold(t *testing.T) {
	exactly := make([]*plan.Reading, len(endIn))
	for i, r := range endIn {
		exactly[i] = replytest.Read(r.Value, 0)
	}
	p := notched("end_notch")(exactly)
	bench.Ask(t, p).WantBand(t, "kv", "o1", sdk.Band{Low: 0.4963, Value: 0.4963, High: 0.4963}, 0.0001)
	p.Joists[0].Bearing = replytest.Read(160, 0)
	bench.Ask(t, p).WantBand(t, "kv", "o1", sdk.Band{Low: 0.4386, Value: 0.4386, High: 0.4386}, 0.0001)
	p.Joists[0].Bearing = replytest.Read(160, 20)
	if b := bench.Band(t, p, "kv", "o1"); b.Low >= 0.4386 || b.High <= 0.4386 {
		t.Errorf("a bearing that is not sure: %v", b)
	}
	if n := bench.Measured(t, p, "kv", "o1").Working.Numbers; !strings.Contains(n, "reaction 80 mm behind") {
		t.Errorf("working: %q", n)
	}
}
