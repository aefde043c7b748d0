package finding

import (
	"cmp"
	"slices"
)

// Sheet is one layout inspected under one or more profiles: all that a report
// needs, in no particular form.
type Sheet struct {
	Tool     string // version of the tool
	Document DocumentInfo
	Profiles []ProfileInfo // binding ones first
	Plugins  []PluginInfo
	Findings []Finding // sorted, see Sort
	Warnings []string  // of the document, with their places
	Cautions []Caution
	Stage    string
	Readings Readings
}

// DocumentInfo says which document was judged, so that a sheet can be filed.
type DocumentInfo struct {
	File, Title, Revision, SHA256 string
}

// ProfileInfo is one profile as used.
type ProfileInfo struct {
	ID, Title, Edition string
	Binding            bool
	Why                string // why it binds or is compared
	Limits             map[Basis]int
	SHA256             string
}

// PluginInfo is one plugin as used; Fault says what was wrong with it.
type PluginInfo struct {
	Name, Version, Path string
	Quantities          int
	Fault               string
}

// Readings counts how the document's figures were come by.
type Readings struct {
	ByHow       map[string]int
	NoTolerance int // took a default
	Exact       int
}

// Caution is a danger that the layout calls for a word on.
type Caution struct{ ID, Text, For string }

// Counts is how many findings have each verdict.
type Counts map[Verdict]int

// Count counts the findings that keep says to count.
func (s *Sheet) Count(keep func(Finding) bool) Counts {
	c := Counts{}
	for _, f := range s.Findings {
		if keep(f) {
			c[f.Verdict]++
		}
	}
	return c
}

// Accuses tells whether a break counts against the work: a binding rule that
// is more than practice, and no paper that allows it.
func (f Finding) Accuses() bool {
	return f.Verdict == Breaks && f.Binding && f.Waiver == nil && f.Rule.Force != Practice
}

// Waits tells whether a finding is unsettled only because its time has not
// come: a test before the work is laid, for one.
func (f Finding) Waits(stage string) bool {
	later := f.Because == NotYet || f.Rule.Topic == "test"
	return f.Verdict == CannotTell && later && before(stage, f.Rule.When)
}

// before tells whether the work's stage is earlier than the point at which a
// rule is due.
func before(stage, when string) bool {
	reached := map[string]int{"planned": 0, "laid": 1, "tested": 2, "closed": 3}[stage]
	due := map[string]int{"before_work": 0, "before_cut": 0, "before_closing": 2, "before_use": 3}[when]
	return reached < due
}

// Exit codes of a check.
const (
	ExitMet       = 0
	ExitBreaks    = 1
	ExitNoRun     = 2
	ExitUnsettled = 3
)

// Exit is the exit code a sheet calls for. Only binding profiles count. A
// sheet on which nothing is met says nothing good either: no rule spoke.
func (s *Sheet) Exit() int {
	code := ExitUnsettled
	if s.Count(func(f Finding) bool { return f.Binding })[Meets] > 0 {
		code = ExitMet
	}
	for _, f := range s.Findings {
		switch {
		case !f.Binding || f.Waiver != nil || f.Untouched:
		case f.Accuses():
			return ExitBreaks
		case f.Verdict == Breaks, f.Verdict == TooClose, f.Verdict == CannotTell && !f.Waits(s.Stage):
			code = ExitUnsettled
		}
	}
	return code
}

// Sort puts findings in the order a sheet tells them: binding first, then by
// alarm, by the harm a break does, by place in the document, by rule.
func Sort(findings []Finding) {
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(
			flag(a.Binding, b.Binding),
			cmp.Compare(slices.Index(Verdicts, a.Verdict), slices.Index(Verdicts, b.Verdict)),
			cmp.Compare(harm(a.Rule.Severity), harm(b.Rule.Severity)),
			cmp.Compare(rank(a.Basis), rank(b.Basis)),
			cmp.Compare(a.Position.Line, b.Position.Line),
			cmp.Compare(a.Position.Column, b.Position.Column),
			cmp.Compare(a.Rule.Profile, b.Rule.Profile),
			cmp.Compare(a.Subject, b.Subject),
			cmp.Compare(a.Rule.ID, b.Rule.ID),
			cmp.Compare(a.Quantity, b.Quantity),
		)
	})
}

func flag(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

func harm(s Severity) int { return slices.Index([]Severity{Hazard, Defect, Formality}, s) }
