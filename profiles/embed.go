// Package profiles carries the regional profiles that come with the tool and
// the Rego they share. It is content: the engine's profile package reads it.
package profiles

import "embed"

// FS has one folder a profile, and lib.
//
//go:embed */*
var FS embed.FS
