// Package sdk is what the author of a measurement plugin needs: a Go
// interface to fill, and one call that serves it as a process. No protobuf
// type shows here. A plugin sees a layout and answers with measurements; it
// never sees a rule, a profile or a line number, and is asked once a check.
package sdk

import (
	"context"
	"math"
	"slices"

	"fallrule/plugins/sdk/plan"
)

// Measurer works quantities out of a layout.
type Measurer interface {
	// Describe says who measures and what. Constant for a process's life.
	Describe(context.Context) (Description, error)
	// Measure answers for every subject of each quantity asked for, with a
	// measurement or a gap. An error means the measurer itself is broken.
	Measure(context.Context, Request) (Response, error)
}

// Description of a measurer.
type Description struct {
	Name       string
	Version    string
	Quantities []Quantity
}

// Quantity is one thing a measurer can work out. Name and unit must be those
// of the catalogue (schema/quantities.yaml).
type Quantity struct {
	Name string
	Unit string
	Doc  string
}

// Request is one layout and what is wanted of it.
type Request struct {
	Plan       *plan.Plan
	Quantities []string // asked for; answer no others
	Working    bool     // whether Working is wanted on each measurement
}

// Wants tells whether a quantity is asked for.
func (r Request) Wants(quantity string) bool { return slices.Contains(r.Quantities, quantity) }

// Response holds all answers to one Request.
type Response struct {
	Measurements []Measurement
	Gaps         []Gap
}

// Measurement is one quantity of one subject: a Band, or the States that are
// still possible (one word when it is certain).
type Measurement struct {
	Quantity string
	Subject  string
	Band     *Band
	States   []string
	Working  Working
}

// Band is a number and the range it may truly have, in the quantity's unit.
// An end nobody knows is infinite; the wire leaves it out.
type Band struct{ Low, Value, High float64 }

// BandOf makes a Band of a Reading, its unit unchanged.
func BandOf(r plan.Reading) *Band { return &Band{r.Low, r.Value, r.High} }

// Valid tells whether the numbers can stand: Value finite, Low <= Value <= High.
func (b Band) Valid() bool {
	finite := !math.IsNaN(b.Value) && !math.IsInf(b.Value, 0)
	return finite && b.Low <= b.Value && b.Value <= b.High
}

// Working is how a figure was come by, so that a person with a calculator can
// follow it.
type Working struct {
	Formula string // "fall = drop / level length"
	Numbers string // "36 mm / 2.40 m = 15.0 mm/m (12.4 to 17.6)"
	Source  string // "geometry", "EN 12056-2:2000, 6.3.1 (from memory)"
}

// Because is why a measurement is missing.
type Because string

// The reasons a measurer may give.
const (
	NotMeasured Because = "not_measured" // a reading is missing; Gap.Needs names it
	NotYet      Because = "not_yet"      // it comes later in the work, a test for one
	NotTold     Because = "not_asked"    // a question the document may answer and does not
	OutOfRange  Because = "outside_table"
)

// Gap is a measurement that could not be made, and what to measure so that it
// can be. Needs is a path in the words of the layout document
// ("bath.waste.drop", "stacks.main.foot.level"), one reading a Gap: the sheet
// folds gaps by it and `ask` counts them.
type Gap struct {
	Quantity string
	Subject  string
	Because  Because
	Needs    string
	Text     string // one plain sentence
}
