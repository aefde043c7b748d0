package layout

import "strings"

// sections are the parts of the document that readings are named by; what
// belongs to a fixture is named by the fixture alone (basin.trap.seal).
var sections = map[string]string{
	"rooms": "rooms", "floors": "floors", "drains": "drains", "stacks": "stacks", "vents": "vents",
	"joists": "joists.at", "openings": "joists.openings", "access": "access", "walls": "walls", "sleeves": "walls.sleeves",
	"sources": "supply.sources", "heaters": "supply.heaters", "valves": "supply.valves", "fans": "air.fans", "electrics": "electrics", "chases": "walls.chases",
}

// ones are the subjects that the document has one of under its own key.
var ones = map[string]string{"meter": "supply.meter", "heater": "supply.heater", "fan": "air.fan"}

// keysOfFacts are the facts of a rule's input, by kind of subject, that go by
// another name or stand in another place of the document: $ is the subject
// without its piece, @ its fixture.
var keysOfFacts = map[string]map[string]string{
	"buildings": {"work": "work.kind", "stage": "work.stage", "has_stack": "stacks", "has_drainage": "fixtures"},
	"fixtures":  {"outlet": "$.outlet.bore"},
	"traps":     {"serves": "@.kind", "use": "@.use", "outlet": "@.outlet.bore", "plug": "@.plug", "fixture": "@.kind", "system": "house.system"},
	"branches": {
		"serves": "@.kind", "shared": "@.waste", "carries": "@.kind", "outlet": "@.outlet.bore", "into_wc_branch": "$.to", "first": "$.to",
		"building_use": "house.use", "system": "house.system",
	},
	"drains":            {"carries": "fixtures", "system": "house.system"},
	"stacks":            {"carries": "stacks.$.serves_others", "outlet": "fixtures", "gains": "fixtures", "system": "house.system"},
	"vents":             {"roof": "vents.$.ends.roof"},
	"openings":          {"member": "joists.common.member"},
	"opening_pairs":     {"shapes": "joists.openings.$.shape", "member": "joists.common.member"},
	"entry_pairs":       {"carries": "@.kind"}, // facing: see sideUntold
	"terminal_openings": {"opens": "vents.$.ends.openings", "airs": "vents.$.airs", "kind": "vents.$.kind"},
	"rooms":             {"room_use": "fixtures"},
	"links":             {"known": "#.known", "state": "#.state", "carries": "#.known", "serves": "#.known"}, // # is the line or manifold
	"draw_offs":         {"serves": "@.kind", "mixer": "@.mixer", "fixture": "@.kind", "water": "$"},
	"fans":              {"room_use": "fixtures"}, // window: of its room, see windowOf
	"crossings":         {"member": "joists.common.member", "looks": "joists.common.looks"},
}

// Reading names, in the words of the document, what to write so that a fact
// of a subject is known: ("bath.waste/2", "place") is "bath.waste.place".
func (l *Layout) Reading(id, fact string) string {
	kind := l.Kind(id)
	if kind == "entry_pairs" && fact == "facing" {
		return l.sideUntold(id)
	}
	base, _, _ := strings.Cut(id, "~")
	base, _, _ = strings.Cut(base, "/")
	fixture, _, _ := strings.Cut(base, ".")
	if path, renamed := keysOfFacts[kind][fact]; renamed {
		return strings.NewReplacer("$", base, "@", fixture, "#", l.lineOf(id)).Replace(path)
	}
	if kind == "fans" && fact == "window" {
		if room := l.windowOf(id); room != "" {
			return room
		}
		fact = "room"
	}
	if kind == "links" {
		return l.lineOf(id) + ".pipe." + fact
	}
	if own, single := ones[base]; single && sections[kind] != "" {
		return own + "." + fact
	}
	if section := sections[kind]; section != "" {
		base = section + "." + base
	}
	return base + "." + fact
}

// sideUntold names the pipe of a pair whose side at the stack nobody told: the
// first of the two when both are missing.
func (l *Layout) sideUntold(id string) string {
	first, second, _ := strings.Cut(id, "~")
	for _, member := range []string{first, second} {
		for i := range l.Plan.Branches {
			if b := &l.Plan.Branches[i]; b.ID == member && b.To.Side == unknown {
				return b.Whole + ".to.side"
			}
		}
	}
	whole, _, _ := strings.Cut(first, "/")
	return whole + ".to.side"
}

// lineOf is the path of a link's line or manifold.
func (l *Layout) lineOf(id string) string {
	if manifold, _, homeRun := strings.Cut(id, "~"); homeRun {
		return "supply.manifolds." + manifold
	}
	line, _, _ := strings.Cut(id, "/")
	return "supply.lines." + line
}

// windowOf is the path of the window of a fan's room; "" when nobody told the
// room.
func (l *Layout) windowOf(id string) string {
	for _, f := range l.Plan.Fans {
		if f.ID == id && f.Room != "" && f.Room != unknown {
			return "rooms." + f.Room + ".window"
		}
	}
	return ""
}
