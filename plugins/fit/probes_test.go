package fit

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var taped = replytest.Taped

// built makes a plan of the mill with some of its readings set.
func built(set func(p *plan.Plan, r []*plan.Reading), joists ...string) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := crossed(joists...)
		set(p, r)
		return p
	}
}

// levels sets all that a place in the void hangs on.
func levels(p *plan.Plan, r []*plan.Reading) {
	p.Branches[0].Level, p.Branches[0].Legs[1].Drop, p.Branches[0].Legs[1].Fall = r[0], r[1], nil
	p.Branches[0].To.Level = nil
	p.Floors[0].Top, p.Floors[0].Boards = r[2], r[3]
	p.Branches[0].Size = &plan.Size{Outer: r[4], Bore: r[5]}
}

var levelReadings = []plan.Reading{taped(20, 3), taped(45, 5), taped(0, 2), taped(22, 1), taped(50, 1), taped(46, 0.5)}

// run sets what the room to fall in hangs on.
func run(p *plan.Plan, r []*plan.Reading) {
	p.Floors[0].Clear, p.Branches[0].Size.Outer, p.Joists[0].Depth = r[0], r[1], r[2]
}

// crossing sets what a place in a joist hangs on.
func crossing(p *plan.Plan, r []*plan.Reading) {
	p.Crossings[0].Invert, p.Floors[0].Top, p.Floors[0].Boards = r[0], r[1], r[2]
	p.Branches[0].Size = &plan.Size{Outer: r[3], Bore: r[4]}
	if len(r) > 5 {
		p.Joists[0].Depth = r[5]
	}
}

const (
	waste  = "shower.waste"
	at     = "shower.waste~j1"
	size   = "shower.waste.size"
	zero   = "floors.upper.top"
	boards = "floors.upper.boards"
	clearH = "floors.upper.void.clear"
	depth  = "joists.at.j1.depth"
)

// Every figure is worked by hand from the numbers beside it.
func runProbes() []replytest.Probe {
	return []replytest.Probe{
		{ // under -22; after the upright 100 mm at -80: -22 - (-80 + 23 + 25) = 10
			Quantity: "boards_left", Subject: waste, In: levelReadings, Build: built(levels), Want: sdk.Band{Low: 3.25, Value: 10, High: 16.75},
			Needs: []string{waste + ".start", waste + ".to.level", zero, boards, size, size},
		},
		{ // end at -125: (-125 + 23 - 25) - (-22 - 177) = 72
			Quantity: "void_left", Subject: waste, In: append(levelReadings[:6:6], taped(177, 5)), Want: sdk.Band{Low: 55.25, Value: 72, High: 88.75},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { levels(p, r); p.Floors[0].Clear = r[6] }),
			Needs: []string{waste + ".start", waste + ".to.level", zero, boards, size, size, clearH},
		},
		{Quantity: "fall_room", Subject: waste, About: "by the void", In: []plan.Reading{taped(177, 5), taped(110, 1), taped(220, 2)}, Build: built(run, "j1"), Want: sdk.Band{Low: 61, Value: 67, High: 73}, Needs: []string{clearH, size, depth}},
		{Quantity: "fall_room", Subject: waste, About: "by void or joist", In: []plan.Reading{taped(177, 5), taped(110, 1), taped(175, 4)}, Build: built(run, "j1"), Want: sdk.Band{Low: 60, Value: 65, High: 70}, Needs: []string{clearH, size, depth}},
		{ // 67 / 7 m; 61 / 7.02; 73 / 6.98
			Quantity: "steepest_fit", Subject: waste, In: []plan.Reading{taped(177, 5), taped(110, 1), taped(220, 2), taped(7000, 20)},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { run(p, r); p.Branches[0].Legs[1].Along = r[3] }, "j1"),
			Want:  sdk.Band{Low: 61 / 7.02, Value: 67.0 / 7, High: 73 / 6.98}, Needs: []string{clearH, size, depth, waste + ".length"},
		},
		{ // it does not fit at all: 100 - 110
			Quantity: "steepest_fit", Subject: waste, About: "in too low a void", In: []plan.Reading{taped(100, 5), taped(110, 1), taped(220, 2), taped(7000, 20)},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { run(p, r); p.Branches[0].Legs[1].Along = r[3] }, "j1"),
			Want:  sdk.Band{Low: -16 / 6.98, Value: -10.0 / 7, High: -4 / 7.02}, Needs: []string{clearH, size, depth, waste + ".length"},
		},
		{ // 67 / 18; 61 / 20; 73 / 16
			Quantity: "length_fits", Subject: waste, In: []plan.Reading{taped(177, 5), taped(110, 1), taped(220, 2), taped(18, 2)},
			Build: built(func(p *plan.Plan, r []*plan.Reading) {
				run(p, r)
				p.Branches[0].Legs[1].Fall, p.Branches[0].To.Level = r[3], nil
			}, "j1"),
			Want: sdk.Band{Low: 61000.0 / 20, Value: 67000.0 / 18, High: 73000.0 / 16}, Needs: []string{clearH, size, depth, waste + ".drop"},
		},
		{Quantity: "joists_met", Subject: waste, Build: built(func(*plan.Plan, []*plan.Reading) {}, "j1", "j2"), Want: sdk.Band{Low: 2, Value: 2, High: 2}},
	}
}

func crossingProbes() []replytest.Probe {
	return []replytest.Probe{
		{ // 1020 / 3400 = 0.3
			Quantity: "crossing_place", Subject: at, In: []plan.Reading{taped(1020, 10), taped(3400, 20)},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { p.Crossings[0].OnSpan, p.Joists[0].Span = r[0], r[1] }, "j1"),
			Want:  sdk.Band{Low: 1010.0 / 3420, Value: 0.3, High: 1030.0 / 3380}, Needs: []string{waste + ".points", "joists.at.j1.span"},
		},
		{ // about mid span: folded
			Quantity: "crossing_place", Subject: at, About: "at mid span", In: []plan.Reading{taped(1690, 20), taped(3400, 10)}, Peak: []float64{1700, 3400},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { p.Crossings[0].OnSpan, p.Joists[0].Span = r[0], r[1] }, "j1"),
			Want:  sdk.Band{Low: 1670.0 / 3410, Value: 1690.0 / 3400, High: 0.5}, Needs: []string{waste + ".points", "joists.at.j1.span"},
		},
		{ // -22 - (-90 + 23 - 25) = 70
			Quantity: "notch_needed", Subject: at, In: []plan.Reading{taped(-90, 4), taped(0, 2), taped(22, 1), taped(50, 1), taped(46, 0.5)}, Build: built(crossing, "j1"),
			Want: sdk.Band{Low: 62.25, Value: 70, High: 77.75}, Needs: []string{waste + ".start", zero, boards, size, size},
		},
		{Quantity: "hole_needed", Subject: at, In: []plan.Reading{taped(63, 1)}, Build: built(func(p *plan.Plan, r []*plan.Reading) { p.Branches[0].Socket = r[0] }, "j1"), Want: sdk.Band{Low: 62, Value: 63, High: 64}, Needs: []string{""}},
		{Quantity: "hole_needed", Subject: at, About: "of the pipe", In: []plan.Reading{taped(50, 1)}, Build: built(func(p *plan.Plan, r []*plan.Reading) { p.Branches[0].Size.Outer = r[0] }, "j1"), Want: sdk.Band{Low: 49, Value: 50, High: 51}, Needs: []string{size}},
		{ // mid depth at -22 - 110 = -132; axis at -90 + 23 = -67: 65 apart. The outside does not matter
			Quantity: "hole_off_centre", Subject: at, In: []plan.Reading{taped(-90, 4), taped(0, 2), taped(22, 1), taped(50, 1), taped(46, 0.5), taped(220, 2)}, Build: built(crossing, "j1"),
			Want: sdk.Band{Low: 56.75, Value: 65, High: 73.25}, Needs: []string{waste + ".start", zero, boards, "", size, depth},
		},
		{ // 177 - 100
			Quantity: "trap_fits", Subject: "shower.trap", In: []plan.Reading{taped(177, 5), taped(100, 2)},
			Build: built(func(p *plan.Plan, r []*plan.Reading) { p.Floors[0].Clear, p.Traps[0].Height = r[0], r[1] }),
			Want:  sdk.Band{Low: 70, Value: 77, High: 84}, Needs: []string{clearH, "shower.trap.height"},
		},
	}
}

func TestProbes(t *testing.T) { bench.Prove(t, append(runProbes(), crossingProbes()...)) }
