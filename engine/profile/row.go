package profile

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

// vocabulary is what rows are read with: the catalogue, with the quantities
// that the profile declares, and the profile's nominal sizes.
type vocabulary struct {
	cat   schema.Catalogue
	sizes map[string]float64 // mm
}

var bases = []string{string(finding.Read), string(finding.Memory), string(finding.CommonPractice)}

// rows reads alternatives of the form {need, basis, clause, note}. Rows are
// closed: what is misspelt here would be a limit that everything passes.
func (v vocabulary) rows(c cursor, also ...string) []finding.Row {
	items := c.list()
	if l, ok := c.value.([]any); ok && len(l) == 0 {
		c.fault("%s is empty", c.name())
	}
	out := make([]finding.Row, 0, len(items))
	for _, item := range items {
		item.only([]string{"need", "basis"}, append([]string{"clause", "note"}, also...))
		row := finding.Row{Clause: item.optional("clause"), Note: item.optional("note")}
		if item.has("basis") {
			row.Basis = finding.Basis(item.at("basis").word("basis", bases))
		}
		if item.has("need") {
			row.Need = v.need(item.at("need"))
		}
		out = append(out, row)
	}
	return out
}

func (v vocabulary) need(c cursor) map[string]finding.Bound {
	need := map[string]finding.Bound{}
	names := c.keys()
	if m, ok := c.value.(map[string]any); ok && len(m) == 0 {
		c.fault("need is empty: a row that asks for nothing is met by all")
	}
	for _, name := range names {
		q, known := v.cat.ByName[name]
		if !known {
			c.at(name).fault("%s", notAmong("quantity", name, v.cat.Names))
			continue
		}
		need[name] = v.bound(c.at(name), q)
	}
	return need
}

// bound reads the limits on one quantity.
func (v vocabulary) bound(c cursor, q schema.Quantity) finding.Bound {
	b := finding.Bound{Text: map[string]string{}}
	if q.IsState() {
		c.only([]string{"one_of"}, nil)
		if c.has("one_of") {
			b.Words = v.allowed(c.at("one_of"), q)
		}
		return b
	}
	limits := map[string]**float64{"at_least": &b.AtLeast, "at_most": &b.AtMost, "above": &b.Above, "below": &b.Below}
	c.only(nil, []string{"at_least", "at_most", "above", "below"})
	if m, ok := c.value.(map[string]any); ok && len(m) == 0 {
		c.fault("the bound on %s is empty", q.Name)
	}
	for _, key := range c.keys() {
		if end, ok := limits[key]; ok {
			*end = v.limit(c.at(key), q)
			b.Text[key] = asText(c.at(key).value)
		}
	}
	v.ends(c, b)
	return b
}

// ends holds that the two ends leave room between them.
func (v vocabulary) ends(c cursor, b finding.Bound) {
	if b.AtLeast != nil && b.Above != nil {
		c.fault("at_least and above exclude each other")
	}
	if b.AtMost != nil && b.Below != nil {
		c.fault("at_most and below exclude each other")
	}
	low, high := cmp.Or(b.AtLeast, b.Above), cmp.Or(b.AtMost, b.Below)
	if low == nil || high == nil {
		return
	}
	strict := b.Above != nil || b.Below != nil
	if *low > *high || strict && *low == *high {
		c.fault("the low end lies above the high end: nothing can be both")
	}
}

func (v vocabulary) allowed(c cursor, q schema.Quantity) []string {
	words := c.words()
	for i, word := range words {
		if word != "" && !slices.Contains(q.Words, word) {
			c.list()[i].fault("%s", notAmong("word of "+q.Name, word, q.Words))
		}
	}
	return words
}

func (v vocabulary) limit(c cursor, q schema.Quantity) *float64 {
	x, err := v.number(c.value, q)
	if err != nil {
		c.fault("%s of %s: %s", c.name(), q.Name, err)
		return nil
	}
	return &x
}

// nominal is a nominal size as written in a profile's `sizes`.
var nominal = regexp.MustCompile(`^DN ([0-9]+)$`)

// sizeClass is the quantity that counts in nominal sizes: DN 40 is 40 of it,
// where it is the bore of that size for every other quantity.
const sizeClass = "size_class"

// number gives a limit in the quantity's unit. A count or a ratio may be a bare
// number, everything else carries its unit or is one of the profile's sizes.
func (v vocabulary) number(value any, q schema.Quantity) (float64, error) {
	switch x := value.(type) {
	case float64:
		return bare(x, q)
	case json.Number:
		f, err := x.Float64()
		if err != nil {
			return 0, fmt.Errorf("%s is no number", x)
		}
		return bare(f, q)
	case string:
		if m := nominal.FindStringSubmatch(x); m != nil && q.Name == sizeClass {
			return strconv.ParseFloat(m[1], 64)
		}
		if mm, named := v.sizes[x]; named && q.Unit == "mm" {
			return mm, nil
		}
		if nominal.MatchString(x) {
			return 0, fmt.Errorf("the profile has no size %q", x)
		}
		return quantity.In(x, q.Unit)
	}
	return 0, errors.New("must be a quantity with its unit")
}

func bare(x float64, q schema.Quantity) (float64, error) {
	if q.Unit != "1" {
		return 0, fmt.Errorf("%g has no unit: write it as \"%g %s\"", x, x, q.Unit)
	}
	return x, nil
}

func asText(value any) string {
	switch x := value.(type) {
	case string:
		return x
	case float64:
		return strconv.FormatFloat(x, 'g', -1, 64)
	case json.Number:
		return x.String()
	}
	return ""
}
