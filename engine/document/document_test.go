package document

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"fallrule/engine/finding"
)

func TestYAMLAndJSONMakeOneTree(t *testing.T) {
	yml, faults := Read("a.yaml", []byte("küche:\n  size: DN 40\n  storey: 1\n  dry: true\n  to:\n  list: [2.60 m, 3]\n"))
	if len(faults) > 0 {
		t.Fatalf("faults in good YAML: %v", faults)
	}
	jsn, faults := Read("a.json", []byte(`{"küche": {"size": "DN 40", "storey": 1, "dry": true, "to": null, "list": ["2.60 m", 3]}}`))
	if len(faults) > 0 {
		t.Fatalf("faults in good JSON: %v", faults)
	}
	if !reflect.DeepEqual(yml.Any(), jsn.Any()) {
		t.Errorf("YAML gives %v\nJSON gives %v", yml.Any(), jsn.Any())
	}
	want := map[string]any{"küche": map[string]any{"size": "DN 40", "storey": json.Number("1"), "dry": true, "to": nil,
		"list": []any{"2.60 m", json.Number("3")}}}
	if !reflect.DeepEqual(yml.Any(), want) {
		t.Errorf("got %v, want %v", yml.Any(), want)
	}
}

func TestPlaces(t *testing.T) {
	src := map[string]string{
		"a.yaml": "fixtures:\n  ü: {ß: ±5, size: DN 40}\n  list: [a, b]\n",
		"a.json": "{\"fixtures\":\n  {\"ü\": {\"ß\": \"±5\", \"size\": \"DN 40\"},\n  \"list\": [\"a\", \"b\"]}}",
	}
	for name, places := range map[string]map[string]string{
		"a.yaml": {"/fixtures": "1:1", "/fixtures/ü/size": "2:14", "/fixtures/ü/sise": "2:3", "/fixtures/list/1": "3:13", "/fixtures/list/7": "3:3", "": "1:1", "/x": "1:1"},
		"a.json": {"/fixtures": "1:2", "/fixtures/ü/size": "2:21", "/fixtures/ü/sise": "2:4", "/fixtures/list/1": "3:17", "/fixtures/list/x": "3:3", "": "1:1"},
	} {
		doc, faults := Read(name, []byte(src[name]))
		if len(faults) > 0 {
			t.Fatalf("%s: %v", name, faults)
		}
		for pointer, want := range places {
			if got := doc.PositionOfPointer(pointer).String(); got != name+":"+want {
				t.Errorf("place of %q in %s: got %s, want %s", pointer, name, got, want)
			}
		}
	}
}

func TestLookup(t *testing.T) {
	doc, _ := Read("a.yaml", []byte("waivers:\n  gb/seal/basin.trap: {by: office}\nlist: [[1]]\n"))
	if got := doc.Lookup("waivers", "gb/seal/basin.trap", "by").Value; got != "office" {
		t.Errorf("by key: got %q", got)
	}
	if got := doc.PositionOfPointer("/waivers/gb~1seal~1basin.trap/by").Column; got != 24 {
		t.Errorf("by escaped pointer: column %d, want 24", got)
	}
	if got := doc.Lookup("list", "0", "0").Value; got != "1" {
		t.Errorf("by index: got %q", got)
	}
	for _, path := range [][]string{{"no"}, {"list", "1"}, {"list", "x"}, {"list", "0", "0", "0"}, {"waivers", "0"}} {
		if got := doc.Lookup(path...); got != nil {
			t.Errorf("Lookup(%v): got %v, want nothing", path, got)
		}
	}
	var none *Node
	if none.Get("a") != nil || none.Keys() != nil {
		t.Error("a node that is not there has neither keys nor values")
	}
	if got := doc.Keys(); !reflect.DeepEqual(got, []string{"waivers", "list"}) {
		t.Errorf("keys: %v", got)
	}
}

// What YAML readers take differently keeps the text it was written with.
func TestNumbersKeepTheirText(t *testing.T) {
	for text, want := range map[string]struct {
		tag   Tag
		plain any
	}{
		"1:40":       {String, "1:40"}, // 100 to readers of YAML 1.1
		"010":        {Number, "010"},
		"1_000":      {Number, "1_000"},
		"0x1F":       {Number, "0x1F"},
		".inf":       {Number, ".inf"},
		"+5":         {Number, json.Number("5")},
		"-.5":        {Number, json.Number("-0.5")},
		"1.50":       {Number, json.Number("1.50")},
		"2026-09-14": {String, "2026-09-14"},
		"2.5 %":      {String, "2.5 %"},
		`6'3"`:       {String, `6'3"`},
		"± 10 mm":    {String, "± 10 mm"},
		"1,95 m":     {String, "1,95 m"},
		"3 x 90°":    {String, "3 x 90°"},
		"'no'":       {String, "no"},
		"'12'":       {String, "12"},
		"y":          {String, "y"}, // an axis: `along: y`
		"~":          {Null, nil},
		"True":       {Bool, true},
	} {
		doc, faults := Read("a.yaml", []byte("a: "+text+"\n"))
		if len(faults) > 0 {
			t.Errorf("a: %s: %v", text, faults)
			continue
		}
		n := doc.Get("a")
		if n.Tag != want.tag || !reflect.DeepEqual(n.Any(), want.plain) {
			t.Errorf("a: %s: got %s %#v, want %s %#v", text, n.Tag, n.Any(), want.tag, want.plain)
		}
		if plain := !strings.HasPrefix(text, "'"); n.Plain != plain || plain && n.Value != text {
			t.Errorf("a: %s: got text %q, plain %v", text, n.Value, n.Plain)
		}
	}
}

func TestRefusedYAML(t *testing.T) {
	deep := strings.Repeat("[", MaxDepth+1) + strings.Repeat("]", MaxDepth+1)
	for name, c := range map[string]struct{ src, want string }{
		"doubled key":       {"a: 1\nb: 2\na: 3\n", "t:3:1: key `a` stands here a second time, first in line 1; allowed: each key once"},
		"doubled, quoted":   {"1: a\n\"1\": b\n", "t:2:1: key `1` stands here a second time"},
		"second document":   {"a: 1\n---\nb: 2\n", "t:2:1: a second document begins here"},
		"after the end":     {"a: 1\n...\nb: 2\n", "t:3:1: a second document begins here"},
		"alias":             {"a: 1\nb: *x\n", "alias"},
		"anchor":            {"a: &x 1\nb: 2\n", "t:1:4: anchor &x"},
		"merge":             {"<<: {a: 1}\nb: 2\n", "t:1:1: merge key"},
		"tag":               {"a: !!str 3\n", "t:1:4: tag !!str"},
		"own tag":           {"a: !foo 3\n", "t:1:4: tag !foo"},
		"bare tag":          {"a: ! 3\n", "t:1:4: tag !"},
		"tag of a map":      {"a: !foo {b: 1}\n", "t:1:4: tag !foo"},
		"deep":              {"a: " + deep, "nested too deep; allowed: 100 levels"},
		"far too deep":      {"a: " + strings.Repeat("[", 20000), "nested too deep; allowed: 100 levels"},
		"tab":               {"a:\n\tb: 1\n", "t:2:1: a tab indents this line; allowed: spaces"},
		"tab after key":     {"a:\n  b: 1\n\tc: 2\n", "t:3:1: a tab indents this line"},
		"open bracket":      {"a: [1, 2\nb: 3\n", "t:1:4: `[` opens here and is not closed before line 2"},
		"open brace":        {"a: {b: c\n", "t:1:4: `{` opens here"},
		"open quote":        {"a: \"x\nb: 1\n", "t:1:4: a quoted text begins here and does not end"},
		"two colons":        {"a: b: c\n", "t:1:5: a second `: ` stands in this line"},
		"at sign":           {"a: @x\n", "t:1:4: a value cannot begin with `@`"},
		"indentation":       {"a: x # c\n b: 2\n", "t:2:2: this line does not fit the ones above it"},
		"deeper":            {"a: 2.1 m\n  b: 3\n", "t:2:4: this line does not fit the ones above it"},
		"no":                {"a: no\n", "t:1:4: `no`: some YAML readers take this for true or false"},
		"ON":                {"a: [x, ON]\n", "t:1:8: `ON`: some YAML readers"},
		"key on":            {"on: 1\nb: 1\n", "t:1:1: key `on`: some YAML readers take this for true or false"},
		"key y":             {"at: {x: 1, y: 2}\n", "t:1:12: key `y`: some YAML readers"},
		"key null":          {"~: 1\n", "t:1:1: key `~` is no word"},
		"key true":          {"true: 1\n", "t:1:1: key `true` is no word"},
		"key list":          {"? [a]\n: b\n", "t:1:3: a key that is no single word"},
		"folded":            {"a: >0.4 m\n", "t:1:4: `>` at the beginning of a value opens a block of text; allowed: words: `at least 0.4 m`; did you mean `at least 0.4 m`?"},
		"folded, indent":    {"a: >4 m\nb: 1\n", "did you mean `at least 4 m`?"},
		"folded, space":     {"a: > 0.4 m\n", "did you mean `at least 0.4 m`?"},
		"or equal":          {"a: >= 40 mm\n", "did you mean `at least 40 mm`?"},
		"folded, next line": {"a: >\n  0.4 m\n", "t:1:4: `>` at the beginning"},
		"digit only":        {"a: >2\nb: 3\n", "did you mean `at least 2`?"},
		"split by comma":    {"a: {length: 1,95 m, to: b}\n", "t:1:13: within { } the comma splits `1,95 m` in two; allowed: a decimal point, or quotes; did you mean `length: 1.95 m`?"},
		"not UTF-8":         {"a: b\nc: \xff\n", "t:2:4: this byte is no UTF-8"},
		"UTF-16":            {"\xff\xfea\x00", "t:1:1: this byte is no UTF-8"},
		"control":           {"a: b\x00\n", "t:1:5: a control character (U+0000)"},
		"empty":             {"", "t:1:1: the file says nothing"},
		"comment":           {"# nothing\n", "t:1:1: the file says nothing"},
		"null":              {"---\n", "t:1:1: the file says nothing"},
		"directive":         {"%YAML 1.2\n---\na: 1\n", "t:1:1:"},
	} {
		if got := said("t", c.src); !strings.Contains(got, c.want) {
			t.Errorf("%s: got\n%s\nwant %s", name, got, c.want)
		}
	}
}

func TestRefusedJSON(t *testing.T) {
	for name, c := range map[string]struct{ src, want string }{
		"doubled key":    {"{\"a\": 1,\n \"a\": 2}", "t:2:2: key `a` stands here a second time, first in line 1"},
		"trailing comma": {"{\"a\": 1,\n}", "t:2:1: a comma stands before the closing }"},
		"list comma":     {`{"a": [1, ]}`, "t:1:11: a comma stands before the closing ]"},
		"single quotes":  {`{'a': 1}`, "t:1:2: a single quote begins this"},
		"comment":        {"{\"a\": 1 // b\n}", "t:1:9: a comment stands here"},
		"bare word":      {`{"a": ü}`, "t:1:7: 'ü' cannot stand here"},
		"cut off":        {`{"a": [1, 2`, "the file ends in the middle"},
		"cut in a text":  {`{"a": "b`, "the file ends in the middle"},
		"two documents":  {"{\"a\": 1}\n{\"b\": 2}", "t:2:1: something follows the end of the document"},
		"deep":           {`{"a": ` + strings.Repeat("[", 5000), "nested too deep"},
		"line end":       {"{\"a\": \"b\nc\"}", "a quoted text runs over the end of the line"},
		"flow YAML":      {"{a: 1}", "t:1:2: 'a' cannot stand here: a key or text without double quotes, or a missing comma; allowed: JSON, since the file begins with {"},
	} {
		if got := said("t", c.src); !strings.Contains(got, c.want) {
			t.Errorf("%s: got\n%s\nwant %s", name, got, c.want)
		}
	}
}

func said(name, src string) string {
	_, faults := Read(name, []byte(src))
	var lines []string
	for _, f := range faults {
		lines = append(lines, f.String())
	}
	return strings.Join(lines, "\n")
}

func TestSurrogatePairsAndMarks(t *testing.T) {
	doc, faults := Read("a.json", []byte("\ufeff  {\"a\": \"\\ud83d\\ude00\\/\"}"))
	if len(faults) > 0 || doc.Get("a").Value != "😀/" {
		t.Errorf("JSON with a surrogate pair: %v, %v", doc, faults)
	}
	doc, faults = Read("a.yaml", []byte("\ufeffa: b\r\nc: d\r\n"))
	if len(faults) > 0 || doc.Get("c").Value != "d" || doc.Position("a").Column != 1 {
		t.Errorf("YAML with a byte order mark and CRLF: %v", faults)
	}
}

// A schema checker would compute the number in full.
func TestHugeNumber(t *testing.T) {
	for _, number := range []string{"1e999999999", "1E-999999999", strings.Repeat("9", 1000)} {
		doc, faults := Read("a.json", []byte(`{"a": `+number+`}`))
		if len(faults) > 0 || doc.Get("a").Any() != number {
			t.Errorf("%.20s: got %v, %v", number, doc.Get("a").Any(), faults)
		}
	}
}

func TestTooLarge(t *testing.T) {
	doc, faults := Read("a.yaml", make([]byte, MaxBytes+1))
	if doc != nil || len(faults) != 1 || faults[0].Allowed != "64 MiB" {
		t.Errorf("a file over the bound: %v", faults)
	}
}

func TestAFaultLeavesTheRest(t *testing.T) {
	doc, faults := Read("a.yaml", []byte("a: no\nb: &x 2\nc: 3\n"))
	if doc == nil || doc.Get("c") == nil || len(faults) != 2 {
		t.Errorf("the tree should stand beside the faults: %v, %v", doc, faults)
	}
}

func TestOneLongLine(t *testing.T) {
	src := `{"a": [` + strings.Repeat(`"ü",`, 200000) + `"end"]}`
	doc, faults := Read("a.json", []byte(src))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if got := doc.Position("a", "200000").Column; got != 8+200000*4 {
		t.Errorf("column of the last item: %d", got)
	}
}

func TestLargeMap(t *testing.T) {
	var yml, jsn strings.Builder
	for i := range 50 {
		fmt.Fprintf(&yml, "k%d: %d\n", i, i)
		fmt.Fprintf(&jsn, "\n\"k%d\": %d,", i, i)
	}
	for name, src := range map[string]string{"a.yaml": yml.String(), "a.json": "{" + strings.TrimSuffix(jsn.String(), ",") + "}"} {
		doc, faults := Read(name, []byte(src))
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		if doc.Get("k49").Value != "49" || doc.Get("k50") != nil || len(doc.Keys()) != 50 {
			t.Errorf("%s: keys of a large map are lost", name)
		}
	}
}

func TestSort(t *testing.T) {
	at := func(line, column int) finding.Position {
		return finding.Position{File: "a", Line: line, Column: column}
	}
	got := Sort([]Fault{{At: at(2, 1), What: "b"}, {At: at(1, 9), What: "c"}, {At: at(2, 1), What: "a"}, {At: at(2, 1), What: "b"}})
	want := []Fault{{At: at(1, 9), What: "c"}, {At: at(2, 1), What: "a"}, {At: at(2, 1), What: "b"}}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %v", got)
	}
	warning := Fault{At: at(1, 2), What: "w", Warning: true}
	if s := warning.String(); s != "a:1:2: warning: w" {
		t.Errorf("a warning says so: %q", s)
	}
	if Refused([]Fault{warning}) || !Refused(append(got, warning)) {
		t.Error("only more than a warning refuses a document")
	}
}

func TestValidID(t *testing.T) {
	for _, id := range []string{"basin", "küche", "wc-2", "v_old", "1og", "e\u0301vier", "浴室"} {
		if err := ValidID(id); err != nil {
			t.Errorf("%s: %v", id, err)
		}
	}
	for _, id := range []string{"", "a/b", "a~b", "a.b", "a b", "-a", "No", "y", "null", "\u0301a"} {
		if ValidID(id) == nil {
			t.Errorf("%q should not be an id", id)
		}
	}
}

func FuzzRead(f *testing.F) {
	for _, s := range []string{"a: [1,95 m]\n", `{"a": [1]}`, "a: >\n", "? a\n: b\n", "{", "a: &x\n- *x"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		doc, faults := Read("f", src)
		if doc == nil && len(faults) == 0 {
			t.Error("neither a tree nor a reason")
		}
		for _, fault := range faults {
			if fault.At.Line < 1 || fault.At.Column < 1 || fault.What == "" {
				t.Errorf("a fault without place or words: %+v", fault)
			}
		}
		if doc != nil {
			doc.Any()
		}
	})
}
