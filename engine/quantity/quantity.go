// Package quantity reads and writes quantities as people write them: "2.10 m
// ± 20 mm", "1/4 in per ft", "at least 0.4 m". Inside, every dimension has one
// unit; see the dimensions.
package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"fallrule/plugins/sdk/plan"
)

// Quantity is a quantity string as understood.
type Quantity struct {
	// Reading in the canonical unit of its dimension. How is "" when the text
	// does not say how the figure was come by.
	Reading plan.Reading
	// HasTolerance tells that the band is the writer's own: a tolerance, a
	// range, one open side, a guess, `exact`, or a count. Without it the band is
	// one point and the caller puts the document's default around it.
	HasTolerance bool
	// Word is "unknown" or "none" when that was written; there is no reading.
	Word string
	// FromAngle tells that a fall was read in degrees: a coarse way, for a tenth
	// of a degree is 1.7 mm/m.
	FromAngle bool
}

// The words that stand for a quantity.
const (
	Unknown = "unknown" // asked, not known
	None    = "none"    // known not to exist
)

// A guess without a tolerance of its own gets a wide band: this share of the
// figure to both sides; a year and a temperature, whose zero means nothing, a
// fixed one. From experience, no source.
const (
	GuessShare   = 0.25
	GuessYears   = 10.0
	GuessDegrees = 10.0 // °C
)

// Error says what is wrong with a quantity string.
type Error struct {
	What       string
	Allowed    string
	DidYouMean string
}

func (e *Error) Error() string {
	text := e.What
	if e.Allowed != "" {
		text += "; allowed: " + e.Allowed
	}
	if e.DidYouMean != "" {
		text += "; did you mean " + e.DidYouMean + "?"
	}
	return text
}

// Parse reads a quantity string of dimension d. The error is an *Error.
func Parse(text string, d Dimension) (Quantity, error) {
	p := parser{d: d, text: text}
	q, err := p.parse(tidy(text))
	if err != nil {
		return Quantity{}, err
	}
	return q, nil
}

// hows are the words that say how a figure was come by.
var hows = map[string]plan.How{
	"taped": plan.Taped, "guessed": plan.Guessed, "planned": plan.Planned,
	"drawing": plan.Drawn, "exact": plan.Exact,
}

type parser struct {
	d    Dimension
	text string // as written, for messages
}

// parse takes the words off the front and then reads the figure.
func (p parser) parse(text string) (Quantity, error) {
	if text == "" {
		return Quantity{}, &Error{What: p.d.Name() + " is empty", Allowed: p.d.Example() + ", unknown, none"}
	}
	if word := strings.ToLower(text); word == Unknown || word == None {
		return Quantity{Word: word}, nil
	}
	how, text := p.how(text)
	side, text := sideOf(text)
	if err := p.slips(text); err != nil {
		return Quantity{}, err
	}
	q, err := p.band(text)
	if err != nil {
		return Quantity{}, err
	}
	q.Reading.How = how
	if how == plan.Exact && (q.HasTolerance || side != 0) {
		return Quantity{}, &Error{What: fmt.Sprintf("%q is exact and has a band", p.text), Allowed: "exact " + p.d.Example() + ", or a tolerance without `exact`"}
	}
	return p.finish(q, how, side)
}

func (p parser) how(text string) (plan.How, string) {
	word, rest, found := strings.Cut(text, " ")
	if how, ok := hows[strings.ToLower(word)]; found && ok {
		return how, strings.TrimSpace(rest)
	}
	return "", text
}

// sideOf reads "at least" (-1: open above) and "at most" (+1: open below).
func sideOf(text string) (int, string) {
	lower := strings.ToLower(text)
	switch {
	case strings.HasPrefix(lower, "at least "):
		return -1, strings.TrimSpace(text[len("at least "):])
	case strings.HasPrefix(lower, "at most "):
		return 1, strings.TrimSpace(text[len("at most "):])
	}
	return 0, text
}

// finish opens a side, widens a guess and settles what has no tolerance.
func (p parser) finish(q Quantity, how plan.How, side int) (Quantity, error) {
	r := &q.Reading
	switch {
	case side < 0:
		r.High, q.HasTolerance = math.Inf(1), true
	case side > 0:
		r.Low, q.HasTolerance = math.Inf(-1), true
	case how == plan.Exact:
		q.HasTolerance = true
	case how == plan.Guessed && !q.HasTolerance:
		t := guessTolerance(p.d, r.Value)
		if t == 0 {
			return q, &Error{What: fmt.Sprintf("%q: a guess of nothing needs a tolerance of its own", p.text), Allowed: "guessed 0 mm ± 20 mm"}
		}
		r.Low, r.High, q.HasTolerance = r.Value-t, r.Value+t, true
		if p.d == Count {
			r.Low, r.High = math.Floor(r.Low), math.Ceil(r.High)
		}
	case how == "" && !q.HasTolerance && (p.d == Count || p.d == Year):
		r.How, q.HasTolerance = plan.Exact, true
	}
	return q, nil
}

func guessTolerance(d Dimension, v float64) float64 {
	switch d {
	case Year:
		return GuessYears
	case Temperature:
		return GuessDegrees
	}
	return GuessShare * math.Abs(v)
}

var (
	signs = strings.NewReplacer(
		"\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", "\n", " ",
		"−", "-", "′", "'", "’", "'", "″", `"`, "”", `"`, "“", `"`,
		"º", "°", "˚", "°", "⁄", "/", "×", "x", "+/-", "±", "+-", "±", "+ / -", "±",
		"½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8",
	)
	blanks = regexp.MustCompile(` +`)
)

// tidy brings the many signs for one thing to one.
func tidy(text string) string {
	return strings.TrimSpace(blanks.ReplaceAllString(signs.Replace(text), " "))
}

// slips are the ways people write a bound that is no quantity here.
func (p parser) slips(text string) error {
	for _, s := range []struct{ prefix, instead string }{
		{">=", "at least"}, {"≥", "at least"}, {">", "at least"}, {"min.", "at least"}, {"min ", "at least"},
		{"<=", "at most"}, {"≤", "at most"}, {"<", "at most"}, {"max.", "at most"}, {"max ", "at most"},
		{"~", "guessed"}, {"≈", "guessed"}, {"ca.", "guessed"}, {"ca ", "guessed"}, {"about ", "guessed"}, {"approx.", "guessed"},
	} {
		if strings.HasPrefix(strings.ToLower(text), s.prefix) {
			rest := strings.TrimSpace(text[len(s.prefix):])
			return &Error{
				What:       fmt.Sprintf("%q begins with `%s`", p.text, strings.TrimSpace(s.prefix)),
				Allowed:    "words: at least, at most, guessed",
				DidYouMean: fmt.Sprintf(`"%s %s"`, s.instead, rest),
			}
		}
	}
	return nil
}

// In reads a limit of a rule: one figure, without a band, in a unit of the
// catalogue of quantities ("mm", "mm/m", "°", "l/s", "m/s", "kPa", "s", "mm²",
// "l", "1"). Only "1" takes a bare number.
func In(text, unit string) (float64, error) {
	d, ok := OfUnit(unit)
	if !ok {
		return 0, &Error{What: fmt.Sprintf("no dimension has the unit %q", unit), Allowed: "a unit of the catalogue of quantities"}
	}
	q, err := Parse(text, d)
	switch {
	case err != nil:
		return 0, err
	case q.Word != "":
		return 0, &Error{What: fmt.Sprintf("%q is no limit", text), Allowed: d.Example()}
	case q.HasTolerance || q.Reading.How != "":
		return 0, &Error{What: fmt.Sprintf("%q: a limit has neither a band nor a word before it", text), Allowed: d.Example()}
	}
	return q.Reading.Value, nil
}

// Tolerance reads a tolerance that stands alone, as in a document's defaults
// for its readings: "± 10 mm" is 10.
func Tolerance(text string, d Dimension) (float64, error) {
	p := parser{d: d, text: text}
	figure, found := strings.CutPrefix(tidy(text), "±")
	if !found {
		return 0, &Error{What: fmt.Sprintf("%q is no tolerance", text), Allowed: "± " + d.Example()}
	}
	a, err := p.figure(strings.TrimSpace(figure))
	if err != nil {
		return 0, err
	}
	if a, err = p.check(a, strings.TrimSpace(figure)); err != nil {
		return 0, err
	}
	v := a.canonical()
	if a.unit != nil && !a.fixed {
		v -= a.unit.offset
	}
	if v < 0 {
		return 0, &Error{What: fmt.Sprintf("%q: a tolerance is negative", text), Allowed: "± " + d.Example()}
	}
	return v, nil
}
