package judge

import (
	"math"
	"strings"

	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/schema"
)

// message says in one plain sentence what was found and what is asked.
func message(f finding.Finding, axes []axis, cat schema.Catalogue) string {
	w := words{cat: cat}
	switch f.Verdict {
	case finding.Meets:
		return w.read(f, axes) + "; " + w.asked(f)
	case finding.Breaks:
		if len(f.Limit) > 1 {
			return w.read(f, axes) + "; " + w.mend(f)
		}
		return w.read(f, axes) + "; " + w.asked(f)
	case finding.TooClose:
		return w.read(f, axes) + "; " + w.asked(f) + ", and that lies within what the reading may be" + w.precision(f)
	}
	if f.Because == finding.PartialTable {
		return w.read(f, axes) + "; no row we know allows it, and the table here is incomplete"
	}
	return w.missing(f)
}

type words struct{ cat schema.Catalogue }

// Plain writes a closed word as people do.
func Plain(word string) string { return strings.ReplaceAll(word, "_", " ") }

// label is a quantity's name as people say it.
func (w words) label(name string) string {
	if q, known := w.cat.ByName[name]; known {
		if name, declared := strings.CutPrefix(q.Name, "answer."); declared {
			_, question, _ := strings.Cut(name, ".")
			return "the answer on " + Plain(question)
		}
		return q.Label()
	}
	return Plain(name)
}

// read lists what was read; a quantity no row could turn on is left out.
func (w words) read(f finding.Finding, axes []axis) string {
	var parts []string
	for _, a := range axes {
		m := f.Measured[a.quantity.Name]
		switch {
		case m.Band != nil && m.Band.Value >= a.quantity.High:
			// A straight pipe has no radius of a bend: the measure is the end of
			// its domain, which no limit reaches.
			parts = append(parts, w.label(a.quantity.Name)+": none there to measure")
		case m.Band != nil:
			b := m.Band
			parts = append(parts, w.label(a.quantity.Name)+" is "+quantity.FormatBand(b.Low, b.Value, b.High, a.quantity.Unit, quantity.Metric))
		case len(m.States) > 0:
			parts = append(parts, w.label(a.quantity.Name)+" is "+Plain(strings.Join(m.States, " or ")))
		}
	}
	if len(parts) == 0 {
		return "nothing that decides was read"
	}
	return strings.Join(parts, ", ")
}

// asked says the limit: the row itself when there is one, else what the first
// quantity may be with the others as read.
func (w words) asked(f finding.Finding) string {
	if len(f.Limit) == 1 {
		return "asked: " + w.row(f.Limit[0])
	}
	if len(f.Allowed) > 0 {
		return "as the rest is, " + w.label(f.Quantity) + " may be " + w.intervals(f.Quantity, f.Allowed)
	}
	switch f.Verdict {
	case finding.Meets:
		return "one of the alternatives holds"
	case finding.TooClose:
		return "an alternative may hold"
	}
	return "none of the alternatives holds"
}

// mend lists what each quantity alone would have to be.
func (w words) mend(f finding.Finding) string {
	var parts []string
	for _, way := range f.Ways {
		if len(way.Words) > 0 {
			parts = append(parts, w.label(way.Quantity)+" "+Plain(strings.Join(way.Words, " or ")))
		} else {
			parts = append(parts, w.label(way.Quantity)+" "+w.intervals(way.Quantity, way.Allowed))
		}
	}
	if len(parts) == 0 {
		return "none of the alternatives holds, and no one figure alone would mend it"
	}
	return "would do: " + strings.Join(parts, ", or ")
}

// Words says what one row asks: "length at most 1.7 m and fall at least 18 mm/m".
func Words(r finding.Row, cat schema.Catalogue) string { return words{cat}.row(r) }

func (w words) row(r finding.Row) string {
	var parts []string
	for _, name := range w.cat.Names {
		if b, is := r.Need[name]; is {
			parts = append(parts, w.bound(name, b))
		}
	}
	for name, b := range r.Need {
		if _, known := w.cat.ByName[name]; !known {
			parts = append(parts, w.bound(name, b))
		}
	}
	return strings.Join(parts, " and ")
}

// bound words one bound as the rule wrote its numbers.
func (w words) bound(name string, b finding.Bound) string {
	if len(b.Words) > 0 {
		return w.label(name) + " " + Plain(strings.Join(b.Words, " or "))
	}
	var parts []string
	for _, end := range []struct {
		key, says string
		limit     *float64
	}{{"at_least", "at least", b.AtLeast}, {"above", "above", b.Above}, {"at_most", "at most", b.AtMost}, {"below", "below", b.Below}} {
		if end.limit == nil {
			continue
		}
		text := b.Text[end.key]
		if text == "" {
			text = w.number(name, *end.limit)
		}
		parts = append(parts, end.says+" "+text)
	}
	return w.label(name) + " " + strings.Join(parts, " and ")
}

func (w words) number(name string, v float64) string {
	return quantity.Format(v, w.cat.ByName[name].Unit, quantity.Metric)
}

// intervals words ranges: "at most 1.70 m", "18 to 44 mm/m".
func (w words) intervals(name string, in []finding.Interval) string {
	var parts []string
	for _, i := range in {
		low, high := math.IsInf(i.Low, 0), math.IsInf(i.High, 0)
		switch {
		case low && high:
			parts = append(parts, "anything")
		case low:
			parts = append(parts, pick(i.HighOpen, "below ", "at most ")+w.number(name, i.High))
		case high:
			parts = append(parts, pick(i.LowOpen, "above ", "at least ")+w.number(name, i.Low))
		default:
			parts = append(parts, w.number(name, i.Low)+" to "+w.number(name, i.High))
		}
	}
	return strings.Join(parts, " or ")
}

func pick(first bool, a, b string) string {
	if first {
		return a
	}
	return b
}

// precision says how exact which reading must be to settle the verdict. A
// value on the limit itself cannot be settled by reading it again.
func (w words) precision(f finding.Finding) string {
	var parts []string
	for _, s := range f.Settles {
		if strings.HasPrefix(w.number(s.Quantity, s.Within)+" ", "0 ") { // nothing that can be read
			return "; " + w.label(s.Quantity) + " lies on the limit itself: build it clear of it"
		}
		parts = append(parts, w.label(s.Quantity)+" to ± "+w.number(s.Quantity, s.Within))
	}
	if len(parts) == 0 {
		return ": measure again"
	}
	return ": measure " + strings.Join(parts, " or ") + " or better"
}

func (w words) missing(f finding.Finding) string {
	var parts []string
	for _, name := range f.Undecided {
		m := f.Measured[name]
		text := m.Text
		if text == "" && len(m.States) > 1 {
			text = w.label(name) + " may be " + Plain(strings.Join(m.States, " or "))
		}
		if text == "" {
			text = w.label(name) + " is not known"
		}
		parts = append(parts, text)
	}
	if len(f.Limit) == 1 {
		return strings.Join(parts, "; ") + "; asked: " + w.row(f.Limit[0])
	}
	return strings.Join(parts, "; ")
}
