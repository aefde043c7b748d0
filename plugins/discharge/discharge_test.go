package discharge

import (
	"context"
	"math"
	"strings"
	"testing"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

func r(v, tolerance float64) *plan.Reading {
	out := plan.PlusMinus(v, tolerance, plan.Taped)
	return &out
}

// house of fixtures on one waste of 46.4 mm that falls 15 mm/m. Invented.
func house(fixtures ...plan.Fixture) *plan.Plan {
	p := &plan.Plan{Version: plan.Version, House: plan.House{Use: "dwelling", System: "i"}, Fixtures: fixtures}
	pipe := plan.Pipe{
		ID: "bath.waste/2", Whole: "bath.waste", Size: &plan.Size{Bore: r(46.4, 0)},
		Legs: []plan.Leg{{Along: r(2400, 20), Drop: r(36, 6)}}, To: plan.Junction{Kind: "stack", ID: "main"},
	}
	for _, f := range fixtures {
		if f.State != plan.Removed {
			pipe.Serves = append(pipe.Serves, f.ID)
		}
	}
	p.Branches = []plan.Pipe{pipe}
	return p
}

func fixture(id, kind string) plan.Fixture { return plan.Fixture{ID: id, Kind: kind} }

func measure(t testing.TB, p *plan.Plan) sdk.Response {
	t.Helper()
	resp, err := Measurer{}.Measure(context.Background(), sdk.Request{Plan: p, Quantities: quantities, Working: true})
	if err != nil {
		t.Fatal(err)
	}
	return resp
}

func find(resp sdk.Response, quantity string) (sdk.Measurement, sdk.Gap) {
	for _, m := range resp.Measurements {
		if m.Quantity == quantity {
			return m, sdk.Gap{}
		}
	}
	for _, g := range resp.Gaps {
		if g.Quantity == quantity {
			return sdk.Measurement{}, g
		}
	}
	return sdk.Measurement{}, sdk.Gap{}
}

func wantBand(t *testing.T, resp sdk.Response, quantity string, low, value, high float64) {
	t.Helper()
	m, g := find(resp, quantity)
	if m.Band == nil {
		t.Errorf("%s: no band, gap %+v", quantity, g)
		return
	}
	near := func(a, b float64) bool { return a == b || math.Abs(a-b) <= 0.005 }
	if !near(m.Band.Low, low) || !near(m.Band.Value, value) || !near(m.Band.High, high) {
		t.Errorf("%s: %+v, want %g, %g, %g", quantity, *m.Band, low, value, high)
	}
	if m.Working.Formula == "" || m.Working.Numbers == "" || m.Working.Source == "" {
		t.Errorf("%s: working %+v", quantity, m.Working)
	}
}

func wantGap(t *testing.T, resp sdk.Response, quantity, needs string) {
	t.Helper()
	if m, g := find(resp, quantity); g.Needs != needs || g.Text == "" || g.Because == "" {
		t.Errorf("%s: gap %+v, want one that needs %s; measured %+v", quantity, g, needs, m.Band)
	}
}

// By hand: 0.8 + 1.5 = 2.3; 0.5 x root of 2.3 = 0.76; largest single 1.5.
func TestDesignFlowIsAtLeastTheLargestUnit(t *testing.T) {
	washer := fixture("washer", "washing_machine")
	washer.Load = r(12, 0)
	resp := measure(t, house(fixture("bath", "bath"), washer))
	wantBand(t, resp, "units_i", 2.3, 2.3, 2.3)
	wantBand(t, resp, "flow_i", 1.5, 1.5, 1.5)
	wantBand(t, resp, "flow_ii", 1.2, 1.2, 1.2)
	m, _ := find(resp, "flow_i")
	if want := "0.5 x root of 2.30 l/s = 0.76 l/s; largest single unit 1.50 l/s; flow 1.50 l/s"; m.Working.Numbers != want {
		t.Errorf("working %q, want %q", m.Working.Numbers, want)
	}
	wantBand(t, resp, "fixtures", 2, 2, 2)
	wantBand(t, resp, "wcs", 0, 0, 0)
	// where K times the root governs: 10 baths, 0.5 x root of 8 = 1.414
	many := make([]plan.Fixture, 10)
	for i := range many {
		many[i] = fixture("bath"+string(rune('a'+i)), "bath")
	}
	wantBand(t, measure(t, house(many...)), "flow_i", math.Sqrt2, math.Sqrt2, math.Sqrt2)
}

// A machine between the table's rows: at least the 6 kg row, literally the 12 kg row.
func TestWashingMachineBetweenTheRows(t *testing.T) {
	for _, c := range []struct {
		load             *plan.Reading
		low, value, high float64
	}{
		{r(5, 0), 0.8, 0.8, 0.8}, {r(6, 0), 0.8, 0.8, 0.8}, {r(8, 0), 0.8, 1.5, 1.5},
		{r(6, 0.5), 0.8, 0.8, 1.5}, {r(12, 0), 1.5, 1.5, 1.5}, {nil, 0.8, 1.5, 1.5},
	} {
		washer := fixture("washer", "washing_machine")
		washer.Load = c.load
		wantBand(t, measure(t, house(washer)), "units_i", c.low, c.value, c.high)
	}
	washer := fixture("washer", "washing_machine")
	washer.Load = r(18, 0)
	wantGap(t, measure(t, house(washer)), "units_i", "washer.load")
}

func TestWaterClosetByFlush(t *testing.T) {
	at := func(flush *plan.Reading) sdk.Response {
		wc := fixture("wc", "wc")
		wc.Flush = flush
		return measure(t, house(wc))
	}
	resp := at(r(6, 0))
	wantBand(t, resp, "units_i", 2, 2, 2)
	wantBand(t, resp, "units_iii", 1.2, 1.7, 1.7)
	wantBand(t, resp, "wcs", 1, 1, 1)
	wantBand(t, at(r(4.5, 0)), "units_i", 2, 2, 2)
	resp = at(r(4, 0))
	wantBand(t, resp, "units_ii", 1.8, 1.8, 1.8)
	wantGap(t, resp, "units_i", "wc") // the table permits no 4 l closet there
	resp = at(nil)
	wantBand(t, resp, "units_i", 2, 2.5, 2.5)
	wantBand(t, resp, "units_iii", 1.2, 2, 2)
	wantBand(t, resp, "ud", 4, 8, 8)
	wantBand(t, at(r(9, 0)), "ud", 4, 4, 4)
	wantGap(t, at(r(13, 0)), "units_i", "wc.flush")
}

func TestFixturesOfOneRowAndOfMore(t *testing.T) {
	tray := fixture("tray", "shower")
	wantBand(t, measure(t, house(tray)), "units_iii", 0.4, 1.3, 1.3)
	tray.Plug = "without"
	wantBand(t, measure(t, house(tray)), "units_iii", 0.4, 0.4, 0.4)
	gully := fixture("gully", "floor_drain")
	wantBand(t, measure(t, house(gully)), "units_i", 0.8, 2, 2)
	gully.Outlet = r(46, 1)
	wantBand(t, measure(t, house(gully)), "units_i", 0.8, 0.8, 0.8)
	gully.Outlet = r(56, 1)
	wantBand(t, measure(t, house(gully)), "units_i", 0.8, 1.5, 1.5)
	wantGap(t, measure(t, house(gully)), "units_iii", "gully")
	tub := fixture("tub", "laundry_tub")
	resp := measure(t, house(tub))
	wantBand(t, resp, "units_i", 0.8, 0.8, 0.8)
	if m, _ := find(resp, "units_i"); !strings.Contains(m.Working.Source, "common practice") {
		t.Errorf("source %q hides that the table has no laundry tub", m.Working.Source)
	}
	resp = measure(t, house(fixture("thing", "unknown")))
	wantGap(t, resp, "units_i", "thing.kind")
	wantGap(t, resp, "wcs", "thing.kind")
	wantBand(t, resp, "fixtures", 1, 1, 1)
}

func TestWhatDoesNotDischargeIsNotCounted(t *testing.T) {
	gone := fixture("old", "bath")
	gone.State = plan.Removed
	p := house(fixture("basin", "washbasin"), fixture("hose", "tap"), fixture("box", "trap_box"), gone)
	p.Branches[0].Serves = append(p.Branches[0].Serves, "old")
	resp := measure(t, p)
	wantBand(t, resp, "fixtures", 1, 1, 1)
	wantBand(t, resp, "units_i", 0.5, 0.5, 0.5)
	wantGap(t, measure(t, house()), "fixtures", "fixtures")
}

func TestUseOfTheBuilding(t *testing.T) {
	p := house(fixture("bath", "bath"), fixture("sink", "kitchen_sink"), fixture("basin", "washbasin"))
	wantBand(t, measure(t, p), "ud", 7, 7, 7)
	p.House.Use = "public"
	resp := measure(t, p)
	wantBand(t, resp, "ud", 12, 12, 12)
	wantBand(t, resp, "flow_i", math.Sqrt(2.1), math.Sqrt(2.1), math.Sqrt(2.1))
	p.House.Use = "unknown"
	resp = measure(t, p)
	wantGap(t, resp, "flow_i", "house.use")
	wantGap(t, resp, "ud", "house.use")
	wc := fixture("wc", "wc")
	wc.Flush = r(6, 0)
	one := house(wc) // 1.2 x root of 2 = 1.70 is less than the 2.0 of the closet: any K will do
	one.House.Use = "unknown"
	wantBand(t, measure(t, one), "flow_i", 2, 2, 2)
	tub := fixture("tub", "laundry_tub")
	tub.Outlet = r(44, 2)
	laundry := house(tub)
	laundry.House.Use = "public"
	wantBand(t, measure(t, laundry), "ud", 3, 3, 3) // by its outlet, table 4.2
}

// EN 12056-2 Annex B remembers 2.5 l/s at half depth of 96 mm at 10 mm/m.
func TestHydraulics(t *testing.T) {
	wc := fixture("wc", "wc")
	wc.Flush = r(9, 0)
	p := house(wc)
	p.Branches[0].Size.Bore = r(96, 0)
	p.Branches[0].Legs = []plan.Leg{{Along: r(1000, 0), Fall: r(10, 0)}}
	resp := measure(t, p)
	wantBand(t, resp, "flow_half", 2.5, 2.5, 2.5)
	wantBand(t, resp, "flow_seven", 4.19, 4.19, 4.19)
	wantBand(t, resp, "depth_ratio", 0.5, 0.5, 0.5)
	wantBand(t, resp, "velocity", 0.692, 0.692, 0.692)
	p.House.System = "unknown"
	wantGap(t, measure(t, p), "depth_ratio", "house.system")
}

func TestFallThatMayBeNone(t *testing.T) {
	p := house(fixture("bath", "bath"))
	leg := &p.Branches[0].Legs[0]
	leg.Drop = r(4, 6)
	resp := measure(t, p)
	m, _ := find(resp, "depth_ratio")
	if m.Band == nil || m.Band.High != 1 || !strings.Contains(m.Working.Numbers, "runs full") {
		t.Errorf("depth %+v, %q", m.Band, m.Working.Numbers)
	}
	if m, _ := find(resp, "flow_half"); m.Band == nil || m.Band.Low != 0 {
		t.Errorf("flow at half depth %+v", m.Band)
	}
	leg.Drop = r(-4, 6)
	wantGap(t, measure(t, p), "depth_ratio", "bath.waste.drop")
	leg.Drop = nil
	wantGap(t, measure(t, p), "velocity", "bath.waste.drop")
}

func TestMoreThanThePipeCarries(t *testing.T) {
	wc := fixture("wc", "wc")
	wc.Flush = r(9, 0)
	p := house(wc)
	p.Branches[0].Size.Bore = r(34, 0)
	resp := measure(t, p)
	wantBand(t, resp, "depth_ratio", 1, 1, 1)
	v := 0.0025 / (math.Pi * 0.034 * 0.034 / 4)
	wantBand(t, resp, "velocity", v, v, v)
	if m, _ := find(resp, "depth_ratio"); !strings.Contains(m.Working.Numbers, "it runs full") {
		t.Errorf("working %q", m.Working.Numbers)
	}
}

func TestTablesAreWhole(t *testing.T) {
	b, err := tables()
	if err != nil {
		t.Fatal(err)
	}
	var all []origin
	for _, row := range b.en.Rows {
		all = append(all, row.origin)
	}
	for _, row := range b.en.Frequency {
		all = append(all, row.origin)
	}
	for _, row := range b.es.Rows {
		all = append(all, row.origin)
	}
	for _, row := range b.es.ByOutlet {
		all = append(all, row.origin)
	}
	if len(all) != 18+4+13+6 {
		t.Errorf("%d rows", len(all))
	}
	for i, o := range all {
		if o.Clause == "" || o.Source == "" || o.Basis != "read" && o.Basis != "memory" && o.Basis != "common_practice" {
			t.Errorf("row %d has no origin: %+v", i, o)
		}
	}
	for _, row := range b.en.Rows {
		if len(row.I)+len(row.II)+len(row.III)+len(row.IV) == 0 || len(row.Kinds) == 0 {
			t.Errorf("row %q is empty", row.Row)
		}
	}
}

// Every quantity of every subject has exactly one answer; removed ones and an
// empty plan have none.
func TestOneAnswerEach(t *testing.T) {
	c, err := schema.Quantities()
	if err != nil {
		t.Fatal(err)
	}
	bare := &plan.Plan{
		Branches: []plan.Pipe{{ID: "b", Whole: "b"}, {ID: "gone", State: plan.Removed}},
		Drains:   []plan.Pipe{{ID: "d", Whole: "d"}}, Stacks: []plan.Stack{{ID: "s"}, {ID: "gone2", State: plan.Removed}},
	}
	seen := map[[2]string]int{}
	resp := measure(t, bare)
	for _, g := range resp.Gaps {
		seen[[2]string{g.Quantity, g.Subject}]++
	}
	for _, m := range resp.Measurements {
		seen[[2]string{m.Quantity, m.Subject}]++
	}
	for _, q := range quantities {
		for _, kind := range c.ByName[q].Of {
			key := [2]string{q, kind[:1]}
			if seen[key] != 1 {
				t.Errorf("%v: %d answers", key, seen[key])
			}
			delete(seen, key)
		}
	}
	if len(seen) > 0 {
		t.Errorf("answers that nobody asked for: %v", seen)
	}
	if resp := measure(t, &plan.Plan{}); len(resp.Measurements)+len(resp.Gaps) > 0 {
		t.Errorf("an empty plan gives %+v", resp)
	}
	if d, err := (Measurer{}).Describe(context.Background()); err != nil || len(d.Quantities) != len(quantities) {
		t.Errorf("%+v, %v", d, err)
	}
}
