package document

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"go.yaml.in/yaml/v4"
)

// stopped says in words of our own why the YAML could not be read: from what
// stands at the two places the library names, the trouble's and its beginning.
func (r *yamlReader) stopped(err error) Fault {
	if errors.Is(err, io.EOF) {
		return r.empty()
	}
	var trouble *yaml.LoadError
	if !errors.As(err, &trouble) {
		return Fault{At: r.at(1, 1), What: "this is no YAML: " + err.Error()}
	}
	mark, begin := trouble.Mark, trouble.ContextMark
	opener := r.rest(begin.Line, begin.Column)
	here := r.rest(mark.Line, mark.Column)
	f := Fault{At: r.at(mark.Line, mark.Column), Allowed: "YAML: `key: value`, indented by spaces"}
	switch {
	case r.tabIndents(mark.Line) || strings.HasPrefix(here, "\t"):
		f.What, f.Allowed = "a tab indents this line", "spaces"
	case strings.HasPrefix(opener, ">") || strings.HasPrefix(opener, "|"):
		return moreThan(r.at(begin.Line, begin.Column), opener, "")
	case r.tooDeep(begin, mark):
		f.What, f.Allowed = "maps and lists are nested too deep", fmt.Sprintf("%d levels", MaxDepth)
	case strings.HasPrefix(opener, "[") || strings.HasPrefix(opener, "{"):
		f.At = r.at(begin.Line, begin.Column)
		f.What = fmt.Sprintf("`%s` opens here and is not closed before line %d", opener[:1], max(1, mark.Line))
		f.Allowed = "values parted by commas, and the closing bracket; quotes round a text with a comma"
	case strings.HasPrefix(opener, `"`) || strings.HasPrefix(opener, "'"):
		f.At = r.at(begin.Line, begin.Column)
		f.What, f.Allowed = "a quoted text begins here and does not end", "the closing quotation mark, on the same line"
	case strings.HasPrefix(here, ":") && r.colons(mark.Line, mark.Column) > 0:
		f.What, f.Allowed = "a second `: ` stands in this line", "quotes round a text that holds a colon and a space"
	case strings.HasPrefix(here, "*"):
		f.What, f.Allowed = "an alias: a value is written where it belongs", "the value itself, or quotes round a text that begins with *"
	case here != "" && strings.ContainsRune("@`%&!", []rune(here)[0]):
		f.What, f.Allowed = fmt.Sprintf("a value cannot begin with `%s`", string([]rune(here)[0])), "quotes round it"
	default:
		f.What = "this line does not fit the ones above it: its indentation, or a colon that is missing"
	}
	return f
}

// colons counts those with a space behind them in a line before a column.
func (r *yamlReader) colons(line, column int) int {
	whole, rest := r.rest(line, 1), r.rest(line, column)
	return strings.Count(strings.TrimSuffix(whole, rest), ": ")
}

func (r *yamlReader) tabIndents(line int) bool {
	if line < 1 || line > len(r.lines) {
		return false
	}
	text := r.lines[line-1]
	return strings.Contains(text[:len(text)-len(strings.TrimLeft(text, " \t"))], "\t")
}

// tooDeep tells the library's own depth guard from other trouble: it acts far
// beyond our bound, with as many brackets open before its place.
func (r *yamlReader) tooDeep(begin, mark yaml.Mark) bool {
	if begin != mark {
		return false
	}
	open := 0
	for i := 0; i < min(mark.Line, len(r.lines)); i++ {
		open += strings.Count(r.lines[i], "[") + strings.Count(r.lines[i], "{")
	}
	return open > MaxDepth
}
