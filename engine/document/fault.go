package document

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fallrule/engine/finding"
)

// Fault is something wrong in the document, with its place.
type Fault struct {
	At         finding.Position
	What       string // what stands there and why it cannot be taken
	Allowed    string // what could stand there
	DidYouMean string // the nearest allowed word
	Warning    bool   // it can be taken, but the writer should know
}

// String is one line: file:line:column: what; allowed: …; did you mean …?
func (f Fault) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: ", f.At)
	if f.Warning {
		b.WriteString("warning: ")
	}
	b.WriteString(f.What)
	if f.Allowed != "" {
		fmt.Fprintf(&b, "; allowed: %s", f.Allowed)
	}
	if f.DidYouMean != "" {
		fmt.Fprintf(&b, "; did you mean %s?", f.DidYouMean)
	}
	return b.String()
}

// Sort puts faults in the order of their places and drops doubles. It works
// in the slice it is given.
func Sort(faults []Fault) []Fault {
	slices.SortStableFunc(faults, func(a, b Fault) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.String(), b.String()),
		)
	})
	return slices.Compact(faults)
}

// Refused tells whether any of the faults is more than a warning.
func Refused(faults []Fault) bool {
	return slices.ContainsFunc(faults, func(f Fault) bool { return !f.Warning })
}

// switchWords are read as true or false by YAML 1.1 readers.
var switchWords = []string{"yes", "no", "on", "off"}

// keyWords are those of them that no key may be without quotes.
var keyWords = append([]string{"y", "n"}, switchWords...)

func isOneOf(words []string, text string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.EqualFold(w, text) })
}

// ValidID tells why id cannot name a thing of the layout; nil when it can. An
// id is letters of any script, digits, `_` and `-`, and begins with a letter
// or digit. `.`, `/` and `~` are kept for what is derived from ids
// (basin.waste, basin.waste/2, a~b), and words that YAML readers take for true,
// false or nothing are no ids.
func ValidID(id string) error {
	if id == "" {
		return errors.New("an id is empty")
	}
	if isOneOf(keyWords, id) || isOneOf([]string{"true", "false", "null"}, id) {
		return fmt.Errorf("id %q: some YAML readers take this word for true, false or nothing", id)
	}
	for i, r := range id {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r):
		case i > 0 && (r == '_' || r == '-' || unicode.IsMark(r)):
		default:
			return fmt.Errorf("id %q: %q cannot stand in an id; letters, digits, _ and - can", id, r)
		}
	}
	return nil
}
