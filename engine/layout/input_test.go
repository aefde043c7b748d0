package layout

import (
	"encoding/json"
	"testing"

	"fallrule/engine/document"
	"fallrule/engine/validate"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// valid holds the rules' input against its schema.
func valid(t *testing.T, in Input) {
	t.Helper()
	text, err := json.Marshal(in)
	if err != nil {
		t.Fatal(err)
	}
	doc, faults := document.Read("input.json", text)
	if document.Refused(faults) {
		t.Fatalf("input cannot be read back: %v", faults)
	}
	v, err := validate.New("input.schema.json", schema.Input)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range v.Document(doc) {
		t.Errorf("%s in %s", f, text)
	}
}

func TestInputIsWhatItsSchemaSays(t *testing.T) {
	for name, src := range map[string]string{"short": short, "yard": yardHouse, "faulty parts": house(), "nothing": "layout: 1", "full": fullHouse, "water": waterHouse, "joists": joistHouse} {
		t.Run(name, func(t *testing.T) { valid(t, read(t, src).Input()) })
	}
}

// fullHouse has one of every kind of subject.
const fullHouse = `
layout: 1
house: { country: gb, district: old_port, use: guest_house, owners: several }
work: { kind: alteration, stage: laid, notified: notified }
rooms: { landing: { storey: 1, heated: unheated, window: none, door_gap: 10 mm } }
floors: { upper: { rooms: [landing], boards: 22 mm, void: { clear: 150 mm, stopped_by: ceiling } } }
joists: { common: { floor: upper, member: joist, depth: 200 mm, span: 3 m, looks: sound }, at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: hole, diameter: 50 mm, for: bowl.waste } } }
walls: { gable: { made_of: stone, thickness: 0.6 m, hides: [flue, lintel] }, sleeves: { s1: { wall: gable, bore: 127 mm, for: bowl.waste } } }
fixtures:
  pan: { kind: wc, outlet: { bore: 78 mm }, waste: { size: 110 mm, made_of: plastic, place: boxed, to: { pipe: riser, side: left } } }
  bowl: { kind: washbasin, plug: without, use: seldom, waste: { size: 32 mm, to: { pipe: pan.waste, distance: 0.2 m } } }
  tray: { kind: shower, waste: { size: 40 mm, to: { pipe: riser, side: right } } }
  gone: { kind: unknown, state: removed, waste: { to: riser } }
stacks: { riser: { size: 110 mm, state: existing, made_of: cast_iron, serves_others: others, offset: { level: 0.2 m }, foot: { level: -3 m, bend: two_45 }, to: lane } }
drains: { lane: { size: 110 mm, state: existing, place: buried, to: public_sewer } }
vents: { top: { from: { pipe: riser, level: top }, state: existing, airs: drain, known: seen, ends: { where: roof, roof: not_walked_on, cage: fitted, openings: { window: { aside: 2 m, below: 0.5 m } } } } }
access: { eye: { pipe: lane, reach: hatch, state: existing } }
tests: { t1: { what: drains_air, pressure: 38 mbar, held: 3 min, fell: 0 mbar, seen_by: installer } }
`

func TestFactsOfTheFullHouse(t *testing.T) {
	lay := read(t, fullHouse)
	in := lay.Input()
	if b := in.Buildings[0]; b.State != plan.Laid || b.Work != "alteration" || b.Stage != "laid" || b.HasStack != "present" || b.HasDrainage != "present" || b.Listed != "unknown" {
		t.Errorf("building: %+v", b)
	}
	byID := map[string]BranchFacts{}
	for _, b := range in.Branches {
		byID[b.ID] = b
	}
	for id, want := range map[string]BranchFacts{
		"pan.waste/1": {Serves: "wc", Shared: "one", Carries: "wc", Outlet: "up_to_80", To: "branch", IntoWCBranch: "elsewhere", First: "at_trap"},
		"pan.waste/2": {Serves: "mixed", Shared: "several", Carries: "wc", Outlet: "up_to_80", To: "stack", IntoWCBranch: "elsewhere", First: "downstream"},
		"bowl.waste":  {Serves: "washbasin", Shared: "one", Carries: "waste", Outlet: "not_wc", To: "branch", IntoWCBranch: "into_wc", First: "at_trap"},
		"gone.waste":  {Serves: "none", Shared: "none", Carries: "waste", Outlet: "not_wc", To: "stack", IntoWCBranch: "elsewhere", First: "at_trap"},
	} {
		got := byID[id]
		if got.BuildingUse != "guest_house" {
			t.Errorf("%s lies in a %s", id, got.BuildingUse)
		}
		if got.System != "iii" {
			t.Errorf("%s is judged by system %s", id, got.System)
		}
		got.ID, got.State, got.Whole, got.Place, got.MadeOf, got.BuildingUse, got.System = "", "", "", "", "", "", ""
		if got != want {
			t.Errorf("%s: %+v, want %+v", id, got, want)
		}
	}
	if s := in.Stacks[0]; s.Carries != "wc" || s.Outlet != "unknown" || s.Gains != "gains" {
		t.Errorf("stack, which others use: %+v", s)
	}
	if x := in.TerminalOpenings[0]; x.ID != "top~window" || x.Opens != "window" || x.Airs != "drain" || x.Kind != "pipe" {
		t.Errorf("opening near the vent: %+v", x)
	}
	if f := in.Fixtures[2]; f.Plug != "without" || f.Pumped != "gravity" {
		t.Errorf("a shower tray has no plug unless told: %+v", f)
	}
	// A test is a record: no band is put around it. 38 mbar is 3.8 kPa.
	is(t, "held", lay.Plan.Tests[0].Held, 180, 180, 180)
	is(t, "pressure", lay.Plan.Tests[0].Pressure, 3.8, 3.8, 3.8)
}

// Every subject of the input is a subject of the layout, of that kind.
func TestSubjectsOfTheInputAreKnown(t *testing.T) {
	for _, src := range []string{short, yardHouse, fullHouse, waterHouse, joistHouse} {
		lay := read(t, src)
		text, err := json.Marshal(lay.Input())
		if err != nil {
			t.Fatal(err)
		}
		var lists map[string][]struct{ ID string }
		if err := json.Unmarshal(text, &lists); err != nil {
			t.Fatal(err)
		}
		for kind, subjects := range lists {
			for _, s := range subjects {
				if lay.Kind(s.ID) != kind || lay.Position(s.ID).Line == 0 || lay.State(s.ID) == "" {
					t.Errorf("%s: kind %q, place %v, state %q, want kind %s", s.ID, lay.Kind(s.ID), lay.Position(s.ID), lay.State(s.ID), kind)
				}
			}
		}
	}
}
