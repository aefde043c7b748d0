package report

import (
	"fmt"
	"sort"
	"strings"

	"fallrule/engine/finding"
)

// Headline is the sheet in one sentence.
func Headline(s *finding.Sheet) string { return headline(s) }

// headline is the first sentence: what to do, in plain words, from the
// binding profiles alone.
func headline(s *finding.Sheet) string {
	binding := keep(s.Findings, func(f finding.Finding) bool { return f.Binding && !f.Untouched && f.Waiver == nil })
	must := len(byCause(keep(binding, finding.Finding.Accuses)))
	close := len(keep(binding, func(f finding.Finding) bool { return f.Verdict == finding.TooClose }))
	unknown := keep(binding, func(f finding.Finding) bool { return f.Verdict == finding.CannotTell && !f.Waits(s.Stage) })
	readings := readingsWanted(unknown)
	var parts []string
	if must > 0 {
		parts = append(parts, plural(must, "thing must change", "things must change"))
	}
	if close > 0 {
		parts = append(parts, plural(close, "reading is too rough to call", "readings are too rough to call"))
	}
	if len(unknown) > 0 {
		parts = append(parts, fmt.Sprintf("%s %s", plural(len(unknown), "question waits", "questions wait"), waitFor(readings)))
	}
	if len(parts) == 0 {
		return allMet(binding)
	}
	return stop(s.Stage, must) + ": " + strings.Join(parts, ", ") + "."
}

// allMet never says that the work complies: only what was checked is known.
func allMet(binding []finding.Finding) string {
	met := len(keep(binding, func(f finding.Finding) bool { return f.Verdict == finding.Meets }))
	advice := len(keep(binding, func(f finding.Finding) bool { return f.Verdict == finding.Breaks }))
	if met == 0 && advice == 0 {
		return "Nothing was judged: no rule that binds here asks anything of what this layout tells."
	}
	if advice > 0 {
		return fmt.Sprintf("No code that binds here is broken in what was checked (%s met), but %s good practice.",
			plural(met, "requirement", "requirements"), plural(advice, "point goes against", "points go against"))
	}
	return fmt.Sprintf("Nothing found against this layout: %s met. That is all this tool can check, and no permission.",
		plural(met, "requirement is", "requirements are"))
}

func stop(stage string, must int) string {
	switch {
	case must == 0:
		return "Not settled yet"
	case stage == "planned":
		return "Do not build it like this"
	case stage == "closed":
		return "Do not use it like this"
	}
	return "Do not close the floor"
}

type wanted struct {
	Reading string
	Waiting int
}

// readingsWanted counts what each missing reading keeps waiting, most first.
func readingsWanted(findings []finding.Finding) []wanted {
	n := map[string]int{}
	for _, f := range findings {
		for _, r := range f.Needs {
			n[r]++
		}
	}
	var out []wanted
	for r, k := range n {
		out = append(out, wanted{r, k})
	}
	sort.Slice(out, func(i, j int) bool {
		if out[i].Waiting != out[j].Waiting {
			return out[i].Waiting > out[j].Waiting
		}
		return out[i].Reading < out[j].Reading
	})
	return out
}

func waitFor(readings []wanted) string {
	switch len(readings) {
	case 0:
		return "for an answer"
	case 1:
		return "for one reading (" + readings[0].Reading + ")"
	}
	return fmt.Sprintf("for %d readings (first: %s)", len(readings), readings[0].Reading)
}

// failed names the plugins that went wrong before anything else is read: what
// they did not measure was not judged.
func (p *page) failed(s *finding.Sheet) {
	var faults []string
	for _, plugin := range s.Plugins {
		if plugin.Fault != "" {
			faults = append(faults, plugin.Name+": "+plugin.Fault)
		}
	}
	if len(faults) > 0 {
		p.line("")
		p.wrap("", "Plugins that failed, so that what they measure was not judged: "+strings.Join(faults, "; ")+".")
	}
}

// foot writes cautions and what a sheet must say of itself.
func (p *page) foot(s *finding.Sheet) {
	if len(s.Cautions) > 0 {
		p.title("Take care")
		for _, c := range s.Cautions {
			p.item("  - ", c.Text)
		}
	}
	if len(s.Warnings) > 0 {
		p.title("In the document")
		for _, w := range s.Warnings {
			p.item("  - ", w)
		}
	}
	p.title("About this sheet")
	p.wrap("  ", Notice)
	p.wrap("  ", DecisionRule)
	p.wrap("  ", readingsLine(s.Readings))
	for _, profile := range s.Profiles {
		p.wrap("  ", fmt.Sprintf("%s: %s; limits read in a source %d, from memory %d, common practice %d.", profile.ID, profile.Edition,
			profile.Limits[finding.Read], profile.Limits[finding.Memory], profile.Limits[finding.CommonPractice]))
	}
	p.wrap("  ", fmt.Sprintf("Clauses of these codes that have no rule here were not checked. fallrule %s; document checksum %s.", s.Tool, short(s.Document.SHA256)))
	p.counts(s)
}

func readingsLine(r finding.Readings) string {
	var hows []string
	for how := range r.ByHow {
		hows = append(hows, how)
	}
	sort.Strings(hows)
	var parts []string
	for _, how := range hows {
		parts = append(parts, fmt.Sprintf("%s %d", how, r.ByHow[how]))
	}
	line := "Readings: " + strings.Join(parts, ", ")
	return line + fmt.Sprintf("; %d took the default tolerance, %d were called exact.", r.NoTolerance, r.Exact)
}

func short(sum string) string {
	if len(sum) > 12 {
		return sum[:12]
	}
	return sum
}

// counts closes the sheet with a line a profile.
func (p *page) counts(s *finding.Sheet) {
	p.line("")
	for _, profile := range s.Profiles {
		c := s.Count(func(f finding.Finding) bool { return f.Rule.Profile == profile.ID })
		memory := len(keep(s.Findings, func(f finding.Finding) bool {
			return f.Rule.Profile == profile.ID && f.Verdict == finding.Breaks && f.Basis != finding.Read
		}))
		line := fmt.Sprintf("%s: breaks %d", profile.ID, c[finding.Breaks])
		if memory > 0 {
			line += fmt.Sprintf(" (%d unconfirmed)", memory)
		}
		p.wrap("", line+fmt.Sprintf(", too close %d, cannot tell %d, meets %d, not applicable %d",
			c[finding.TooClose], c[finding.CannotTell], c[finding.Meets], c[finding.NotApplicable]))
	}
}
