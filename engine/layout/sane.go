package layout

import (
	"fmt"
	"math"
	"strings"

	"fallrule/engine/document"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

const pi = math.Pi

// span is what a figure of one kind can be in a house, in its unit: wide, so
// that only a slip of unit or of the decimal point falls outside.
type span struct {
	what      string
	low, high float64
	unit      string
}

// From experience, no source.
var (
	heightsOfRooms = span{"height of a room", 1200, 12000, "mm"}
	boards         = span{"thickness of boards", 8, 120, "mm"}
	joistWidths    = span{"width of a joist", 20, 500, "mm"}
	joistDepths    = span{"depth of a joist", 60, 800, "mm"}
	joistSpans     = span{"span of a joist", 300, 15000, "mm"}
	wallsThick     = span{"thickness of a wall", 30, 2000, "mm"}
	sealDepths     = span{"depth of a water seal", 5, 300, "mm"}
	wholeLengths   = span{"length of a waste or drain", 20, 200000, "mm"}
	runLengths     = span{"length of a run", 2, 200000, "mm"}
	flushes        = span{"flush of a water closet", 1.5, 25, "l"}
	loads          = span{"load of a washing machine", 1, 60, "kg"}
	rimHeights     = span{"level of a rim", -20000, 50000, "mm"}
)

// sane refuses a figure that no house has and names the likely slip.
func (r *reader) sane(n *document.Node, v *plan.Reading, s span) *plan.Reading {
	if v == nil || v.Value >= s.low && v.Value <= s.high {
		return v
	}
	f := document.Fault{
		At: n.At, What: fmt.Sprintf("%s cannot be the %s: a slip of unit or decimal point?", quoted(text(n)), s.what),
		Allowed: quantity.Format(s.low, s.unit, quantity.Metric) + " to " + quantity.Format(s.high, s.unit, quantity.Metric),
	}
	for _, factor := range []float64{0.001, 1000, 10, 0.1, 100, 0.01} {
		if meant := v.Value * factor; meant >= s.low && meant <= s.high {
			f.DidYouMean = quantity.Format(meant, s.unit, quantity.Metric)
			break
		}
	}
	r.add(f)
	return nil
}

func list(items []string) string { return strings.Join(items, ", ") }

// apart tells whether two readings of one thing cannot both be true.
func apart(a, b *plan.Reading) bool {
	if a == nil || b == nil {
		return false
	}
	const slack = 1e-6
	return a.Low > b.High+slack || b.Low > a.High+slack
}

// show writes a reading with its band for a message.
func show(v *plan.Reading, unit string) string {
	return quantity.FormatBand(v.Low, v.Value, v.High, unit, quantity.Metric)
}
