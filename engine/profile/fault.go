package profile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fallrule/engine/document/nearest"
)

// Fault is one thing wrong with a profile. File is the path in the file system
// that was loaded; Line counts from 1, 0 when the whole file is meant.
type Fault struct {
	File string
	Line int
	Text string
}

func (f Fault) String() string {
	if f.Line == 0 {
		return f.File + ": " + f.Text
	}
	return fmt.Sprintf("%s:%d: %s", f.File, f.Line, f.Text)
}

// Faults is the error of Load: everything wrong with the profiles, by file and
// line.
type Faults []Fault

func (f Faults) Error() string {
	lines := make([]string, len(f))
	for i, one := range f {
		lines[i] = one.String()
	}
	return strings.Join(lines, "\n")
}

// sorted orders the faults and drops repetitions, so that Load always says the
// same of the same files.
func (f Faults) sorted() Faults {
	slices.SortFunc(f, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Text, b.Text))
	})
	return slices.Compact(f)
}

// notAmong says that a word is not one of those allowed, and which of them was
// probably meant, or what is allowed when none is near.
func notAmong(what, word string, allowed []string) string {
	if near := nearest.Word(word, allowed); near != "" {
		return fmt.Sprintf("unknown %s %q: did you mean %q?", what, word, near)
	}
	const most = 20
	if len(allowed) > most {
		return fmt.Sprintf("unknown %s %q", what, word)
	}
	return fmt.Sprintf("unknown %s %q: allowed are %s", what, word, strings.Join(allowed, ", "))
}
