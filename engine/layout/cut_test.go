package layout

import (
	"fmt"
	"math"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// yardHouse has a bath whose waste a washing machine and a basin join, a trap
// box, a removed fixture and a drain under a stack.
const yardHouse = `
layout: 1
house: { country: es }
readings: { planned: ± 4 mm }
fixtures:
  tub:
    kind: bath
    waste:
      size: DN 50
      start: 60 mm
      runs: [{ along: 0.80 m, drop: 16 mm, bend: 87° }, { along: 1.20 m, drop: 24 mm, bend: 45° }]
      to: { pipe: riser, fitting: { angle: 87°, swept: swept, radius: 50 mm }, side: left }
  laundry: { kind: washing_machine, load: 7 kg, waste: { size: DN 40, length: 0.5 m, drop: 15 mm, bends: none, to: { pipe: tub.waste, distance: 1.10 m ± 10 mm, fitting: 45°, side: top } } }
  bowl: { kind: washbasin, waste: { size: DN 40, length: 0.9 m, drop: 20 mm, to: { pipe: tub.waste, distance: 0.30 m } } }
  box: { kind: trap_box, trap: { seal: 50 mm }, waste: { size: DN 50, length: 1 m, drop: 30 mm, to: { pipe: riser, side: right } } }
  bidet: { kind: bidet, trap: none, waste: { size: DN 40, length: 0.4 m, drop: 10 mm, to: box } }
  old: { kind: washbasin, state: removed, waste: { to: { pipe: tub.waste, distance: 0.6 m }, stub_closed_by: capped } }
stacks:
  riser: { size: DN 110, foot: { level: -3.00 m }, to: lane }
drains:
  lane: { size: DN 125, length: 6 m, fall: 1:50, to: public_sewer, state: existing }
vents:
  breather: { kind: valve, from: { pipe: tub.waste, distance: 0.50 m }, size: DN 50, ends: { where: indoors, level: 0.9 m }, for: tub.trap }
`

// By hand: cuts at 300 and 1100 mm. The first run is 800.16 mm long, the
// second 1200.24 (16 and 24 mm down): all at 20 mm/m. The second piece is
// 500.16 of the first run and 299.84 of the second.
func TestPipesAreCutWhereOthersJoin(t *testing.T) {
	lay := read(t, yardHouse)
	one, two, three := branch(t, lay, "tub.waste/1"), branch(t, lay, "tub.waste/2"), branch(t, lay, "tub.waste/3")
	for _, c := range []struct {
		p      plan.Pipe
		legs   int
		length float64
		bends  int
	}{{one, 1, 300, 0}, {two, 2, 800, 1}, {three, 1, 900.4, 1}} {
		total, bends := sum(c.p.Legs, lengthOf), 0
		for _, leg := range c.p.Legs {
			bends += len(leg.Bends)
			if f := fallOf(leg); f == nil || math.Abs(f.Value-20) > 0.01 {
				t.Errorf("%s: fall %v", c.p.ID, f)
			}
		}
		if len(c.p.Legs) != c.legs || bends != c.bends || math.Abs(total.Value-c.length) > 0.1 {
			t.Errorf("%s: %d legs, %d bends, %v long", c.p.ID, len(c.p.Legs), bends, total)
		}
	}
	same(t, "upstream of 2", two.Upstream, "tub.waste/1", "bowl.waste")
	same(t, "upstream of 3", three.Upstream, "tub.waste/2", "laundry.waste")
	same(t, "served by 3", three.Serves, "tub", "bowl", "laundry")
	// Levels: 60 less 20 mm/m over 300 mm is 54; the end lies 40 mm below 60.
	if math.Abs(two.Level.Value-54) > 0.01 || math.Abs(three.To.Level.Value-20) > 0.01 || math.Abs(one.To.Level.Value-54) > 0.01 {
		t.Errorf("levels: %v, %v, %v", two.Level, three.To.Level, one.To.Level)
	}
	if to := three.To; to.Kind != "stack" || to.ID != "riser" || to.Side != "left" || to.Angle.Value != 87 || to.Radius == nil || to.Swept != "swept" {
		t.Errorf("the whole pipe's junction stays with the last piece: %+v", to)
	}
	if to := branch(t, lay, "laundry.waste").To; to.ID != "tub.waste/3" || to.Distance.Value != 1100 || to.Angle.How != plan.Stamped {
		t.Errorf("laundry: %+v", to)
	}
}

func TestRemovedWorkIsNotCountedAndDoesNotCut(t *testing.T) {
	lay := read(t, yardHouse)
	old := branch(t, lay, "old.waste")
	if old.State != plan.Removed || old.Serves != nil || old.To.ID != "tub.waste/2" {
		t.Errorf("old.waste: %+v", old)
	}
	for _, p := range lay.Plan.Branches {
		for _, id := range append(append([]string{}, p.Serves...), p.Upstream...) {
			if id == "old" || id == "old.waste" {
				t.Errorf("%s counts what is removed", p.ID)
			}
		}
	}
	for _, f := range lay.Plan.Fixtures {
		if f.ID == "old" && f.Stub != "capped" || f.ID == "tub" && f.Stub != "" {
			t.Errorf("stub of %s: %q", f.ID, f.Stub)
		}
	}
}

func TestTrapBoxesCollect(t *testing.T) {
	lay := read(t, yardHouse)
	p := branch(t, lay, "box.waste")
	same(t, "upstream of the box's waste", p.Upstream, "bidet.waste")
	same(t, "served", p.Serves, "bidet")
	if p.Fixture != "bidet" {
		t.Errorf("kind: %s", p.Fixture)
	}
	if to := branch(t, lay, "bidet.waste").To; to.Kind != "trap_box" || to.ID != "box" {
		t.Errorf("bidet: %+v", to)
	}
	for _, f := range lay.Plan.Fixtures {
		if f.ID == "bidet" && f.Into != "box" {
			t.Errorf("into: %q", f.Into)
		}
	}
	kinds := map[string]string{}
	for _, trap := range lay.Plan.Traps {
		kinds[trap.ID] = fmt.Sprint(trap.Kinds)
	}
	if kinds["box.trap"] != "[trap_box]" || kinds["bidet.trap"] != "[none]" || kinds["tub.trap"] != "[]" {
		t.Errorf("trap kinds: %v", kinds)
	}
}

// The stack runs into the drain's beginning, so its foot is the drain's start
// and all of the drain carries all: 6 m at 20 mm/m, 119.98 mm lower.
func TestDrainsBeginAtTheFootOfTheStack(t *testing.T) {
	lay := read(t, yardHouse)
	lane := branch(t, lay, "lane")
	same(t, "lane serves", lane.Serves, "tub", "bowl", "laundry", "bidet")
	if lane.Level == nil || lane.Level.Value != -3000 || lane.To.Kind != "sewer" {
		t.Errorf("lane: %+v", lane)
	}
	if math.Abs(lane.To.Level.Value+3119.98) > 0.01 {
		t.Errorf("end of lane: %v", lane.To.Level)
	}
	if s := lay.Plan.Stacks[0]; s.To != "lane" || s.Foot.Value != -3000 {
		t.Errorf("stack: %+v", s)
	}
}

// 0.50 m along the whole pipe is 0.20 m along the piece that begins at 0.30 m.
func TestVentsAreTiedToThePieceTheyLeave(t *testing.T) {
	lay := read(t, yardHouse)
	v := lay.Plan.Vents[0]
	if v.From != "tub.waste/2" || v.FromKind != "branch" || v.Kind != "valve" || v.Trap != "tub.trap" || v.Airs != "drain" {
		t.Errorf("vent: %+v", v)
	}
	is(t, "along", v.Along, 192, 200, 208) // 500 ± 4 less 300 ± 4
	same(t, "vented", branch(t, lay, "tub.waste/2").Vented, "breather")
	if branch(t, lay, "tub.waste/1").Vented != nil {
		t.Error("the first piece has no vent")
	}
}

func TestEntryPairsFaceEachOtherOrMay(t *testing.T) {
	lay := read(t, yardHouse)
	if len(lay.Plan.EntryPairs) != 1 {
		t.Fatalf("pairs: %+v", lay.Plan.EntryPairs)
	}
	p := lay.Plan.EntryPairs[0]
	if p.ID != "tub.waste/3~box.waste" || p.Facing != "opposed" || p.Carries != "waste" || p.State != plan.New {
		t.Errorf("pair: %+v", p)
	}
	for sides, want := range map[[2]string]string{
		{"left", "right"}: "opposed", {"rear", "front"}: "opposed", {"left", "front"}: "", {"left", "left"}: "", {"unknown", "left"}: "unknown",
	} {
		if got := facing(sides[0], sides[1]); got != want {
			t.Errorf("%v: %q, want %q", sides, got, want)
		}
	}
}

// Of a pipe told in whole figures nobody knows which side of a junction its
// bends are on: counted at the end, unknown before.
func TestBendsOfACutWholePipe(t *testing.T) {
	lay := read(t, `
layout: 1
house: { country: es }
fixtures:
  tub: { kind: bath, waste: { size: DN 50, length: 2 m, drop: 40 mm, bends: 2 x 90°, to: riser } }
  bowl: { kind: washbasin, waste: { size: DN 40, length: 1 m, drop: 20 mm, bends: none, to: { pipe: tub.waste, distance: 0.5 m } } }
stacks: { riser: { size: DN 110 } }
`)
	one, two := branch(t, lay, "tub.waste/1"), branch(t, lay, "tub.waste/2")
	if b := one.Legs[0].Bends; len(b) != 1 || b[0].Angle != nil || b[0].Made != "unknown" {
		t.Errorf("before the junction: %+v", b)
	}
	if len(two.Legs[0].Bends) != 2 {
		t.Errorf("after the junction: %+v", two.Legs[0].Bends)
	}
	is(t, "length of the first piece", one.Legs[0].Length, 495, 500, 505)
	is(t, "length of the second", two.Legs[0].Length, 1490, 1500, 1510)
}

func TestOpeningPairsAreNeighboursOnOneDatum(t *testing.T) {
	lay := read(t, `
layout: 1
house: { country: es }
walls: { north: {}, south: {} }
joists:
  common: { depth: 180 mm, span: exact 4.00 m }
  at: { k1: 0.4 m, k2: { at: 0.8 m, member: trimmer } }
  openings:
    b: { joist: k1, shape: hole, diameter: 40 mm, from: south, distance: exact 3.00 m }
    a: { joist: k1, shape: notch_top, depth: 15 mm, from: north, distance: exact 3.40 m, state: existing }
    c: { joist: k1, shape: hole, diameter: 40 mm, from: south, distance: exact 2.00 m }
    d: { joist: k2, shape: hole, diameter: 40 mm, from: south, distance: exact 2.00 m }
`)
	// From the south wall a lies at 4.00 - 3.40 = 0.60 m: a, c, b in a row.
	var got []string
	for _, p := range lay.Plan.OpeningPairs {
		got = append(got, p.ID)
	}
	same(t, "pairs", got, "a~c", "c~b")
	is(t, "a from the south wall", lay.Plan.Openings[1].Distance, 600, 600, 600)
	if in := lay.Input(); in.OpeningPairs[0].Shapes != "mixed" || in.OpeningPairs[1].Shapes != "holes" || in.Openings[3].Member != "trimmer" {
		t.Errorf("facts: %+v", in.OpeningPairs)
	}
}

// Between corners at 60 and 40 mm, half way along (1.0002 m of 2.0004), the
// invert lies at 50: as exact as a level (3 mm) and 5 mm of distance on a slope
// of 1 in 100 (0.05 mm) let it be.
func TestLevelsBetweenPointsDoNotGatherErrors(t *testing.T) {
	lay := read(t, `
layout: 1
house: { country: es }
fixtures:
  tub: { kind: bath, waste: { size: DN 50, points: [[0 m, 0 m, 1.0 m], [0 m, 0 m, 60 mm], [2 m, 0 m, 40 mm]], to: riser } }
  bowl: { kind: washbasin, waste: { size: DN 40, to: { pipe: tub.waste, distance: 1.940 m } } }
stacks: { riser: { size: DN 110 } }
`)
	is(t, "level at the junction", branch(t, lay, "tub.waste/2").Level, 46.95, 50, 53.05)
}

// A waste fitting's inch thread is one size in every market.
func TestInchOutlets(t *testing.T) {
	lay := read(t, "layout: 1\nmarket: es\nfixtures: { bowl: { kind: washbasin, outlet: { size: 1 1/4 in }, waste: { to: unknown } } }")
	is(t, "1 1/4 in", lay.Plan.Fixtures[0].Outlet, 30.75, 31.75, 32.75)
}
