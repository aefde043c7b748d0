package document

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"fallrule/engine/finding"

	"go.yaml.in/yaml/v4"
)

// yamlReader turns the library's nodes into ours and refuses what readers of
// YAML take differently or what lets a short file stand for a huge one.
type yamlReader struct {
	name   string
	lines  []string
	faults []Fault
}

func readYAML(name string, text []byte) (*Node, []Fault) {
	r := &yamlReader{name: name, lines: strings.Split(string(text), "\n")}
	loader, err := yaml.NewLoader(bytes.NewReader(text))
	if err != nil {
		return nil, []Fault{{At: r.at(1, 1), What: "cannot begin to read: " + err.Error()}}
	}
	var first, second yaml.Node
	if err := loader.Load(&first); err != nil {
		return nil, []Fault{r.stopped(err)}
	}
	var root *Node
	if first.Kind == yaml.DocumentNode && len(first.Content) > 0 {
		root = r.node(first.Content[0], 1)
	}
	if root == nil || root.Kind == Scalar && root.Tag == Null {
		return nil, append(r.faults, r.empty())
	}
	switch err := loader.Load(&second); {
	case errors.Is(err, io.EOF):
	case err != nil:
		r.faults = append(r.faults, r.stopped(err))
	default:
		r.fault(&second, "a second document begins here", "one document a file, without a second ---")
	}
	return root, r.faults
}

func (r *yamlReader) at(line, column int) finding.Position {
	return finding.Position{File: r.name, Line: max(1, line), Column: max(1, column)}
}

func (r *yamlReader) fault(n *yaml.Node, what, allowed string) {
	r.faults = append(r.faults, Fault{At: r.at(n.Line, n.Column), What: what, Allowed: allowed})
}

func (r *yamlReader) empty() Fault {
	return Fault{At: r.at(1, 1), What: "the file says nothing", Allowed: "keys and values"}
}

// node converts one node and what it holds; nil when it must not be entered.
func (r *yamlReader) node(y *yaml.Node, depth int) *Node {
	at := r.at(y.Line, y.Column)
	if depth > MaxDepth {
		r.fault(y, "maps and lists are nested too deep", fmt.Sprintf("%d levels", MaxDepth))
		return nil
	}
	if y.Kind == yaml.AliasNode {
		r.fault(y, fmt.Sprintf("alias *%s: a value is written where it belongs", y.Value), "the value itself")
		return &Node{At: at, Tag: Null, Value: "null"}
	}
	if y.Anchor != "" {
		r.fault(y, fmt.Sprintf("anchor &%s: nothing may be repeated by name", y.Anchor), "the value itself")
	}
	if r.tagged(y) {
		r.fault(y, fmt.Sprintf("tag %s: types are not written", strings.Fields(r.rest(y.Line, y.Column) + " !")[0]), "the value itself, in quotes if it is a text")
	}
	switch y.Kind {
	case yaml.MappingNode:
		return r.mapping(y, at, depth)
	case yaml.SequenceNode:
		n := &Node{Kind: List, At: at}
		for _, item := range y.Content {
			if child := r.node(item, depth+1); child != nil {
				n.Items = append(n.Items, child)
			}
		}
		return n
	}
	return r.scalar(y, at)
}

// tagged also sees the bare `!`, of which the library keeps no trace.
func (r *yamlReader) tagged(y *yaml.Node) bool {
	return y.Style&yaml.TaggedStyle != 0 || strings.HasPrefix(r.rest(y.Line, y.Column), "!")
}

func (r *yamlReader) mapping(y *yaml.Node, at finding.Position, depth int) *Node {
	n := &Node{Kind: Map, At: at}
	seen := map[string]finding.Position{}
	for i := 0; i+1 < len(y.Content); i += 2 {
		key, value := y.Content[i], y.Content[i+1]
		if !r.goodKey(key) {
			continue
		}
		keyAt := r.at(key.Line, key.Column)
		if first, twice := seen[key.Value]; twice {
			r.faults = append(r.faults, doubled(key.Value, keyAt, first))
			continue
		}
		seen[key.Value] = keyAt
		child := r.node(value, depth+1)
		if child == nil || r.splitByComma(n, key, child) {
			continue
		}
		n.Pairs = append(n.Pairs, Pair{Key: key.Value, KeyAt: keyAt, Value: child})
	}
	return n.indexed()
}

// goodKey notes what is wrong with a key and tells whether it can be used.
func (r *yamlReader) goodKey(key *yaml.Node) bool {
	plain := key.Style&^yaml.FlowStyle == 0
	switch {
	case key.Kind != yaml.ScalarNode:
		r.fault(key, "a key that is no single word", "a plain word before the colon")
		return false
	case key.Anchor != "" || r.tagged(key):
		r.fault(key, fmt.Sprintf("key `%s` has an anchor or a tag", key.Value), "the word itself")
		return false
	case key.Tag == "!!merge" || plain && key.Value == "<<":
		r.fault(key, "merge key `<<`: keys are written where they belong", "the keys themselves")
		return false
	case plain && isOneOf(keyWords, key.Value):
		r.fault(key, fmt.Sprintf("key `%s`: some YAML readers take this for true or false", key.Value), "another word")
		return false
	case plain && (key.Tag == "!!null" || key.Tag == "!!bool"):
		r.fault(key, fmt.Sprintf("key `%s` is no word but a value", key.Value), "another word")
		return false
	case key.Style&(yaml.FoldedStyle|yaml.LiteralStyle) != 0:
		r.fault(key, "a block of text cannot be a key", "a plain word before the colon")
		return false
	}
	return true
}

var beginsWithDigit = regexp.MustCompile(`^[0-9]`)

// splitByComma notices `{length: 1,95 m}`, which YAML reads as length 1 and a
// key `95 m` with nothing behind it.
func (r *yamlReader) splitByComma(n *Node, key *yaml.Node, value *Node) bool {
	if value.Tag != Null || value.Value != "" || !beginsWithDigit.MatchString(key.Value) || len(n.Pairs) == 0 {
		return false
	}
	last := n.Pairs[len(n.Pairs)-1]
	if last.Value.Tag != Number || !last.Value.Plain {
		return false
	}
	r.faults = append(r.faults, Fault{
		At:         last.Value.At,
		What:       fmt.Sprintf("within { } the comma splits `%s,%s` in two", last.Value.Value, key.Value),
		Allowed:    "a decimal point, or quotes",
		DidYouMean: fmt.Sprintf("`%s: %s.%s`", last.Key, last.Value.Value, key.Value),
	})
	return true
}

func (r *yamlReader) scalar(y *yaml.Node, at finding.Position) *Node {
	n := &Node{At: at, Value: y.Value, Tag: String, Plain: y.Style == 0}
	if y.Style&(yaml.FoldedStyle|yaml.LiteralStyle) != 0 {
		r.block(y)
		return n
	}
	if !n.Plain {
		return n
	}
	switch y.Tag {
	case "!!int", "!!float":
		n.Tag = Number
	case "!!bool":
		n.Tag = Bool
	case "!!null":
		n.Tag = Null
	}
	if n.Tag == String && isOneOf(switchWords, y.Value) {
		r.fault(y, fmt.Sprintf("`%s`: some YAML readers take this for true or false", y.Value),
			"one of the key's words, or quotes round a free text")
	}
	return n
}

var number = regexp.MustCompile(`^\s*[-+]?[0-9.]*[0-9]`)

// block looks at a text block: one that begins with a number, or whose header
// holds a digit, was meant as "more than".
func (r *yamlReader) block(y *yaml.Node) {
	header := r.rest(y.Line, y.Column)
	if number.MatchString(y.Value) || strings.ContainsAny(strings.SplitN(header, "#", 2)[0], "0123456789") {
		r.faults = append(r.faults, moreThan(r.at(y.Line, y.Column), header, y.Value))
	}
}

// rest is the line from a column on.
func (r *yamlReader) rest(line, column int) string {
	if line < 1 || line > len(r.lines) {
		return ""
	}
	runes := []rune(strings.TrimRight(r.lines[line-1], "\r"))
	if column < 1 || column > len(runes) {
		return ""
	}
	return string(runes[column-1:])
}

var figure = regexp.MustCompile(`[0-9][^#|>,}\]\n]*`)

func moreThan(at finding.Position, header, value string) Fault {
	f := Fault{
		At:      at,
		What:    "`" + header[:min(1, len(header))] + "` at the beginning of a value opens a block of text",
		Allowed: "words: `at least 0.4 m`",
	}
	if found := strings.TrimSpace(figure.FindString(header + "\n" + value)); found != "" {
		f.DidYouMean = "`at least " + found + "`"
	}
	return f
}
