package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/fatih/color"

	"fallrule/engine/finding"
)

// compareText writes a comparison for a person: where a habit misleads, the
// other way round, the rest. Rows in which no code asks anything are counted
// and not listed, unless all are asked for.
func compareText(w io.Writer, c Comparison, o Options) error {
	p := &page{width: o.Width, color: o.Color, all: o.All}
	if p.width == 0 {
		p.width = 80
	}
	p.wrap("", compareHeadline(c))
	p.line("")
	p.compareHead(c)
	p.failed(c.Sheet)
	for _, g := range Groups {
		p.compareGroup(c, g)
	}
	p.compareFoot(c)
	_, err := io.WriteString(w, p.b.String())
	return err
}

func compareHeadline(c Comparison) string {
	n := len(c.In(Misleads))
	if here(c) == "" {
		return fmt.Sprintf("None of these codes binds where the house stands%s: all are shown as habit.", standsIn(c.Country))
	}
	if n == 0 {
		return "No habit of the compared codes was found to mislead here. What could not be told or has no rule was not compared."
	}
	return fmt.Sprintf("What another code allows misleads here in %s.", plural(n, "place", "places"))
}

func standsIn(country string) string {
	if country == "" {
		return " (the layout does not tell the country)"
	}
	return " (" + country + ")"
}

// here names the codes that bind.
func here(c Comparison) string {
	var ids []string
	for _, p := range c.Sheet.Profiles {
		if p.Binding {
			ids = append(ids, p.ID)
		}
	}
	return strings.Join(ids, " and ")
}

func (p *page) compareHead(c Comparison) {
	name := c.Sheet.Document.Title
	if name == "" {
		name = c.Sheet.Document.File
	}
	if c.Sheet.Document.Revision != "" {
		name += ", revision " + c.Sheet.Document.Revision
	}
	p.wrap("", fmt.Sprintf("%s (stage: %s).", name, c.Sheet.Stage))
	for _, profile := range c.Sheet.Profiles {
		role := "BINDS HERE"
		if !profile.Binding {
			role = "compared, binds nothing here"
		}
		p.item("  "+profile.ID+": ", fmt.Sprintf("%s; %s; %s.", profile.Title, role, profile.Why))
	}
}

var groupTitles = map[Group]string{
	Misleads: "A habit misleads: met by another code, broken or too close here",
	OtherWay: "The other way round: broken by another code, met here",
	TheRest:  "Everything else, by place in the document",
}

func (p *page) compareGroup(c Comparison, g Group) {
	rows := c.In(g)
	if len(rows) == 0 {
		return
	}
	tint := map[Group]color.Attribute{Misleads: color.FgRed, OtherWay: color.FgYellow, TheRest: color.FgGreen}[g]
	p.title(fmt.Sprintf("%s (%d)", groupTitles[g], len(rows)), tint)
	idle := 0
	for _, r := range rows {
		if r.Idle() && !p.all {
			idle++
			continue
		}
		p.compareRow(r)
	}
	if idle > 0 {
		p.line("")
		p.wrap("  ", fmt.Sprintf("%s in which no code asks anything (not applicable, or old work that stays untouched); --all lists them.", plural(idle, "more row", "more rows")))
	}
}

// compareRow writes what was measured once, then each code under it.
func (p *page) compareRow(r ComparisonRow) {
	p.line("")
	var figures []string
	for _, f := range r.Measured {
		figures = append(figures, f.Label+" "+f.Text)
	}
	p.item("  ", fmt.Sprintf("%s, %s: %s. Line %d.", r.Subject, r.Topic, strings.Join(figures, "; "), r.Position.Line))
	for _, c := range r.Cells {
		p.compareCell(r.Topic, c, idWidth(r))
	}
}

// idWidth is the room that the ids of a row's codes take.
func idWidth(r ComparisonRow) int {
	n := 4
	for _, c := range r.Cells {
		n = max(n, len(c.Profile))
	}
	return n
}

func (p *page) compareCell(topic string, c ComparisonCell, width int) {
	role := "habit"
	if c.Binding {
		role = "HERE "
	}
	who := fmt.Sprintf("    %-*s %s  ", width, c.Profile, role)
	if len(c.Judged) == 0 {
		p.told(who, speaksWords(topic, c))
		return
	}
	for i, j := range c.Judged {
		if i > 0 {
			who = strings.Repeat(" ", len(who))
		}
		p.told(who+fmt.Sprintf("%-14s  ", verdictWord(j.Finding.Verdict)), judgedWords(j))
	}
}

// told writes text behind a mark; a mark that leaves no room stands alone.
func (p *page) told(mark, s string) {
	if len(mark) <= p.width/2 {
		p.item(mark, s)
		return
	}
	p.wrap("    ", strings.TrimSpace(mark))
	p.wrap("        ", s)
}

func verdictWord(v finding.Verdict) string { return strings.ReplaceAll(string(v), "_", " ") }

func speaksWords(topic string, c ComparisonCell) string {
	switch c.Speaks {
	case Elsewhere:
		return "speaks of this figure in another row (" + verdictWord(c.SeeVerdict) + "): " + seeRows(topic, c)
	case Otherwise:
		return "no limit on this figure; on this topic it has " + seeRows(topic, c)
	case PassesOver:
		return "has rules on this, none reaches this one"
	}
	return "silent"
}

// seeRows names rows of the same subject, without the topic where it is the same.
func seeRows(topic string, c ComparisonCell) string {
	var rows []string
	for _, r := range c.SeeRows {
		rows = append(rows, strings.TrimPrefix(r, topic+" "))
	}
	return strings.ReplaceAll(strings.Join(shortList(rows, 3, "more"), ", "), "_", " ")
}

// shortList cuts a list and counts what is left out.
func shortList(all []string, most int, rest string) []string {
	if len(all) <= most {
		return all
	}
	return append(append([]string{}, all[:most]...), fmt.Sprintf("%d %s", len(all)-most, rest))
}

// judgedWords is the limit as the rule wrote it, why it could not be told, the
// clause and how far the limit is confirmed.
func judgedWords(j ComparisonFinding) string {
	f := j.Finding
	s := strings.Join(shortList(j.Asks, 3, "more (all in csv and json)"), ", or ")
	if s == "" {
		s = f.Message
	}
	if f.Verdict == finding.CannotTell {
		s += why(f)
	}
	s = strings.TrimRight(s, ".") + ". " + f.Rule.DocTitle + ", " + j.Clause
	if f.Verdict != finding.NotApplicable {
		s += " (" + basisWords[f.Basis] + ")"
	}
	if f.Rule.Force == finding.Practice {
		s += "; good practice, no code"
	}
	if f.Waiver != nil {
		s += "; allowed by " + f.Waiver.By + ", " + f.Waiver.Reference
	}
	return s
}

var basisWords = map[finding.Basis]string{
	finding.Read: "read", finding.Memory: "from memory, confirm it", finding.CommonPractice: "practice of the trade, no source",
}

// why names what a verdict waits for, where the limit alone does not.
func why(f finding.Finding) string {
	if len(f.Needs) > 0 {
		return "; waits for " + strings.Join(f.Needs, ", ")
	}
	reasons := map[finding.Because]string{
		finding.NotMeasured: "not measured", finding.NotAsked: "not answered", finding.NotYet: "comes later in the work",
		finding.OutsideTable: "outside the clause's table", finding.PartialTable: "the table is not fully known here",
		finding.PluginFault: "a measurement plugin failed", finding.Authority: "for the inspector to judge",
		finding.ProfileFault: "the rule itself is faulty",
	}
	if reason, known := reasons[f.Because]; known {
		return "; " + reason
	}
	return ""
}

func (p *page) compareFoot(c Comparison) {
	p.title("About this comparison")
	if ids := here(c); ids != "" {
		p.wrap("  ", "It judges nothing, and no code is made stricter by another: what binds is "+ids+", the rest is habit. "+
			"What another code breaks and the one here meets is no fault here, as far as this tool checks.")
	} else {
		p.wrap("  ", "It judges nothing, and no code is made stricter by another: none of these binds here, all are habit.")
	}
	p.wrap("  ", "silent: that code has no rule of the topic for such a subject, which is neither a permission nor \"not applicable\" "+
		"(it speaks of it and asks nothing here); it may still speak of the part beside, the pipe where this is its trap. A code's clauses that have no rule in this tool were not compared.")
	p.wrap("  ", "Limits stand as the rule wrote them; a figure in brackets is the same limit in other units. The whole sheet with its cautions: fallrule check.")
	p.wrap("  ", DecisionRule)
	p.wrap("  ", Notice)
	p.counts(c.Sheet)
}
