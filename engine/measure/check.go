package measure

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"fallrule/plugins/sdk"
	"fallrule/schema"
)

// A plugin's answer, held against what it was asked.

func checkMeasurement(q schema.Quantity, m sdk.Measurement) error {
	if err := checkValue(q, m); err != nil {
		return err
	}
	for _, text := range []string{m.Working.Formula, m.Working.Numbers, m.Working.Source} {
		if err := checkText(text); err != nil {
			return fmt.Errorf("its working %w", err)
		}
	}
	return nil
}

func checkValue(q schema.Quantity, m sdk.Measurement) error {
	switch {
	case m.Band != nil && m.States != nil:
		return errors.New("both a number and a state")
	case q.IsState() && m.Band != nil:
		return errors.New("a number, it is a state")
	case !q.IsState() && m.States != nil:
		return errors.New("a state, it is a number")
	case q.IsState():
		return checkStates(q, m.States)
	case m.Band == nil:
		return errors.New("no value")
	case !m.Band.Valid():
		return fmt.Errorf("no number that can be: %v (%v to %v)", m.Band.Value, m.Band.Low, m.Band.High)
	}
	return nil
}

func checkStates(q schema.Quantity, words []string) error {
	if len(words) == 0 {
		return errors.New("no word")
	}
	for i, word := range words {
		if !slices.Contains(q.Words, word) {
			return fmt.Errorf("the unknown word %s", quote(word))
		}
		if slices.Contains(words[:i], word) {
			return fmt.Errorf("the word %s twice", word)
		}
	}
	return nil
}

func checkGap(g sdk.Gap) error {
	switch g.Because {
	case sdk.NotMeasured, sdk.NotYet, sdk.NotTold, sdk.OutOfRange:
	default:
		return fmt.Errorf("the unknown reason %s for a gap", quote(string(g.Because)))
	}
	for _, text := range []string{g.Needs, g.Text} {
		if err := checkText(text); err != nil {
			return fmt.Errorf("a gap whose text %w", err)
		}
	}
	return nil
}

// checkText holds a text to what the sheet can print. Line ends and escape
// sequences would let a plugin forge the sheet.
func checkText(s string) error {
	if len(s) > sdk.MaxText {
		return fmt.Errorf("is %d bytes long, at most %d are taken", len(s), sdk.MaxText)
	}
	if !utf8.ValidString(s) || strings.ContainsFunc(s, unicode.IsControl) {
		return errors.New("holds control characters")
	}
	return nil
}

// quote prints a foreign word safely and briefly.
func quote(s string) string {
	const most = 60
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "…"
	}
	return fmt.Sprintf("%q", s)
}

// printable is a foreign error text made fit to be shown.
func printable(s string) string {
	const most = 400
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + " …"
	}
	return s
}

// checkDescription holds what a measurer calls itself to what can be printed
// and told apart.
func checkDescription(d sdk.Description) error {
	const most = 64
	if err := checkName(d.Name); err != nil {
		return err
	}
	if len(d.Version) > most || checkText(d.Version) != nil {
		return fmt.Errorf("it describes %s with the version %s", d.Name, quote(d.Version))
	}
	return nil
}

func checkName(name string) error {
	const most = 64
	word := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '-' || r == '_' || r == '.'
	}
	if name == "" || len(name) > most || strings.TrimFunc(name, word) != "" {
		return fmt.Errorf("it is named %s; a name has at most %d of a-z, 0-9, '-', '_', '.' only", quote(name), most)
	}
	return nil
}
