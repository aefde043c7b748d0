package sizes

import (
	"math"
	"testing"

	"fallrule/plugins/sdk/plan"
)

// EN 12056-2:2000, table 1: least bores, read in a public quotation.
func TestClassOfABore(t *testing.T) {
	table, err := Load()
	if err != nil || len(table) != 15 {
		t.Fatalf("table of sizes: %v, %v", table, err)
	}
	for bore, want := range map[float64]float64{25.9: 0, 26: 30, 33.9: 30, 34: 40, 46.4: 50, 75: 80, 78.9: 80, 95.9: 90, 96: 100, 103: 100, 290: 300, 400: 300} {
		if got := table.Class(plan.Exactly(bore)).Value; got != want {
			t.Errorf("class of %g mm: %g, want %g", bore, got, want)
		}
	}
	open := table.Class(plan.Reading{Low: 96, Value: 100, High: math.Inf(1)})
	if open.Low != 100 || !math.IsInf(open.High, 1) {
		t.Errorf("class of at least 96 mm: %v, want 100 and no end", open)
	}
}

func TestBoreNamesItsSource(t *testing.T) {
	bore := plan.Exactly(34)
	for want, s := range map[string]*plan.Size{
		"sink.waste.size":           {Bore: &bore},
		"stock table":               {Bore: &bore, Source: "stock table"},
		"stock table (from memory)": {Bore: &bore, Source: "stock table", Basis: "memory"},
		"stock table (read)":        {Bore: &bore, Source: "stock table", Basis: "read"},
	} {
		if got := BoreAnswer(s, "sink.waste.size", "the bore of the sink's waste").Working().Source; got != want {
			t.Errorf("source %q, want %q", got, want)
		}
	}
	if a := BoreAnswer(&plan.Size{Stamp: "DN 40"}, "sink.waste.size", "the bore of the sink's waste"); a.Gap == nil || a.Gap.Needs != "sink.waste.size" {
		t.Errorf("a size without a bore: %+v", a)
	}
}
