// Package measure is the host of the measurement plugins: it starts them, asks
// them once, and believes nothing it has not checked. What a plugin gets wrong
// costs that plugin's quantities and no others.
package measure

import (
	"context"

	"fallrule/plugins/sdk"
)

// Source is one plugin that can be started.
type Source struct {
	Name string
	Path string // of the executable; empty for what is part of this program
	// Bundled sources win when another offers the same quantity.
	Bundled bool
	Start   func(context.Context) (sdk.Plugin, error)
}

// BundledName names what comes with the tool.
const BundledName = "bundled"

// Bundled starts this program a second time as the plugin of all measurers
// that come with it. Main (or TestMain) must ask sdk.IsChild first and then
// serve them.
func Bundled() Source {
	return Source{Name: BundledName, Bundled: true, Start: func(ctx context.Context) (sdk.Plugin, error) {
		command, err := sdk.Self()
		if err != nil {
			return nil, err
		}
		command.Timeout = DefaultBundledTimeout
		command.MemoryLimit = DefaultBundledMemory
		return started(sdk.Start(ctx, command))
	}}
}

// Local holds bundled measurers without a process, for tests and benchmarks.
func Local(m ...sdk.Measurer) Source {
	return Source{Name: BundledName, Bundled: true, Start: func(context.Context) (sdk.Plugin, error) {
		return sdk.Local(m...), nil
	}}
}

// External is an executable that somebody else wrote.
func External(name string, c sdk.Command) Source {
	return Source{Name: name, Path: c.Path, Start: func(ctx context.Context) (sdk.Plugin, error) {
		return started(sdk.Start(ctx, c))
	}}
}

// started keeps a nil process from becoming a plugin that is not nil.
func started(p *sdk.Process, err error) (sdk.Plugin, error) {
	if err != nil {
		return nil, err
	}
	return p, nil
}
