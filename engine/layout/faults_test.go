package layout

import (
	"strings"
	"testing"

	"fallrule/engine/document"
)

// house puts one changed line into a sound document.
func house(changes ...string) string {
	lines := map[string]string{
		"rooms":    "rooms: { loft_bath: { storey: 2 }, yard_room: {} }",
		"walls":    "walls: { party: { thickness: 240 mm, other_side: yard_room } }",
		"joists":   "joists: { common: { depth: 180 mm, span: 3.0 m }, at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: notch_top, depth: 20 mm, from: party, distance: 0.5 m } } }",
		"fixtures": "fixtures:",
		"pan":      "  pan: { kind: wc, room: loft_bath, flush: 6 l, waste: { size: 110 mm, length: 0.9 m, drop: 18 mm, to: riser } }",
		"bowl":     "  bowl: { kind: washbasin, trap: { seal: 75 mm }, waste: { size: 40 mm, length: 1.2 m, drop: 30 mm, to: { pipe: pan.waste, distance: 0.4 m } } }",
		"stacks":   "stacks: { riser: { size: 110 mm, to: lane } }",
		"drains":   "drains: { lane: { size: 110 mm, to: public_sewer } }",
		"vents":    "vents: { roof_end: { from: riser, ends: roof } }",
		"supply":   "supply: { meter: {}, valves: { tap_one: {} }, lines: { c1: { path: [meter, tap_one, tee, bowl.cold] }, c2: { path: [tee, pan.cold] } } }",
	}
	order := []string{"rooms", "walls", "joists", "fixtures", "pan", "bowl", "stacks", "drains", "vents", "supply"}
	for _, c := range changes {
		key, line, _ := strings.Cut(c, "|")
		if _, known := lines[key]; !known {
			order = append(order, key)
		}
		lines[key] = line
	}
	out := []string{"layout: 1", "house: { country: gb }"}
	for _, key := range order {
		out = append(out, lines[key])
	}
	return strings.Join(out, "\n")
}

func TestSoundHouseHasNoFault(t *testing.T) {
	if _, faults := readAll(t, house()); len(faults) != 0 {
		t.Fatalf("faults: %v", faults)
	}
}

// Each change breaks one thing; the message names the thing, the place and,
// where there is one, the likely meaning.
func TestFaults(t *testing.T) {
	for name, c := range map[string]struct{ change, what, mean string }{
		"unknown room":       {`pan|  pan: { kind: wc, room: loft_bat, waste: { to: riser } }`, `"loft_bat" names no room`, "loft_bath"},
		"unknown joist":      {`joists|joists: { at: { k1: 0.4 m }, openings: { n1: { joist: k2, shape: hole } } }`, `"k2" names no joist`, "k1"},
		"unknown wall":       {`joists|joists: { at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: hole, from: parti } } }`, `"parti" names no wall`, "party"},
		"unknown pipe":       {`stacks|stacks: { riser: { size: 110 mm, to: lame } }`, `"lame" names no stack, drain, waste or trap box`, "lane"},
		"a fixture as end":   {`bowl|  bowl: { kind: washbasin, waste: { to: pan } }`, `"pan" is a fixture`, "pan.waste"},
		"unknown vent start": {`vents|vents: { roof_end: { from: risr, ends: roof } }`, `"risr" names no stack`, "riser"},
		"unknown path":       {`supply|supply: { meter: {}, lines: { c1: { path: [meter, bowl.cld] } } }`, `"bowl.cld" names no valve`, "bowl.cold"},
		"unknown access":     {`access|access: { eye: { pipe: lanes } }`, `"lanes" names no stack`, "lane"},
		"unknown as built":   {`as_built|as_built: { bowl.waist: { length: 1 m } }`, `"bowl.waist" names no pipe`, "bowl.waste"},
		"unknown waived":     {`waivers|waivers: { gb/seal/bowl.trp: { by: town, reference: "1" } }`, `"bowl.trp" names no subject`, "bowl.trap"},
		"doubled id":         {`stacks|stacks: { riser: { to: lane }, party: {} }`, `"party" is already the name of a wall in line 4`, ""},
		"a ring":             {`drains|drains: { lane: { to: back }, back: { to: lane } }`, "lane runs into back runs into lane", ""},
		"into itself":        {`bowl|  bowl: { kind: washbasin, waste: { to: bowl.waste } }`, "bowl.waste runs into bowl.waste", ""},
		"leads nowhere":      {`bowl|  bowl: { kind: washbasin, waste: { length: 1 m } }`, "bowl.waste leads nowhere", ""},
		"no way out":         {`bowl|  bowl: { kind: washbasin }`, "bowl has no way out", ""},
		"into removed":       {`stacks|stacks: { riser: { size: 110 mm, state: removed, to: lane } }`, "pan.waste runs into riser, which is removed", ""},
		"size slip":          {`bowl|  bowl: { kind: washbasin, waste: { size: 400 mm, to: riser } }`, `"400 mm" is no size sold in market gb`, "40 mm"},
		"seal slip":          {`bowl|  bowl: { kind: washbasin, trap: { seal: 75 m }, waste: { to: riser } }`, `"75 m" cannot be the depth of a water seal`, "75 mm"},
		"wall slip":          {`walls|walls: { party: { thickness: 24 mm } }`, "cannot be the thickness of a wall", "240 mm"},
		"beyond the pipe":    {`bowl|  bowl: { kind: washbasin, waste: { to: { pipe: pan.waste, distance: 4 m } } }`, "pan.waste, which is only 900 mm", ""},
		"access beyond":      {`access|access: { eye: { pipe: pan.waste, distance: 4 m } }`, "access point eye lies 4.00 m", ""},
		"beyond the span":    {`joists|joists: { common: { span: 3 m }, at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: hole, distance: 5 m } } }`, "beyond the span of k1", ""},
		"deeper than joist":  {`joists|joists: { common: { depth: 180 mm }, at: { k1: 0.4 m }, openings: { n1: { joist: k1, shape: notch_top, depth: 250 mm } } }`, "more than joist k1", ""},
		"length and runs":    {`bowl|  bowl: { kind: washbasin, waste: { runs: [{ along: 1 m, fall: 20 mm/m }], length: 1.4 m, to: riser } }`, "the length is told as 1.40 m", ""},
		"drop and points":    {`bowl|  bowl: { kind: washbasin, waste: { points: [[0 m, 0 m, 60 mm], [1 m, 0 m, 40 mm]], drop: 60 mm, to: riser } }`, "the drop is told as 60 mm", ""},
		"drop and fall":      {`bowl|  bowl: { kind: washbasin, waste: { runs: [{ along: 1 m, fall: 20 mm/m, drop: 50 mm }], to: riser } }`, "the drop gives a fall of 50 mm/m", ""},
		"points and runs":    {`bowl|  bowl: { kind: washbasin, waste: { points: [[0 m, 0 m, 60 mm], [1 m, 0 m, 40 mm]], runs: [{ along: 2 m }], to: riser } }`, "by its points the pipe's length is 1.00 m", ""},
		"drop over length":   {`bowl|  bowl: { kind: washbasin, waste: { length: 0.3 m, drop: 0.6 m, to: riser } }`, "drops 600 mm", ""},
		"end level":          {`bowl|  bowl: { kind: washbasin, waste: { start: 0.50 m, length: 1 m, drop: 30 mm, to: { pipe: riser, level: 0.40 m } } }`, "so it ends at 470 mm", ""},
		"weir and start":     {`bowl|  bowl: { kind: washbasin, trap: { weir: 0.60 m }, waste: { start: 0.50 m, to: riser } }`, "the trap's weir lies at 600 mm", ""},
		"five values":        {`bowl|  bowl: { kind: washbasin, waste: { points: [["0 m", "0 m", "1", "2 m"], [1 m, 0 m, 0 m]], to: riser } }`, "did a decimal comma split one?", "[0 m, 0 m, 1.2 m]"},
		"two heights":        {`bowl|  bowl: { kind: washbasin, waste: { runs: [{ down: 0.2 m, drop: 0.2 m }], to: riser } }`, "tells its height twice", ""},
		"unknown photo":      {"photos|photos: { p1: {} }\ntests: { t1: { what: drains_air, photos: [p2] } }", `"p2" names no photo`, ""},
		"unknown line":       {`supply|supply: { lines: { c1: { path: [tee, pan.cold] }, c2: { path: [tee, bowl.cold] } }, alternatives: [[c1, c3]] }`, `"c3" names no line`, ""},
		"met once is no tee": {`supply|supply: { meter: {}, lines: { c1: { path: [meter, knee, bowl.cold] } } }`, `"knee" names no valve`, ""},
		"a short whole":      {`bowl|  bowl: { kind: washbasin, waste: { length: 1 m, fall: 20 mm/m, drop: 50 mm, to: riser } }`, "the drop gives a fall of 50.1 mm/m", ""},
		"a run's slip":       {`bowl|  bowl: { kind: washbasin, waste: { runs: [{ along: 1.28 mm }], to: riser } }`, "cannot be the length of a run", "1.28 m"},
		"an unknown unit":    {`bowl|  bowl: { kind: washbasin, waste: { length: 2 elbows, to: riser } }`, "elbows", ""},
	} {
		t.Run(name, func(t *testing.T) {
			_, faults := readAll(t, house(c.change))
			for _, f := range faults {
				if !f.Warning && strings.Contains(f.What, c.what) && (c.mean == "" || f.DidYouMean == c.mean) && f.At.Line > 0 {
					return
				}
			}
			t.Errorf("want %q, did you mean %q; got %v", c.what, c.mean, faults)
		})
	}
}

// What can be taken but should be known is a warning and stops nothing.
func TestWarnings(t *testing.T) {
	for name, c := range map[string]struct{ change, what string }{
		"old fixture without waste": {`bowl|  bowl: { kind: washbasin, state: existing }`, "bowl has no way out"},
		"old pipe to nowhere":       {`drains|drains: { lane: { state: existing } }`, "lane leads nowhere"},
		"told to have none":         {`bowl|  bowl: { kind: washbasin, waste: none }`, "bowl has no waste"},
		"size not stocked":          {`bowl|  bowl: { kind: washbasin, waste: { size: 41 mm, to: riser } }`, `"41 mm" is no size in the stock table`},
		"vent before a junction":    {`vents|vents: { v: { from: pan.waste, ends: roof } }`, "it is taken to leave before them"},
		"bends twice":               {`bowl|  bowl: { kind: washbasin, waste: { runs: [{ along: 1 m, bend: 90° }, { along: 1 m }], bends: 4 x 90°, to: riser } }`, "the runs count"},
	} {
		t.Run(name, func(t *testing.T) {
			lay, faults := readAll(t, house(c.change))
			if document.Refused(faults) || lay == nil {
				t.Fatalf("refused: %v", faults)
			}
			for _, f := range faults {
				if f.Warning && strings.Contains(f.What, c.what) {
					return
				}
			}
			t.Errorf("want a warning of %q, got %v", c.what, faults)
		})
	}
}

func TestAllFaultsComeInOneRun(t *testing.T) {
	_, faults := readAll(t, house(
		`pan|  pan: { kind: wc, room: lofty, waste: { size: 1100 mm, length: 0.9 m, drop: 2 m, to: risers } }`,
		`drains|drains: { lane: { to: lane } }`, `vents|vents: { v: { from: rise, ends: roof } }`,
		`waivers|waivers: { gb/seal/nobody: { by: town, reference: "1" } }`))
	last := 0
	for _, f := range faults {
		if f.At.Line < last {
			t.Errorf("out of order: %s", f)
		}
		last = f.At.Line
	}
	if len(faults) < 6 {
		t.Errorf("only %d faults: %v", len(faults), faults)
	}
}

func TestOtherVersionsGetOneClearFault(t *testing.T) {
	for _, src := range []string{"layout: 2\nfixtures: { x: { kind: bath } }", "layout: one", "house: { country: gb }", "layout: [1]"} {
		lay, faults := readAll(t, src)
		if lay != nil || len(faults) != 1 || faults[0].Warning || !strings.Contains(faults[0].What, "format version") || faults[0].Allowed != "layout: 1" {
			t.Errorf("%q: %v", src, faults)
		}
	}
	if _, faults := Read(nil); len(faults) != 1 {
		t.Errorf("no document: %v", faults)
	}
}
