// Package caution picks the dangers that a layout calls for a word on. A
// caution is never a verdict: it says what can hurt, and whom to ask.
package caution

import (
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/plugins/sdk/plan"
)

// job is what the cautions look at.
type job struct {
	plan *plan.Plan
	doc  *document.Document
}

// caution is one danger: for gives what calls for it, "" when nothing does.
type caution struct {
	id, text string
	found    func(job) string
}

// For lists the cautions that a layout calls for, always in the same order.
func For(p *plan.Plan, doc *document.Document) []finding.Caution {
	j := job{p, doc}
	var out []finding.Caution
	for _, c := range all {
		if at := c.found(j); at != "" {
			out = append(out, finding.Caution{ID: c.id, Text: c.text + " (" + at + ")", For: at})
		}
	}
	return out
}

var all = []caution{
	{"scald", "Stored or piped hot water burns in seconds at 60 °C: heat off, let it cool, measure, and only then cut or open. Work on the heater and its safety valve is a licensed plumber's.", hotCut},
	{"bonding", "A metal pipe may be part of the house's earthing: clamp a bridge across the place before cutting it, and have continuity tested by an electrician afterwards. People have died of this.", metalCut},
	{"live_cables", "Cables hide in floors, walls and old notches: switch the circuits off and prove them dead before boards come up or a wall is drilled.", opens},
	{"lead", "Lead pipe: do not knock, bend or join to it; ask the water undertaker about replacing it.", madeOf("lead")},
	{"asbestos", "Fibre-cement pipe and old boards, lagging and tiles may hold asbestos: do not saw, drill or scrape; have it sampled first.", asbestos},
	{"joist", "A cut beyond the rule of thumb is an engineer's question. Stop cutting; a plate laid over a notch mends nothing.", cutsJoists},
	{"wall", "Coring a wall: find cables, flues, lintels and joist ends first; water or extraction at the tool against fine dust; loose old masonry needs a mason.", newSleeves},
	{"live_stack", "A stack in use must not be discharged into while it is open: warn everybody above and below. Cast iron drops when cut: it is held above the cut first, by a licensed plumber.", liveStack},
	{"sewer_gas", "Open drains give off foul and burnable gas: plug every open end at once, air the room, wear gloves.", opensDrain},
	{"vent", "Prove what an old vent airs before it is closed. One open vent must stay; a flue or combustion air is never closed.", closesVent},
	{"alone", "Do not work alone under a prop, in a loft or on an open stack: somebody is at the valve or the phone.", heavy},
	{"conceal", "Test, photograph and have it seen before anything is covered, and leave a hatch where a joint, trap or valve must be reached.", hides},
	{"notify", "Ask the local authority, the water undertaker and any co-owner, before the work begins, what must be notified and who may do it.", newWork},
}

func hotCut(j job) string {
	if j.doc.Lookup("supply", "heater") != nil && j.doc.Lookup("cuts") != nil {
		return "cuts near supply.heater"
	}
	return ""
}

func metalCut(j job) string {
	if j.doc.Lookup("cuts") != nil {
		return "cuts"
	}
	for _, s := range j.plan.Stacks {
		if s.State == plan.Existing && metal(s.MadeOf) && len(s.Entries) > 0 {
			return s.ID
		}
	}
	return ""
}

func metal(madeOf string) bool {
	return madeOf == "cast_iron" || madeOf == "copper" || madeOf == "steel" || madeOf == "lead"
}

func opens(j job) string {
	var at []string
	if len(j.plan.Floors) > 0 || len(j.plan.Joists) > 0 {
		at = append(at, "floors")
	}
	if len(j.plan.Walls) > 0 || len(j.plan.Sleeves) > 0 {
		at = append(at, "walls")
	}
	return strings.Join(at, ", ")
}

func madeOf(material string) func(job) string {
	return func(j job) string {
		var at []string
		for _, p := range append(append([]plan.Pipe{}, j.plan.Branches...), j.plan.Drains...) {
			if p.MadeOf == material {
				at = append(at, p.Whole)
			}
		}
		for _, s := range j.plan.Stacks {
			if s.MadeOf == material {
				at = append(at, s.ID)
			}
		}
		for _, v := range j.plan.Vents {
			if v.MadeOf == material {
				at = append(at, v.ID)
			}
		}
		return strings.Join(at, ", ")
	}
}

func asbestos(j job) string {
	if at := madeOf("fibre_cement")(j); at != "" {
		return at
	}
	if b := j.plan.House.Built; b != nil && b.Low < 2000 && opens(j) != "" {
		return "house of before 2000"
	}
	return ""
}

func cutsJoists(j job) string {
	var at []string
	for _, o := range j.plan.Openings {
		if o.State == plan.New || o.State == plan.Laid {
			at = append(at, o.ID)
		}
	}
	return strings.Join(at, ", ")
}

func newSleeves(j job) string {
	var at []string
	for _, s := range j.plan.Sleeves {
		if s.State == plan.New {
			at = append(at, s.ID)
		}
	}
	return strings.Join(at, ", ")
}

// liveStack: something new enters a stack that is there.
func liveStack(j job) string {
	var at []string
	for _, s := range j.plan.Stacks {
		if s.State == plan.Existing && joinedAnew(j.plan, s.ID) {
			at = append(at, s.ID)
		}
	}
	return strings.Join(at, ", ")
}

func joinedAnew(p *plan.Plan, stack string) bool {
	for _, b := range p.Branches {
		if b.To.ID == stack && b.State == plan.New {
			return true
		}
	}
	return false
}

func opensDrain(j job) string {
	for _, f := range j.plan.Fixtures {
		if f.State == plan.Removed {
			return f.ID
		}
	}
	return liveStack(j)
}

func closesVent(j job) string {
	var at []string
	for _, v := range j.plan.Vents {
		if v.State == plan.Removed || v.Kind == "valve" && v.State == plan.New {
			at = append(at, v.ID)
		}
	}
	return strings.Join(at, ", ")
}

func heavy(j job) string {
	if at := liveStack(j); at != "" {
		return at
	}
	return cutsJoists(j)
}

func hides(j job) string {
	if len(j.plan.Floors) > 0 {
		return "floors"
	}
	return ""
}

func newWork(j job) string {
	for _, f := range j.plan.Fixtures {
		if f.State == plan.New {
			return "work"
		}
	}
	return ""
}
