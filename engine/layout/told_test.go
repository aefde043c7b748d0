package layout

import (
	"slices"
	"strings"
	"testing"
)

// What the document tells of joists and access points comes into the plan:
// common to all joists, or else at the joist.
func TestJoistsAndAccessAsTold(t *testing.T) {
	src := strings.Replace(joistHouse, "member: joist,", "member: joist, bearing: 100 mm ± 10 mm, loads: [bath, wall],", 1)
	src = strings.Replace(src, "{ at: 1.20 m, looks: worm }", "{ at: 1.20 m, along: x, bearing: unknown, loads: [nothing] }", 1)
	src += "access: { eye: { pipe: bath.waste, distance: 0.40 m ± 20 mm, reach: hatch }, plug: { pipe: main, level: 0.3 m } }\n"
	p := read(t, src).Plan
	j1, j3 := p.Joists[0], p.Joists[2]
	if j1.Along != "y" || !slices.Equal(j1.Loads, []string{"bath", "wall"}) {
		t.Errorf("j1: %+v", j1)
	}
	is(t, "bearing of j1", j1.Bearing, 90, 100, 110)
	if j3.Along != "x" || j3.Bearing != nil || !slices.Equal(j3.Loads, []string{"nothing"}) {
		t.Errorf("j3: %+v", j3)
	}
	is(t, "distance of the eye", p.Access[0].Distance, 380, 400, 420)
	if p.Access[1].Distance != nil {
		t.Errorf("on a stack it is a level: %+v", p.Access[1])
	}
	for _, j := range read(t, strings.Replace(joistHouse, "along: y, ", "", 1)).Plan.Joists {
		if j.Along != unknown || j.Loads != nil {
			t.Errorf("nobody told: %+v", j)
		}
	}
}
