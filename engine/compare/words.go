package compare

import (
	"slices"
	"strings"
	"unicode"

	"fallrule/engine/finding"
	"fallrule/engine/judge"
	"fallrule/engine/quantity"
	"fallrule/engine/report"
	"fallrule/schema"
)

func label(name string, cat schema.Catalogue) string {
	if question, asked := strings.CutPrefix(name, "answer."); asked {
		_, question, _ = strings.Cut(question, ".")
		return "the answer on " + judge.Plain(question)
	}
	if q, known := cat.ByName[name]; known {
		return q.Label()
	}
	return judge.Plain(name)
}

// figures lists what was measured: the row's quantity, and what else the
// limits of the row name. Where no finding of the row carries the figure (an
// exemption needs none), another finding of the subject may.
func figures(headline string, row, subject []finding.Finding, codes Codes) []report.ComparisonFigure {
	names := []string{headline}
	for _, f := range row {
		for _, name := range f.Rule.Quantities {
			if !slices.Contains(names, name) && limits(f, name) {
				names = append(names, name)
			}
		}
	}
	var out []report.ComparisonFigure
	for _, name := range names {
		m := measured(name, slices.Concat(row, subject))
		if q, known := codes.Catalogue.ByName[name]; known {
			m.Unit = q.Unit
		}
		out = append(out, report.ComparisonFigure{
			Quantity: name, Label: label(name, codes.Catalogue), Measured: m, Text: figure(m, codes.Catalogue.ByName[name], codes.System),
		})
	}
	return out
}

func measured(name string, findings []finding.Finding) finding.Measured {
	for _, f := range findings {
		if m, known := f.Measured[name]; known {
			return m
		}
	}
	return finding.Measured{}
}

// figure words a band, a state, or that there is neither.
func figure(m finding.Measured, q schema.Quantity, system quantity.System) string {
	switch {
	case m.Band != nil && m.Band.Value >= q.High:
		return "none there to measure"
	case m.Band != nil:
		return quantity.FormatBand(m.Band.Low, m.Band.Value, m.Band.High, q.Unit, system)
	case len(m.States) > 0:
		return judge.Plain(strings.Join(m.States, " or "))
	case m.Because != "":
		return "not known"
	}
	return "no figure asked for"
}

// judged words a finding's limits, the alternatives that hold as read first.
func judged(f finding.Finding, codes Codes) report.ComparisonFinding {
	out := report.ComparisonFinding{Finding: f, Clause: f.Rule.Clause}
	rows := slices.Clone(f.Limit)
	slices.SortStableFunc(rows, func(a, b finding.Row) int {
		ah, bh := holds(a, f.Measured), holds(b, f.Measured)
		switch {
		case ah == bh:
			return 0
		case ah:
			return -1
		}
		return 1
	})
	for _, r := range rows {
		text := judge.Words(converted(r, codes), codes.Catalogue)
		if r.Clause != "" && len(rows) > 1 {
			text += " [" + r.Clause + "]"
		}
		out.Asks = append(out.Asks, text)
	}
	if len(rows) == 1 && rows[0].Clause != "" {
		out.Clause = rows[0].Clause
	}
	return out
}

// holds tells whether all bounds of a row hold for the values read, which
// orders the alternatives and decides nothing.
func holds(r finding.Row, measured map[string]finding.Measured) bool {
	for name, b := range r.Need {
		m := measured[name]
		switch {
		case len(b.Words) > 0:
			if len(m.States) != 1 || !slices.Contains(b.Words, m.States[0]) {
				return false
			}
		case m.Band == nil,
			b.AtLeast != nil && m.Band.Value < *b.AtLeast, b.Above != nil && m.Band.Value <= *b.Above,
			b.AtMost != nil && m.Band.Value > *b.AtMost, b.Below != nil && m.Band.Value >= *b.Below:
			return false
		}
	}
	return true
}

// converted keeps the limits as the rule wrote them and puts the figure in the
// reader's units behind those that stand in others: "2.5 % (25 mm/m)".
func converted(r finding.Row, codes Codes) finding.Row {
	out := r
	out.Need = map[string]finding.Bound{}
	for name, b := range r.Need {
		unit := codes.Catalogue.ByName[name].Unit
		texts := map[string]string{}
		for end, limit := range map[string]*float64{"at_least": b.AtLeast, "at_most": b.AtMost, "above": b.Above, "below": b.Below} {
			if limit != nil {
				texts[end] = withUnits(b.Text[end], *limit, unit, codes.System)
			}
		}
		b.Text = texts
		out.Need[name] = b
	}
	return out
}

func withUnits(written string, v float64, unit string, system quantity.System) string {
	shown := quantity.Format(v, unit, system)
	if written == "" {
		return shown
	}
	from, to := unitOf(written), unitOf(shown)
	length := func(u string) bool { return u == "mm" || u == "cm" || u == "m" }
	if from == to || length(from) && length(to) {
		return written
	}
	return written + " (" + shown + ")"
}

// unitOf is what stands behind the last figure.
func unitOf(text string) string {
	return strings.TrimSpace(text[strings.LastIndexFunc(text, unicode.IsDigit)+1:])
}
