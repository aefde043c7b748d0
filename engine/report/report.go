// Package report gives a sheet a form: text for a person, JSON for a program.
// What is reported is decided elsewhere; here it is only worded and laid out.
package report

import (
	"fmt"
	"io"
	"slices"
	"sort"

	"fallrule/engine/finding"
)

// Options of a form. Not every form uses all.
type Options struct {
	Width    int  // columns; 0 is 80
	Color    bool // escape codes allowed
	All      bool // list what is met too
	Imperial bool
}

// Formats by name.
var Formats = map[string]func(io.Writer, *finding.Sheet, Options) error{
	"text": Text,
	"json": JSON,
}

// Names lists the formats in order.
func Names() []string {
	var out []string
	for name := range Formats {
		out = append(out, name)
	}
	sort.Strings(out)
	return out
}

// Write gives the sheet in the named form.
func Write(w io.Writer, format string, s *finding.Sheet, o Options) error {
	form, known := Formats[format]
	if !known {
		return fmt.Errorf("write the sheet: there is no format %q, only %v", format, Names())
	}
	return form(w, s, o)
}

// Fold is a group of findings with one cause.
type Fold struct {
	Cause    string
	Findings []finding.Finding
}

// byCause folds breaks that one thing causes: the same quantity of the same
// whole pipe, joist or fixture. A pipe 12 mm too low breaks many clauses and
// is one job to mend.
func byCause(findings []finding.Finding) []Fold {
	return fold(findings, func(f finding.Finding) []string { return []string{whole(f.Subject) + " " + f.Quantity} })
}

// byReading folds what could not be judged by the reading it waits for. A
// finding that waits for two stands under both.
func byReading(findings []finding.Finding) []Fold {
	folds := fold(findings, func(f finding.Finding) []string {
		if len(f.Needs) > 0 {
			return f.Needs
		}
		return []string{string(f.Because)}
	})
	slices.SortStableFunc(folds, func(a, b Fold) int { return len(b.Findings) - len(a.Findings) })
	return folds
}

func fold(findings []finding.Finding, keys func(finding.Finding) []string) []Fold {
	at := map[string]int{}
	var out []Fold
	for _, f := range findings {
		for _, key := range keys(f) {
			i, known := at[key]
			if !known {
				i = len(out)
				at[key] = i
				out = append(out, Fold{Cause: key})
			}
			out[i].Findings = append(out[i].Findings, f)
		}
	}
	return out
}

// whole strips the segment from a pipe's id: bath.waste/2 is bath.waste.
func whole(subject string) string {
	for i := range subject {
		if subject[i] == '/' {
			return subject[:i]
		}
	}
	return subject
}

func keep(findings []finding.Finding, want func(finding.Finding) bool) []finding.Finding {
	var out []finding.Finding
	for _, f := range findings {
		if want(f) {
			out = append(out, f)
		}
	}
	return out
}
