package stock

import (
	"strings"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// Outside diameter less twice the wall, by hand; the walls are from memory.
func TestFindSupplyReadsTheBore(t *testing.T) {
	for _, c := range []struct {
		market, stamp, material string
		outer, low, value, high float64
	}{
		{"gb", "15 mm", "copper", 15, 13, 13.6, 13.6},          // walls 1.0 to 0.7
		{"fr", "14/16", "copper", 16, 14, 14, 14.4},            // wall 1.0, seen in a trade guide
		{"es", "20 mm", "multilayer", 20, 15, 16, 16},          // walls 2.5 to 2.0
		{"de", "1/2 in", "galvanised", 21.3, 11.9, 16.1, 17.3}, // medium wall 2.6
		{"de", "DN 15", "steel", 21.3, 11.9, 16.1, 17.3},       // the same pipe by its other name
		{"us", "1/2 in", "copper", 15.88, 13.39, 13.84, 14.45}, // 0.545 in, type L
		{"ca", "3/4 in", "copper", 22.23, 18.92, 19.94, 20.6},  // buys from the same shelf; 0.785 in
		{"", "22 mm", "copper", 22, 19.6, 20, 20.4},            // no market: European sizes
		{"es", "16 mm", "unknown", 16, 10.6, 14, 14.4},         // copper, plastic or multilayer
	} {
		p, ok := FindSupply(c.market, c.stamp, c.material)
		if !ok || p.Outer.Value != c.outer || p.Bore.Low != c.low || p.Bore.Value != c.value || p.Bore.High != c.high {
			t.Errorf("%s %s %s: %v, outer %v, bore %v", c.market, c.stamp, c.material, ok, p.Outer, p.Bore)
		}
		if p.Source == "" || p.Basis != "memory" {
			t.Errorf("%s %s: source %q, basis %q", c.market, c.stamp, p.Source, p.Basis)
		}
	}
	for _, c := range [][3]string{{"gb", "17 mm", "copper"}, {"gb", "15 mm", "lead"}, {"us", "15 mm", "copper"}} {
		if p, ok := FindSupply(c[0], c[1], c[2]); ok {
			t.Errorf("%v is no stocked size and was found: %+v", c, p)
		}
	}
}

// 27 mm is 3/4 in pipe alone; 15 mm read to a millimetre may be 14, 15 or 16 mm
// tube, whose bores go from 12 to 14.4 mm.
func TestSupplyByItsOutside(t *testing.T) {
	for _, c := range []struct {
		market, material string
		outer            plan.Reading
		low, value, high float64
		fits             string
	}{
		{"es", "galvanised", plan.PlusMinus(27, 1, plan.Taped), 17.5, 21.7, 22.9, "3/4 in"},
		{"es", "copper", plan.PlusMinus(18, 1, plan.Taped), 16, 16, 16.4, "18 mm"},
		{"es", "copper", plan.PlusMinus(15.1, 1, plan.Taped), 12, 13.6, 14.4, "15 mm"},
		{"us", "copper", plan.PlusMinus(22, 0.5, plan.Taped), 18.92, 19.94, 20.6, "3/4 in"},
	} {
		p, ok := FindSupplyByOuter(c.market, c.outer, c.material)
		if !ok || p.Bore.Low != c.low || p.Bore.Value != c.value || p.Bore.High != c.high || !strings.Contains(p.Source, "fits "+c.fits) {
			t.Errorf("%s %s %v: %v %+v", c.market, c.material, c.outer, ok, p)
		}
	}
	for _, c := range []struct {
		material string
		outer    float64
	}{{"lead", 27}, {"copper", 70}} {
		if p, ok := FindSupplyByOuter("gb", plan.PlusMinus(c.outer, 1, plan.Taped), c.material); ok {
			t.Errorf("%v is no stocked pipe and was found: %+v", c, p)
		}
	}
}

func TestSupplyTablesAreSound(t *testing.T) {
	f, err := loadSupply()
	if err != nil {
		t.Fatal(err)
	}
	for market, shelf := range f.Shelves {
		if f.Tables[shelf] == nil {
			t.Errorf("%s buys from %s, which has no table", market, shelf)
		}
	}
	rows := 0
	for shelf, tables := range f.Tables {
		for _, s := range tables {
			seen := map[string]bool{}
			for _, r := range s.Rows {
				rows++
				if !(r.Bore[0] > 0 && r.Bore[0] <= r.Bore[1] && r.Bore[1] <= r.Bore[2] && r.Bore[2] < r.Outer) {
					t.Errorf("%s %s %v: bore %v of outer %v", shelf, s.Material, r.Names, r.Bore, r.Outer)
				}
				for _, n := range r.Names {
					if seen[normal(n)] {
						t.Errorf("%s %s: %s stands twice", shelf, s.Material, n)
					}
					seen[normal(n)] = true
				}
			}
		}
	}
	if rows < 50 || len(SupplySizes("us", "copper")) != 7 || len(SupplySizes("gb", "unknown")) < 20 {
		t.Errorf("%d rows, sizes %v", rows, SupplySizes("gb", "unknown"))
	}
}
