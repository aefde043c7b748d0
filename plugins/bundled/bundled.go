// Package bundled lists the measurers that come with the tool. The tool starts
// itself once, as one plugin process that serves them all.
package bundled

import (
	"fallrule/plugins/air"
	"fallrule/plugins/backflow"
	"fallrule/plugins/discharge"
	"fallrule/plugins/fit"
	"fallrule/plugins/geometry"
	"fallrule/plugins/hygiene"
	"fallrule/plugins/records"
	"fallrule/plugins/sdk"
	"fallrule/plugins/supply"
	"fallrule/plugins/timber"
	"fallrule/plugins/venting"
	"fallrule/plugins/walls"
)

// Measurers in the order they are listed to the reader. A new one is a package
// under plugins and a line here.
func Measurers() []sdk.Measurer {
	return []sdk.Measurer{
		geometry.Measurer,
		discharge.Measurer,
		fit.Measurer,
		venting.Measurer,
		timber.Measurer,
		walls.Measurer,
		supply.Measurer,
		backflow.Measurer,
		records.Measurer,
		air.Measurer,
		hygiene.Measurer,
	}
}

// Serve is what main does when sdk.IsChild says that the tool started itself.
func Serve() { sdk.Serve(Measurers()...) }
