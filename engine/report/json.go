package report

import (
	"encoding/json"
	"io"
	"math"

	"fallrule/engine/finding"
)

// JSON writes the sheet as schema/sheet.schema.json says.
func JSON(w io.Writer, s *finding.Sheet, _ Options) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(sheetOf(s))
}

// Line writes the sheet as JSON in one line, for many sheets in one stream.
func Line(w io.Writer, s *finding.Sheet) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	return e.Encode(sheetOf(s))
}

type sheetJSON struct {
	Sheet    int           `json:"sheet"`
	Tool     toolJSON      `json:"tool"`
	Document documentJSON  `json:"document"`
	Profiles []profileJSON `json:"profiles"`
	Plugins  []pluginJSON  `json:"plugins"`
	Summary  summaryJSON   `json:"summary"`
	Findings []findingJSON `json:"findings"`
	Warnings []string      `json:"warnings"`
	Cautions []cautionJSON `json:"cautions"`
	Readings readingsJSON  `json:"readings"`
	Decision string        `json:"decision_rule"`
	Notice   string        `json:"notice"`
}

type toolJSON struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

type documentJSON struct {
	File     string `json:"file"`
	Title    string `json:"title,omitempty"`
	Revision string `json:"revision,omitempty"`
	SHA256   string `json:"sha256"`
	Stage    string `json:"stage"`
}

type profileJSON struct {
	ID      string         `json:"id"`
	Title   string         `json:"title"`
	Edition string         `json:"edition"`
	Binding bool           `json:"binding"`
	Why     string         `json:"why"`
	Limits  map[string]int `json:"limits_by_basis"`
	SHA256  string         `json:"sha256"`
}

type pluginJSON struct {
	Name       string `json:"name"`
	Version    string `json:"version"`
	Quantities int    `json:"quantities"`
	Fault      string `json:"fault,omitempty"`
}

type summaryJSON struct {
	Exit      int                       `json:"exit"`
	ByVerdict map[string]int            `json:"by_verdict"`
	ByProfile map[string]map[string]int `json:"by_profile"`
	Unsure    int                       `json:"breaks_unconfirmed"`
	Waived    int                       `json:"waived"`
}

type cautionJSON struct {
	ID   string `json:"id"`
	Text string `json:"text"`
	For  string `json:"for,omitempty"`
}

type readingsJSON struct {
	ByHow     map[string]int `json:"by_how"`
	Defaulted int            `json:"tolerance_by_default"`
	Exact     int            `json:"exact"`
}

type findingJSON struct {
	Profile   string                  `json:"profile"`
	Origin    string                  `json:"origin"`
	Rule      string                  `json:"rule"`
	Title     string                  `json:"title"`
	Topic     string                  `json:"topic"`
	Subject   string                  `json:"subject"`
	Quantity  string                  `json:"quantity"`
	Verdict   string                  `json:"verdict"`
	Binding   bool                    `json:"binding"`
	Measured  map[string]measuredJSON `json:"measured"`
	Limit     []rowJSON               `json:"limit"`
	Allowed   []intervalJSON          `json:"allowed,omitempty"`
	Ways      []wayJSON               `json:"ways,omitempty"`
	Margin    *float64                `json:"margin"`
	Document  string                  `json:"document"`
	Edition   string                  `json:"edition"`
	Clause    string                  `json:"clause"`
	Basis     string                  `json:"basis"`
	Force     string                  `json:"force"`
	Severity  string                  `json:"severity"`
	When      string                  `json:"when"`
	Message   string                  `json:"message"`
	Because   string                  `json:"because,omitempty"`
	Needs     []string                `json:"needs,omitempty"`
	Waiver    *waiverJSON             `json:"waiver,omitempty"`
	Untouched bool                    `json:"untouched,omitempty"`
	Position  positionJSON            `json:"position"`
	Also      []positionJSON          `json:"also,omitempty"`
}

type measuredJSON struct {
	Low     *float64     `json:"low,omitempty"`
	Value   *float64     `json:"value,omitempty"`
	High    *float64     `json:"high,omitempty"`
	Unit    string       `json:"unit,omitempty"`
	States  []string     `json:"states,omitempty"`
	Because string       `json:"because,omitempty"`
	Needs   string       `json:"needs,omitempty"`
	Text    string       `json:"text,omitempty"`
	Plugin  string       `json:"plugin,omitempty"`
	Working *workingJSON `json:"working,omitempty"`
}

type workingJSON struct {
	Formula string `json:"formula"`
	Numbers string `json:"numbers"`
	Source  string `json:"source"`
}

type rowJSON struct {
	Need   map[string]boundJSON `json:"need"`
	Basis  string               `json:"basis"`
	Clause string               `json:"clause,omitempty"`
	Note   string               `json:"note,omitempty"`
}

type boundJSON struct {
	AtLeast *float64          `json:"at_least,omitempty"`
	AtMost  *float64          `json:"at_most,omitempty"`
	Above   *float64          `json:"above,omitempty"`
	Below   *float64          `json:"below,omitempty"`
	OneOf   []string          `json:"one_of,omitempty"`
	Unit    string            `json:"unit,omitempty"`
	Written map[string]string `json:"written,omitempty"`
}

type intervalJSON struct {
	Low      *float64 `json:"low,omitempty"`
	High     *float64 `json:"high,omitempty"`
	LowOpen  bool     `json:"low_open,omitempty"`
	HighOpen bool     `json:"high_open,omitempty"`
}

type wayJSON struct {
	Quantity string         `json:"quantity"`
	Allowed  []intervalJSON `json:"allowed,omitempty"`
	Words    []string       `json:"words,omitempty"`
}

type waiverJSON struct {
	By        string `json:"by"`
	Reference string `json:"reference"`
	Date      string `json:"date"`
}

type positionJSON struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// finite leaves out an end that JSON cannot write.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}
