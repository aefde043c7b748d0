package layout_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/engine/layout"
	"fallrule/engine/validate"
	"fallrule/schema"
)

// everySection is small and has something in every section of the format.
// Invented.
const everySection = `
layout: 1
title: a bathroom over the shop
revision: { number: 2, date: "2026-03-01", by: owner }
house: { country: de, home: gb, storeys: 2, dwellings: 1, built: 1908 }
work: { kind: new_bathroom, stage: laid, notified: not_yet }
readings: { existing: ± 10 mm, levels: ± 3 mm, planned: ± 5 mm }
market: de
rooms:
  bathroom: { storey: 1, size: [2.60 m, 2.15 m], height: 2.62 m, window: opens, door_gap: 8 mm, opens_to: [landing] }
  landing: { storey: 1 }
floors:
  upper: { rooms: [bathroom], boards: 26 mm, void: { clear: 80 mm, stopped_by: pugging, holds: [cables] } }
joists:
  common: { floor: upper, along: y, width: 80 mm, depth: 200 mm, span: 3.90 m }
  at: { j1: 0.40 m, j2: { at: 0.80 m, looks: worm } }
  openings:
    o1: { joist: j1, shape: hole, diameter: 40 mm, from: rear, distance: 1.20 m, from_top: 100 mm, for: bath.waste }
    o2: { joist: j1, shape: notch_top, depth: 20 mm, length: 50 mm, from: rear, distance: 0.60 m }
walls:
  rear: { at: y 0, thickness: 380 mm, made_of: brick, hides: [flue, lintel], other_side: landing }
  sleeves: { s1: { wall: rear, at: [1.20 m, -0.10 m], bore: 80 mm, for: bath.waste } }
  chases: { c1: { wall: rear, depth: 30 mm, width: 60 mm } }
fixtures:
  wc: { kind: wc, flush: 6 l, room: bathroom, trap: { built_in: true, seal: 50 mm }, waste: { size: DN 90, length: 0.55 m, drop: 11 mm, to: { pipe: main, level: 0.16 m, fitting: 87°, side: front } } }
  bath:
    kind: bath
    trap: { kind: [p, s], size: DN 50, seal: 50 mm, weir: 0.045 m }
    waste:
      size: { outer: 50 mm, girth: 157 mm }
      points: [[0 m, 0 m, 45 mm], [0 m, 0 m, -78 mm], [1.60 m, 0 m, -110 mm]]
      bend: { angle: 45°, count: 2, radius: 60 mm }
      through: [o1, s1]
      to: main
    cold: { gap: 40 mm }
  basin:
    kind: washbasin
    trap: { kind: bottle, seal: 50 mm }
    waste: { size: DN 40, runs: [{ along: 0.10 m, fall: 20 mm/m, bend: 87° }, { down: 0.2 m, bend: 87° }, { along: 0.6 m, drop: 12 mm }], to: { pipe: bath.waste, distance: 1.00 m, fitting: { angle: 45°, swept: swept } } }
    cold: none
  box: { kind: trap_box, trap: { seal: 60 mm }, waste: { size: DN 50, length: 0.8 m, drop: 16 mm, to: main } }
  shower: { kind: shower, trap: none, waste: { size: DN 50, length: 0.9 m, drop: 18 mm, to: box } }
stacks:
  main: { size: DN 100, state: existing, foot: { level: -3.05 m, bend: two_45 }, offset: straight, to: yard }
drains:
  yard: { size: DN 100, length: 6 m, drop: 90 mm, to: public_sewer }
vents:
  v1: { from: { pipe: main, level: top }, size: DN 100, ends: { where: roof, above_roof: 0.5 m, openings: { roof_window: { aside: 1.4 m, below: 0.6 m } } }, airs: drain, known: seen }
  v2: { kind: valve, from: { pipe: basin.waste, distance: 0.3 m }, for: basin.trap, size: DN 40, ends: { where: indoors, level: 0.9 m } }
access:
  a1: { pipe: main, level: -2 m, size: DN 100 }
supply:
  meter: { kind: public_main, bucket: { at: bath.cold, volume: 9 l, time: 41 s } }
  heater: { kind: store, set: 60 °C, safety_valve: { opens: 6 bar, discharge: { size: 22 mm, to: outside } } }
  valves: { v_main: { holds: works } }
  points: { p1: behind the boiler }
  lines: { l1: { path: [meter, v_main, k1, bath.cold] }, l2: { path: [k1, p1], length: 4 m }, l3: { path: [k1, heater] } }
  manifolds: { m1: { to: { bath.hot: 2.1 m } } }
  alternatives: [[l2, l3]]
cuts: { x1: { between: [k1, p1], then: cap_at_tee, stump: 50 mm } }
observations: { n1: { shut: [v_main], after: 5 min, saw: { bath.cold: dry }, poured: { into: wc, dye: green } } }
air: { fan: { room: bathroom, flow: 60 m3/h, duct: { size: 100 mm, ends: roof } } }
electrics: { e1: { at: [1 m, 0 m, 1.1 m], volts: 230 V } }
answers: { de.stack_condition: { is: sound, of: { main: sound } } }
waivers: { de/seal/bath.trap: { by: building authority, reference: 17/2027 } }
tests: { t1: { what: drains_air, pressure: 38 mbar, held: 3 min, fell: 0 mbar, date: "2026-03-02" } }
photos: { p3: { of: [main], shows: the foot } }
as_built: { wc.waste: { length: 0.56 m, drop: 12 mm }, bath.trap: { seal: 48 mm } }
`

// A program may hold any tree against the layout: whatever stands in a place,
// the answer is faults or a layout and never a panic.
func TestNoShapeOfADocumentPanics(t *testing.T) {
	v := layouts(t)
	doc := readWhole(t, v)
	shapes := []*document.Node{
		{Kind: document.Scalar, Tag: document.String, Value: "unknown"},
		{Kind: document.Scalar, Tag: document.Null, Value: "null"},
		{Kind: document.Scalar, Tag: document.Number, Value: "-7"},
		{Kind: document.Map},
		{Kind: document.List, Items: []*document.Node{{Kind: document.Map}}},
	}
	tried := 0
	replaceEach(doc.Root, "", func(place string, slot **document.Node) {
		whole := *slot
		defer func() { *slot = whole }()
		for i, shape := range shapes {
			*slot = shape
			if trouble := readSafely(v, doc); trouble != nil {
				t.Errorf("%s in shape %d: %v", place, i, trouble)
			}
			tried++
		}
	})
	if tried < 1000 { // the document has over two hundred places
		t.Errorf("only %d shapes tried", tried)
	}
}

func readWhole(t *testing.T, v *validate.Validator) *document.Document {
	t.Helper()
	doc, faults := document.Read("whole.yaml", []byte(strings.TrimPrefix(everySection, "\n")))
	faults = append(faults, v.Document(doc)...)
	_, more := layout.Read(doc)
	for _, fault := range append(faults, more...) {
		t.Error(fault)
	}
	var s struct{ Properties map[string]any }
	if err := json.Unmarshal(schema.Layout, &s); err != nil {
		t.Fatal(err)
	}
	for key := range s.Properties {
		if key != "$schema" && doc.Get(key) == nil {
			t.Errorf("the document has no %s", key)
		}
	}
	return doc
}

func readSafely(v *validate.Validator, doc *document.Document) (trouble error) {
	defer func() {
		if p := recover(); p != nil {
			trouble = fmt.Errorf("panic: %v", p)
		}
	}()
	v.Document(doc)
	lay, _ := layout.Read(doc)
	if lay != nil {
		lay.Input()
	}
	return nil
}

// replaceEach hands every place below n to f, one after the other.
func replaceEach(n *document.Node, place string, f func(place string, slot **document.Node)) {
	if n == nil {
		return
	}
	for i := range n.Pairs {
		at := place + "/" + n.Pairs[i].Key
		f(at, &n.Pairs[i].Value)
		replaceEach(n.Pairs[i].Value, at, f)
	}
	for i := range n.Items {
		at := fmt.Sprintf("%s/%d", place, i)
		f(at, &n.Items[i])
		replaceEach(n.Items[i], at, f)
	}
}
