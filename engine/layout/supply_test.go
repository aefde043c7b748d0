package layout

import (
	"slices"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/plugins/sdk/plan"
)

// waterHouse has a supply with tees, manifolds, a guessed way and two lines of
// which one is true. Invented. k1, k2, k3 are tees.
const waterHouse = `
layout: 1
market: es
rooms:
  bath_room: { size: [2.60 m, 2.10 m], window: none }
  closet: {}
  den: {}
floors: { upper: { rooms: [bath_room], made_of: timber, zero: "pencil line at the door, boards' top", out_of_level: 12 mm ± 2 mm } }
walls: { rear: { at: y 0, carries: joists }, chases: { slot: { wall: rear, runs: level, depth: 30 mm, width: 60 mm, length: 1 m, for: basin.waste } } }
fixtures:
  bath: { kind: bath, room: bath_room, at: [0.50 m, 0.40 m], takes: [1.60 m, 0.70 m], rim: 0.56 m, mixer: thermostatic, waste: none, cold: { gap: 40 mm, stop: true }, hot: { hose: 1.5 m, hose_reach: into_water } }
  basin: { kind: washbasin, room: bath_room, rim: 0.85 m, gap: 50 mm, hose: none, mixer: single_lever, waste: { to: unknown, socket: 50 mm }, cold: { size: 15 mm, made_of: copper, state: existing, cold_temperature: 18 °C }, hot: { flow: 6 l/min } }
  wc: { kind: wc, room: closet, waste: { to: unknown } }
  sink: { kind: kitchen_sink, room: den, state: existing, waste: { to: unknown }, cold: none }
  tub: { kind: laundry_tub, room: den, waste: { to: unknown }, hose: 2 m }
  old: { kind: tap, state: removed, cold: {} }
supply:
  meter: { kind: public_main, static: 3 bar, level: -2 m, check_valve: fitted, bucket: { at: basin.cold, volume: 9 l ± 0.5 l, time: 41 s ± 1 s } }
  heater: { kind: store, set: 60 °C, volume: 120 l, safety_valve: { opens: 6 bar, tested: seized }, expansion: none }
  valves: { v_main: { kind: gate, holds: seized, owner: utility }, v_drain: { kind: drain_tap } }
  points: { p_hot: out of the ceiling }
  lines:
    c1: { path: [meter, v_main, k1], pipe: { made_of: galvanised, outer: 27 mm }, state: existing, known: seen }
    c2: { path: [k1, heater], pipe: { made_of: copper, size: 18 mm }, length: 2 m, rise: 0 m, bends: 2 x 90° }
    c3: { path: [k1, m_cold] }
    c4: { path: [k1, tub.cold], state: existing, known: guessed }
    c5: { path: [k1, old.cold], state: removed }
    h1: { path: [heater, k3, sink.hot], bends: none }
    h3: { path: [k3, p_hot], state: existing, known: guessed }
    h4: { path: [heater, p_hot], state: existing, known: guessed }
    h5: { path: [p_hot, m_hot], pipe: { made_of: multilayer, size: 20 mm }, length: 5.9 m }
  manifolds:
    m_cold: { stop: true, pipe: { made_of: multilayer, size: 16 mm, insulated: bare }, to: { bath.cold: 2.1 m, basin.cold: { length: 3.4 m, pipe: { made_of: copper, size: 15 mm }, bends: none }, wc.cold: 1.2 m } }
    m_hot: { pipe: { made_of: multilayer, size: 16 mm }, to: { bath.hot: 2.1 m, basin.hot: unknown } }
  alternatives: [[h3, h4]]
air: { fan: { room: bath_room, flow: 60 m3/h, overrun: 15 min, duct: { size: 100 mm, bends: 2 x 90°, ends: roof } }, fans: { loft_fan: { state: existing } } }
electrics:
  socket: { kind: socket, room: bath_room, at: [1.55 m, 0.02 m, 1.10 m], volts: 230 V, protected: residual_current }
  lamp: { kind: light, at: [1 m, 1 m], volts: 12 V }
  far: { kind: switch, room: den, at: [1 m, 1 m] }
`

func links(l *Layout) map[string]plan.Link {
	out := map[string]plan.Link{}
	for _, x := range l.Plan.Links {
		out[x.ID] = x
	}
	return out
}

func TestLinksOfLinesAndManifolds(t *testing.T) {
	lay := read(t, waterHouse)
	all := links(lay)
	if len(all) != 16 {
		t.Fatalf("c1 makes two links, h1 two, seven other lines one, the manifolds five: got %d of %d", len(all), len(lay.Plan.Links))
	}
	c1 := all["c1/2"]
	if c1.A != "v_main" || c1.B != "k1" || c1.Line != "c1" || c1.Known != "seen" || c1.State != plan.Existing || c1.MadeOf != "galvanised" || c1.Length != nil {
		t.Errorf("c1/2: %+v", c1)
	}
	is(t, "outside of c1, taped across", c1.Size.Outer, 26, 27, 28)
	is(t, "bore of 3/4 in by its outside", c1.Size.Bore, 17.5, 21.7, 22.9)
	c2 := all["c2"]
	is(t, "length of c2", c2.Length, 1995, 2000, 2005)
	is(t, "rise of c2 may be a fall", c2.Rise, -5, 0, 5)
	is(t, "bore of 18 mm copper: 18 less twice 1.0", c2.Size.Bore, 16, 16, 16.4)
	if len(c2.Bends) != 2 || c2.Known != "seen" {
		t.Errorf("c2: %+v", c2)
	}
	if h := all["h1/1"]; h.Bends == nil || len(h.Bends) != 0 {
		t.Errorf("bends none holds for every step: %+v", h)
	}
	run := all["m_cold~basin.cold"]
	if run.A != "m_cold" || run.B != "basin.cold" || run.MadeOf != "copper" || run.Insulated != "bare" || run.Bends == nil {
		t.Errorf("home run with its own pipe: %+v", run)
	}
	is(t, "its length", run.Length, 3395, 3400, 3405)
	is(t, "bore of 16 mm multilayer", all["m_cold~bath.cold"].Size.Bore, 11.5, 12, 12)
	if all["m_hot~basin.hot"].Length != nil {
		t.Error("an unknown length is one")
	}
}

func TestSourceHeaterAndValves(t *testing.T) {
	p := read(t, waterHouse).Plan
	s, h := p.Sources[0], p.Heaters[0]
	// 9 l in 41 s; 8.5 in 42 at least, 9.5 in 40 at most.
	is(t, "bucket", s.Bucket, 8.5/42, 9.0/41, 9.5/40)
	is(t, "static pressure by a dial gauge, 0.2 bar", s.Static, 280, 300, 320)
	is(t, "level", s.Level, -2003, -2000, -1997)
	if s.ID != "meter" || s.BucketAt != "basin.cold" || s.Check != "fitted" || s.Reducer != "unknown" || s.Running != nil {
		t.Errorf("source: %+v", s)
	}
	is(t, "set", h.Set, 60, 60, 60)
	is(t, "opens", h.SafetyOpens, 600, 600, 600)
	if h.ID != "heater" || h.Safety != "seized" || h.Expansion != "none" || h.Circulates != "unknown" || h.State != plan.Existing {
		t.Errorf("heater: %+v", h)
	}
	if v := p.Valves[0]; v.ID != "v_main" || v.Holds != "seized" || v.Owner != "utility" || v.Reach != "unknown" {
		t.Errorf("valve: %+v", v)
	}
}

func TestDrawOffs(t *testing.T) {
	lay := read(t, waterHouse)
	all := map[string]plan.DrawOff{}
	var order []string
	for _, d := range lay.Plan.DrawOffs {
		all[d.ID] = d
		order = append(order, d.ID)
	}
	// wc.cold, sink.hot and the tub's tap are told by a line or a hose alone.
	same(t, "draw-offs", order, "bath.cold", "bath.hot", "basin.cold", "basin.hot", "wc.cold", "sink.hot", "tub.cold", "old.cold")
	cold, hot := all["bath.cold"], all["bath.hot"]
	if cold.Stop != "fitted" || hot.Stop != "unknown" || all["wc.cold"].Stop != "fitted" || cold.Mixer != "thermostatic" || cold.Serves != "bath" || cold.Room != "bath_room" {
		t.Errorf("bath: %+v, %+v", cold, hot)
	}
	is(t, "gap of the bath", cold.Gap, 35, 40, 45)
	is(t, "its rim", hot.Rim, 557, 560, 563)
	if hot.HoseReach != "into_water" || hot.Hose == nil || cold.HoseReach != "unknown" {
		t.Errorf("hose of the bath: %+v", hot)
	}
	basin := all["basin.cold"]
	is(t, "gap told at the basin", basin.Gap, 40, 50, 60) // its tap is there already
	is(t, "cold water by a kitchen thermometer", basin.Temperature, 16, 18, 20)
	is(t, "bore of 15 mm copper", basin.Size.Bore, 13, 13.6, 13.6)
	is(t, "flow of 6 l/min, a tenth either way", all["basin.hot"].Flow, 0.09, 0.1, 0.11)
	if basin.HoseReach != "none" || basin.State != plan.Existing || all["basin.hot"].State != plan.New || all["old.cold"].State != plan.Removed {
		t.Errorf("basin: %+v", basin)
	}
	hoses := map[string]string{}
	for _, d := range lay.Input().DrawOffs {
		hoses[d.ID] = d.Hose
	}
	if hoses["bath.hot"] != "hose" || hoses["basin.cold"] != "without" || hoses["wc.cold"] != "unknown" || hoses["tub.cold"] != "hose" {
		t.Errorf("hoses: %v", hoses)
	}
}

func TestATapToldAsNoneThatALineLeadsTo(t *testing.T) {
	_, faults := readAll(t, strings.Replace(waterHouse, "h1: { path: [heater, k3, sink.hot]", "h1: { path: [heater, k3, sink.cold]", 1))
	if !slices.ContainsFunc(faults, func(f document.Fault) bool {
		return !f.Warning && strings.Contains(f.What, "sink.cold is told as none")
	}) {
		t.Errorf("faults: %v", faults)
	}
	_, faults = readAll(t, strings.Replace(waterHouse, "    c3: { path: [k1, m_cold] }", "    c3: { path: [k1, m_cold] }\n    meter: { path: [k1, m_cold] }", 1))
	if !slices.ContainsFunc(faults, func(f document.Fault) bool {
		return !f.Warning && strings.Contains(f.What, `"meter" is already the name of`)
	}) {
		t.Errorf("faults: %v", faults)
	}
}

// A line over a valve tells its length, rise and bends for both steps, and
// nothing has to be said of it; one that another leaves on the way is told of
// only up to its end.
func TestLineOfSeveralSteps(t *testing.T) {
	over := func(old, new string) (*Layout, []document.Fault) {
		return readAll(t, strings.Replace(waterHouse, old, new, 1))
	}
	leaves := func(faults []document.Fault) bool {
		return slices.ContainsFunc(faults, func(f document.Fault) bool {
			return f.Warning && strings.Contains(f.What, "water leaves or joins it at k3")
		})
	}
	lay, faults := over("c1: { path: [meter, v_main, k1],", "c1: { path: [meter, v_main, k1], length: 3 m ± 20 mm, rise: 0.4 m, bends: 3 x 90°,")
	if slices.ContainsFunc(faults, func(f document.Fault) bool { return strings.Contains(f.What, "c1") }) {
		t.Errorf("faults: %v", faults)
	}
	if len(lay.Plan.Lines) != 2 {
		t.Fatalf("c1 and h1 have two steps each, got %+v", lay.Plan.Lines)
	}
	c1 := lay.Plan.Lines[0]
	is(t, "length of c1", c1.Length, 2980, 3000, 3020)
	is(t, "rise of c1, which exists", c1.Rise, 390, 400, 410)
	if c1.ID != "c1" || !slices.Equal(c1.Steps, []string{"c1/1", "c1/2"}) || len(c1.Bends) != 3 {
		t.Errorf("c1: %+v", c1)
	}
	if l := links(lay)["c1/2"]; l.Length != nil || l.Rise != nil || l.Bends != nil {
		t.Errorf("one step has what the whole is told of: %+v", l)
	}
	if _, faults = over("h1: { path: [heater, k3, sink.hot]", "h1: { path: [heater, k3, sink.hot], length: 3 m"); !leaves(faults) {
		t.Errorf("h3 leaves h1 at k3: %v", faults)
	}
	if _, faults = over("h1: { path: [heater, k3, sink.hot]", "h1: { path: [heater, k3, sink.hot], rise: 3 m"); leaves(faults) {
		t.Errorf("no length is told: %v", faults)
	}
}

// Cuts lie between what lines pass; where no line passes both it is said.
func TestCuts(t *testing.T) {
	lay, faults := readAll(t, waterHouse+"cuts: { a: { between: [meter, k1], then: valve, state: done }, b: { between: [k1, basin.cold], then: cap, stump: 80 mm }, d: { between: [m_cold, basin.cold] } }\n")
	want := []plan.Cut{{ID: "a", State: plan.Laid, Between: [2]string{"meter", "k1"}, Then: "valve"}, {ID: "b", State: plan.New, Between: [2]string{"k1", "basin.cold"}, Then: "cap"}, {ID: "d", State: plan.New, Between: [2]string{"m_cold", "basin.cold"}, Then: "unknown"}}
	for i, c := range lay.Plan.Cuts {
		if i == 1 {
			is(t, "stump", c.Stump, 75, 80, 85)
			c.Stump = nil
		}
		if c != want[i] {
			t.Errorf("got %+v, want %+v", c, want[i])
		}
	}
	var said []string
	for _, f := range faults {
		if strings.Contains(f.What, "no line of the supply passes both") {
			said = append(said, f.What)
		}
	}
	if len(lay.Plan.Cuts) != 3 || len(said) != 1 || !strings.Contains(said[0], "cut b lies between k1 and basin.cold") {
		t.Errorf("%d cuts, said: %q", len(lay.Plan.Cuts), said)
	}
}

// The shortest document has no supply, so nothing of it becomes a subject.
func TestWithoutSupplyThereIsNone(t *testing.T) {
	p := read(t, short).Plan
	if n := len(p.Sources) + len(p.Heaters) + len(p.Valves) + len(p.Links) + len(p.DrawOffs) + len(p.Fans) + len(p.Electrics) + len(p.Crossings) + len(p.Chases); n != 0 {
		t.Errorf("%d subjects that nobody told of", n)
	}
}

func TestAirAndElectrics(t *testing.T) {
	lay := read(t, waterHouse)
	p := lay.Plan
	fan := p.Fans[0]
	is(t, "60 m3/h over 3.6", fan.Flow, 16.67, 16.67, 16.67)
	is(t, "overrun", fan.Overrun, 900, 900, 900)
	is(t, "inner size of the duct", fan.Duct.Bore, 99, 100, 101)
	if fan.ID != "fan" || fan.State != plan.New || fan.Ends != "roof" || len(fan.Bends) != 2 || p.Fans[1].ID != "loft_fan" || p.Fans[1].Duct != nil {
		t.Errorf("fans: %+v", p.Fans)
	}
	near := map[string]string{}
	for _, e := range p.Electrics {
		near[e.ID] = e.NearTo
	}
	if near["socket"] != "bath" || near["lamp"] != "bath" || near["far"] != "" {
		t.Errorf("a lamp of no room told is near the only bath there is: %v", near)
	}
	is(t, "level of the socket", &p.Electrics[0].At[2], 1097, 1100, 1103)
	if bath := p.Fixtures[0]; len(bath.At) != 2 || len(bath.Takes) != 2 || bath.At[1].Value != 400 || bath.Takes[0].Value != 1600 || len(p.Rooms[0].Sides) != 2 {
		t.Errorf("places: %+v, %+v", bath, p.Rooms[0])
	}
	is(t, "depth of the chase", p.Chases[0].Depth, 25, 30, 35)
	in := lay.Input()
	for i, want := range []string{"bathroom", "toilet", "other"} {
		if in.Rooms[i].Use != want {
			t.Errorf("%s is a %s, want %s", in.Rooms[i].ID, in.Rooms[i].Use, want)
		}
	}
	if f := in.Fans[0]; f.Window != "none" || f.RoomUse != "bathroom" || in.Fans[1].RoomUse != "unknown" {
		t.Errorf("fans: %+v", in.Fans)
	}
	if in.Electrics[0].Volts != "mains" || in.Electrics[1].Volts != "extra_low" || in.Electrics[2].Volts != "unknown" {
		t.Errorf("electrics: %+v", in.Electrics)
	}
	lost := read(t, strings.Replace(waterHouse, "wc: { kind: wc, room: closet,", "wc: { kind: wc,", 1)).Input()
	if lost.Rooms[0].Use != "bathroom" || lost.Rooms[1].Use != "unknown" {
		t.Errorf("a water closet may stand in any other room: %+v", lost.Rooms)
	}
	for _, bad := range []string{"230", "12 bar", "V"} {
		if _, faults := readAll(t, strings.Replace(waterHouse, "volts: 230 V", "volts: \""+bad+"\"", 1)); !document.Refused(faults) {
			t.Errorf("%s was taken for a voltage", bad)
		}
	}
}

func TestSupplyIsReadWhereTheDocumentHasIt(t *testing.T) {
	lay := read(t, waterHouse+"waivers: { es/pressure/c1/2: { by: town, reference: 1 }, es/stop/m_cold~wc.cold/own_stop: { by: town, reference: 2 } }\n")
	for _, c := range [][3]string{
		{"meter", "kind", "supply.meter.kind"}, {"heater", "system", "supply.heater.system"}, {"v_main", "holds", "supply.valves.v_main.holds"},
		{"c1/2", "made_of", "supply.lines.c1.pipe.made_of"}, {"c1/2", "carries", "supply.lines.c1.known"}, {"m_cold~wc.cold", "insulated", "supply.manifolds.m_cold.pipe.insulated"},
		{"basin.cold", "mixer", "basin.mixer"}, {"basin.cold", "hose", "basin.cold.hose"}, {"fan", "runs_with", "air.fan.runs_with"}, {"fan", "window", "rooms.bath_room.window"},
		{"loft_fan", "window", "air.fans.loft_fan.room"}, {"lamp", "protected", "electrics.lamp.protected"}, {"slot", "runs", "walls.chases.slot.runs"}, {"den", "room_use", "fixtures"},
	} {
		if got := lay.Reading(c[0], c[1]); got != c[2] {
			t.Errorf("%s of %s is read as %s, want %s", c[1], c[0], got, c[2])
		}
	}
	for id, line := range map[string]int{"meter": 17, "c1/2": 22, "m_cold~wc.cold": 32, "basin.hot": 11, "fan": 35} {
		if got := lay.Position(id).Line; got != line {
			t.Errorf("%s stands in line %d, want %d", id, got, line)
		}
	}
	if _, found := lay.Waiver("es", "pressure", "c1/2", "pressure_loss"); !found {
		t.Error("a waiver of a link is lost")
	}
	if _, found := lay.Waiver("es", "stop", "m_cold~wc.cold", "own_stop"); !found {
		t.Error("a waiver of a home run is lost")
	}
}
