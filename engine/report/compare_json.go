package report

import (
	"encoding/json"
	"io"
)

// compareJSON writes a comparison as schema/compare.schema.json says.
func compareJSON(w io.Writer, c Comparison, _ Options) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(comparisonOf(c))
}

type comparisonJSON struct {
	Compare  int                 `json:"compare"`
	Tool     toolJSON            `json:"tool"`
	Document documentJSON        `json:"document"`
	Country  string              `json:"country,omitempty"`
	Profiles []comparedJSON      `json:"profiles"`
	Faults   []string            `json:"plugin_faults"`
	Rows     []comparisonRowJSON `json:"rows"`
	Decision string              `json:"decision_rule"`
	Notice   string              `json:"notice"`
}

type comparedJSON struct {
	ID        string         `json:"id"`
	Title     string         `json:"title"`
	Edition   string         `json:"edition"`
	Role      string         `json:"role"`
	Why       string         `json:"why"`
	ByVerdict map[string]int `json:"by_verdict"`
	SHA256    string         `json:"sha256"`
}

type comparisonRowJSON struct {
	Subject  string               `json:"subject"`
	Kinds    []string             `json:"kinds"`
	Topic    string               `json:"topic"`
	Quantity string               `json:"quantity"`
	Group    string               `json:"group"`
	Measured []comparedFigureJSON `json:"measured"`
	Codes    []comparedCodeJSON   `json:"codes"`
	Position positionJSON         `json:"position"`
}

type comparedFigureJSON struct {
	Quantity string   `json:"quantity"`
	Label    string   `json:"label"`
	Text     string   `json:"text"`
	Low      *float64 `json:"low,omitempty"`
	Value    *float64 `json:"value,omitempty"`
	High     *float64 `json:"high,omitempty"`
	Unit     string   `json:"unit,omitempty"`
	States   []string `json:"states,omitempty"`
}

type comparedCodeJSON struct {
	Profile  string                `json:"profile"`
	Role     string                `json:"role"`
	Speaks   string                `json:"speaks"`
	Verdict  string                `json:"verdict,omitempty"`
	SeeRows  []string              `json:"see_rows,omitempty"`
	SeeWorst string                `json:"see_verdict,omitempty"`
	Findings []comparedFindingJSON `json:"findings"`
}

type comparedFindingJSON struct {
	Rule      string    `json:"rule"`
	Title     string    `json:"title"`
	Verdict   string    `json:"verdict"`
	Asks      []string  `json:"asks"`
	Limit     []rowJSON `json:"limit"`
	Document  string    `json:"document"`
	Clause    string    `json:"clause"`
	Basis     string    `json:"basis"`
	Force     string    `json:"force"`
	Severity  string    `json:"severity"`
	Message   string    `json:"message"`
	Because   string    `json:"because,omitempty"`
	Needs     []string  `json:"needs,omitempty"`
	Waived    bool      `json:"waived,omitempty"`
	Untouched bool      `json:"untouched,omitempty"`
}

func comparisonOf(c Comparison) comparisonJSON {
	s := c.Sheet
	out := comparisonJSON{
		Compare: 1, Tool: toolJSON{"fallrule", s.Tool}, Country: c.Country,
		Document: documentJSON{s.Document.File, s.Document.Title, s.Document.Revision, s.Document.SHA256, s.Stage},
		Profiles: []comparedJSON{}, Faults: []string{}, Rows: []comparisonRowJSON{}, Decision: DecisionRule, Notice: Notice,
	}
	counts := summaryOf(s).ByProfile
	for _, p := range s.Profiles {
		out.Profiles = append(out.Profiles, comparedJSON{p.ID, p.Title, p.Edition, role(p.Binding), p.Why, counts[p.ID], p.SHA256})
	}
	for _, p := range s.Plugins {
		if p.Fault != "" {
			out.Faults = append(out.Faults, p.Name+": "+p.Fault)
		}
	}
	for _, r := range c.Rows {
		out.Rows = append(out.Rows, comparedRowOf(r))
	}
	return out
}

// role is the closed word for how a code takes part.
func role(binding bool) string {
	if binding {
		return "binds"
	}
	return "habit"
}

func comparedRowOf(r ComparisonRow) comparisonRowJSON {
	out := comparisonRowJSON{
		Subject: r.Subject, Kinds: r.Kinds, Topic: r.Topic, Quantity: r.Quantity, Group: string(r.Group),
		Measured: []comparedFigureJSON{}, Codes: []comparedCodeJSON{}, Position: positionJSON(r.Position),
	}
	for _, f := range r.Measured {
		j := comparedFigureJSON{Quantity: f.Quantity, Label: f.Label, Text: f.Text, States: f.Measured.States}
		if b := f.Measured.Band; b != nil {
			j.Unit, j.Low, j.Value, j.High = f.Measured.Unit, finite(b.Low), finite(b.Value), finite(b.High)
		}
		out.Measured = append(out.Measured, j)
	}
	for _, c := range r.Cells {
		code := comparedCodeJSON{
			Profile: c.Profile, Role: role(c.Binding), Speaks: string(c.Speaks), Verdict: string(c.Verdict),
			SeeRows: c.SeeRows, SeeWorst: string(c.SeeVerdict), Findings: []comparedFindingJSON{},
		}
		for _, j := range c.Judged {
			code.Findings = append(code.Findings, comparedFindingOf(j))
		}
		out.Codes = append(out.Codes, code)
	}
	return out
}

func comparedFindingOf(j ComparisonFinding) comparedFindingJSON {
	f := j.Finding
	out := comparedFindingJSON{
		Rule: f.Rule.ID, Title: f.Rule.Title, Verdict: string(f.Verdict), Asks: append([]string{}, j.Asks...), Limit: []rowJSON{},
		Document: f.Rule.DocTitle, Clause: j.Clause, Basis: string(f.Basis), Force: string(f.Rule.Force), Severity: string(f.Rule.Severity),
		Message: f.Message, Because: string(f.Because), Needs: f.Needs, Waived: f.Waiver != nil, Untouched: f.Untouched,
	}
	for _, r := range f.Limit {
		out.Limit = append(out.Limit, rowOf(r, f.Measured))
	}
	return out
}
