// Package bundled lists the measurers that come with the tool. The tool starts
// itself once, as one plugin process that serves them all.
package bundled

import (
	"fallrule/plugins/discharge"
	"fallrule/plugins/geometry"
	"fallrule/plugins/records"
	"fallrule/plugins/sdk"
	"fallrule/plugins/timber"
	"fallrule/plugins/venting"
)

// Measurers in the order they are listed to the reader. A new one is a package
// under plugins and a line here.
func Measurers() []sdk.Measurer {
	return []sdk.Measurer{
		geometry.Measurer{},
		discharge.Measurer{},
		venting.Measurer{},
		timber.Measurer{},
		records.Measurer{},
	}
}

// Serve is what main does when sdk.IsChild says that the tool started itself.
func Serve() { sdk.Serve(Measurers()...) }
