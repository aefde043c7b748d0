// Package nearest finds the word somebody probably meant.
package nearest

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// Word returns the one of words that a slip of the finger away from word is,
// or "" when none is near: at most a third of the letters may differ, one at
// least. Letter case does not count. Of equals the first wins.
func Word(word string, words []string) string {
	best, found := "", 1+max(1, (utf8.RuneCountInString(word)+2)/3)
	for _, w := range words {
		d := levenshtein.ComputeDistance(strings.ToLower(word), strings.ToLower(w))
		// A word that shares no letter is no slip, however short both are.
		if d < found && d < max(utf8.RuneCountInString(w), utf8.RuneCountInString(word)) {
			best, found = w, d
		}
	}
	return best
}
