package sdk

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// lastWords keeps of a plugin's log what explains its end: the first line of
// a panic, else the last line.
type lastWords struct {
	lock    sync.Mutex
	pending []byte
	line    string
	panicky bool
}

const longestLine = 300

// Write takes any piece of the log.
func (w *lastWords) Write(b []byte) (int, error) {
	w.lock.Lock()
	defer w.lock.Unlock()
	for _, c := range b {
		if c == '\n' {
			w.keep()
		} else if len(w.pending) < longestLine {
			w.pending = append(w.pending, c)
		}
	}
	return len(b), nil
}

func (w *lastWords) keep() {
	line := strings.TrimSpace(string(w.pending))
	w.pending = w.pending[:0]
	if line == "" || w.panicky {
		return
	}
	w.line = line
	w.panicky = strings.HasPrefix(line, "panic:") || strings.HasPrefix(line, "fatal error:")
}

// String is one short line without control characters.
func (w *lastWords) String() string {
	w.lock.Lock()
	defer w.lock.Unlock()
	return oneLine(w.line)
}

// oneLine makes a foreign text fit to be printed: one line, of a bearable
// length, nothing that steers a terminal.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == utf8.RuneError {
			return ' '
		}
		return r
	}, s)
	s = strings.Join(strings.Fields(s), " ")
	if runes := []rune(s); len(runes) > longestLine {
		s = string(runes[:longestLine]) + " …"
	}
	return s
}
