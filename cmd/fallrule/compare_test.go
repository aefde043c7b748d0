package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/report"
	"fallrule/engine/validate"
	"fallrule/schema"
)

// compared is what these tests read of the JSON form.
type compared struct {
	Profiles []struct {
		ID, Role  string
		ByVerdict map[string]int `json:"by_verdict"`
	}
	Rows []struct {
		Subject, Topic, Quantity, Group string
		Codes                           []struct {
			Profile, Role, Speaks, Verdict string
			Findings                       []struct{ Rule, Verdict, Clause, Basis string }
		}
	}
}

// The stone house under the code of its country and its owner's. Why each of
// the first rows is there is told in stone_house.compare.hand.md.
func TestCompareStoneHouse(t *testing.T) {
	t.Chdir("../..")
	out, errs, code := tool(t, "compare", "testdata/houses/stone_house.yaml", "--profile", "es", "--profile", "uk")
	if code != 0 {
		t.Fatalf("exit code %d; %s", code, errs)
	}
	golden(t, "testdata/houses/stone_house.compare.golden.txt", out)
	for _, system := range [][]string{nil, {"--imperial"}} {
		out, _, _ := tool(t, append([]string{"compare", "testdata/houses/stone_house.yaml", "--all"}, system...)...)
		for _, line := range strings.Split(out, "\n") {
			if utf8.RuneCountInString(line) > 80 {
				t.Errorf("over 80 columns: %q", line)
			}
		}
	}
}

// Every finding of every profile's own check stands in exactly one cell, and
// every cell's findings are in that check.
func TestCompareAddsUp(t *testing.T) {
	for _, house := range []string{"stone_house", "timber_house", "three_fixtures", "brick_house"} {
		t.Run(house, func(t *testing.T) {
			path := "../../testdata/houses/" + house + ".yaml"
			c := comparison(t, path)
			got, want := map[string]int{}, map[string]int{}
			verdicts := map[string]int{}
			for _, r := range c.Rows {
				for _, code := range r.Codes {
					for _, f := range code.Findings {
						got[fmt.Sprint(code.Profile, " ", f.Rule, " ", r.Topic, " ", r.Subject, " ", r.Quantity, " ", f.Verdict)]++
						verdicts[code.Profile+" "+f.Verdict]++
					}
				}
			}
			for _, id := range []string{"es", "uk"} {
				for _, f := range checked(t, path, id) {
					want[fmt.Sprint(id, " ", f.Rule, " ", f.Topic, " ", f.Subject, " ", f.Quantity, " ", f.Verdict)]++
				}
			}
			if len(want) == 0 {
				t.Fatal("the separate checks found nothing to add up")
			}
			for k := range want {
				if got[k] != want[k] {
					t.Errorf("%s: %d in cells, %d in its own check", k, got[k], want[k])
				}
				delete(got, k)
			}
			for k := range got {
				t.Errorf("%s stands in a cell and in no check", k)
			}
			for _, p := range c.Profiles {
				for v, n := range p.ByVerdict {
					if verdicts[p.ID+" "+v] != n {
						t.Errorf("%s: cells have %d %s, by_verdict says %d", p.ID, verdicts[p.ID+" "+v], v, n)
					}
				}
			}
		})
	}
}

func comparison(t *testing.T, path string) compared {
	t.Helper()
	out, errs, code := tool(t, "compare", path, "-p", "es", "-p", "uk", "--format", "json")
	if code != 0 {
		t.Fatalf("exit code %d; %s", code, errs)
	}
	var c compared
	if err := json.Unmarshal([]byte(out), &c); err != nil {
		t.Fatal(err)
	}
	return c
}

type checkedFinding struct{ Rule, Topic, Subject, Quantity, Verdict string }

func checked(t *testing.T, path, id string) []checkedFinding {
	t.Helper()
	out, errs, code := tool(t, "check", path, "--profile", id, "--format", "json")
	if code == finding.ExitNoRun {
		t.Fatal(errs)
	}
	var sheet struct{ Findings []checkedFinding }
	if err := json.Unmarshal([]byte(out), &sheet); err != nil {
		t.Fatal(err)
	}
	return sheet.Findings
}

// The JSON form is what its schema says; the schema is closed and says what
// each key means.
func TestCompareJSON(t *testing.T) {
	v, err := validate.New("compare.schema.json", schema.Compare)
	if err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{nil, {"-p", "uk", "-p", "es", "--imperial"}} {
		out, errs, _ := tool(t, append([]string{"compare", "../../testdata/houses/stone_house.yaml", "--format", "json"}, args...)...)
		doc, faults := document.Read("compare.json", []byte(out))
		if document.Refused(faults) {
			t.Fatal(faults, errs)
		}
		for _, fault := range v.Document(doc) {
			t.Error(fault)
		}
	}
	var tree any
	if err := json.Unmarshal(schema.Compare, &tree); err != nil {
		t.Fatal(err)
	}
	if n := described(t, "schema", tree); n < 60 {
		t.Errorf("only %d keys looked at", n)
	}
}

// described walks a schema and counts the keys it describes.
func described(t *testing.T, at string, node any) int {
	t.Helper()
	m, is := node.(map[string]any)
	if !is {
		return 0
	}
	n := 0
	if props, is := m["properties"].(map[string]any); is && m["type"] == "object" {
		if m["additionalProperties"] != false {
			t.Errorf("%s is not closed", at)
		}
		for name, p := range props {
			one, _ := p.(map[string]any)
			if one["description"] == nil && one["$ref"] == nil {
				t.Errorf("%s.%s is not described", at, name)
			}
			n++
		}
	}
	for name, child := range m {
		n += described(t, at+"."+name, child)
	}
	return n
}

// A line for each row and profile, with the columns that are promised, and the
// cells of the JSON form in the same order.
func TestCompareCSV(t *testing.T) {
	out, errs, code := tool(t, "compare", "../../testdata/houses/stone_house.yaml", "-p", "es", "-p", "uk", "--format", "csv")
	if code != 0 {
		t.Fatal(errs)
	}
	lines, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(lines[0], report.CompareColumns) {
		t.Errorf("columns %v", lines[0])
	}
	column := func(name string) int { return slices.Index(report.CompareColumns, name) }
	var want []string
	for _, r := range comparison(t, "../../testdata/houses/stone_house.yaml").Rows {
		for _, c := range r.Codes {
			want = append(want, strings.Join([]string{r.Group, r.Subject, r.Topic, r.Quantity, c.Profile, c.Role, c.Speaks, c.Verdict}, ","))
		}
	}
	var got []string
	for _, l := range lines[1:] {
		var parts []string
		for _, name := range []string{"group", "subject", "topic", "quantity", "profile", "role", "speaks", "verdict"} {
			parts = append(parts, l[column(name)])
		}
		got = append(got, strings.Join(parts, ","))
	}
	if !slices.Equal(got, want) {
		t.Errorf("%d lines of CSV, %d cells of JSON, or in another order", len(got), len(want))
	}
}
