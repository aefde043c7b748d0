// Package reply is what the bundled measurers of pipes share: a figure with
// its working, the reading that lacks in its place, and how numbers are
// written in a working.
package reply

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// Figure is one answer: a band, or the states still possible.
type Figure struct {
	Band    *sdk.Band
	States  []string
	Working sdk.Working
}

// Missing is why there is no figure, and what to read so that there is.
type Missing struct {
	Because sdk.Because
	Needs   string // path in the words of the layout document
	Text    string // one plain sentence
}

// NotRead is a reading that tape, level or stamp would give.
func NotRead(needs, text string) *Missing { return &Missing{sdk.NotMeasured, needs, text} }

// NotTold is a word that the document may say and does not.
func NotTold(needs, text string) *Missing { return &Missing{sdk.NotTold, needs, text} }

// Outside is a thing that the quantity or its table does not speak of.
func Outside(needs, text string) *Missing { return &Missing{sdk.OutOfRange, needs, text} }

// Number is a figure with a band.
func Number(band sdk.Band, formula, numbers, source string) Figure {
	return Figure{Band: &band, Working: sdk.Working{Formula: formula, Numbers: numbers, Source: source}}
}

// Words is a figure of one or several possible states.
func Words(states []string, formula, numbers, source string) Figure {
	return Figure{States: states, Working: sdk.Working{Formula: formula, Numbers: numbers, Source: source}}
}

// Answers collects the answers to one request and leaves out what was not
// asked for.
type Answers struct {
	req  sdk.Request
	resp sdk.Response
}

// New begins the answers to a request.
func New(req sdk.Request) *Answers { return &Answers{req: req} }

// Response is all that was put in.
func (a *Answers) Response() sdk.Response { return a.resp }

// Put adds one answer: the figure, or what is missing when that is not nil. A
// band that cannot stand (not a number, ends crossed) becomes a gap, so that
// readings that contradict one another are never a figure.
func (a *Answers) Put(quantity, subject string, f Figure, m *Missing) {
	if !a.req.Wants(quantity) {
		return
	}
	if m == nil && f.Band != nil && !f.Band.Valid() {
		m = NotRead(subject, "The readings of "+subject+" contradict one another: measure again.")
	}
	if m != nil {
		a.resp.Gaps = append(a.resp.Gaps, sdk.Gap{Quantity: quantity, Subject: subject, Because: m.Because, Needs: m.Needs, Text: m.Text})
		return
	}
	out := sdk.Measurement{Quantity: quantity, Subject: subject, Band: f.Band, States: f.States}
	if a.req.Working {
		out.Working = f.Working
		out.Working.Numbers = shortened(f.Working.Numbers)
	}
	a.resp.Measurements = append(a.resp.Measurements, out)
}

// Longest is how many bytes of numbers a working holds: a stack of a large
// house adds up hundreds of units, and a line is for reading.
const Longest = 800

// shortened keeps the beginning and the end, where the result stands.
func shortened(s string) string {
	if len(s) <= Longest {
		return s
	}
	return strings.ToValidUTF8(s[:Longest/2], "") + " … " + strings.ToValidUTF8(s[len(s)-Longest/3:], "")
}

// decimals per unit: what a tradesman writes, no falser.
var decimals = map[string]int{"mm": 1, "mm/m": 1, "°": 1, "l/s": 2, "m/s": 2, "l": 1, "kg": 1, "1": 3}

// Value writes a number with its unit: "36 mm", "2.40 m", "15.0 mm/m".
func Value(v float64, unit string) string {
	if unit == "mm" && math.Abs(v) >= 1000 {
		return strconv.FormatFloat(v/1000, 'f', 3, 64) + " m"
	}
	s := strconv.FormatFloat(v, 'f', decimals[unit], 64)
	if unit != "mm/m" && unit != "l/s" && unit != "m/s" && strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if unit == "1" {
		return s
	}
	return strings.TrimSpace(s + spaced(unit))
}

func spaced(unit string) string {
	if unit == "°" {
		return unit
	}
	return " " + unit
}

// Range writes a band: "15.0 mm/m (12.4 mm/m to 17.6 mm/m)", and one number
// when the ends write alike.
func Range(b sdk.Band, unit string) string {
	value, low, high := Value(b.Value, unit), "", ""
	switch {
	case math.IsInf(b.Low, -1) && math.IsInf(b.High, 1):
		return value + " (no end known)"
	case math.IsInf(b.High, 1):
		return fmt.Sprintf("%s (at least %s)", value, Value(b.Low, unit))
	case math.IsInf(b.Low, -1):
		return fmt.Sprintf("%s (at most %s)", value, Value(b.High, unit))
	}
	if low, high = Value(b.Low, unit), Value(b.High, unit); low == high {
		return value
	}
	return fmt.Sprintf("%s (%s to %s)", value, low, high)
}

// Reading writes a reading as Range writes its band.
func Reading(r plan.Reading, unit string) string { return Range(*sdk.BandOf(r), unit) }
