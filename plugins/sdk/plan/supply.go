package plan

// Source is where water enters: the meter, a well, a tank.
type Source struct {
	ID      string   `json:"id"`
	State   State    `json:"state"`
	Kind    string   `json:"kind"` // public_main | well | tank | pump | unknown
	Room    string   `json:"room,omitempty"`
	Static  *Reading `json:"static,omitempty"`  // kPa, nothing running
	Running *Reading `json:"running,omitempty"` // kPa, one tap running
	Level   *Reading `json:"level,omitempty"`   // of the gauge, or of a tank's water
	// A bucket filled at a draw-off: the flow it gives, l/s, and where.
	Bucket   *Reading `json:"bucket,omitempty"`
	BucketAt string   `json:"bucket_at,omitempty"`
	Check    string   `json:"check"`   // fitted | without | unknown: a check valve at the source
	Reducer  string   `json:"reducer"` // fitted | without | unknown
}

// Heater makes hot water.
type Heater struct {
	ID          string   `json:"id"`
	State       State    `json:"state"`
	Kind        string   `json:"kind"` // gas_instant | gas_boiler | combi | electric_instant | electric_store | store | heat_pump | solid_fuel | solar | district | unknown
	Room        string   `json:"room,omitempty"`
	Set         *Reading `json:"set,omitempty"`    // °C
	Volume      *Reading `json:"volume,omitempty"` // l stored
	System      string   `json:"system"`           // closed | open | unknown
	Expansion   string   `json:"expansion"`        // vessel | air_space | back_to_main | none | unknown
	Circulates  string   `json:"circulates"`       // circulates | without | unknown
	SafetyOpens *Reading `json:"safety_opens,omitempty"`
	Safety      string   `json:"safety"` // works | seized | not_tried | none | unknown: the safety valve
}

// Valve in the supply.
type Valve struct {
	ID    string `json:"id"`
	State State  `json:"state"`
	Kind  string `json:"kind"`  // stopcock | ball | gate | service | check | reducer | mixing | stop_and_drain | drain_tap | unknown
	Holds string `json:"holds"` // works | passes | seized | unknown
	Owner string `json:"owner"` // ours | utility | neighbour | shared | unknown
	Reach string `json:"reach"`
	Room  string `json:"room,omitempty"`
}

// Link is one piece of supply pipe between two neighbours on a path. A line
// c1 with the path [meter, v_main, k1] is the links c1/1 and c1/2; one with a
// single step keeps its plain id. A manifold's home runs are links too, named
// manifold~draw-off.
type Link struct {
	ID        string   `json:"id"`
	Line      string   `json:"line"`
	State     State    `json:"state"`
	Known     string   `json:"known"` // proved | seen | guessed | unknown
	A         string   `json:"a"`     // id of a source, heater, valve, tee, point, manifold or draw-off
	B         string   `json:"b"`
	Size      *Size    `json:"size,omitempty"`
	MadeOf    string   `json:"made_of"`          // copper | galvanised | steel | stainless | lead | plastic | multilayer | unknown
	Length    *Reading `json:"length,omitempty"` // of this link; a line of several steps tells one for all of them, see Line
	Rise      *Reading `json:"rise,omitempty"`   // of B over A
	Bends     []Bend   `json:"bends"`            // empty: told that there is none; nil: nobody told
	Insulated string   `json:"insulated"`        // insulated | bare | unknown
	Place     string   `json:"place"`            // as on Pipe
	Clips     *Reading `json:"clips,omitempty"`
	Bonded    string   `json:"bonded"`           // bonded | not_bonded | unknown
	Carries   string   `json:"carries"`          // cold | hot | unknown: hot when every way to a source passes a heater
	Serves    []string `json:"serves,omitempty"` // draw-offs that water reaches only through it
}

// Line is what one line of several steps tells of all of them together. Nobody
// knows how its links share it. A line of one step has all of it in its link.
type Line struct {
	ID     string   `json:"id"` // as Link.Line
	State  State    `json:"state"`
	Steps  []string `json:"steps"` // ids of its links, in the direction of its path
	Length *Reading `json:"length,omitempty"`
	Rise   *Reading `json:"rise,omitempty"` // of its end over its beginning
	Bends  []Bend   `json:"bends"`          // empty: told that there is none; nil: nobody told
}

// Cut is a place where a water pipe is, or is to be, cut.
type Cut struct {
	ID      string    `json:"id"`
	State   State     `json:"state"`           // new: planned; laid: done
	Between [2]string `json:"between"`         // ids that a link may have as A or B; others of the line may stand between
	Then    string    `json:"then"`            // cap | cap_at_tee | valve | join | undecided | unknown
	Stump   *Reading  `json:"stump,omitempty"` // length left between tee and cap
}

// DrawOff is a tap, a mixer's inlet or a machine's connection.
type DrawOff struct {
	ID          string   `json:"id"` // basin.cold
	State       State    `json:"state"`
	Fixture     string   `json:"fixture"`
	Serves      string   `json:"serves"` // the fixture's kind
	Room        string   `json:"room,omitempty"`
	Water       string   `json:"water"` // cold | hot
	Size        *Size    `json:"size,omitempty"`
	MadeOf      string   `json:"made_of"`
	Level       *Reading `json:"level,omitempty"`       // of the spout
	Gap         *Reading `json:"gap,omitempty"`         // spout over the spill-over rim, as told
	Rim         *Reading `json:"rim,omitempty"`         // of its fixture
	Hose        *Reading `json:"hose,omitempty"`        // length
	HoseReach   string   `json:"hose_reach"`            // over_rim | into_water | none | unknown
	Device      string   `json:"device"`                // air_gap | single_check | double_check | vacuum_breaker | diverter | disconnector | none | unknown
	Class       string   `json:"class,omitempty"`       // family letters of EN 1717 as stamped
	Stop        string   `json:"stop"`                  // fitted | without | unknown: a valve of its own
	Mixer       string   `json:"mixer"`                 // single_lever | two_handles | thermostatic | separate_taps | none | unknown
	Flow        *Reading `json:"flow,omitempty"`        // measured, l/s
	Rating      *Reading `json:"rating,omitempty"`      // printed, l/s
	Temperature *Reading `json:"temperature,omitempty"` // °C at the tap
	Pressure    *Reading `json:"pressure,omitempty"`    // kPa while it runs
	Reach       string   `json:"reach"`
}

// Fan moves air out of a room.
type Fan struct {
	ID       string    `json:"id"`
	State    State     `json:"state"`
	Room     string    `json:"room,omitempty"`
	Flow     *Reading  `json:"flow,omitempty"` // l/s
	Overrun  *Reading  `json:"overrun,omitempty"`
	RunsWith string    `json:"runs_with"` // light | moisture | always | switch | unknown
	Duct     *Size     `json:"duct,omitempty"`
	DuctMade string    `json:"duct_made"` // rigid | flexible | unknown
	Length   *Reading  `json:"length,omitempty"`
	Bends    []Bend    `json:"bends"`
	Ends     string    `json:"ends"` // as on Vent
	Reuses   string    `json:"reuses,omitempty"`
	At       []Reading `json:"at,omitempty"`
}

// Electric is something electric near water.
type Electric struct {
	ID        string    `json:"id"`
	State     State     `json:"state"`
	Kind      string    `json:"kind"` // socket | switch | light | heater | fan | appliance | bond | unknown
	Room      string    `json:"room,omitempty"`
	At        []Reading `json:"at,omitempty"` // x, y, z
	Volts     *Reading  `json:"volts,omitempty"`
	Protected string    `json:"protected"` // residual_current | separate | none | unknown
	// NearTo is the bath or shower whose zones are measured from, the nearest.
	NearTo string `json:"near_to,omitempty"`
}

// Crossing is where a run under the boards meets a joist; id "bath.waste~j2".
type Crossing struct {
	Pair             // A: segment, B: joist
	Along   *Reading `json:"along,omitempty"`   // level distance along the segment from its start
	OnSpan  *Reading `json:"on_span,omitempty"` // distance along the joist from its nearer bearing
	Invert  *Reading `json:"invert,omitempty"`  // level of the pipe's invert there
	Opening string   `json:"opening,omitempty"` // the opening cut for it
}

// Chase is a groove in a wall.
type Chase struct {
	ID     string   `json:"id"`
	State  State    `json:"state"`
	Wall   string   `json:"wall"`
	Runs   string   `json:"runs"` // upright | level | slanted | unknown
	Depth  *Reading `json:"depth,omitempty"`
	Width  *Reading `json:"width,omitempty"`
	Length *Reading `json:"length,omitempty"`
	For    string   `json:"for,omitempty"`
}
