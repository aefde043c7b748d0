package stock

import (
	"math"
	"testing"
)

// The walls behind these bores are from memory; only that outside diameter
// less twice the wall is the bore is checked by hand: 50 - 2 x 1.8 = 46.4.
func TestFindReadsTheMarketsOwnPipe(t *testing.T) {
	for _, c := range []struct {
		market, stamp, material string
		outer, bore, within     float64
	}{
		{"de", "DN 50", "plastic", 50, 46.4, 1},
		{"es", "DN 50", "plastic", 50, 44, 1},      // 50 - 2 x 3.0
		{"es", "110 mm", "plastic", 110, 103.6, 1}, // 110 - 2 x 3.2
		{"gb", "40 mm", "plastic", 43, 40, 1},
		{"gb", "100 mm", "plastic", 110, 104, 1},
		{"gb", "110", "plastic", 110, 104, 1}, // one pipe, two names
		{"ie", "32 mm", "plastic", 36, 32, 1}, // buys from gb
		{"us", "1 1/2 in", "plastic", 48.3, 40.9, 1},
		{"ca", `1½"`, "plastic", 48.3, 40.9, 1},
		{"de", "DN 100", "cast_iron", 110, 102, 3},
	} {
		p, ok := Find(c.market, c.stamp, c.material)
		if !ok {
			t.Errorf("%s %s %s: not found", c.market, c.stamp, c.material)
			continue
		}
		if p.Outer.Value != c.outer || p.Bore.Value != c.bore || math.Abs(p.Bore.High-p.Bore.Value-c.within) > 1e-9 {
			t.Errorf("%s %s %s: outer %v, bore %v", c.market, c.stamp, c.material, p.Outer, p.Bore)
		}
		if p.Source == "" || p.Basis == "" {
			t.Errorf("%s %s: no source or basis", c.market, c.stamp)
		}
	}
}

// EN 12056-2 table 1 gives DN 56 at least 49 mm; no market here sells it.
func TestFindFallsBackToTheLeastBore(t *testing.T) {
	p, ok := Find("es", "DN 56", "plastic")
	if !ok || p.Bore.Low != 49 || p.Bore.High < 56 || p.Basis != "read" || p.HasOuter() {
		t.Fatalf("DN 56: %+v, %v", p, ok)
	}
	if _, ok := Find("es", "DN 57", "plastic"); ok {
		t.Error("DN 57 is no size and was found")
	}
}

func TestUnknownMaterialWidensTheBand(t *testing.T) {
	p, ok := Find("de", "DN 50", "unknown")
	if !ok || p.Bore.Low != 46.4-3 {
		t.Fatalf("DN 50 of unknown material: %+v, %v", p, ok)
	}
}

func TestSlipNamesTheStockedSize(t *testing.T) {
	for _, c := range []struct{ market, stamp, want string }{
		{"gb", "400 mm", "40 mm"}, {"de", "DN 500", "DN 50"}, {"es", "DN 4", "DN 40"}, {"us", "15 in", "1 1/2 in"}, {"gb", "37 mm", ""},
	} {
		if got, _ := Slip(c.market, c.stamp); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.market, c.stamp, got, c.want)
		}
	}
}

// A row is sound when the bore lies inside the pipe and no stamp stands twice.
func TestTablesAreSound(t *testing.T) {
	f, err := load()
	if err != nil {
		t.Fatal(err)
	}
	if len(Markets()) < 12 {
		t.Errorf("markets: %v", Markets())
	}
	for market, shelves := range f.Markets {
		for _, s := range shelves {
			seen := map[string]bool{}
			for _, r := range s.Rows {
				if r.Bore <= 0 || r.Bore >= r.Outer {
					t.Errorf("%s %s: bore %v of outer %v", market, r.Names, r.Bore, r.Outer)
				}
				for _, n := range r.Names {
					if seen[normal(n)] {
						t.Errorf("%s %s: %s stands twice", market, s.Material, n)
					}
					seen[normal(n)] = true
				}
			}
		}
	}
	for alias, home := range f.SameAs {
		if f.Markets[home] == nil {
			t.Errorf("%s buys from %s, which has no table", alias, home)
		}
	}
}

// EN 12056-2 table 1: DN 40 has at least 34 mm, so a band below that would
// doubt every pipe of that stamp. The row's own 34 mm is 40 less twice 3.0.
func TestABandEndsAtTheLeastBore(t *testing.T) {
	for _, market := range []string{"es", "fr", "nl"} {
		for stamp, least := range map[string]float64{"DN 32": 26, "DN 40": 34, "DN 50": 44} {
			p, ok := Find(market, stamp, "plastic")
			if !ok || p.Bore.Low != least || p.Bore.Value != least || p.Bore.High != least+1 {
				t.Errorf("%s %s: %+v", market, stamp, p.Bore)
			}
		}
	}
	if p, _ := Find("es", "DN 40", "lead"); p.Bore.Low >= 34 {
		t.Errorf("a pipe of another material: %+v", p.Bore)
	}
}
