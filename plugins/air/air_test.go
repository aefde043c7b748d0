package air

import (
	"testing"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

var bench = replytest.Bench{Measurer: Measurer}

var read = replytest.Read

// mill is a house of our own: a bathroom with two fans, a box room without,
// and old pipes to the air.
func mill() *plan.Plan {
	return &plan.Plan{
		Rooms: []plan.Room{
			{ID: "bath", Sides: []plan.Reading{replytest.Taped(2400, 10), replytest.Taped(2000, 10)}, Height: read(2500, 10)},
			{ID: "box"}, {ID: "gone", State: plan.Removed},
		},
		Fans: []plan.Fan{
			{ID: "fan", Room: "bath", Flow: read(15, 1), Overrun: read(900, 5), Length: read(2800, 20), Bends: []plan.Bend{{Angle: read(90, 2)}, {Angle: read(45, 2)}}, Ends: "roof"},
			{ID: "second", Room: "bath", Flow: read(5, 0.5), RunsWith: "always", Bends: []plan.Bend{}, Ends: "unknown", Reuses: "old"},
			{ID: "dead", Room: "bath", State: plan.Removed, Flow: read(100, 1)},
		},
		Stacks: []plan.Stack{{ID: "main"}}, Branches: []plan.Pipe{{ID: "b/1", Whole: "b"}},
		Vents: []plan.Vent{
			{ID: "old", State: plan.Existing, Kind: "pipe", Airs: "room", Known: "seen"},
			{ID: "stove", State: plan.Removed, Kind: "pipe", Airs: "combustion", Known: "guessed"},
			{ID: "valve", State: plan.Removed, Kind: "valve", Airs: "unknown", Known: "unknown"},
			{ID: "roof", State: plan.Existing, Kind: "pipe", Airs: "drain", Known: "guessed"},
		},
	}
}

func fan(set func(*plan.Fan, *plan.Reading)) func([]*plan.Reading) *plan.Plan {
	return func(r []*plan.Reading) *plan.Plan {
		p := mill()
		set(&p.Fans[0], r[0])
		return p
	}
}

func twoFans(r []*plan.Reading) *plan.Plan {
	p := mill()
	p.Fans[0].Flow, p.Fans[1].Flow = r[0], r[1]
	return p
}

func aired60(r []*plan.Reading) *plan.Plan {
	p := mill()
	p.Fans = p.Fans[:1]
	p.Fans[0].Flow, p.Rooms[0].Height, p.Rooms[0].Sides = r[0], r[3], nil
	if r[1] != nil && r[2] != nil {
		p.Rooms[0].Sides = []plan.Reading{*r[1], *r[2]}
	}
	return p
}

var probes = []replytest.Probe{
	{Quantity: "extract_flow", Subject: "bath", In: []plan.Reading{replytest.Taped(15, 1), replytest.Taped(5, 0.5)}, Build: twoFans,
		Want: sdk.Band{Low: 18.5, Value: 20, High: 21.5}, Needs: []string{"air.fan.flow", "air.fans.second.flow"}},
	// 15 l/s = 54 m³/h; 54 / (2.4 x 2.0 x 2.5 = 12 m³) = 4.5; 50.4 / (2.41 x 2.01 x 2.51); 57.6 / (2.39 x 1.99 x 2.49).
	{Quantity: "air_changes", Subject: "bath", In: []plan.Reading{replytest.Taped(15, 1), replytest.Taped(2400, 10), replytest.Taped(2000, 10), replytest.Taped(2500, 10)}, Build: aired60,
		Want: sdk.Band{Low: 50.4 / (2.41 * 2.01 * 2.51), Value: 4.5, High: 57.6 / (2.39 * 1.99 * 2.49)}, Needs: []string{"air.fan.flow", "rooms.bath.size", "rooms.bath.size", "rooms.bath.height"}},
	{Quantity: "overrun", Subject: "fan", In: []plan.Reading{replytest.Taped(900, 5)}, Build: fan(func(f *plan.Fan, r *plan.Reading) { f.Overrun = r }),
		Want: sdk.Band{Low: 895, Value: 900, High: 905}, Needs: []string{"air.fan.overrun"}},
	{Quantity: "duct_length", Subject: "fan", In: []plan.Reading{replytest.Taped(2800, 20)}, Build: fan(func(f *plan.Fan, r *plan.Reading) { f.Length = r }),
		Want: sdk.Band{Low: 2780, Value: 2800, High: 2820}, Needs: []string{"air.fan.duct.length"}},
	{Quantity: "duct_turn", Subject: "fan", In: []plan.Reading{replytest.Taped(90, 2)}, Build: fan(func(f *plan.Fan, r *plan.Reading) { f.Bends = []plan.Bend{{Angle: r}, {Angle: read(45, 0)}} }),
		Want: sdk.Band{Low: 133, Value: 135, High: 137}, Needs: []string{"air.fan.duct.bends"}},
}

func TestProbes(t *testing.T) { bench.Prove(t, probes) }

func TestRefusesStrangePlans(t *testing.T) { bench.RefusesStrangePlans(t) }

func TestAnswersOnce(t *testing.T) {
	p := mill()
	p.Rooms, p.Fans, p.Vents = p.Rooms[:1], p.Fans[:1], p.Vents[:1]
	bench.AnswersOnce(t, p, map[string]string{"rooms": "bath", "fans": "fan", "vents": "old"})
}

func TestFansThatNobodyWrote(t *testing.T) {
	p := mill()
	if got := bench.Band(t, p, "extract_flow", "box"); got != (sdk.Band{}) {
		t.Errorf("a room without a fan extracts %v", got)
	}
	if got := bench.Band(t, p, "air_changes", "box"); got != (sdk.Band{}) {
		t.Errorf("a room without a fan has %v air changes", got)
	}
	p.Fans[0].Room = ""
	bench.WantGap(t, p, "extract_flow", "bath", sdk.NotTold, "air.fan.room")
	p.Fans = p.Fans[2:] // only one that goes: told that there is none
	if got := bench.Band(t, p, "extract_flow", "bath"); got != (sdk.Band{}) {
		t.Errorf("a fan that goes extracts %v", got)
	}
	p.Fans = nil
	bench.WantGap(t, p, "extract_flow", "bath", sdk.NotTold, "air.fan")
	bench.WantGap(t, p, "air_changes", "bath", sdk.NotTold, "air.fan")
}

func TestDucts(t *testing.T) {
	p := mill()
	bench.WantWords(t, p, "duct_end", "fan", "roof")
	bench.WantGap(t, p, "duct_end", "second", sdk.NotTold, "air.fans.second.duct.ends")
	bench.WantGap(t, p, "overrun", "second", sdk.OutOfRange, "")
	if got := bench.Band(t, p, "duct_turn", "second"); got != (sdk.Band{}) {
		t.Errorf("a straight duct turns by %v", got)
	}
	p.Fans[1].Bends = nil
	bench.WantGap(t, p, "duct_turn", "second", sdk.NotTold, "air.fans.second.duct.bends")
}

// What an old pipe airs is believed only when it was seen or proved.
func TestOldPipes(t *testing.T) {
	p := mill()
	bench.WantWords(t, p, "reused_vent", "fan", "own_duct")
	bench.WantWords(t, p, "reused_vent", "second", "room_vent")
	for id, want := range map[string]string{"old": "room_vent", "valve": "drain_vent", "roof": "stays"} {
		bench.WantWords(t, p, "closes_passive", id, want)
	}
	bench.WantGap(t, p, "closes_passive", "stove", sdk.NotTold, "vents.stove.known")
	for airs, want := range uses {
		p.Vents[1].Airs, p.Vents[1].Known = airs, "proved"
		bench.WantWords(t, p, "closes_passive", "stove", want)
	}
	p.Vents[1].Airs = "unknown"
	bench.WantGap(t, p, "closes_passive", "stove", sdk.NotTold, "vents.stove.airs")
	p.Fans[1].Reuses = "b"
	bench.WantWords(t, p, "reused_vent", "second", "drain_vent")
	bench.WantWords(t, p, "closes_passive", "old", "stays")
	p.Fans[1].Reuses = "nothing"
	bench.WantGap(t, p, "reused_vent", "second", sdk.NotTold, "air.fans.second.duct.reuses")
}
