// Package finding holds the values that travel from the profiles through the
// judge to the sheet: requirements, readings, findings. No behaviour but order
// and String.
package finding

import (
	"fmt"
	"math"
)

// Verdict on one requirement.
type Verdict string

// The verdicts, in order of alarm.
const (
	Breaks        Verdict = "breaks"
	TooClose      Verdict = "too_close"
	CannotTell    Verdict = "cannot_tell"
	Meets         Verdict = "meets"
	NotApplicable Verdict = "not_applicable"
)

// Verdicts in order of alarm.
var Verdicts = []Verdict{Breaks, TooClose, CannotTell, Meets, NotApplicable}

// Because is why a requirement could not be judged, from a closed list, so
// that the sheet can fold by it.
type Because string

// The reasons for cannot_tell.
const (
	NotMeasured  Because = "not_measured"  // a reading is missing
	NotAsked     Because = "not_asked"     // a question is not answered
	NotYet       Because = "not_yet"       // it comes later in the work
	OutsideTable Because = "outside_table" // the clause's table has no row for this subject
	PartialTable Because = "partial_table" // no known row allows it and the table here is incomplete
	PluginFault  Because = "plugin"        // the measurement plugin failed
	Authority    Because = "authority"     // a judgement left to the inspector
	ProfileFault Because = "profile_fault" // the rule itself is faulty
)

// Basis tells how well a limit is confirmed, strongest first.
type Basis string

// The bases.
const (
	Read           Basis = "read"            // seen in the source or a public quotation of it
	Memory         Basis = "memory"          // known, not yet confirmed in a source
	CommonPractice Basis = "common_practice" // a fact of the trade without a source
)

// Weaker returns the weaker of two bases.
func (b Basis) Weaker(o Basis) Basis {
	if rank(o) > rank(b) {
		return o
	}
	return b
}

func rank(b Basis) int {
	switch b {
	case Read:
		return 0
	case Memory:
		return 1
	}
	return 2
}

// Bound is what one quantity must be. At most one of the two low ends and one
// of the two high ends stands; or Words, for a state: the ALLOWED ones.
// AtLeast and AtMost include the limit, Above and Below do not. The numbers
// are in the quantity's unit; Text keeps them as the rule wrote them.
type Bound struct {
	AtLeast, AtMost, Above, Below *float64
	Words                         []string
	Text                          map[string]string // "at_least": "18 mm/m"
}

// Row is one alternative: all its bounds must hold.
type Row struct {
	Need   map[string]Bound // by quantity, never empty
	Basis  Basis
	Clause string // when it differs from the rule's
	Note   string // said beside the limit: "DN 40"
}

// Requirement is what one rule asks of one subject: any of Rows.
type Requirement struct {
	Rule *Rule
	Of   string
	Any  []Row
}

// Force of a rule: what a break of it means.
type Force string

// The forces.
const (
	Law              Force = "law"
	ApprovedGuidance Force = "approved_guidance"
	Standard         Force = "standard"
	LocalLaw         Force = "local_law"
	Practice         Force = "practice"
)

// Rule is a rule's header.
type Rule struct {
	Profile     string // id of the profile that asks
	Origin      string // id of the profile that holds the rule, a parent for one
	ID          string // last part of the package path
	Title       string
	Description string
	Topic       string
	Clause      string
	Document    string // id in the profile's list of documents
	Edition     string
	DocTitle    string
	Force       Force
	Severity    Severity
	Of          string // kind of subject
	Quantities  []string
	Partial     bool // rows: partial
	Judges      []string
	When        string
	From, Until string // in_force, ISO dates, may be empty
	Links       []Link
	File        string
	Line        int
}

// Link is where a clause stands.
type Link struct{ Ref, Description string }

// Severity orders breaks of like verdict: what harm a break does.
type Severity string

// The severities, worst first.
const (
	Hazard    Severity = "hazard"    // health, structure, foul air, scalding
	Defect    Severity = "defect"    // blocks, leaks, floods, will not last
	Formality Severity = "formality" // access, paper, order
)

// Measured is what is known of one quantity of one subject: a Band, States,
// or why neither (Because, Needs, Text).
type Measured struct {
	Unit    string // of Band
	Band    *Band
	States  []string
	Because Because
	Needs   string // the reading to take, in the words of the document
	Text    string
	Working Working
	Plugin  string // who measured it
	How     string
}

// Band in the quantity's unit; an open end is infinite.
type Band struct{ Low, Value, High float64 }

// Exact tells whether the band is one point.
func (b Band) Exact() bool { return b.Low == b.High }

// Open tells whether an end is not known.
func (b Band) Open() bool { return math.IsInf(b.Low, 0) || math.IsInf(b.High, 0) }

// Working is how a figure was come by.
type Working struct{ Formula, Numbers, Source string }

// Interval is a range a quantity may lie in; an infinite end is open-ended.
type Interval struct {
	Low, High         float64
	LowOpen, HighOpen bool // the end itself is not allowed
}

// Way is a change of one quantity that would meet a requirement.
type Way struct {
	Quantity string
	Allowed  []Interval
	Words    []string
}

// Settle is how close a quantity's value lies to the limit that its band
// straddles: a reading that exact settles the verdict, unless it is 0, where
// the value lies on the limit itself.
type Settle struct {
	Quantity string
	Within   float64
}

// Position is a place in the layout document, from 1; zero is unknown.
type Position struct {
	File         string
	Line, Column int
}

func (p Position) String() string { return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column) }

// Waiver is a paper that allows a break. The verdict stays.
type Waiver struct{ By, Reference, Date string }

// Finding is a requirement judged.
type Finding struct {
	Rule      *Rule
	Subject   string
	Quantity  string // the header's first when the rows are alternatives
	Verdict   Verdict
	Binding   bool // false: a comparison, never the exit code
	Measured  map[string]Measured
	Limit     []Row
	Allowed   []Interval // what Quantity may be, the others as read
	Margin    *float64   // from the value to the nearest end of Allowed; negative outside
	Ways      []Way      // what each quantity alone would have to be, the others as read
	Undecided []string   // the quantities that turn an unsettled verdict
	Settles   []Settle   // of a too_close: how exact which reading must be
	Basis     Basis
	Message   string
	Position  Position
	Also      []Position // the other subject of a pair
	Because   Because    // for cannot_tell and not_applicable
	Needs     []string   // readings that would settle it
	Waiver    *Waiver
	Untouched bool // existing work, told and not accused
}
