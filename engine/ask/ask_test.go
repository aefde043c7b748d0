package ask

import (
	"slices"
	"strings"
	"testing"

	"fallrule/engine/finding"
	"fallrule/schema"
)

var cat = schema.Catalogue{
	Names: []string{"length", "fall", "deflection_after"},
	ByName: map[string]schema.Quantity{
		"length":           {Name: "length", Unit: "mm", High: 1e6},
		"fall":             {Name: "fall", Unit: "mm/m", Low: -1000, High: 1000},
		"deflection_after": {Name: "deflection_after", Title: "deflection after the cut", Unit: "1", High: 1000},
	},
}

func waits(rule string, binding bool, needs ...string) finding.Finding {
	return finding.Finding{
		Rule: &finding.Rule{Profile: "es", ID: rule, When: "before_closing"}, Subject: "shower.waste", Binding: binding,
		Verdict: finding.CannotTell, Because: finding.NotMeasured, Needs: needs,
	}
}

// joined stands in for the layout, which knows in which part a subject stands.
func joined(subject, reading string) string {
	whole, _, _ := strings.Cut(subject, "/")
	return whole + "." + reading
}

func TestMostWantedFirst(t *testing.T) {
	sheet := &finding.Sheet{Stage: "planned", Findings: []finding.Finding{
		waits("a", true, "shower.waste.drop"),
		waits("b", true, "shower.waste.drop", "shower.trap.seal"),
		waits("c", false, "basin.waste.size"), waits("d", false, "basin.waste.size"), waits("e", false, "basin.waste.size"),
	}}
	got, err := Next(sheet, cat, joined, 0)
	if err != nil {
		t.Fatal(err)
	}
	var paths []string
	for _, r := range got {
		paths = append(paths, r.Path)
	}
	if want := []string{"shower.waste.drop", "shower.trap.seal", "basin.waste.size"}; !slices.Equal(paths, want) {
		t.Errorf("%v, want %v: what binds comes first, then what most wait for", paths, want)
	}
	if got[0].Waiting != 2 || got[0].Binding != 2 || got[0].With == "" || got[0].Exact != "± 3 mm" {
		t.Errorf("%+v", got[0])
	}
	two, err := Next(sheet, cat, joined, 2)
	if err != nil || len(two) != 2 {
		t.Errorf("%d readings, want 2 (%v)", len(two), err)
	}
}

func TestTooCloseSaysHowExact(t *testing.T) {
	f := finding.Finding{
		Rule: &finding.Rule{Profile: "es", ID: "a"}, Subject: "box.waste/2", Quantity: "length", Verdict: finding.TooClose, Binding: true,
		Undecided: []string{"length"}, Settles: []finding.Settle{{Quantity: "length", Within: 10}},
	}
	got, err := Next(&finding.Sheet{Findings: []finding.Finding{f}}, cat, joined, 5)
	if err != nil || len(got) != 1 {
		t.Fatal(got, err)
	}
	if got[0].Path != "box.waste.length" || got[0].Exact != "± 10 mm of length, or better" || !got[0].Again {
		t.Errorf("%+v", got[0])
	}
	f.Settles[0].Within = 1e-12
	got, _ = Next(&finding.Sheet{Findings: []finding.Finding{f}}, cat, joined, 5)
	if got[0].Exact != "it lies on the limit itself: build it clear of it" {
		t.Errorf("%+v", got[0])
	}
}

// What is worked out of many readings has no key in the document to name; a
// figure without a unit that cannot be read finer is no "± 0".
func TestTooCloseOfManyReadings(t *testing.T) {
	f := finding.Finding{
		Rule: &finding.Rule{Profile: "fr", ID: "a"}, Subject: "j1", Quantity: "deflection_after", Verdict: finding.TooClose, Binding: true,
		Undecided: []string{"deflection_after"}, Settles: []finding.Settle{{Quantity: "deflection_after", Within: 1e-12}},
	}
	got, err := Next(&finding.Sheet{Findings: []finding.Finding{f}}, cat, joined, 5)
	if err != nil || len(got) != 1 {
		t.Fatal(got, err)
	}
	if got[0].Path != "j1: deflection after the cut" || !strings.Contains(got[0].How, "fallrule measure") || !strings.HasPrefix(got[0].Exact, "it lies on the limit") {
		t.Errorf("%+v", got[0])
	}
}

// What nobody can read now is not asked for: tests that are due later, old
// work, what a paper allows, the inspector's own judgement.
func TestNotAsked(t *testing.T) {
	later := waits("a", true, "tests.drains_air")
	later.Because = finding.NotYet
	old := waits("b", true, "main.size")
	old.Untouched = true
	allowed := waits("c", true, "basin.trap.seal")
	allowed.Waiver = &finding.Waiver{}
	authority := waits("d", true)
	authority.Because = finding.Authority
	got, err := Next(&finding.Sheet{Stage: "planned", Findings: []finding.Finding{later, old, allowed, authority}}, cat, joined, 0)
	if err != nil || len(got) != 0 {
		t.Errorf("%+v %v", got, err)
	}
	due, _ := Next(&finding.Sheet{Stage: "tested", Findings: []finding.Finding{later}}, cat, joined, 0)
	if len(due) != 1 {
		t.Errorf("at the stage it is due it is asked for: %+v", due)
	}
}

// Each way to take a reading says with what, how and how exact.
func TestHowIsWhole(t *testing.T) {
	table, err := hows()
	if err != nil {
		t.Fatal(err)
	}
	for key, h := range table {
		if h.With == "" || h.How == "" || h.Exact == "" {
			t.Errorf("%s: %+v", key, h)
		}
	}
	for path, want := range map[string]string{
		"house.use":                     "say what the building is used as: dwelling, guest_house, workplace, institution or public",
		"basin.use":                     "say whether it is used every day (continuous) or seldom",
		"joists.openings.o1.depth":      table["depth"].How,
		"basin.waste.length":            table["length"].How,
		"supply.lines.c1.length":        table["supply.length"].How,
		"vents.v1.length":               table["vents.length"].How,
		"answers.es.common_pipe_plug":   "write it under `answers`, with who says so and by what evidence",
		"vents.v1.ends.openings.w.kind": table["kind"].How,
	} {
		if got := lookup(table, path).How; got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
}
