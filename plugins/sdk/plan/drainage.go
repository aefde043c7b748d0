package plan

// Fixture is whatever water leaves the rooms by.
type Fixture struct {
	ID       string    `json:"id"`
	State    State     `json:"state"`
	Kind     string    `json:"kind"` // wc | washbasin | bidet | shower | bath | kitchen_sink | laundry_tub | washing_machine | dishwasher | urinal | floor_drain | trap_box | tap | unknown
	Room     string    `json:"room,omitempty"`
	Plug     string    `json:"plug"`                // fitted | without | unknown (a shower tray's default is without)
	Overflow string    `json:"overflow"`            // fitted | without | unknown
	Pumped   string    `json:"pumped"`              // pumped | gravity | unknown (machines pump by kind; a macerator must be told)
	Flush    *Reading  `json:"flush,omitempty"`     // l
	Load     *Reading  `json:"load,omitempty"`      // kg of laundry
	Rim      *Reading  `json:"rim,omitempty"`       // level of the spill-over rim
	OutletAt *Reading  `json:"outlet_at,omitempty"` // level of the outlet
	Outlet   *Reading  `json:"outlet,omitempty"`    // bore of the outlet or valve
	Use      string    `json:"use"`                 // continuous | seldom | unknown
	At       []Reading `json:"at,omitempty"`        // x, y and, where told, z
	Takes    []Reading `json:"takes,omitempty"`     // width and depth
	Mixer    string    `json:"mixer"`               // single_lever | two_handles | thermostatic | separate_taps | none | unknown
	Trap     string    `json:"trap,omitempty"`      // trap id
	Waste    string    `json:"waste,omitempty"`     // id of the pipe it starts, whole ("bath.waste"), not the segment
	Into     string    `json:"into,omitempty"`      // id of the trap box its waste runs into
	Stub     string    `json:"stub"`                // what closes the stub of a removed fixture: capped | plugged | removed_to_junction | open | undecided | unknown | ""
}

// Trap is the water seal of one fixture, or a trap box of several.
type Trap struct {
	ID       string   `json:"id"`
	State    State    `json:"state"`
	Fixture  string   `json:"fixture"`         // fixture id
	Serves   string   `json:"serves"`          // its fixture's kind
	Kinds    []string `json:"kinds,omitempty"` // every kind it may be: p | s | bottle | running | standpipe | built_in | drum | bell | anti_vacuum | trap_box | corrugated | none
	Size     *Size    `json:"size,omitempty"`
	Seal     *Reading `json:"seal,omitempty"`
	Weir     *Reading `json:"weir,omitempty"`   // level of the outlet weir's invert
	Height   *Reading `json:"height,omitempty"` // of the trap, for building in
	Reach    string   `json:"reach"`            // by_hand | panel | hatch | lift_fixture | none | unknown
	Cleaning string   `json:"cleaning"`         // removable | eye | lift_fixture | none | unknown
	Branch   string   `json:"branch,omitempty"` // first segment after it
}

// Size of a pipe or trap: what is stamped on it and what that means.
type Size struct {
	Stamp  string   `json:"stamp,omitempty"`  // as written: "DN 40", "1 1/2 in", or ""
	Market string   `json:"market,omitempty"` // whose stock table gave the bore
	Outer  *Reading `json:"outer,omitempty"`
	Bore   *Reading `json:"bore,omitempty"`
	Source string   `json:"source,omitempty"` // of outer and bore, for the working
	Basis  string   `json:"basis,omitempty"`  // read | memory | common_practice: of the stock table's row
}

// Pipe is one segment of a branch or drain: nothing joins it but at its start.
// A whole pipe that others join midway becomes bath.waste/1, bath.waste/2, …
type Pipe struct {
	ID       string   `json:"id"`
	Whole    string   `json:"whole"` // id in the document: bath.waste
	State    State    `json:"state"`
	Size     *Size    `json:"size,omitempty"`
	MadeOf   string   `json:"made_of"`            // plastic | cast_iron | copper | lead | fibre_cement | clay | steel | rubber | corrugated | unknown
	Place    string   `json:"place"`              // heated | unheated | outside | buried | hung | in_floor | in_wall | boxed | open | unknown
	Reach    string   `json:"reach"`              // as on Trap
	Legs     []Leg    `json:"legs,omitempty"`     // start to end
	Upstream []string `json:"upstream,omitempty"` // segments that discharge into its start
	Serves   []string `json:"serves,omitempty"`   // ids of all fixtures upstream, removed ones left out
	Fixture  string   `json:"fixture"`            // kind of what it serves when that is one kind, "mixed", or "unknown"
	To       Junction `json:"to"`
	Clips    *Reading `json:"clips,omitempty"`  // greatest distance between supports
	Socket   *Reading `json:"socket,omitempty"` // outer size of its sockets, where told
	Floor    string   `json:"floor,omitempty"`  // floor it lies in, when it is known to lie in one
	// Of a piece of a cut pipe: its length as the junctions' distances tell it,
	// and the length from its start to the end of the whole pipe. Both are
	// narrower than the sums of legs that share one reading.
	Told   *Reading `json:"told,omitempty"`
	Beyond *Reading `json:"beyond,omitempty"`
	Level  *Reading `json:"level,omitempty"`  // invert at its start
	Vented []string `json:"vented,omitempty"` // ids of vents and valves connected along it
	// Placed tells that the whole pipe's course over the plan is told by points,
	// so that every placed joist it meets is among the crossings.
	Placed bool `json:"placed,omitempty"`
}

// Leg is a straight piece and the bend at its END. Steep (45° or more from
// the level) is a drop, not a fall. What the document did not tell is nil.
type Leg struct {
	Along  *Reading `json:"along,omitempty"`  // level distance
	Drop   *Reading `json:"drop,omitempty"`   // vertical distance downwards, negative when it rises
	Length *Reading `json:"length,omitempty"` // along the pipe
	Fall   *Reading `json:"fall,omitempty"`   // told as a fall; nil when told as drop or levels
	Steep  bool     `json:"steep,omitempty"`
	Bubble string   `json:"bubble,omitempty"` // falls | level | rises: what a spirit level showed
	Bends  []Bend   `json:"bends"`            // empty: told that there is none; nil: nobody told
}

// Bend at the end of a leg. Two 45° bends forming one corner are two Bends.
type Bend struct {
	Angle  *Reading `json:"angle,omitempty"` // turned, degrees
	Radius *Reading `json:"radius,omitempty"`
	Made   string   `json:"made"` // as written: "2 x 45°"
}

// Junction is where a pipe ends.
type Junction struct {
	Kind     string   `json:"kind"`               // stack | branch | drain | trap_box | gully | hopper | sewer | outside | treatment | unknown
	ID       string   `json:"id,omitempty"`       // of the stack, drain, box, or of the SEGMENT that begins here
	Level    *Reading `json:"level,omitempty"`    // invert of this pipe's end
	Distance *Reading `json:"distance,omitempty"` // along the receiving pipe from its start
	Angle    *Reading `json:"angle,omitempty"`    // of the fitting, degrees: 45, 87.5
	Swept    string   `json:"swept"`              // swept | square | unknown
	Radius   *Reading `json:"radius,omitempty"`   // of the sweep
	Side     string   `json:"side"`               // front | rear | left | right | top | bottom | unknown
	Made     string   `json:"made,omitempty"`     // as written
}

// Stack is a vertical pipe that branches discharge into.
type Stack struct {
	ID        string   `json:"id"`
	State     State    `json:"state"`
	Size      *Size    `json:"size,omitempty"`
	MadeOf    string   `json:"made_of"`
	Place     string   `json:"place"`
	Serves    []string `json:"serves,omitempty"`    // fixtures that stay or come, removed ones left out
	Entries   []string `json:"entries,omitempty"`   // segments that end at it
	Foot      *Reading `json:"foot,omitempty"`      // level: invert of the drain after the foot bend
	FootBend  string   `json:"foot_bend"`           // two_45 | long_radius | tight | unknown
	Offset    *Reading `json:"offset,omitempty"`    // level of an offset in the wet part
	HasOffset string   `json:"has_offset"`          // straight | offset | unknown
	To        string   `json:"to,omitempty"`        // drain id
	Vents     []string `json:"vents,omitempty"`     // ids of vents that start from it
	Condition string   `json:"condition,omitempty"` // sound | doubtful | unknown
}

// Vent is an air pipe, or an air admittance valve, written from the pipe it
// airs to its end.
type Vent struct {
	ID        string   `json:"id"`
	State     State    `json:"state"`
	Kind      string   `json:"kind"`              // pipe | valve
	From      string   `json:"from,omitempty"`    // stack id or segment id
	FromKind  string   `json:"from_kind"`         // stack | branch | drain | unknown
	Trap      string   `json:"trap,omitempty"`    // trap it was put in for, if told
	Along     *Reading `json:"along,omitempty"`   // distance along the segment from its start
	FromAt    *Reading `json:"from_at,omitempty"` // level of the connection
	Size      *Size    `json:"size,omitempty"`
	MadeOf    string   `json:"made_of"`
	Legs      []Leg    `json:"legs,omitempty"`
	Ends      string   `json:"ends"` // roof | wall | eaves | loft | indoors | stack_vent | outside | unknown
	AboveRoof *Reading `json:"above_roof,omitempty"`
	EndsAt    *Reading `json:"ends_at,omitempty"` // level of the valve or terminal
	Roof      string   `json:"roof"`              // walked_on | not_walked_on | unknown
	Cage      string   `json:"cage"`              // fitted | without | unknown
	Airs      string   `json:"airs"`              // drain | room | combustion | flue | unknown
	Known     string   `json:"known"`             // proved | seen | guessed | unknown
	Reach     string   `json:"reach"`
	Standard  string   `json:"standard,omitempty"` // product standard stamped on a valve
	FreeArea  *Reading `json:"free_area,omitempty"`
	Place     string   `json:"place"`
}

// Access is a place to rod from.
type Access struct {
	ID    string   `json:"id"`
	State State    `json:"state"`
	Pipe  string   `json:"pipe"` // stack, drain or whole pipe
	Level *Reading `json:"level,omitempty"`
	// Distance along the whole pipe from its start.
	Distance *Reading `json:"distance,omitempty"`
	Size     *Size    `json:"size,omitempty"`
	Reach    string   `json:"reach"`
}

// Pair is two subjects a clause looks at together.
type Pair struct {
	ID    string `json:"id"` // "a~b"
	State State  `json:"state"`
	A     string `json:"a"`
	B     string `json:"b"`
}

// EntryPair is two branches that enter one stack from opposed sides, or from
// sides nobody told.
type EntryPair struct {
	Pair
	Stack   string `json:"stack"`
	Carries string `json:"carries"` // wc when one of them carries a water closet, else waste, or unknown
	Facing  string `json:"facing"`  // opposed | unknown
}

// TerminalOpening is a vent's end and a window or intake near it.
type TerminalOpening struct {
	Pair
	Opens string   `json:"opens"`           // window | roof_window | door | air_intake | unknown
	Aside *Reading `json:"aside,omitempty"` // level distance
	Below *Reading `json:"below,omitempty"` // opening's top edge below the vent's end
}
