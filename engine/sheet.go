package engine

import (
	"crypto/sha256"
	"encoding/hex"

	"fallrule/engine/caution"
	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/layout"
	"fallrule/engine/measure"
)

// sheet gathers what a report needs beside the findings. Same document, same
// sheet: nothing here asks the clock.
func (e *Engine) sheet(lay *layout.Layout, m measure.Measures, findings []finding.Finding, warnings []document.Fault) *finding.Sheet {
	s := &finding.Sheet{
		Tool:     e.Version,
		Document: documentInfo(lay),
		Findings: findings,
		Cautions: caution.For(lay.Plan, lay.Doc),
		Stage:    lay.Plan.House.Stage,
		Readings: lay.Readings,
	}
	for _, p := range m.Plugins {
		s.Plugins = append(s.Plugins, finding.PluginInfo{Name: p.Name, Version: p.Version, Path: p.Path, Quantities: len(p.Quantities), Fault: p.Fault})
	}
	for _, w := range warnings {
		s.Warnings = append(s.Warnings, w.String())
	}
	if w := e.uncompared(lay.Plan.House.Home); w != "" {
		s.Warnings = append(s.Warnings, w)
	}
	for _, role := range e.Roles {
		p := e.Profiles.Profile(role.Profile)
		s.Profiles = append(s.Profiles, finding.ProfileInfo{
			ID: p.ID, Title: p.Header.Title, Edition: p.Header.Edition, Binding: role.Binding, Why: role.Why,
			Limits: e.Profiles.CountByBasis(p.ID), SHA256: role.SHA256,
		})
	}
	return s
}

func documentInfo(lay *layout.Layout) finding.DocumentInfo {
	sum := sha256.Sum256(lay.Doc.Raw)
	return finding.DocumentInfo{File: lay.Doc.Name, Title: lay.Title, Revision: lay.Revision, SHA256: hex.EncodeToString(sum[:])}
}
