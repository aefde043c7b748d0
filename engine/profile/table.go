package profile

import (
	"fmt"
	"slices"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
)

// table is a rule.yaml's table: conditions on facts, and rows.
type table struct {
	where  map[string][]string
	exempt []map[string][]string
	leaves []map[string][]string // to the authority
	fors   []map[string][]string // one a row
	rows   []finding.Row
}

// readTable checks a table against facts, words and units.
func readTable(c cursor, rule *finding.Rule, in facts, words vocabulary) *table {
	t := &table{}
	c.only(nil, []string{"where", "exempt", "unclear", "limits"})
	if c.has("where") {
		t.where = in.condition(c.at("where"), rule.Of)
	}
	all := false // everybody is left to the authority
	if c.has("exempt") {
		t.exempt = entries(c.at("exempt"), rule.Of, in, []string{"when", "why"}, nil)
	}
	if c.has("unclear") {
		t.leaves = entries(c.at("unclear"), rule.Of, in, []string{"why"}, []string{"when", "by"})
		all = slices.ContainsFunc(t.leaves, func(when map[string][]string) bool { return len(when) == 0 })
	}
	switch {
	case c.has("limits"):
		t.rows = words.rows(c.at("limits"), "for")
		t.readFor(c.at("limits"), rule.Of, in)
		listed(c.at("limits"), t.rows, rule)
		t.size(c.at("limits"), rule.Of, in)
	case !all:
		c.fault("the table has no limits")
	}
	return t
}

// entries reads exempt or unclear: [{when, why, by}].
func entries(c cursor, kind string, in facts, required, optional []string) []map[string][]string {
	var out []map[string][]string
	for _, entry := range c.list() {
		entry.only(required, optional)
		entry.optional("why")
		if entry.has("by") {
			entry.at("by").word("by", []string{"authority"})
		}
		when := map[string][]string{}
		if entry.has("when") {
			when = in.condition(entry.at("when"), kind)
			if m, ok := entry.at("when").value.(map[string]any); ok && len(m) == 0 {
				entry.at("when").fault("when is empty")
			}
		}
		out = append(out, when)
	}
	return out
}

func (t *table) readFor(c cursor, kind string, in facts) {
	for _, row := range c.list() {
		when := map[string][]string{}
		if row.has("for") {
			when = in.condition(row.at("for"), kind)
		}
		t.fors = append(t.fors, when)
	}
}

// listed holds that rows name only the header's quantities, and the header
// only what some row names: the sheet and the plugins go by the header.
func listed(c cursor, rows []finding.Row, rule *finding.Rule) {
	named := map[string]bool{}
	for i, row := range rows {
		for name := range row.Need {
			named[name] = true
			if !slices.Contains(rule.Quantities, name) {
				c.list()[i].at("need").at(name).fault("the header does not list the quantity %q", name)
			}
		}
	}
	for _, name := range rule.Quantities {
		if !named[name] && len(rows) > 0 {
			c.fault("the header lists the quantity %q, which no row names", name)
		}
	}
}

// maxCells is how many different points a requirement's rows may divide the
// space of its quantities into.
const maxCells = 4096

// size holds that no subject gets more rows or cells than can be judged.
func (t *table) size(c cursor, kind string, in facts) {
	most, rows := 0, 0
	t.everyFit(kind, in, func(fit []finding.Row) {
		most, rows = max(most, cellCount(fit)), max(rows, len(fit))
	})
	if most > maxCells {
		c.fault("the rows divide their quantities into %d cells, more than %d: split the rule", most, maxCells)
	}
	if rows > judge.MaxRows {
		c.fault("%d rows can apply to one subject, more than %d: split the rule", rows, judge.MaxRows)
	}
}

// everyFit calls f with the rows that fit together, for all ways the facts that
// pick rows can be.
func (t *table) everyFit(kind string, in facts, f func([]finding.Row)) {
	fields := map[string][]string{}
	for _, when := range t.fors {
		for field, words := range when {
			fields[field] = append(fields[field], words...)
		}
	}
	var names []string
	for field := range fields {
		slices.Sort(fields[field])
		fields[field] = append(slices.Compact(fields[field]), "") // another word
		names = append(names, field)
	}
	picked := map[string]string{}
	var pick func(i int)
	pick = func(i int) {
		if i == len(names) {
			var fit []finding.Row
			for r, when := range t.fors {
				if allIn(picked, when) {
					fit = append(fit, t.rows[r])
				}
			}
			f(fit)
			return
		}
		for _, word := range fields[names[i]] {
			picked[names[i]] = word
			pick(i + 1)
		}
	}
	pick(0)
}

func allIn(facts map[string]string, when map[string][]string) bool {
	for field, words := range when {
		if !slices.Contains(words, facts[field]) {
			return false
		}
	}
	return true
}

// cellCount is the product, over the quantities, of the points that differ in
// which rows they satisfy.
func cellCount(rows []finding.Row) int {
	names := map[string]bool{}
	for _, row := range rows {
		for name := range row.Need {
			names[name] = true
		}
	}
	count := 1
	for name := range names {
		if count > 1<<40 {
			break
		}
		count *= kindsOfPoint(name, rows)
	}
	return count
}

func kindsOfPoint(name string, rows []finding.Row) int {
	var at []float64
	words := []string{""}
	for _, row := range rows {
		b := row.Need[name]
		words = append(words, b.Words...)
		for _, end := range []*float64{b.AtLeast, b.AtMost, b.Above, b.Below} {
			if end != nil {
				at = append(at, *end)
			}
		}
	}
	seen := map[string]bool{}
	for _, x := range around(at) {
		seen[satisfied(rows, name, x, "")] = true
	}
	if len(at) == 0 {
		for _, w := range words {
			seen[satisfied(rows, name, 0, w)] = true
		}
	}
	return len(seen)
}

// around gives each limit, one point between neighbours, and one beyond.
func around(limits []float64) []float64 {
	slices.Sort(limits)
	limits = slices.Compact(limits)
	if len(limits) == 0 {
		return nil
	}
	out := []float64{limits[0] - 1}
	for i, x := range limits {
		out = append(out, x)
		if i+1 < len(limits) {
			out = append(out, x+(limits[i+1]-x)/2)
		}
	}
	return append(out, limits[len(limits)-1]+1)
}

// satisfied writes, a letter a row, which bounds on a quantity hold.
func satisfied(rows []finding.Row, name string, x float64, word string) string {
	var s strings.Builder
	for _, row := range rows {
		b, bounded := row.Need[name]
		ok := !bounded || slices.Contains(b.Words, word) || len(b.Words) == 0 && between(x, b)
		fmt.Fprint(&s, map[bool]string{true: "1", false: "0"}[ok])
	}
	return s.String()
}

func between(x float64, b finding.Bound) bool {
	return (b.AtLeast == nil || x >= *b.AtLeast) && (b.AtMost == nil || x <= *b.AtMost) &&
		(b.Above == nil || x > *b.Above) && (b.Below == nil || x < *b.Below)
}
