// Package engine is the pipeline: a document in, a sheet out. Each step takes
// a value and gives a value; no step reaches back.
package engine

import (
	"context"
	"fmt"
	"slices"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
	"fallrule/engine/profile"
	"fallrule/engine/validate"
	"fallrule/schema"
)

// Engine holds what a check needs besides the document. It may be used by
// several goroutines and again and again: nothing in it changes.
type Engine struct {
	Version  string // of the tool, for the sheet
	Layouts  *validate.Validator
	Profiles *profile.Set
	Roles    []Role // which profiles bind and which are compared
	Sources  []measure.Source
	Workings bool // keep each figure's working
}

// Read turns a file into a layout. When any fault is more than a warning
// there is no layout: nothing is half-judged. All faults come at once; where
// the form is wrong already, what the layout step says of that line is left
// out, since it would say it again or follow from it.
func Read(v *validate.Validator, name string, src []byte) (*layout.Layout, []document.Fault) {
	doc, faults := document.Read(name, src)
	if document.Refused(faults) {
		return nil, document.Sort(faults)
	}
	faults = append(faults, v.Document(doc)...)
	lay, more := layout.Read(doc)
	for _, f := range more {
		if !told(faults, f.At) {
			faults = append(faults, f)
		}
	}
	faults = document.Sort(faults)
	if document.Refused(faults) {
		return nil, faults
	}
	return lay, faults
}

func told(faults []document.Fault, at finding.Position) bool {
	return at.Line == 0 && len(faults) > 0 ||
		slices.ContainsFunc(faults, func(f document.Fault) bool { return !f.Warning && f.At.Line == at.Line })
}

// Check judges a layout under the engine's profiles.
func (e *Engine) Check(ctx context.Context, lay *layout.Layout, warnings []document.Fault) (*finding.Sheet, error) {
	asked, err := e.Profiles.Ask(ctx, lay.Input())
	if err != nil {
		return nil, fmt.Errorf("ask the profiles about %s: %w", lay.Doc.Name, err)
	}
	measures, err := e.Measure(ctx, lay, e.Profiles.Quantities())
	if err != nil {
		return nil, err
	}
	known := knowledge{e.Profiles, measures, lay}
	var findings []finding.Finding
	for _, role := range e.Roles {
		for _, a := range asked[role.Profile] {
			findings = append(findings, judgeRule(a, role, lay, known)...)
		}
	}
	finding.Sort(findings)
	return e.sheet(lay, measures, findings, warnings), nil
}

// Measure asks the plugins for quantities of a layout. What profiles declare
// beyond the catalogue, questions and derived figures, no plugin measures.
func (e *Engine) Measure(ctx context.Context, lay *layout.Layout, want []string) (measure.Measures, error) {
	cat, err := schema.Quantities()
	if err != nil {
		return measure.Measures{}, err
	}
	return measure.Run(ctx, lay.Plan, want, e.Sources, cat, measure.Options{Working: e.Workings}), nil
}

// Catalogue is the quantities of the schema and those the profiles declare.
func (e *Engine) Catalogue() schema.Catalogue { return e.Profiles.Catalogue() }
