// Package reply is what the bundled measurers share: the table of quantities
// and what works each of them out, the answer to one with its working or its
// gap, and how numbers are written in a working.
package reply

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
	"fallrule/schema"
)

// Answer is what one quantity of one subject comes to: a band in the
// quantity's unit, the words that are still possible, or the gap that stands
// in their place.
type Answer struct {
	Band    *sdk.Band
	Words   []string
	Working func() sdk.Working // made only when somebody wants to see it
	Gap     *sdk.Gap
}

// Reading is the band as a computed reading; only of an answer that has one.
func (a Answer) Reading() plan.Reading {
	return plan.Reading{Low: a.Band.Low, Value: a.Band.Value, High: a.Band.High, How: plan.Computed}
}

// Number answers with a band. Readings that contradict one another so far that
// no band is left (ends crossed, not a number) are a gap, never a figure.
func Number(r plan.Reading, working func() sdk.Working) Answer {
	return Band(*sdk.BandOf(r), working)
}

// Band is Number of what is already a band.
func Band(b sdk.Band, working func() sdk.Working) Answer {
	b = settled(b)
	if !b.Valid() {
		return Answer{Gap: Outside("the readings it is worked out from contradict one another: measure again")}
	}
	return Answer{Band: &b, Working: working}
}

// rounding is by how much of a figure the last digits of its ends may be off.
const rounding = 1e-9

// settled puts back ends that rounding alone has put on the wrong side of the
// value, as it does where readings are all but exact.
func settled(b sdk.Band) sdk.Band {
	slack := rounding * (1 + math.Abs(b.Value))
	if b.Low > b.Value && b.Low <= b.Value+slack {
		b.Low = b.Value
	}
	if b.High < b.Value && b.High >= b.Value-slack {
		b.High = b.Value
	}
	return b
}

// Count answers with a number that is known exactly.
func Count(n float64, working func() sdk.Working) Answer {
	return Number(plan.Exactly(n), working)
}

// Words answers with the words of the catalogue that are still possible.
func Words(words []string, working func() sdk.Working) Answer {
	return Answer{Words: words, Working: working}
}

// State is Words that need no numbers in their working.
func State(formula, source string, words ...string) Answer {
	return Words(words, By(formula, strings.Join(words, " or "), source))
}

// By is a working whose numbers are written already.
func By(formula, numbers, source string) func() sdk.Working {
	return func() sdk.Working { return sdk.Working{Formula: formula, Numbers: numbers, Source: source} }
}

// Read is the reading, or the gap that asks for it. What is the thing read,
// path its place in the words of the document.
func Read(r *plan.Reading, path, what string) (plan.Reading, *sdk.Gap) {
	if r == nil {
		return plan.Reading{}, NotRead(path, what+" is not measured")
	}
	return *r, nil
}

// AsRead answers with a reading of the document as it stands, or with the gap
// that asks for it.
func AsRead(r *plan.Reading, unit, path, what string) Answer {
	got, gap := Read(r, path, what)
	if gap != nil {
		return Answer{Gap: gap}
	}
	return Number(got, func() sdk.Working {
		return sdk.Working{Formula: "as read", Numbers: Reading(got, unit) + How(got), Source: path}
	})
}

// Word answers with one closed word of the catalogue, or with the gap that
// asks for it when nobody gave one or gave one that says something else.
func Word(quantity, got, path, what string) Answer {
	if got == "" || got == "unknown" {
		return Answer{Gap: NotTold(path, what+" is not told")}
	}
	if !Allowed(quantity, got) {
		return Answer{Gap: NotTold(path, fmt.Sprintf("%s is not told by the word %s", what, got))}
	}
	return State("as told", path, got)
}

// Allowed tells whether a word is one of the quantity's in the catalogue.
func Allowed(quantity, word string) bool {
	c, err := schema.Quantities()
	return err == nil && slices.Contains(c.ByName[quantity].Words, word)
}

// NotRead is a reading that tape, level or stamp would give. Needs is its
// place in the words of the document; the text becomes a sentence.
func NotRead(needs, text string) *sdk.Gap { return gap(sdk.NotMeasured, needs, text) }

// NotTold is a word that the document may say and does not.
func NotTold(needs, text string) *sdk.Gap { return gap(sdk.NotTold, needs, text) }

// NotYet is a reading that comes later in the work.
func NotYet(needs, text string) *sdk.Gap { return gap(sdk.NotYet, needs, text) }

// Outside is a thing that the quantity or its table does not speak of. There
// is no reading to take, so it needs none.
func Outside(text string) *sdk.Gap { return gap(sdk.OutOfRange, "", text) }

// gap makes a sentence of the text, which begins with a word, never with an id.
func gap(because sdk.Because, needs, text string) *sdk.Gap {
	return &sdk.Gap{Because: because, Needs: needs, Text: strings.ToUpper(text[:1]) + text[1:] + "."}
}
