package backflow

import (
	"os"
	"path/filepath"
	"testing"

	"go.yaml.in/yaml/v4"

	"fallrule/plugins/reply/replytest"
	"fallrule/plugins/sdk"
	"fallrule/plugins/sdk/plan"
)

// row of testdata/published/backflow; its sources stand beside it there.
type row struct {
	Of, Clause, Basis, Says        string
	Fixture, Device, Letters, Kept string
	Spout, Hose                    *float64
	Gap, Bore, Bores, Category     float64
	OursFrom                       *float64 `yaml:"ours_from"`
}

type printed struct {
	Documents                             map[string]map[string]string
	Fluids, Devices, Gaps, Margins, Bores []row
}

func (r row) plan(kind string) *plan.Plan {
	return room(kind, func(d *plan.DrawOff) {
		d.Class = r.Letters
		if r.Device != "" {
			d.Device = r.Device
		}
		if r.Spout != nil {
			d.Gap = read(*r.Spout)
		}
		if r.Hose != nil {
			d.Hose = read(*r.Hose)
		} else {
			d.HoseReach = "none"
		}
		if r.Gap != 0 {
			d.Gap = read(r.Gap)
		}
		if r.Bore == 0 {
			r.Bore = 13.6
		}
		d.Size = sized(read(r.Bore))
	})
}

// want is the printed category, or from ours to it where the file says why.
func (r row) want() sdk.Band {
	b := sdk.Band{Low: r.Category, Value: r.Category, High: r.Category}
	if r.OursFrom != nil {
		b.Low, b.Value = *r.OursFrom, *r.OursFrom
	}
	return b
}

func TestPublished(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("..", "..", "testdata", "published", "backflow", "categories.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var file printed
	if err := yaml.Unmarshal(raw, &file); err != nil {
		t.Fatal(err)
	}
	same := func(r row, kind, quantity string, want sdk.Band) {
		if got := bench.Band(t, r.plan(kind), quantity, "x.cold"); !replytest.Near(got.Low, want.Low) || !replytest.Near(got.Value, want.Value) || !replytest.Near(got.High, want.High) {
			t.Errorf("%s, %s %s%s: %s %v, published %v", r.Of, r.Clause, r.Says, r.Letters, quantity, got, want)
		}
	}
	for _, r := range file.Fluids {
		same(r, r.Fixture, "fluid_category", r.want())
	}
	for _, r := range file.Devices {
		same(r, deviceAlone(r.Letters), "protection", r.want())
	}
	for _, r := range file.Gaps {
		same(r, "washbasin", "protection", r.want())
	}
	for _, r := range file.Bores {
		same(r, "washbasin", "gap_bores", sdk.Band{Low: r.Bores, Value: r.Bores, High: r.Bores})
	}
	for _, r := range file.Margins {
		if got := bench.Band(t, r.plan(r.Fixture), "protection_margin", "x.cold"); (got.Low >= 0) != (r.Kept == "kept") || (got.High < 0) != (r.Kept == "broken") {
			t.Errorf("%s: margin %v, want it %s", r.Clause, got, r.Kept)
		}
	}
	file.haveSources(t)
}

// deviceAlone is a fixture at which only the device counts: for a tap's own gap
// a basin with no gap read, else a machine, which has no spout.
func deviceAlone(letters string) string {
	if letters == "AA" || letters == "AUK2" || letters == "AUK3" {
		return "washbasin"
	}
	return "washing_machine"
}

func (p printed) haveSources(t *testing.T) {
	rows := 0
	for what, list := range map[string][]row{"fluids": p.Fluids, "devices": p.Devices, "gaps": p.Gaps, "margins": p.Margins, "bores": p.Bores} {
		if len(list) == 0 {
			t.Errorf("no rows of %s", what)
		}
		for _, r := range list {
			if rows++; p.Documents[r.Of] == nil || r.Clause == "" || r.Basis != "read" && r.Basis != "memory" {
				t.Errorf("%s: a row without source or basis: %+v", what, r)
			}
		}
	}
	t.Logf("%d published rows compared", rows)
}
