package quantity

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"fallrule/engine/document/nearest"
	"fallrule/plugins/sdk/plan"
)

// amount is one figure as written: v of its unit; unit is nil when there was
// none.
type amount struct {
	v    float64
	unit *unit
	// fixed is set when v is canonical already: a ratio, feet and inches.
	fixed bool
}

func (a amount) canonical() float64 {
	if a.fixed || a.unit == nil {
		return a.v
	}
	return a.unit.canonical(a.v)
}

// num is an unsigned number, a fraction or both.
const num = `([0-9]+(?:[.,][0-9]+)?(?:/[0-9]+)?(?:[ -][0-9]+/[0-9]+)?)`

var (
	plusMinus  = regexp.MustCompile(`^(.+?) ?\+ ?` + num + ` ?([^-+0-9]*?) ?/? ?- ?` + num + ` ?([^-+]*)$`)
	minusPlus  = regexp.MustCompile(`^(.+?) ?- ?` + num + ` ?([^-+0-9]*?) ?/? ?\+ ?` + num + ` ?([^-+]*)$`)
	rangeWord  = regexp.MustCompile(`(?i) to `)
	numberHead = regexp.MustCompile(`^([-+]?) ?(?:([0-9]+)[ -]([0-9]+)/([0-9]+)|([0-9]+)/([0-9]+)|([0-9]*[.,]?[0-9]+(?:[.,][0-9]*)*))`)
	oneIn      = regexp.MustCompile(`^([0-9]+(?:[.,][0-9]+)?) ?(?::| in ) ?([0-9]+(?:[.,][0-9]+)?)$`)
	dashRange  = regexp.MustCompile(`^([0-9.,]+) ?[-–—] ?([0-9.,]+ ?[^0-9]*)$`)
)

// band reads a figure with its tolerance, or a range.
func (p parser) band(text string) (Quantity, error) {
	if main, tolerance, found := strings.Cut(text, "±"); found {
		return p.tolerance(strings.TrimSpace(main), strings.TrimSpace(tolerance), strings.TrimSpace(tolerance))
	}
	if m := plusMinus.FindStringSubmatch(text); m != nil {
		up, down := sharedUnit(m[2], m[3], m[4], m[5])
		return p.tolerance(m[1], down, up)
	}
	if m := minusPlus.FindStringSubmatch(text); m != nil {
		down, up := sharedUnit(m[2], m[3], m[4], m[5])
		return p.tolerance(m[1], down, up)
	}
	if ends := rangeWord.Split(text, -1); len(ends) == 2 {
		return p.span(ends[0], ends[1])
	}
	if m := dashRange.FindStringSubmatch(text); m != nil {
		return Quantity{}, &Error{What: fmt.Sprintf("%q is no single figure", p.text), Allowed: "a range with `to`", DidYouMean: fmt.Sprintf(`"%s to %s"`, m[1], m[2])}
	}
	a, err := p.figure(text)
	if err != nil {
		return Quantity{}, err
	}
	if a, err = p.check(a, text); err != nil {
		return Quantity{}, err
	}
	v := a.canonical()
	return Quantity{Reading: plan.Reading{Low: v, Value: v, High: v}, FromAngle: a.tangent()}, nil
}

func (a amount) tangent() bool { return a.unit != nil && a.unit.tangent }

// sharedUnit gives both figures the unit that stands behind the second.
func sharedUnit(a, aUnit, b, bUnit string) (string, string) {
	if strings.TrimSpace(aUnit) == "" {
		aUnit = bUnit
	}
	return strings.TrimSpace(a + " " + aUnit), strings.TrimSpace(b + " " + bUnit)
}

// tolerance reads "main ± t" and "main +up -down". A main figure without a
// unit takes the tolerance's; the other way round it would be a guess.
func (p parser) tolerance(main, down, up string) (Quantity, error) {
	a, err := p.figure(main)
	if err != nil {
		return Quantity{}, err
	}
	var ends [2]float64
	for i, text := range []string{down, up} {
		t, err := p.figure(text)
		if err != nil {
			return Quantity{}, err
		}
		if a.unit == nil && !a.fixed {
			a.unit = t.unit
		}
		if a, err = p.check(a, main); err != nil {
			return Quantity{}, err
		}
		if t.v < 0 {
			return Quantity{}, &Error{What: fmt.Sprintf("%q: a tolerance is negative", p.text), Allowed: p.d.Example() + " ± …"}
		}
		if ends[i], err = p.end(a, t, text, float64(2*i-1)); err != nil {
			return Quantity{}, err
		}
	}
	r := plan.Reading{Low: math.Min(ends[0], ends[1]), Value: a.canonical(), High: math.Max(ends[0], ends[1])}
	return Quantity{Reading: r, HasTolerance: true, FromAngle: a.tangent()}, nil
}

// end is where the band ends on one side (sign -1 or 1), canonical.
func (p parser) end(a, t amount, text string, sign float64) (float64, error) {
	percent := t.unit != nil && (t.unit.dim == Ratio || t.unit.dim == Fall) && t.unit.symbols[0] != "°" && strings.HasSuffix(text, "%")
	if percent && a.unit != t.unit {
		if p.d == Fall || p.d == Ratio {
			return 0, &Error{What: fmt.Sprintf("%q: a tolerance in %% can be read in two ways here", p.text), Allowed: p.d.Example() + " ± " + p.d.With("2")}
		}
		return a.canonical() + sign*math.Abs(a.canonical())*t.v/100, nil
	}
	t, err := p.check(t, text)
	if err != nil {
		return 0, err
	}
	switch {
	case a.unit == t.unit && !a.fixed && !t.fixed && a.unit != nil:
		return a.unit.canonical(a.v + sign*t.v), nil
	case t.unit != nil && !t.fixed && !t.unit.tangent:
		return a.canonical() + sign*t.v*t.unit.factor, nil
	}
	return a.canonical() + sign*t.canonical(), nil
}

// span reads "2.0 to 2.2 m". Its value is the middle.
func (p parser) span(from, to string) (Quantity, error) {
	b, err := p.figure(strings.TrimSpace(to))
	if err != nil {
		return Quantity{}, err
	}
	a, err := p.figure(strings.TrimSpace(from))
	if err != nil {
		return Quantity{}, err
	}
	if a.unit == nil && !a.fixed {
		a.unit = b.unit
	}
	if a, err = p.check(a, from); err != nil {
		return Quantity{}, err
	}
	if b, err = p.check(b, to); err != nil {
		return Quantity{}, err
	}
	low, high := a.canonical(), b.canonical()
	if low > high { // a fall of 1:50 to 1:40 as well as 1:40 to 1:50
		low, high = high, low
	}
	r := plan.Reading{Low: low, Value: (low + high) / 2, High: high}
	return Quantity{Reading: r, HasTolerance: true, FromAngle: a.tangent() || b.tangent()}, nil
}

// figure reads a number and its unit, or several in a row (6 ft 3 in).
func (p parser) figure(text string) (amount, error) {
	if m := oneIn.FindStringSubmatch(text); m != nil && (p.d == Fall || p.d == Ratio) {
		return p.ratio(m[1], m[2])
	}
	var parts []amount
	negative := strings.HasPrefix(text, "-")
	for rest := text; rest != "" || len(parts) == 0; {
		v, after, err := p.number(rest)
		if err != nil {
			return amount{}, err
		}
		a := amount{v: v}
		if after = strings.TrimLeft(after, " "); after != "" {
			if a.unit, after = unitAt(after, p.d); a.unit == nil {
				return amount{}, p.unknownUnit(text, rest)
			}
			after = strings.TrimLeft(after, " ")
		}
		parts = append(parts, a)
		rest = after
	}
	return p.join(parts, negative)
}

// ratio of one figure to another: "1:40" is exactly 1/40.
func (p parser) ratio(one, many string) (amount, error) {
	a, err := p.decimal(one)
	if err != nil {
		return amount{}, err
	}
	b, err := p.decimal(many)
	if err != nil {
		return amount{}, err
	}
	if b == 0 || p.d == Fall && a > b {
		return amount{}, &Error{What: fmt.Sprintf("%q is no fall that a pipe can have", p.text), Allowed: "1:40"}
	}
	if p.d == Fall {
		a *= 1000
	}
	return amount{v: a / b, fixed: true}, nil
}

// compounds are the units that are read together, the greater first.
var compounds = map[[2]string]bool{{"ft", "in"}: true, {"min", "s"}: true, {"h", "min"}: true}

func (p parser) join(parts []amount, negative bool) (amount, error) {
	if len(parts) == 1 {
		return parts[0], nil
	}
	a, b := parts[0], parts[1]
	if len(parts) > 2 || a.unit == nil || b.unit == nil || !compounds[[2]string{a.unit.symbols[0], b.unit.symbols[0]}] || b.v < 0 {
		return amount{}, &Error{What: fmt.Sprintf("%q holds several figures", p.text), Allowed: p.d.Example() + `, 6 ft 3 in, 6'3"`}
	}
	v := b.canonical()
	if negative {
		v = -v
	}
	return amount{v: a.canonical() + v, unit: a.unit, fixed: true}, nil
}

// number reads the number that text begins with: 2.10, 2,10, 3/4, 1 1/2, 1-1/2.
func (p parser) number(text string) (v float64, rest string, err error) {
	m := numberHead.FindStringSubmatch(text)
	if m == nil {
		return 0, "", &Error{What: fmt.Sprintf("%q is not %s: no number where one should stand", p.text, p.d.Name()), Allowed: p.d.Example() + ", unknown, none"}
	}
	rest = text[len(m[0]):]
	switch {
	case m[4] != "":
		v, err = p.fraction(m[2], m[3], m[4])
	case m[6] != "":
		v, err = p.fraction("0", m[5], m[6])
	default:
		v, err = p.decimal(m[7])
	}
	if m[1] == "-" {
		v = -v
	}
	return v, rest, err
}

func (p parser) fraction(whole, over, under string) (float64, error) {
	w, _ := strconv.ParseFloat(whole, 64) // digits only, by the pattern
	a, _ := strconv.ParseFloat(over, 64)
	b, _ := strconv.ParseFloat(under, 64)
	if b == 0 || math.IsInf(w+a+b, 0) {
		return 0, &Error{What: fmt.Sprintf("%q: %s/%s is no fraction", p.text, over, under), Allowed: "3/4 in"}
	}
	return w + a/b, nil
}

// decimal reads a number with a decimal point or comma. A comma before three
// digits can part thousands as well, so it is refused unless the number begins
// with 0.
func (p parser) decimal(text string) (float64, error) {
	whole, part, comma := strings.Cut(text, ",")
	if comma && len(part) == 3 && whole != "0" && !strings.ContainsAny(text, ".") {
		return 0, &Error{
			What:    fmt.Sprintf("%q: the comma can be a decimal one or part thousands", p.text),
			Allowed: fmt.Sprintf("%s.%s or %s%s", whole, part, whole, part),
		}
	}
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, &Error{What: fmt.Sprintf("%q: %s is no number", p.text, text), Allowed: "digits with one decimal point or comma"}
	}
	return v, nil
}

// unknownUnit says which unit is not known and the nearest that is.
func (p parser) unknownUnit(text, rest string) error {
	head := numberHead.FindString(rest)
	found := strings.TrimSpace(rest[len(head):])
	if i := strings.IndexFunc(found, unicode.IsDigit); i > 0 && !unicode.IsLetter(rune(found[i-1])) {
		found = strings.TrimSpace(found[:i])
	}
	e := &Error{What: fmt.Sprintf("%q: unit `%s` is not known", p.text, found), Allowed: p.d.Units()}
	if near := nearest.Word(found, symbolsOf(p.d)); near != "" {
		e.DidYouMean = fmt.Sprintf(`"%s%s"`, strings.TrimSuffix(text, found), near)
	}
	return e
}
