package validate

import (
	"os"
	"strings"
	"testing"

	"fallrule/engine/document"
)

func small(t *testing.T) *Validator {
	t.Helper()
	schema, err := os.ReadFile("testdata/small.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	v, err := New("small.schema.json", schema)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// faults of a document, one a line.
func faults(t *testing.T, v *Validator, src string) string {
	t.Helper()
	doc, read := document.Read("t", []byte(src))
	if len(read) > 0 {
		t.Fatalf("the document cannot be read: %v", read)
	}
	var lines []string
	for _, f := range v.Document(doc) {
		lines = append(lines, f.String())
	}
	return strings.Join(lines, "\n")
}

func TestGood(t *testing.T) {
	v := small(t)
	for _, src := range []string{
		"layout: 1\n",
		`{"layout": 1, "fixtures": {"küche": {"kind": "wc"}}}`,
		"layout: 1\nhouse: {use: dwelling, storeys: 2, listed: false}\nrooms: {r1: {}}\nwaivers: {gb/x/y: {by: office}}\n" +
			"fixtures:\n  basin: {kind: washbasin, rim: 0.85 m, waste: {size: {outer: 40 mm}, made_of: unknown, clips: [end], to: {kind: outside, cage: fitted}}}\n",
	} {
		if got := faults(t, v, src); got != "" {
			t.Errorf("%s\ngot %s", src, got)
		}
	}
	if got := v.Document(nil); got != nil {
		t.Errorf("no document: %v", got)
	}
}

func TestFaults(t *testing.T) {
	v := small(t)
	basin := "layout: 1\nfixtures:\n  bäsin:\n    kind: washbasin\n"
	for name, c := range map[string]struct{ src, want string }{
		"unknown key at the root": {"layout: 1\nhuose: {}\n",
			"t:2:1: unknown key `huose`; allowed: fixtures, house, layout, rooms, waivers; did you mean `house`?"},
		"unknown key beside allOf": {basin + "    widht: 3 m\n",
			"t:5:5: unknown key `widht`; allowed: kind, rim, waste, width; did you mean `width`?"},
		"unknown key, nothing near": {"layout: 1\nhouse: {colour: red}\n",
			"t:2:9: unknown key `colour`; allowed: listed, storeys, use"},
		"missing at the root": {"house: {}\n", "t:1:1: the document lacks the key `layout`; allowed: 1"},
		"missing":             {"layout: 1\nfixtures:\n  b: {}\n", "t:3:3: `b` lacks the key `kind`; allowed: washbasin, bath, wc"},
		"missing, escaped":    {"layout: 1\nwaivers:\n  gb/a~b/c d%: {}\n", "t:3:3: `gb/a~b/c d%` lacks the key `by`; allowed: a text"},
		"goes with":           {"layout: 1\nhouse: {use: dwelling}\n", "t:2:1: `house` has the key `use` and lacks `storeys`, which goes with it"},
		"const":               {"layout: 2\n", "t:1:1: `layout` cannot be `2`; allowed: 1"},
		"wrong word": {"layout: 1\nhouse: {use: dweling, storeys: 1}\n",
			"t:2:9: `use` cannot be `dweling`; allowed: dwelling, workplace, institution; did you mean `dwelling`?"},
		"wrong word of two lists": {basin + "    waste: {made_of: plastc}\n",
			"t:5:13: `made_of` cannot be `plastc`; allowed: plastic, cast_iron, unknown; did you mean `plastic`?"},
		"map for a word": {"layout: 1\nhouse: {use: {}, storeys: 1}\n", "t:2:9: `use` cannot be a map; allowed: dwelling,"},
		"bare number": {basin + "    rim: 850\n",
			"t:5:5: `rim` is a bare number: write \"850 mm\"; allowed: mm, cm, m, in, ft"},
		"bare number, fall": {basin + "    waste: {fall: 18}\n", "t:5:13: `fall` is a bare number: write \"18 mm/m\""},
		"bare number in a choice": {basin + "    waste: {size: 40}\n",
			"t:5:13: `size` is a bare number: write \"40 mm\"; allowed: mm, cm, m, in, ft"},
		"bare number, metres": {basin + "    rim: 0.85\n", "t:5:5: `rim` is a bare number: write \"0.85 m\""},
		"bare stamp":          {basin + "    waste: {stamp: 40}\n", "t:5:13: `stamp` is a bare number: write \"DN 40\"; allowed: DN 40, 40 mm"},
		"bare bends":          {basin + "    waste: {bends: 3}\n", "t:5:13: `bends` is a bare number: write \"3 x 90°\""},
		"word or map": {basin + "    waste: {ends: 3 m}\n",
			"t:5:13: `ends` cannot be `3 m`; allowed: none, unknown; or a map with where"},
		"list in a choice": {basin + "    waste: {size: [40 mm]}\n",
			"t:5:13: `size` is a list; allowed: a length such as 40 mm; or a map with bore, outer, stamp"},
		"branch by type": {basin + "    waste: {size: {outr: 40 mm}}\n",
			"t:5:20: unknown key `outr`; allowed: bore, outer, stamp; did you mean `outer`?"},
		"branch by its word": {basin + "    waste: {to: {kind: branch, pip: x}}\n",
			"t:5:13: `to` lacks the key `pipe`; allowed: a text\nt:5:32: unknown key `pip`; allowed: kind, level, pipe; did you mean `pipe`?"},
		"other branch": {basin + "    waste: {to: {kind: outside, above: 4}}\n", "t:5:33: `above` is a bare number: write \"4 mm\""},
		"split by a comma": {basin + "    waste: {points: [[1,95 m, 2 m, 3 m], [1 m, 2 m, 3 m]]}\n",
			"`points` has too many values: 4, did a comma split one?; allowed: 3 or less; did you mean `[1.95 m, 2 m, 3 m]`?"},
		"split, no more than fit": {basin + "    waste: {points: [[1,95 m, 2 m], [1 m, 2 m, 3 m]]}\n",
			"t:5:23: 3 values, did a comma split one?; allowed: a decimal point, or quotes round the quantity; did you mean `[1.95 m, 2 m]`?"},
		"too few":       {basin + "    waste: {points: [[1 m, 2 m, 3 m]]}\n", "t:5:13: `points` has too few values: 1; allowed: 2 or more"},
		"twice":         {basin + "    waste: {clips: [end, end]}\n", "t:5:13: `clips` has a value twice; allowed: each value once"},
		"contains":      {basin + "    waste: {clips: [start]}\n", "t:5:13: `clips` lacks a value it must have"},
		"not":           {basin + "    waste: {fall: 1 %, points: [[1 m, 2 m, 3 m], [1 m, 2 m, 3 m]]}\n", "t:5:5: `waste` stands in a form that is not allowed"},
		"minimum":       {"layout: 1\nhouse: {storeys: 0}\n", "t:2:9: `storeys` is too small: 0; allowed: 1 or more"},
		"no integer":    {"layout: 1\nhouse: {storeys: 1.5}\n", "t:2:9: `storeys` is the number 1.5; allowed: a whole number"},
		"quoted number": {"layout: 1\nhouse: {storeys: '2'}\n", "t:2:9: `storeys` is the text `2`; allowed: a whole number"},
		"odd number":    {"layout: 1\nhouse: {storeys: 010}\n", "t:2:9: `010`: YAML readers differ about this number; allowed: a whole number"},
		"not bool":      {"layout: 1\nhouse: {listed: maybe}\n", "t:2:9: `listed` is the text `maybe`; allowed: true or false"},
		"bool":          {"layout: 1\nhouse: {storeys: true}\n", "t:2:9: `storeys` is the value true"},
		"nothing":       {"layout: 1\nhouse:\n", "t:2:1: `house` has nothing behind it; allowed: a map with listed, storeys, use"},
		"too short":     {"layout: 1\nwaivers: {a: {by: ''}}\n", "t:2:15: `by` is too short: ``; allowed: 1 characters or more"},
		"key's name":    {"layout: 1\nfixtures: {a/b: {kind: wc}}\n", "t:2:12: `a/b` cannot be a key here; allowed: a name without / ~ ."},
		"key's pattern": {"layout: 1\nrooms: {r1: {}, x: {}}\n", "t:2:17: unknown key `x`"},
		"list for all":  {"- a\n", "t:1:1: the document is a list; allowed: a map with fixtures, house"},
	} {
		if got := faults(t, v, c.src); !strings.Contains(got, c.want) {
			t.Errorf("%s: got\n%s\nwant\n%s", name, got, c.want)
		}
	}
}

func TestOnlyWhatIsMeant(t *testing.T) {
	v := small(t)
	got := faults(t, v, "layout: 1\nfixtures:\n  b: {kind: wc, waste: {to: {kind: outside, cage: fited}}}\n")
	if want := "t:3:45: `cage` cannot be `fited`; allowed: fitted, missing; did you mean `fitted`?"; got != want {
		t.Errorf("a choice should tell of one branch only: got\n%s\nwant\n%s", got, want)
	}
	got = faults(t, v, "layout: 1\nhouse: {use: x, storeys: 0, listed: 1, z: 2}\n")
	if n := strings.Count(got, "\n") + 1; n != 4 {
		t.Errorf("four faults, each told once: got %d\n%s", n, got)
	}
}

func TestNew(t *testing.T) {
	for name, schema := range map[string]string{
		"no JSON":    "{",
		"no schema":  `{"type": 5}`,
		"no target":  `{"$ref": "#/$defs/none"}`,
		"other file": `{"$ref": "https://fallrule.invalid/other.json"}`,
	} {
		if _, err := New("x", []byte(schema)); err == nil {
			t.Errorf("%s: %s should not compile", name, schema)
		}
	}
	v, err := New("bare", []byte(`{"properties": {"a": false, "anyOf": {"type": "string"}}, "additionalProperties": {"type": "number"}}`))
	if err != nil {
		t.Fatal(err)
	}
	want := "t:1:1: unknown key `a`; allowed: anyOf; did you mean"
	got := faults(t, v, "a: 1\nanyOf: 2\nb: x\n")
	for _, want := range []string{strings.TrimSuffix(want, "; did you mean"), "t:2:1: `anyOf` is the number 2; allowed: a text", "t:3:1: `b` is the text `x`; allowed: a number"} {
		if !strings.Contains(got, want) {
			t.Errorf("got\n%s\nwant %s", got, want)
		}
	}
}
