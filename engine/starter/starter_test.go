package starter_test

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"fallrule/engine/document"
	"fallrule/engine/layout"
	"fallrule/engine/quantity"
	"fallrule/engine/starter"
	"fallrule/engine/validate"
	"fallrule/schema"
)

func write(t *testing.T, o starter.Options) string {
	t.Helper()
	var out bytes.Buffer
	if err := starter.Write(&out, o); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

// read reads a document through every step up to the layout.
func read(t *testing.T, text string) *document.Document {
	t.Helper()
	doc, faults := document.Read("starter.yaml", []byte(text))
	v, err := validate.New("layout.schema.json", schema.Layout)
	if err != nil {
		t.Fatal(err)
	}
	faults = append(faults, v.Document(doc)...)
	_, more := layout.Read(doc)
	for _, fault := range append(faults, more...) {
		t.Errorf("%s", fault)
	}
	if t.Failed() {
		t.Fatalf("of this document:\n%s", text)
	}
	return doc
}

var all = []string{"wc", "washbasin", "bidet", "shower", "bath", "kitchen_sink", "laundry_tub",
	"washing_machine", "dishwasher", "urinal", "floor_drain", "trap_box", "tap"}

// Not even a warning: what nobody has filled in yet is no fault.
func TestStarterCanBeRead(t *testing.T) {
	for _, fixtures := range [][]string{{"wc", "shower", "basin"}, {"tap"}, all} {
		for _, imperial := range []bool{false, true} {
			doc := read(t, write(t, starter.Options{Country: "es", Home: "ca", Fixtures: fixtures, Imperial: imperial}))
			if got := len(doc.Get("fixtures").Keys()); got != len(fixtures) {
				t.Errorf("%v: %d fixtures in the starter", fixtures, got)
			}
		}
	}
}

// Every kind of the format has a starter: a kind that is added is not forgotten here.
func TestStarterKnowsEveryKind(t *testing.T) {
	var out bytes.Buffer
	err := starter.Write(&out, starter.Options{Fixtures: []string{"gramophone"}})
	if err == nil {
		t.Fatal("a gramophone is no fixture")
	}
	_, list, _ := strings.Cut(err.Error(), "allowed: ")
	if kinds := strings.Split(list, ", "); !slices.Equal(kinds, all) {
		t.Errorf("kinds %v; tested are %v", kinds, all)
	}
}

// Nothing but what the person must fill in is left open, and nothing that a
// tape must tell is filled in beforehand.
func TestStarterInventsNoReading(t *testing.T) {
	doc := read(t, write(t, starter.Options{Country: "gb", Fixtures: all}))
	for _, path := range [][]string{
		{"fixtures", "washbasin", "trap"}, {"fixtures", "bath", "trap"}, {"fixtures", "trap_box", "waste", "to"},
		{"fixtures", "washbasin", "waste", "to"}, {"fixtures", "kitchen_sink", "waste", "to"},
	} {
		want := map[string]string{"trap": "none"}[path[2]]
		if path[2] == "waste" {
			want = map[string]string{"trap_box": "main", "washbasin": "trap_box", "kitchen_sink": "main"}[path[1]]
		}
		if got := doc.Lookup(path...).Value; got != want {
			t.Errorf("%s: %q, want %q", strings.Join(path, "."), got, want)
		}
	}
	for _, key := range []string{"size", "length", "drop", "bends"} {
		if got := doc.Lookup("fixtures", "wc", "waste", key).Value; got != "unknown" {
			t.Errorf("wc.waste.%s: %q is nobody's reading", key, got)
		}
	}
}

// The tolerances in inches are never finer than the metric ones, which are the
// defaults of the format.
func TestStarterReadingsAreHonest(t *testing.T) {
	least := map[string]float64{"existing": 10, "levels": 3, "planned": 5} // mm
	for _, imperial := range []bool{false, true} {
		doc := read(t, write(t, starter.Options{Fixtures: []string{"wc"}, Imperial: imperial}))
		for key, mm := range least {
			text := doc.Lookup("readings", key).Value
			q, err := quantity.Parse(strings.TrimPrefix(text, "± "), quantity.Length)
			if err != nil {
				t.Fatal(err)
			}
			if q.Reading.Value < mm || q.Reading.Value > 1.5*mm {
				t.Errorf("readings.%s: %s for %g mm", key, text, mm)
			}
		}
	}
}

var unfilled = regexp.MustCompile(`\{[a-z]+\}`)

// A comment says how to measure: each key that is open has one above it.
func TestStarterCommentsEveryOpenKey(t *testing.T) {
	lines := strings.Split(write(t, starter.Options{Fixtures: all, Imperial: true}), "\n")
	for i, line := range lines {
		if strings.HasSuffix(line, ": unknown") && !strings.HasPrefix(strings.TrimSpace(lines[i-1]), "# ") {
			t.Errorf("line %d: %s has no comment", i+1, strings.TrimSpace(line))
		}
		if strings.TrimSpace(line) == "#" || unfilled.MatchString(line) {
			t.Errorf("line %d: a comment without its text: %s", i+1, line)
		}
	}
}

func TestStarterNamesAndErrors(t *testing.T) {
	text := write(t, starter.Options{Fixtures: []string{"basin", "Basin", "toilet"}})
	for _, id := range []string{"\n  basin:\n    kind: washbasin", "\n  basin_2:\n    kind: washbasin", "\n  toilet:\n    kind: wc"} {
		if !strings.Contains(text, id) {
			t.Errorf("no %q in the starter", id)
		}
	}
	for _, c := range []struct {
		o    starter.Options
		want string
	}{
		{starter.Options{Fixtures: []string{"shwoer"}}, "did you mean shower?"},
		{starter.Options{Fixtures: []string{"basn"}}, "did you mean basin?"},
		{starter.Options{}, "no fixture is named"},
		{starter.Options{Fixtures: []string{"wc"}, Country: "spain"}, `country "spain"; allowed: two letters`},
		{starter.Options{Fixtures: []string{"wc"}, Language: "xx"}, `no comments in language "xx"; allowed: en`},
	} {
		err := starter.Write(&bytes.Buffer{}, c.o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want %q in it", c.o, err, c.want)
		}
	}
}
