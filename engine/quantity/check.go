package quantity

import (
	"fmt"
	"math"
)

// check holds a figure against the wanted dimension. A dimension without units
// takes bare numbers only, every other refuses them.
func (p parser) check(a amount, text string) (amount, error) {
	if a.fixed && a.unit == nil { // a ratio, asked for as such
		return a, nil
	}
	bare := p.d == Count || p.d == Ratio || p.d == Year
	dim := p.d
	if a.unit != nil {
		dim = a.unit.dim
	}
	if a.tangent() && p.d != Fall { // degrees mean a fall only where one is wanted
		dim = Angle
	}
	switch {
	case a.unit == nil && bare:
		return a, p.whole(a.v)
	case a.unit == nil:
		return a, &Error{
			What:    fmt.Sprintf("%q is a bare number: write %q", p.text, p.d.With(text)),
			Allowed: p.d.Units(),
		}
	case dim == p.d:
		return a, nil
	case p.d == Temperature && dim == Angle:
		return a, &Error{What: fmt.Sprintf("%q has no scale", p.text), Allowed: p.d.Units(), DidYouMean: fmt.Sprintf(`"%sC"`, text)}
	}
	e := &Error{
		What:    fmt.Sprintf("%q is %s and %s is wanted", p.text, dim.Name(), p.d.Name()),
		Allowed: p.d.Units(),
	}
	if p.d == Pressure && dim == Length {
		e.DidYouMean = fmt.Sprintf(`"%s wg"`, text)
	}
	return a, e
}

// whole holds a count or a year to be one.
func (p parser) whole(v float64) error {
	switch {
	case p.d == Count && (v < 0 || v != math.Trunc(v)):
		return &Error{What: fmt.Sprintf("%q is no count", p.text), Allowed: Count.Units()}
	case p.d == Year && (v < 1000 || v > 9999 || v != math.Trunc(v)):
		return &Error{What: fmt.Sprintf("%q is no year", p.text), Allowed: Year.Units()}
	}
	return nil
}
