package fit

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var bench = replytest.Bench{Measurer: Measurer}

// mill is a house of our own: the waste of a shower lies under the boards of
// the upper floor and crosses the joists j1 and j2.
func mill() *plan.Plan {
	exact := func(v float64) *plan.Reading { return replytest.Read(v, 0) }
	return &plan.Plan{
		Version:  plan.Version,
		Floors:   []plan.Floor{{ID: "upper", Top: exact(0), Boards: exact(22), Clear: exact(177), StoppedBy: "ceiling"}},
		Joists:   []plan.Joist{{ID: "j1", Floor: "upper", Depth: exact(220), Span: exact(3400)}, {ID: "j2", Floor: "upper", Depth: exact(220), Span: exact(3400)}},
		Fixtures: []plan.Fixture{{ID: "shower", Kind: "shower"}},
		Traps:    []plan.Trap{{ID: "shower.trap", Fixture: "shower", Serves: "shower", Branch: "shower.waste", Height: exact(100)}},
		Branches: []plan.Pipe{{
			ID: "shower.waste", Whole: "shower.waste", State: plan.New, Place: "in_floor", Floor: "upper",
			Size: &plan.Size{Outer: exact(110), Bore: exact(103)}, Level: exact(-30), To: plan.Junction{Kind: "stack", ID: "main", Level: exact(-256)},
			Legs: []plan.Leg{{Along: exact(0), Drop: exact(100), Length: exact(100), Steep: true}, {Along: exact(7000), Fall: exact(18)}},
		}},
	}
}

func crossed(joists ...string) *plan.Plan {
	p := mill()
	for _, j := range joists {
		p.Crossings = append(p.Crossings, plan.Crossing{Pair: plan.Pair{ID: "shower.waste~" + j, A: "shower.waste", B: j}, Along: replytest.Read(1000, 10)})
	}
	return p
}

// A pipe of 110 mm and 7 m in a void of 177 mm at 18 mm/m: it needs 126 mm of
// fall and has 67. Worked by hand: 177 - 110 = 67; 67 / 7 = 9.57; 67 / 18 = 3.72.
func TestPipeOfSevenMetres(t *testing.T) {
	p := mill()
	for _, c := range []struct {
		quantity string
		want     float64
		written  string
	}{
		{"fall_room", 67, "177 mm - 110 mm = 67 mm"},
		{"steepest_fit", 67.0 / 7, "67 mm / 7.000 m = 9.6 mm/m"},
		{"length_fits", 67.0 / 18 * 1000, "67 mm / 18.0 mm/m = 3.722 m"},
	} {
		m := bench.Measured(t, p, c.quantity, "shower.waste")
		if b := m.Band; math.Abs(b.Low-c.want) > 1e-9 || math.Abs(b.Value-c.want) > 1e-9 || math.Abs(b.High-c.want) > 1e-9 {
			t.Errorf("%s: %+v, by hand %g", c.quantity, *b, c.want)
		}
		if !strings.Contains(m.Working.Numbers, c.written) {
			t.Errorf("%s: working %q, want %q in it", c.quantity, m.Working.Numbers, c.written)
		}
	}
	b := bench.Band(t, p, "fall_room", "shower.waste")
	if needs := 18.0 * 7; math.Abs(needs-126) > 1e-9 || needs <= b.High {
		t.Errorf("the run needs %g mm and has %+v", needs, b)
	}
	p.Joists[1].Depth = replytest.Read(177, 0) // the same by the joist, in a deeper void
	p.Floors[0].Clear = replytest.Read(250, 0)
	p.Crossings = crossed("j1", "j2").Crossings
	bench.Ask(t, p).WantBand(t, "fall_room", "shower.waste", sdk.Band{Low: 67, Value: 67, High: 67}, 1e-9)
}

// The sockets stand out and decide; the working says which it took.
func TestSocketsDecide(t *testing.T) {
	p := crossed("j1")
	for _, q := range []string{"fall_room", "hole_needed", "boards_left", "void_left"} {
		id := "shower.waste"
		if q == "hole_needed" {
			id = "shower.waste~j1"
		}
		p.Branches[0].Socket = nil
		pipe := bench.Measured(t, p, q, id)
		p.Branches[0].Socket = replytest.Read(128, 0)
		socket := bench.Measured(t, p, q, id)
		grows := map[string]float64{"fall_room": -18, "hole_needed": 18, "boards_left": -9, "void_left": -9}[q]
		if got := socket.Band.Value - pipe.Band.Value; math.Abs(got-grows) > 1e-9 {
			t.Errorf("%s: sockets of 128 mm for a pipe of 110 change it by %g, want %g", q, got, grows)
		}
		if !strings.Contains(socket.Working.Numbers, "its sockets") || !strings.Contains(pipe.Working.Numbers, "sockets are not told") {
			t.Errorf("%s: workings %q and %q", q, socket.Working.Numbers, pipe.Working.Numbers)
		}
	}
}

func TestWhereAPipeLies(t *testing.T) {
	p := mill()
	p.Branches[0].Place = "hung"
	bench.WantGap(t, p, "fall_room", "shower.waste", sdk.OutOfRange, "")
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.OutOfRange, "")
	p.Branches[0].Place, p.Branches[0].Floor = "unknown", ""
	bench.WantGap(t, p, "fall_room", "shower.waste", sdk.NotTold, "shower.waste.place")
	p.Branches[0].Place = "in_floor"
	bench.WantGap(t, p, "fall_room", "shower.waste", sdk.NotTold, "shower.waste.room")
	p.Crossings = crossed("j1").Crossings // the joist tells the floor
	bench.Ask(t, p).WantBand(t, "fall_room", "shower.waste", sdk.Band{Low: 67, Value: 67, High: 67}, 1e-9)
	p = mill()
	p.Branches[0].Legs, p.Branches[0].To.Level = []plan.Leg{{Along: replytest.Read(7000, 0), Drop: replytest.Read(-20, 0)}}, replytest.Read(-10, 0)
	bench.WantGap(t, p, "length_fits", "shower.waste", sdk.OutOfRange, "")
	p.Branches[0].Legs[0].Drop, p.Branches[0].To.Level = replytest.Read(-2, 5), nil
	bench.WantGap(t, p, "length_fits", "shower.waste", sdk.NotMeasured, "shower.waste.drop")
}

func TestJoistsMet(t *testing.T) {
	p := crossed("j1", "j2")
	bench.Ask(t, p).WantBand(t, "joists_met", "shower.waste", sdk.Band{Low: 2, Value: 2, High: 2}, 0)
	p.Crossings[0].State = plan.Removed
	bench.Ask(t, p).WantBand(t, "joists_met", "shower.waste", sdk.Band{Low: 1, Value: 1, High: 1}, 0)
	p.Crossings = nil
	bench.WantGap(t, p, "joists_met", "shower.waste", sdk.NotMeasured, "shower.waste.points")
	p.Openings = []plan.Opening{{ID: "o1", Joist: "j2", For: "shower.waste"}} // a hole in j2; nobody knows of j1
	bench.Ask(t, p).WantBand(t, "joists_met", "shower.waste", sdk.Band{Low: 1, Value: 1, High: 2}, 0)
	p.Crossings = []plan.Crossing{{Pair: plan.Pair{ID: "shower.waste~j2", A: "shower.waste", B: "j2"}, Opening: "o1"}} // known by the hole only
	bench.Ask(t, p).WantBand(t, "joists_met", "shower.waste", sdk.Band{Low: 1, Value: 1, High: 2}, 0)
	bench.WantGap(t, p, "notch_needed", "shower.waste~j2", sdk.NotMeasured, "shower.waste.points")
}

// A run told by points over joists that are all placed and that it does not
// cross meets none; while one of them is not placed it may be met.
func TestNoJoistMet(t *testing.T) {
	p := mill()
	p.Branches[0].Placed = true
	bench.WantGap(t, p, "joists_met", "shower.waste", sdk.NotMeasured, "shower.waste.points")
	for i := range p.Joists {
		p.Joists[i].At, p.Joists[i].Along = replytest.Read(400*float64(i+1), 5), "y"
	}
	bench.Ask(t, p).WantBand(t, "joists_met", "shower.waste", sdk.Band{}, 0)
	// 22 mm of boards over an axis at -130 + 51.5 mm, half of 110 mm above it: -22 - (-78.5 + 55).
	bench.Ask(t, p).WantBand(t, "boards_left", "shower.waste", sdk.Band{Low: 1.5, Value: 1.5, High: 1.5}, 1e-9)
	p.Joists[1].Along = "unknown"
	bench.WantGap(t, p, "joists_met", "shower.waste", sdk.NotMeasured, "shower.waste.points")
	p.Joists[1].Along, p.Joists[0].At = "y", nil
	bench.WantGap(t, p, "joists_met", "shower.waste", sdk.NotMeasured, "shower.waste.points")
	p.Joists = nil // a floor of joists that nobody wrote down
	bench.WantGap(t, p, "joists_met", "shower.waste", sdk.NotMeasured, "shower.waste.points")
}

func TestCrossingCut(t *testing.T) {
	p := crossed("j1")
	bench.WantWords(t, p, "crossing_cut", "shower.waste~j1", "uncut")
	p.Openings = []plan.Opening{{ID: "o1", Joist: "j2", For: "shower.waste"}, {ID: "o2", Joist: "j1", For: "bath.waste"}}
	bench.WantWords(t, p, "crossing_cut", "shower.waste~j1", "uncut")
	p.Openings[1].For = "shower.waste"
	bench.WantWords(t, p, "crossing_cut", "shower.waste~j1", "cut")
	p.Openings[1].For, p.Crossings[0].Opening = "", "o2"
	bench.WantWords(t, p, "crossing_cut", "shower.waste~j1", "cut")
	p.Openings[1].State = plan.Removed
	bench.WantWords(t, p, "crossing_cut", "shower.waste~j1", "uncut")
	p.Crossings[0].B = "elsewhere"
	bench.WantGap(t, p, "crossing_cut", "shower.waste~j1", sdk.OutOfRange, "")
	bench.WantGap(t, p, "crossing_place", "shower.waste~j1", sdk.OutOfRange, "")
}

func TestTrapOverOrUnderTheBoards(t *testing.T) {
	p := mill()
	p.Traps[0].Serves = "washbasin"
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.NotMeasured, "shower.trap.weir")
	p.Traps[0].Weir = replytest.Read(-22, 3) // at the boards' underside
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.NotMeasured, "shower.trap.weir")
	p.Traps[0].Weir = replytest.Read(400, 3)
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.OutOfRange, "")
	p.Traps[0].Weir = replytest.Read(-60, 3)
	bench.Ask(t, p).WantBand(t, "trap_fits", "shower.trap", sdk.Band{Low: 77, Value: 77, High: 77}, 1e-9)
	p.Traps[0].Kinds = []string{"built_in"} // of a water closet; that of a floor drain stands below
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.OutOfRange, "")
	p.Traps[0].Serves = "floor_drain"
	bench.Ask(t, p).WantBand(t, "trap_fits", "shower.trap", sdk.Band{Low: 77, Value: 77, High: 77}, 1e-9)
	p.Traps[0].Branch = ""
	bench.WantGap(t, p, "trap_fits", "shower.trap", sdk.NotTold, "shower.waste.place")
}

func TestOneAnswerEach(t *testing.T) {
	bare := &plan.Plan{
		Traps:     []plan.Trap{{ID: "t"}},
		Branches:  []plan.Pipe{{ID: "b/1", Whole: "b"}, {ID: "gone", Whole: "gone", State: plan.Removed}},
		Crossings: []plan.Crossing{{Pair: plan.Pair{ID: "b/1~j", A: "b/1", B: "j"}}, {Pair: plan.Pair{ID: "gone~j", A: "gone", B: "j", State: plan.Removed}}},
	}
	bench.AnswersOnce(t, bare, map[string]string{"traps": "t", "branches": "b/1", "crossings": "b/1~j"})
	bench.RefusesStrangePlans(t)
}

// More fall never lets a longer pipe fit, and a wider pipe never gets more room.
func TestMoreFallNeverFitsLonger(t *testing.T) {
	at := func(fall, outside float64) (length, room sdk.Band) {
		p := mill()
		p.Branches[0].Legs[1].Fall, p.Branches[0].To.Level = replytest.Read(fall, 1), nil
		p.Branches[0].Size.Outer = replytest.Read(outside, 1)
		return bench.Band(t, p, "length_fits", "shower.waste"), bench.Band(t, p, "fall_room", "shower.waste")
	}
	rapid.Check(t, func(rt *rapid.T) {
		fall, outside := rapid.Float64Range(5, 60).Draw(rt, "fall"), rapid.Float64Range(32, 200).Draw(rt, "outside")
		more := rapid.Float64Range(0, 20).Draw(rt, "more")
		length, room := at(fall, outside)
		steeper, _ := at(fall+more, outside)
		_, tighter := at(fall, outside+more)
		if steeper.Low > length.Low || steeper.Value > length.Value || steeper.High > length.High {
			rt.Fatalf("length %+v, with more fall %+v", length, steeper)
		}
		if tighter.Low > room.Low || tighter.Value > room.Value || tighter.High > room.High {
			rt.Fatalf("room %+v, of a wider pipe %+v", room, tighter)
		}
	})
}
