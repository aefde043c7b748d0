package layout

import "fallrule/plugins/sdk/plan"

// SourceFacts of one place where water enters.
type SourceFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Kind  string     `json:"kind"`
}

// HeaterFacts of one water heater.
type HeaterFacts struct {
	ID         string     `json:"id"`
	State      plan.State `json:"state"`
	Kind       string     `json:"kind"`
	System     string     `json:"system"`
	Circulates string     `json:"circulates"`
}

// ValveFacts of one valve of the supply.
type ValveFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Kind  string     `json:"kind"`
	Holds string     `json:"holds"`
	Owner string     `json:"owner"`
}

// LinkFacts of one piece of supply pipe.
type LinkFacts struct {
	ID        string     `json:"id"`
	State     plan.State `json:"state"`
	Line      string     `json:"line"`
	Known     string     `json:"known"`
	Carries   string     `json:"carries"`
	MadeOf    string     `json:"made_of"`
	Place     string     `json:"place"`
	Insulated string     `json:"insulated"`
	Serves    string     `json:"serves"`
}

// DrawOffFacts of one tap or connection.
type DrawOffFacts struct {
	ID      string     `json:"id"`
	State   plan.State `json:"state"`
	Fixture string     `json:"fixture"`
	Serves  string     `json:"serves"`
	Water   string     `json:"water"`
	Mixer   string     `json:"mixer"`
	Hose    string     `json:"hose"`
}

// FanFacts of one extract fan.
type FanFacts struct {
	ID       string     `json:"id"`
	State    plan.State `json:"state"`
	Room     string     `json:"room"`
	Window   string     `json:"window"`
	RunsWith string     `json:"runs_with"`
	RoomUse  string     `json:"room_use"`
}

// ElectricFacts of one thing electric near water.
type ElectricFacts struct {
	ID        string     `json:"id"`
	State     plan.State `json:"state"`
	Kind      string     `json:"kind"`
	Protected string     `json:"protected"`
	Volts     string     `json:"volts"`
}

// CrossingFacts of one place where a run meets a joist.
type CrossingFacts struct {
	ID     string     `json:"id"`
	State  plan.State `json:"state"`
	A      string     `json:"a"`
	B      string     `json:"b"`
	Member string     `json:"member"`
	Looks  string     `json:"looks"`
}

// ChaseFacts of one slot in a wall.
type ChaseFacts struct {
	ID    string     `json:"id"`
	State plan.State `json:"state"`
	Wall  string     `json:"wall"`
	Runs  string     `json:"runs"`
}
