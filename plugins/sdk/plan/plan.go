package plan

// Version of this form. A plugin that gets another one must say so, not guess.
const Version = 1

// Plan is one layout, flat. Ids are unique over the whole plan. A field that
// is nil, empty or "unknown" was not given; a measurer answers that with a gap.
type Plan struct {
	Version int `json:"version"`

	House    House     `json:"house"`
	Rooms    []Room    `json:"rooms,omitempty"`
	Floors   []Floor   `json:"floors,omitempty"`
	Joists   []Joist   `json:"joists,omitempty"`
	Openings []Opening `json:"openings,omitempty"` // in joists
	Walls    []Wall    `json:"walls,omitempty"`
	Sleeves  []Sleeve  `json:"sleeves,omitempty"`

	Fixtures []Fixture `json:"fixtures,omitempty"`
	Traps    []Trap    `json:"traps,omitempty"`
	Branches []Pipe    `json:"branches,omitempty"` // cut where others join
	Drains   []Pipe    `json:"drains,omitempty"`   // cut where others join
	Stacks   []Stack   `json:"stacks,omitempty"`
	Vents    []Vent    `json:"vents,omitempty"`
	Access   []Access  `json:"access,omitempty"`

	// VentsTold tells an empty list of vents from one nobody wrote: listed |
	// none (told that there is no vent) | unknown | "" (not told).
	VentsTold string `json:"vents_told,omitempty"`

	// Neighbours that a clause looks at together; id "a~b".
	EntryPairs       []EntryPair       `json:"entry_pairs,omitempty"`
	OpeningPairs     []Pair            `json:"opening_pairs,omitempty"`
	TerminalOpenings []TerminalOpening `json:"terminal_openings,omitempty"`

	Tests []Test `json:"tests,omitempty"`

	Sources   []Source   `json:"sources,omitempty"`
	Heaters   []Heater   `json:"heaters,omitempty"`
	Valves    []Valve    `json:"valves,omitempty"`
	Links     []Link     `json:"links,omitempty"`
	DrawOffs  []DrawOff  `json:"draw_offs,omitempty"`
	Fans      []Fan      `json:"fans,omitempty"`
	Electrics []Electric `json:"electrics,omitempty"`
	Crossings []Crossing `json:"crossings,omitempty"`
	Chases    []Chase    `json:"chases,omitempty"`

	Notes
}

// Notes are lists of what is told about subjects and is none itself: no rule
// looks at them and no measurer answers for them. In JSON they stand beside the
// lists of subjects.
type Notes struct {
	Lines []Line `json:"lines,omitempty"` // those of several steps
	Cuts  []Cut  `json:"cuts,omitempty"`
}

// State of a subject.
type State string

// The states; New is what a forgotten word means, so that forgetting costs
// findings and never gives a pass.
const (
	New      State = "new"
	Laid     State = "laid"
	Existing State = "existing"
	Removed  State = "removed"
)

// House is the building and the work on it; its subject id is always "house".
type House struct {
	Country     string   `json:"country"`            // ISO 3166 two letters, lower case ("gb", "es")
	District    string   `json:"district,omitempty"` // town or district a by-law may name
	Home        string   `json:"home,omitempty"`     // whose habits the owner has; compared only
	Use         string   `json:"use"`                // dwelling | guest_house | workplace | institution | public | unknown
	Owners      string   `json:"owners"`             // one | several | unknown
	Listed      string   `json:"listed"`             // listed | not_listed | unknown
	WasteGoesTo string   `json:"waste_goes_to"`      // public_sewer | own_treatment | cesspool | unknown
	RoofWater   string   `json:"roof_water"`         // separate | same_stack | unknown
	System      string   `json:"system"`             // i | ii | iii | iv (EN 12056-2), by country unless told
	Work        string   `json:"work"`               // new_bathroom | alteration | extension | like_for_like | new_building | repair | unknown
	Stage       string   `json:"stage"`              // planned | laid | tested | closed
	Notified    string   `json:"notified"`           // notified | not_yet | not_needed | unknown
	Storeys     *Reading `json:"storeys,omitempty"`
	Dwellings   *Reading `json:"dwellings,omitempty"`
	Built       *Reading `json:"built,omitempty"` // year
}

// Room is a space that things stand in.
type Room struct {
	ID      string    `json:"id"`
	State   State     `json:"state"`
	Storey  *Reading  `json:"storey,omitempty"`
	Heated  string    `json:"heated"` // heated | unheated | outside | unknown
	Window  string    `json:"window"` // opens | fixed | none | unknown
	Height  *Reading  `json:"height,omitempty"`
	DoorGap *Reading  `json:"door_gap,omitempty"`
	Sides   []Reading `json:"sides,omitempty"` // of its plan, two of them
}

// Floor is what lies between joists: boards, and how deep a pipe may lie.
type Floor struct {
	ID        string   `json:"id"`
	State     State    `json:"state"`
	Rooms     []string `json:"rooms,omitempty"`
	Boards    *Reading `json:"boards,omitempty"`
	Clear     *Reading `json:"clear,omitempty"` // boards' underside to what stops a pipe
	StoppedBy string   `json:"stopped_by,omitempty"`
	Top       *Reading `json:"top,omitempty"` // level of the boards' top; 0 within out_of_level where levels start there
	MadeOf    string   `json:"made_of"`       // timber | concrete | vault | screed | unknown
}

// Joist is one timber of a floor.
type Joist struct {
	ID     string   `json:"id"`
	State  State    `json:"state"`
	Floor  string   `json:"floor,omitempty"`
	Member string   `json:"member"`          // joist | trimmer | beam | rafter | stud | engineered | unknown
	Grade  string   `json:"grade,omitempty"` // strength class as stamped ("C24") or "unknown"
	Looks  string   `json:"looks"`           // sound | worm | rot | split | unknown
	Width  *Reading `json:"width,omitempty"`
	Depth  *Reading `json:"depth,omitempty"`
	Span   *Reading `json:"span,omitempty"`   // clear, bearing face to bearing face
	Spaced *Reading `json:"spaced,omitempty"` // centre to centre
	At     *Reading `json:"at,omitempty"`     // centre line, across the joists
	Along  string   `json:"along"`            // axis it runs along, so that At is told on the other: x | y | unknown
	// Bearing is how deep its end sits in the wall; nil when nobody looked.
	Bearing *Reading `json:"bearing,omitempty"`
	// Loads are the heavy things that stand on it or will: bath | wall | tank |
	// partition | nothing | unknown. Empty: nobody told.
	Loads []string `json:"loads,omitempty"`
}

// Opening is a notch, hole or bite in a joist.
type Opening struct {
	ID       string   `json:"id"`
	State    State    `json:"state"`
	Joist    string   `json:"joist"`
	Member   string   `json:"member"`             // as on its joist
	Shape    string   `json:"shape"`              // notch_top | notch_bottom | bite_side | hole | end_notch | cut_through | unknown
	Depth    *Reading `json:"depth,omitempty"`    // notch and bite
	Diameter *Reading `json:"diameter,omitempty"` // hole
	Length   *Reading `json:"length,omitempty"`   // along the joist
	Distance *Reading `json:"distance,omitempty"` // nearest end's bearing face to the middle of the opening, along the joist, as told
	FromTop  *Reading `json:"from_top,omitempty"` // joist's top edge to the hole's centre
	For      string   `json:"for,omitempty"`      // pipe id
}

// Wall and what goes through it.
type Wall struct {
	ID        string   `json:"id"`
	State     State    `json:"state"`
	MadeOf    string   `json:"made_of"` // brick | stone | block | concrete | timber_frame | earth | unknown
	Thickness *Reading `json:"thickness,omitempty"`
	Hides     string   `json:"hides,omitempty"`
}

// Sleeve is a hole through a wall for a pipe.
type Sleeve struct {
	ID    string   `json:"id"`
	State State    `json:"state"`
	Wall  string   `json:"wall"`
	Bore  *Reading `json:"bore,omitempty"`
	For   string   `json:"for,omitempty"`
}

// Test is one witnessed test with its result.
type Test struct {
	ID       string   `json:"id"`
	What     string   `json:"what"` // drains_air | drains_water | drains_smoke | supply_pressure | discharge | ...
	Pressure *Reading `json:"pressure,omitempty"`
	Held     *Reading `json:"held,omitempty"`
	Fell     *Reading `json:"fell,omitempty"`
	SealLeft *Reading `json:"seal_left,omitempty"`
	SeenBy   string   `json:"seen_by,omitempty"` // owner | installer | authority | ...
}
