package layout

import (
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
)

// words are the kinds of named things as a message calls them.
var words = map[string]string{
	"room": "room", "floor": "floor", "joist": "joist", "opening": "joist opening", "wall": "wall", "sleeve": "sleeve", "chase": "chase",
	"fixture": "fixture", "box": "trap box", "trap": "trap", "waste": "waste pipe", "tap": "draw-off", "stack": "stack", "drain": "drain",
	"vent": "vent", "access": "access point", "source": "source", "heater": "heater", "valve": "valve", "point": "point", "manifold": "manifold",
	"tee": "tee", "line": "line of the supply", "fan": "fan", "electric": "thing electric", "test": "test", "photo": "photo", "house": "house",
}

// sectionsOfNames are where names are given. Joists have none of their own
// section for openings, nor walls for sleeves: those are nested.
var sectionsOfNames = []struct {
	kind string
	path []string
}{
	{"room", []string{"rooms"}}, {"floor", []string{"floors"}}, {"joist", []string{"joists", "at"}},
	{"opening", []string{"joists", "openings"}}, {"wall", []string{"walls"}}, {"sleeve", []string{"walls", "sleeves"}},
	{"chase", []string{"walls", "chases"}}, {"fixture", []string{"fixtures"}}, {"stack", []string{"stacks"}}, {"drain", []string{"drains"}},
	{"vent", []string{"vents"}}, {"access", []string{"access"}}, {"source", []string{"supply", "sources"}}, {"heater", []string{"supply", "heaters"}},
	{"valve", []string{"supply", "valves"}}, {"point", []string{"supply", "points"}}, {"manifold", []string{"supply", "manifolds"}},
	{"line", []string{"supply", "lines"}}, {"fan", []string{"air", "fans"}}, {"electric", []string{"electrics"}}, {"test", []string{"tests"}},
}

// names gathers every id of the document, so that a name stands once and a
// reference can be held against them.
func (r *reader) names() {
	r.name("house", "house", r.doc.Position("house"))
	for _, s := range sectionsOfNames {
		for _, p := range pairs(r.doc.Lookup(s.path...)) {
			if s.kind == "wall" && (p.Key == "sleeves" || p.Key == "chases") {
				continue
			}
			if !r.validID(p) {
				continue
			}
			kind := s.kind
			if kind == "fixture" && text(p.Value.Get("kind")) == "trap_box" {
				kind = "box"
			}
			r.name(kind, p.Key, p.KeyAt)
			if s.kind == "fixture" {
				r.nameParts(p)
			}
		}
	}
	for _, one := range []struct{ section, key, kind string }{{"supply", "meter", "source"}, {"supply", "heater", "heater"}, {"air", "fan", "fan"}} {
		if n := r.doc.Lookup(one.section, one.key); n != nil {
			r.name(one.kind, one.key, r.doc.Position(one.section, one.key))
		}
	}
	r.tees()
}

func (r *reader) validID(p document.Pair) bool {
	if err := document.ValidID(p.Key); err != nil {
		r.add(document.Fault{At: p.KeyAt, What: err.Error(), Allowed: "letters, digits, _ and -"})
		return false
	}
	return true
}

// nameParts names what a fixture has inside: its trap, its waste, its taps.
func (r *reader) nameParts(p document.Pair) {
	at := func(key string) finding.Position {
		for _, part := range pairs(p.Value) {
			if part.Key == key {
				return part.KeyAt
			}
		}
		return p.KeyAt
	}
	r.name("trap", p.Key+".trap", at("trap"))
	for _, tap := range []string{"cold", "hot"} {
		r.name("tap", p.Key+"."+tap, at(tap))
	}
	waste := p.Value.Get("waste")
	if waste != nil && waste.Kind == document.Map || p.Value.Get("to") != nil {
		r.name("waste", p.Key+".waste", at("waste"))
	}
}

// name takes an id; a second one of the same name is a fault.
func (r *reader) name(kind, id string, at finding.Position) {
	if first, twice := r.ids[id]; twice {
		r.add(document.Fault{
			At:      at,
			What:    quoted(id) + " is already the name of a " + words[first.kind] + " in line " + line(first.at),
			Allowed: "a name that stands once in the document",
		})
		return
	}
	r.ids[id] = named{kind, at}
	r.order = append(r.order, id)
	r.lay.places[id] = at
}

// tees have no list of their own: a name met in two paths is one.
func (r *reader) tees() {
	met := map[string]int{}
	for _, l := range pairs(r.doc.Lookup("supply", "lines")) {
		for _, id := range texts(l.Value.Get("path")) {
			met[id]++
			if _, known := r.ids[id]; !known && met[id] == 2 {
				r.ids[id] = named{"tee", l.KeyAt}
				r.order = append(r.order, id)
			}
		}
	}
}

// reference is a place where ids stand: `*` is any key, `[]` any item of a
// list, `{}` the keys themselves.
type reference struct {
	path  string
	what  string
	kinds []string
}

var (
	roomKinds  = []string{"room"}
	pipeKinds  = []string{"waste", "drain", "stack", "vent"}
	anyWater   = []string{"source", "heater", "valve", "point", "manifold", "tee", "tap"}
	everything = []string{
		"room", "floor", "joist", "opening", "wall", "sleeve", "chase", "fixture", "box", "trap", "waste", "tap", "stack", "drain", "vent",
		"access", "source", "heater", "valve", "point", "manifold", "tee", "line", "fan", "electric", "test", "house",
	}
)

// referencesTo lists them. `to` of pipes, `from` of vents and `pipe` of access
// points are held against the plan when it is resolved.
var referencesTo = []reference{
	{"fixtures.*.room", "room", roomKinds}, {"fixtures.*.waste.room", "room", roomKinds}, {"drains.*.room", "room", roomKinds},
	{"stacks.*.room", "room", roomKinds}, {"vents.*.room", "room", roomKinds}, {"floors.*.rooms.[]", "room", roomKinds},
	{"rooms.*.opens_to.[]", "room", roomKinds}, {"rooms.*.below", "room", roomKinds}, {"walls.*.other_side", "room", roomKinds},
	{"supply.meter.room", "room", roomKinds}, {"supply.sources.*.room", "room", roomKinds}, {"supply.heater.room", "room", roomKinds},
	{"supply.heaters.*.room", "room", roomKinds}, {"supply.valves.*.room", "room", roomKinds}, {"supply.manifolds.*.room", "room", roomKinds},
	{"air.fan.room", "room", roomKinds}, {"air.fans.*.room", "room", roomKinds}, {"electrics.*.room", "room", roomKinds},
	{"joists.common.floor", "floor", []string{"floor"}}, {"joists.at.*.floor", "floor", []string{"floor"}},
	{"joists.openings.*.joist", "joist", []string{"joist"}}, {"joists.openings.*.from", "wall", []string{"wall"}},
	{"joists.openings.*.for", "pipe", pipeKinds}, {"walls.sleeves.*.wall", "wall", []string{"wall"}}, {"walls.sleeves.*.for", "pipe", pipeKinds},
	{"walls.chases.*.wall", "wall", []string{"wall"}}, {"walls.chases.*.for", "pipe", pipeKinds},
	{"vents.*.for", "trap", []string{"trap"}}, {"vents.*.ends.to", "vent or stack", []string{"vent", "stack"}},
	{"fixtures.*.reuses", "fixture or pipe", append([]string{"fixture", "box"}, pipeKinds...)}, {"fixtures.*.waste.reuses", "pipe", pipeKinds},
	{"drains.*.reuses", "pipe", pipeKinds}, {"vents.*.reuses", "pipe", pipeKinds}, {"air.fan.duct.reuses", "pipe", pipeKinds}, {"air.fans.*.duct.reuses", "pipe", pipeKinds},
	{"fixtures.*.waste.through.[]", "opening, sleeve or chase", []string{"opening", "sleeve", "chase"}},
	{"drains.*.through.[]", "opening, sleeve or chase", []string{"opening", "sleeve", "chase"}},
	{"supply.lines.*.path.[]", "valve, draw-off, point, heater or tee (met in two paths)", anyWater},
	{"supply.manifolds.*.to.{}", "draw-off", []string{"tap", "valve", "point"}}, {"supply.meter.bucket.at", "draw-off", []string{"tap"}},
	{"cuts.*.between.[]", "point of the supply", anyWater}, {"observations.*.shut.[]", "valve", []string{"valve", "tap", "manifold"}},
	{"observations.*.run.[]", "draw-off", []string{"tap", "fixture", "valve", "point"}}, {"observations.*.saw.{}", "thing", everything},
	{"observations.*.felt.{}", "thing", everything}, {"observations.*.heard.{}", "thing", everything},
	{"observations.*.poured.into", "thing", everything}, {"observations.*.smoked.into", "thing", everything},
	{"tests.*.of.[]", "thing", everything}, {"answers.*.of.{}", "subject", everything},
	{"as_built.{}", "pipe, trap, stack, vent, opening or sleeve", []string{"waste", "drain", "trap", "stack", "vent", "opening", "sleeve"}},
}

// references holds every id that stands somewhere against those the document
// gives.
func (r *reader) references() {
	for _, ref := range referencesTo {
		parts := strings.Split(ref.path, ".")
		each(r.doc.Root, parts, func(id string, at finding.Position) {
			if id == "" || id == unknown || id == none {
				return
			}
			if !oneOf(r.ids[id].kind, ref.kinds) {
				r.unknownID(at, id, ref.what, ref.kinds...)
			}
		})
	}
	r.alternatives()
	r.photos()
}

// each calls f for every id that path leads to.
func each(n *document.Node, path []string, f func(id string, at finding.Position)) {
	if n == nil {
		return
	}
	if len(path) == 0 {
		f(text(n), n.At)
		return
	}
	switch part, rest := path[0], path[1:]; part {
	case "*":
		for _, p := range pairs(n) {
			each(p.Value, rest, f)
		}
	case "{}":
		for _, p := range pairs(n) {
			f(p.Key, p.KeyAt)
		}
	case "[]":
		for _, item := range n.Items {
			each(item, rest, f)
		}
	default:
		each(n.Get(part), rest, f)
	}
}

// alternatives name lines of the supply, which have names of their own.
func (r *reader) alternatives() {
	lines := r.doc.Lookup("supply", "lines")
	each(r.doc.Root, []string{"supply", "alternatives", "[]", "[]"}, func(id string, at finding.Position) {
		if id != "" && lines.Get(id) == nil {
			r.add(document.Fault{At: at, What: quoted(id) + " names no line of the supply", Allowed: strings.Join(lines.Keys(), ", ")})
		}
	})
}

// photos are named apart from everything else.
func (r *reader) photos() {
	known := r.doc.Get("photos")
	for _, path := range []string{
		"fixtures.*.photos.[]", "fixtures.*.waste.photos.[]", "fixtures.*.trap.photos.[]", "drains.*.photos.[]", "stacks.*.photos.[]",
		"vents.*.photos.[]", "observations.*.photos.[]", "tests.*.photos.[]", "as_built.*.photos.[]", "supply.lines.*.photos.[]",
	} {
		each(r.doc.Root, strings.Split(path, "."), func(id string, at finding.Position) {
			if id != "" && known.Get(id) == nil {
				r.add(document.Fault{At: at, What: quoted(id) + " names no photo", Allowed: strings.Join(known.Keys(), ", ")})
			}
		})
	}
}
