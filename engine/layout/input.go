package layout

import "fallrule/plugins/sdk/plan"

// Input is what a rule sees of a layout, in the form of
// schema/input.schema.json: exact facts only, every field always there, a
// closed word nobody gave is "unknown". No list is nil.
type Input struct {
	Buildings        []BuildingFacts        `json:"buildings"`
	Rooms            []RoomFacts            `json:"rooms"`
	Fixtures         []FixtureFacts         `json:"fixtures"`
	Traps            []TrapFacts            `json:"traps"`
	Branches         []BranchFacts          `json:"branches"`
	Drains           []DrainFacts           `json:"drains"`
	Stacks           []StackFacts           `json:"stacks"`
	Vents            []VentFacts            `json:"vents"`
	Joists           []JoistFacts           `json:"joists"`
	Openings         []OpeningFacts         `json:"openings"`
	OpeningPairs     []OpeningPairFacts     `json:"opening_pairs"`
	EntryPairs       []EntryPairFacts       `json:"entry_pairs"`
	TerminalOpenings []TerminalOpeningFacts `json:"terminal_openings"`
	Access           []AccessFacts          `json:"access"`
	Walls            []WallFacts            `json:"walls"`
	Sleeves          []SleeveFacts          `json:"sleeves"`
	Sources          []SourceFacts          `json:"sources"`
	Heaters          []HeaterFacts          `json:"heaters"`
	Valves           []ValveFacts           `json:"valves"`
	Links            []LinkFacts            `json:"links"`
	DrawOffs         []DrawOffFacts         `json:"draw_offs"`
	Fans             []FanFacts             `json:"fans"`
	Electrics        []ElectricFacts        `json:"electrics"`
	Crossings        []CrossingFacts        `json:"crossings"`
	Chases           []ChaseFacts           `json:"chases"`
}

// BuildingFacts of the house; its id is "house".
type BuildingFacts struct {
	ID          string     `json:"id"`
	State       plan.State `json:"state"`
	Country     string     `json:"country"`
	District    string     `json:"district"`
	Use         string     `json:"use"`
	Owners      string     `json:"owners"`
	Listed      string     `json:"listed"`
	WasteGoesTo string     `json:"waste_goes_to"`
	Work        string     `json:"work"`
	Stage       string     `json:"stage"`
	HasStack    string     `json:"has_stack"`
	HasDrainage string     `json:"has_drainage"`
}

// RoomFacts of one room.
type RoomFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	Heated string     `json:"heated"`
	Window string     `json:"window"`
	Use    string     `json:"room_use"`
}

// FixtureFacts of one fixture.
type FixtureFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	Kind   string     `json:"kind"`
	Room   string     `json:"room"`
	Plug   string     `json:"plug"`
	Pumped string     `json:"pumped"`
	Use    string     `json:"use"`
	Outlet string     `json:"outlet"`
}

// TrapFacts of one trap.
type TrapFacts struct {
	ID      string     `json:"id"`
	System  string     `json:"system"`
	State   plan.State `json:"state"`
	Fixture string     `json:"fixture"`
	Serves  string     `json:"serves"`
	Use     string     `json:"use"`
	Outlet  string     `json:"outlet"`
	Plug    string     `json:"plug"`
}

// BranchFacts of one piece of a branch.
type BranchFacts struct {
	ID           string     `json:"id"`
	System       string     `json:"system"`
	State        plan.State `json:"state"`
	Whole        string     `json:"whole"`
	Serves       string     `json:"serves"`
	Shared       string     `json:"shared"`
	Carries      string     `json:"carries"`
	Outlet       string     `json:"outlet"`
	To           string     `json:"to"`
	IntoWCBranch string     `json:"into_wc_branch"`
	Place        string     `json:"place"`
	MadeOf       string     `json:"made_of"`
	First        string     `json:"first"`
	BuildingUse  string     `json:"building_use"`
}

// DrainFacts of one piece of a drain.
type DrainFacts struct {
	ID      string     `json:"id"`
	System  string     `json:"system"`
	State   plan.State `json:"state"`
	Whole   string     `json:"whole"`
	Carries string     `json:"carries"`
	To      string     `json:"to"`
	Place   string     `json:"place"`
	MadeOf  string     `json:"made_of"`
}

// StackFacts of one stack.
type StackFacts struct {
	ID      string     `json:"id"`
	System  string     `json:"system"`
	State   plan.State `json:"state"`
	Carries string     `json:"carries"`
	Outlet  string     `json:"outlet"`
	Place   string     `json:"place"`
	MadeOf  string     `json:"made_of"`
	Gains   string     `json:"gains"`
}

// VentFacts of one vent or valve.
type VentFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Kind  string     `json:"kind"`
	From  string     `json:"from"`
	Airs  string     `json:"airs"`
	Roof  string     `json:"roof"`
	Known string     `json:"known"`
}

// JoistFacts of one joist.
type JoistFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	Member string     `json:"member"`
	Looks  string     `json:"looks"`
}

// OpeningFacts of one notch, hole or bite.
type OpeningFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	Joist  string     `json:"joist"`
	Member string     `json:"member"`
	Shape  string     `json:"shape"`
	Looks  string     `json:"looks"`
}

// OpeningPairFacts of two neighbours in one joist.
type OpeningPairFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	A      string     `json:"a"`
	B      string     `json:"b"`
	Shapes string     `json:"shapes"`
	Member string     `json:"member"`
}

// EntryPairFacts of two branches that enter one stack.
type EntryPairFacts struct {
	ID      string     `json:"id"`
	State   plan.State `json:"state"`
	A       string     `json:"a"`
	B       string     `json:"b"`
	Stack   string     `json:"stack"`
	Carries string     `json:"carries"`
	Facing  string     `json:"facing"`
}

// TerminalOpeningFacts of a vent's end and an opening near it.
type TerminalOpeningFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Vent  string     `json:"vent"`
	Airs  string     `json:"airs"`
	Kind  string     `json:"kind"`
	Opens string     `json:"opens"`
}

// AccessFacts of one place to rod from.
type AccessFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Pipe  string     `json:"pipe"`
}

// WallFacts of one wall.
type WallFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	MadeOf string     `json:"made_of"`
}

// SleeveFacts of one hole through a wall.
type SleeveFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Wall  string     `json:"wall"`
}
