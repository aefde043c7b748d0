package layout

import "strings"

// sections are the parts of the document that readings are named by; what
// belongs to a fixture is named by the fixture alone (basin.trap.seal).
var sections = map[string]string{
	"rooms": "rooms", "floors": "floors", "drains": "drains", "stacks": "stacks", "vents": "vents",
	"joists": "joists.at", "openings": "joists.openings", "access": "access", "walls": "walls", "sleeves": "walls.sleeves",
}

// keysOfFacts are the facts of a rule's input, by kind of subject, that go by
// another name or stand in another place of the document: $ is the subject
// without its piece, @ its fixture.
var keysOfFacts = map[string]map[string]string{
	"buildings": {"work": "work.kind", "stage": "work.stage", "has_stack": "stacks", "has_drainage": "fixtures"},
	"fixtures":  {"outlet": "$.outlet.bore"},
	"traps":     {"serves": "@.kind", "use": "@.use", "outlet": "@.outlet.bore", "plug": "@.plug", "fixture": "@.kind"},
	"branches": {
		"serves": "@.kind", "shared": "@.waste", "carries": "@.kind", "outlet": "@.outlet.bore", "into_wc_branch": "$.to", "first": "$.to",
		"building_use": "house.use",
	},
	"drains":            {"carries": "fixtures"},
	"stacks":            {"carries": "stacks.$.serves_others", "outlet": "fixtures", "gains": "fixtures"},
	"vents":             {"roof": "vents.$.ends.roof"},
	"openings":          {"member": "joists.common.member"},
	"opening_pairs":     {"shapes": "joists.openings.$.shape", "member": "joists.common.member"},
	"entry_pairs":       {"carries": "@.kind"}, // facing: see sideUntold
	"terminal_openings": {"opens": "vents.$.ends.openings", "airs": "vents.$.airs", "kind": "vents.$.kind"},
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
		return strings.NewReplacer("$", base, "@", fixture).Replace(path)
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
