package report

import (
	"fmt"
	"io"
	"strings"

	"github.com/fatih/color"
	"github.com/jedib0t/go-pretty/v6/text"

	"fallrule/engine/finding"
)

// Text writes the sheet for a person: one sentence, then what must change,
// what is too close, what could not be judged, what was there before, what is
// met; the compared profiles after that; cautions and small print last.
func Text(w io.Writer, s *finding.Sheet, o Options) error {
	p := &page{width: o.Width, color: o.Color, all: o.All}
	if p.width == 0 {
		p.width = 80
	}
	p.wrap("", headline(s))
	p.line("")
	p.head(s)
	p.failed(s)
	binding := keep(s.Findings, func(f finding.Finding) bool { return f.Binding })
	p.findings(binding, s.Stage)
	for _, profile := range s.Profiles {
		if !profile.Binding {
			p.beside(profile, keep(s.Findings, func(f finding.Finding) bool { return !f.Binding && f.Rule.Profile == profile.ID }))
		}
	}
	p.foot(s)
	_, err := io.WriteString(w, p.b.String())
	return err
}

type page struct {
	b     strings.Builder
	width int
	color bool
	all   bool
}

func (p *page) line(s string) { p.b.WriteString(strings.TrimRight(s, " ") + "\n") }

// wrap writes text folded at the page's width, each line behind the indent.
func (p *page) wrap(indent, s string) {
	for _, line := range strings.Split(text.WrapSoft(s, p.width-len(indent)), "\n") {
		p.line(indent + strings.TrimSpace(line))
	}
}

// item writes text behind a mark, later lines indented under the first.
func (p *page) item(mark, s string) {
	lines := strings.Split(text.WrapSoft(s, p.width-len(mark)), "\n")
	for i, line := range lines {
		lead := mark
		if i > 0 {
			lead = strings.Repeat(" ", len(mark))
		}
		p.line(lead + strings.TrimSpace(line))
	}
}

func (p *page) title(s string, attrs ...color.Attribute) {
	p.line("")
	if p.color {
		c := color.New(append(attrs, color.Bold)...)
		c.EnableColor()
		s = c.Sprint(s)
	}
	p.line(s)
}

func (p *page) head(s *finding.Sheet) {
	name := s.Document.Title
	if name == "" {
		name = s.Document.File
	}
	if s.Document.Revision != "" {
		name += ", revision " + s.Document.Revision
	}
	p.wrap("", fmt.Sprintf("%s (stage: %s).", name, s.Stage))
	for _, profile := range s.Profiles {
		role := "binds here"
		if !profile.Binding {
			role = "compared only"
		}
		p.item("  "+profile.ID+": ", fmt.Sprintf("%s, %s; %s.", profile.Title, role, profile.Why))
	}
}

// findings writes the binding findings, worst first.
func (p *page) findings(all []finding.Finding, stage string) {
	is := func(v finding.Verdict) []finding.Finding {
		return keep(all, func(f finding.Finding) bool { return f.Verdict == v && !f.Untouched })
	}
	p.breaks(is(finding.Breaks))
	if close := is(finding.TooClose); len(close) > 0 {
		p.title("Too close to call: measure again", color.FgYellow)
		p.list(close)
	}
	p.unknown(keep(is(finding.CannotTell), func(f finding.Finding) bool { return !f.Waits(stage) }))
	p.later(keep(is(finding.CannotTell), func(f finding.Finding) bool { return f.Waits(stage) }))
	p.untouched(keep(all, func(f finding.Finding) bool { return f.Untouched }))
	p.met(is(finding.Meets), is(finding.NotApplicable))
}

func (p *page) breaks(breaks []finding.Finding) {
	waived := keep(breaks, func(f finding.Finding) bool { return f.Waiver != nil })
	open := keep(breaks, func(f finding.Finding) bool { return f.Waiver == nil })
	must := keep(open, finding.Finding.Accuses)
	if len(must) > 0 {
		p.title("Must change", color.FgRed)
		p.folded(byCause(must))
	}
	if advice := keep(open, func(f finding.Finding) bool { return !f.Accuses() }); len(advice) > 0 {
		p.title("Against good practice (no code forbids it)", color.FgYellow)
		p.folded(byCause(advice))
	}
	if len(waived) > 0 {
		p.title("Broken, and allowed by a paper", color.FgYellow)
		for _, f := range waived {
			p.one(f)
			p.wrap("     ", fmt.Sprintf("Allowed by %s, %s, %s.", f.Waiver.By, f.Waiver.Reference, f.Waiver.Date))
		}
	}
}

// folded numbers the jobs. Findings of one job that read the same but for the
// piece of pipe are told once, with every piece; what differs is told after.
func (p *page) folded(folds []Fold) {
	for i, fold := range folds {
		for j, same := range alike(fold.Findings) {
			f := same[0]
			head := strings.Join(subjects(same), ", ") + ": " + f.Rule.Title + "."
			if j == 0 {
				p.item(fmt.Sprintf("%2d. ", i+1), head)
			} else if head != heading(fold.Findings[0]) {
				p.wrap("    ", "And "+head)
			}
			p.detail(f)
		}
	}
}

func heading(f finding.Finding) string { return f.Subject + ": " + f.Rule.Title + "." }

// alike puts findings together that differ in nothing but their subject.
func alike(findings []finding.Finding) [][]finding.Finding {
	var out [][]finding.Finding
	at := map[string]int{}
	for _, f := range findings {
		key := fmt.Sprint(f.Rule.Title, f.Message, source(f), f.Position.Line)
		i, known := at[key]
		if !known {
			i = len(out)
			at[key] = i
			out = append(out, nil)
		}
		out[i] = append(out[i], f)
	}
	return out
}

func (p *page) list(findings []finding.Finding) {
	for _, f := range findings {
		p.one(f)
	}
}

func (p *page) one(f finding.Finding) {
	p.item("  - ", heading(f))
	p.detail(f)
}

// detail writes what was read and asked, and where the clause stands.
func (p *page) detail(f finding.Finding) {
	if f.Message != "" {
		p.wrap("    ", upper(f.Message)+".")
	}
	p.wrap("    ", source(f)+fmt.Sprintf(" Line %d.", f.Position.Line))
}

// source is the clause with its force and basis.
func source(f finding.Finding) string {
	s := fmt.Sprintf("%s: %s, %s (%s", f.Rule.Profile, f.Rule.DocTitle, f.Rule.Clause, forceWords[f.Rule.Force])
	switch f.Basis {
	case finding.Memory:
		s += "; from memory: confirm the clause before you act"
	case finding.CommonPractice:
		s += "; practice of the trade, no source"
	}
	s += ")"
	if len(f.Limit) == 1 && f.Limit[0].Note != "" {
		s += "; " + f.Limit[0].Note
	}
	return s + "."
}

var forceWords = map[finding.Force]string{
	finding.Law:              "law",
	finding.ApprovedGuidance: "approved guidance, other ways may be accepted",
	finding.Standard:         "standard",
	finding.LocalLaw:         "local law",
	finding.Practice:         "good practice",
}

func upper(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}

// unknown folds what could not be judged by the reading it waits for.
func (p *page) unknown(findings []finding.Finding) {
	if len(findings) == 0 {
		return
	}
	p.title("Could not be judged", color.FgYellow)
	for _, fold := range byReading(findings) {
		p.item("  - ", foldTitle(fold)+": "+rulesOf(fold.Findings)+".")
	}
}

func foldTitle(fold Fold) string {
	f := fold.Findings[0]
	n := len(fold.Findings)
	switch {
	case len(f.Needs) > 0:
		return fmt.Sprintf("%s (%s)", fold.Cause, plural(n, "finding waits", "findings wait"))
	case f.Because == finding.Authority:
		return fmt.Sprintf("for the inspector to judge (%d)", n)
	case f.Because == finding.OutsideTable:
		return fmt.Sprintf("outside the clause's table (%d)", n)
	case f.Because == finding.PartialTable:
		return fmt.Sprintf("the table is not fully known here (%d)", n)
	case f.Because == finding.PluginFault:
		return fmt.Sprintf("a measurement plugin failed (%d)", n)
	case f.Because == finding.ProfileFault:
		return fmt.Sprintf("the rule itself is faulty (%d)", n)
	}
	return fmt.Sprintf("not told (%d)", n)
}

// rulesOf names the subjects and rules of a fold, each once.
func rulesOf(findings []finding.Finding) string {
	seen := map[string]bool{}
	var out []string
	for _, f := range findings {
		key := f.Subject + " " + f.Rule.ID
		if !seen[key] {
			seen[key] = true
			out = append(out, key)
		}
	}
	const most = 6
	if len(out) > most {
		return strings.Join(out[:most], ", ") + fmt.Sprintf(" and %d more", len(out)-most)
	}
	return strings.Join(out, ", ")
}

func (p *page) later(findings []finding.Finding) {
	if len(findings) == 0 {
		return
	}
	p.title("Later in the work")
	last := ""
	for _, f := range findings {
		line := f.Subject + ": " + f.Rule.Title + " (" + whenWords[f.Rule.When] + ")."
		if line != last { // a test has several figures
			p.item("  - ", line)
		}
		last = line
	}
}

var whenWords = map[string]string{
	"before_work": "before the work begins", "before_cut": "before anything is cut",
	"before_closing": "before floors and walls are closed", "before_use": "before it is used",
}

// untouched tells old work without accusing it.
func (p *page) untouched(findings []finding.Finding) {
	if len(findings) == 0 {
		return
	}
	p.title("Was there before, not judged")
	p.wrap("  ", fmt.Sprintf("%s (%s). It may still be overloaded or unsafe; have a licensed plumber look.",
		strings.Join(subjects(findings), ", "), plural(len(findings), "clause", "clauses")))
}

func subjects(findings []finding.Finding) []string {
	seen := map[string]bool{}
	var out []string
	for _, f := range findings {
		if !seen[f.Subject] {
			seen[f.Subject] = true
			out = append(out, f.Subject)
		}
	}
	return out
}

func (p *page) met(met, exempt []finding.Finding) {
	p.title("Met", color.FgGreen)
	p.wrap("  ", fmt.Sprintf("%s met, %d not applicable.", plural(len(met), "requirement", "requirements"), len(exempt)))
	if !p.all {
		return
	}
	for _, f := range append(met, exempt...) {
		p.item("  - ", f.Subject+": "+f.Rule.ID+": "+f.Message+".")
	}
}

// beside tells a compared profile in short: habit from home, never a verdict.
func (p *page) beside(profile finding.ProfileInfo, findings []finding.Finding) {
	p.title("Beside it: " + profile.ID + " (compared, decides nothing)")
	counts := finding.Counts{}
	for _, f := range findings {
		counts[f.Verdict]++
	}
	p.wrap("  ", fmt.Sprintf("Would break %d, be too close %d, could not be judged %d, meet %d.",
		counts[finding.Breaks], counts[finding.TooClose], counts[finding.CannotTell], counts[finding.Meets]))
	for _, f := range findings {
		if (f.Verdict == finding.Breaks || f.Verdict == finding.TooClose) && !f.Untouched {
			p.item("  - ", fmt.Sprintf("%s %s: %s (%s)%s.", f.Subject, Verdict(f.Verdict), f.Message, f.Rule.Clause, unconfirmed(f.Basis)))
		}
	}
}

func unconfirmed(b finding.Basis) string {
	if b == finding.Read {
		return ""
	}
	return ", unconfirmed"
}

// Verdict is a verdict as people say it.
func Verdict(v finding.Verdict) string {
	return map[finding.Verdict]string{
		finding.Breaks: "breaks", finding.TooClose: "is too close", finding.CannotTell: "cannot be told",
		finding.Meets: "meets", finding.NotApplicable: "is not concerned",
	}[v]
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
