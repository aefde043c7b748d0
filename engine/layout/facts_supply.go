package layout

import (
	"slices"

	"fallrule/plugins/sdk/plan"
)

// extraLow is the greatest alternating voltage of the extra-low band, IEC
// 61140, from memory.
const extraLow = 50.0

// water gives the facts of the supply.
func (f facts) water(in *Input) {
	in.Sources, in.Heaters, in.Valves, in.Links, in.DrawOffs = []SourceFacts{}, []HeaterFacts{}, []ValveFacts{}, []LinkFacts{}, []DrawOffFacts{}
	for _, x := range f.plan.Sources {
		in.Sources = append(in.Sources, SourceFacts{ID: x.ID, State: x.State, Kind: told(x.Kind)})
	}
	for _, x := range f.plan.Heaters {
		in.Heaters = append(in.Heaters, HeaterFacts{ID: x.ID, State: x.State, Kind: told(x.Kind), System: told(x.System), Circulates: told(x.Circulates)})
	}
	for _, x := range f.plan.Valves {
		v := ValveFacts{ID: x.ID, State: x.State, Kind: told(x.Kind), Holds: told(x.Holds), Owner: told(x.Owner)}
		if v.Kind == "drain_tap" {
			v.Kind = unknown // rules have no word for it
		}
		in.Valves = append(in.Valves, v)
	}
	any, sure, fed := f.leadsTo(false), f.leadsTo(true), f.surelyFed()
	for _, x := range f.plan.Links {
		in.Links = append(in.Links, LinkFacts{
			ID: x.ID, State: x.State, Line: x.Line, Known: told(x.Known), Carries: told(x.Carries), MadeOf: told(x.MadeOf), Place: told(x.Place),
			Insulated: told(x.Insulated), Serves: servesHowMany(x, any[x.B], sure[x.B], fed),
		})
	}
	for _, x := range f.plan.DrawOffs {
		in.DrawOffs = append(in.DrawOffs, DrawOffFacts{
			ID: x.ID, State: x.State, Fixture: x.Fixture, Serves: told(x.Serves), Water: x.Water, Mixer: told(x.Mixer), Hose: hose(x),
		})
	}
}

func hose(x plan.DrawOff) string {
	switch {
	case x.HoseReach == none:
		return "without"
	case x.Hose != nil, x.HoseReach == "over_rim", x.HoseReach == "into_water":
		return "hose"
	}
	return unknown
}

// servesHowMany tells whether a link leads to one draw-off or several, when
// that does not hang on a guessed line: it leads there over sure links, or
// water that surely comes there comes through it.
func servesHowMany(x plan.Link, any, sure []string, fed map[string]bool) string {
	through := 0
	for _, d := range x.Serves {
		if fed[d] {
			through++
		}
	}
	switch {
	case x.State == plan.Removed, len(any) == 0:
		return none
	case len(sure) > 1, through > 1:
		return "several"
	case len(any) == 1 && (len(sure) == 1 || through == 1):
		return "one"
	}
	return unknown
}

// surelyFed are the nodes that a sure link with known water leads to.
func (f facts) surelyFed() map[string]bool {
	fed := map[string]bool{}
	for _, l := range f.plan.Links {
		if l.State != plan.Removed && l.Carries != unknown && (l.Known == "proved" || l.Known == "seen") {
			fed[l.B] = true
		}
	}
	return fed
}

// leadsTo gives for every node of the supply up to two of the draw-offs that
// water runs on to from it: over all links, or over the sure ones only. Each
// node learns at most twice, so that it takes no longer than the links are many.
func (f facts) leadsTo(sure bool) map[string][]string {
	before := map[string][]string{}
	for _, l := range f.plan.Links {
		if l.State != plan.Removed && (!sure || l.Known == "proved" || l.Known == "seen") {
			before[l.B] = append(before[l.B], l.A)
		}
	}
	type news struct{ node, tap string }
	leads := map[string][]string{}
	var queue []news
	for _, d := range f.plan.DrawOffs {
		if d.State != plan.Removed {
			queue = append(queue, news{d.ID, d.ID})
		}
	}
	for len(queue) > 0 {
		n := queue[0]
		queue = queue[1:]
		if known := leads[n.node]; len(known) == 2 || slices.Contains(known, n.tap) {
			continue
		}
		leads[n.node] = append(leads[n.node], n.tap)
		for _, up := range before[n.node] {
			queue = append(queue, news{up, n.tap})
		}
	}
	return leads
}

// roomUses are what rooms are used for, by what stands in them. A bath, shower
// or water closet whose room nobody told may stand in any.
func (f facts) roomUses() map[string]string {
	kinds, lost := map[string][]string{}, map[string]bool{}
	for _, x := range f.plan.Fixtures {
		switch {
		case x.State == plan.Removed:
		case x.Room == "" || x.Room == unknown:
			lost[x.Kind] = true
		default:
			kinds[x.Room] = append(kinds[x.Room], x.Kind)
		}
	}
	uses := map[string]string{"": unknown, unknown: unknown}
	for _, room := range f.plan.Rooms {
		in := kinds[room.ID]
		doubt := lost[unknown] || slices.Contains(in, unknown)
		switch {
		case slices.Contains(in, "bath"), slices.Contains(in, "shower"):
			uses[room.ID] = "bathroom"
		case doubt, lost["bath"], lost["shower"]:
			uses[room.ID] = unknown
		case slices.Contains(in, "wc"):
			uses[room.ID] = "toilet"
		case lost["wc"]:
			uses[room.ID] = unknown
		default:
			uses[room.ID] = "other"
		}
	}
	return uses
}

// around gives the facts of fans, electrics, crossings and chases.
func (f facts) around(in *Input, uses map[string]string) {
	in.Fans, in.Electrics, in.Crossings, in.Chases = []FanFacts{}, []ElectricFacts{}, []CrossingFacts{}, []ChaseFacts{}
	windows := map[string]string{}
	for _, x := range f.plan.Rooms {
		windows[x.ID] = x.Window
	}
	for _, x := range f.plan.Fans {
		in.Fans = append(in.Fans, FanFacts{
			ID: x.ID, State: x.State, Room: told(x.Room), Window: told(windows[x.Room]), RunsWith: told(x.RunsWith), RoomUse: told(uses[x.Room]),
		})
	}
	for _, x := range f.plan.Electrics {
		in.Electrics = append(in.Electrics, ElectricFacts{ID: x.ID, State: x.State, Kind: told(x.Kind), Protected: told(x.Protected), Volts: volts(x.Volts)})
	}
	joists := map[string]plan.Joist{}
	for _, x := range f.plan.Joists {
		joists[x.ID] = x
	}
	for _, x := range f.plan.Crossings {
		j := joists[x.B]
		in.Crossings = append(in.Crossings, CrossingFacts{ID: x.ID, State: x.State, A: x.A, B: x.B, Member: told(j.Member), Looks: told(j.Looks)})
	}
	for _, x := range f.plan.Chases {
		in.Chases = append(in.Chases, ChaseFacts{ID: x.ID, State: x.State, Wall: told(x.Wall), Runs: told(x.Runs)})
	}
}

func volts(v *plan.Reading) string {
	switch {
	case v == nil:
		return unknown
	case v.High <= extraLow:
		return "extra_low"
	case v.Low > extraLow:
		return "mains"
	}
	return unknown
}
