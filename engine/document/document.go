// Package document reads a YAML or JSON file into one small tree that knows
// the place of every key and value. It knows no layout: only what a file may
// look like so that every reader of it sees the same.
package document

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"fallrule/engine/finding"
)

// MaxBytes is how large a document may be.
const MaxBytes = 64 << 20

// MaxDepth is how deep its maps and lists may nest. A layout needs about ten.
const MaxDepth = 100

// Document is a file as read.
type Document struct {
	Name string // as in places: "house.yaml"
	Raw  []byte // the bytes of the file, unchanged
	Root *Node  // never nil
}

// Kind of a node.
type Kind int

// The kinds.
const (
	Scalar Kind = iota
	Map
	List
)

func (k Kind) String() string {
	return [...]string{"value", "map", "list"}[k]
}

// Tag is the type of a scalar as the file's format resolves it. Dates and
// everything else that is no number, bool or null are strings.
type Tag string

// The tags.
const (
	String Tag = "string"
	Number Tag = "number"
	Bool   Tag = "bool"
	Null   Tag = "null"
)

// Node is a map, a list or a scalar.
type Node struct {
	Kind  Kind
	Value string // a scalar's text; a number keeps the text it was written with
	Plain bool   // a YAML scalar without quotes
	Tag   Tag    // of a scalar
	Pairs []Pair // of a map, in the file's order; no key twice
	Items []*Node
	At    finding.Position // where it begins

	index map[string]int // of Pairs by key, for a map that is large
}

// largeMap is the number of keys from which a map is searched by index.
const largeMap = 16

// indexed makes a large map quick to search; Read does so once, since nothing
// may change a node that several goroutines look into.
func (n *Node) indexed() *Node {
	if len(n.Pairs) < largeMap {
		return n
	}
	n.index = make(map[string]int, len(n.Pairs))
	for i, p := range n.Pairs {
		n.index[p.Key] = i
	}
	return n
}

// Pair is one key of a map and what it holds.
type Pair struct {
	Key   string
	KeyAt finding.Position
	Value *Node
}

// Get returns what a map holds under key; nil when there is none, and for a
// node that is nil or no map.
func (n *Node) Get(key string) *Node {
	if p := n.pair(key); p != nil {
		return p.Value
	}
	return nil
}

func (n *Node) pair(key string) *Pair {
	if n == nil || n.Kind != Map {
		return nil
	}
	if n.index != nil {
		if i, ok := n.index[key]; ok {
			return &n.Pairs[i]
		}
		return nil
	}
	for i := range n.Pairs {
		if n.Pairs[i].Key == key {
			return &n.Pairs[i]
		}
	}
	return nil
}

// Keys of a map, in the file's order.
func (n *Node) Keys() []string {
	if n == nil {
		return nil
	}
	keys := make([]string, len(n.Pairs))
	for i, p := range n.Pairs {
		keys[i] = p.Key
	}
	return keys
}

// step goes one level down, by key or by a list's index from 0, and tells the
// place: the key's for a map, the item's for a list.
func (n *Node) step(part string) (*Node, finding.Position) {
	if p := n.pair(part); p != nil {
		return p.Value, p.KeyAt
	}
	if n == nil || n.Kind != List {
		return nil, finding.Position{}
	}
	i, err := strconv.Atoi(part)
	if err != nil || i < 0 || i >= len(n.Items) {
		return nil, finding.Position{}
	}
	return n.Items[i], n.Items[i].At
}

// Lookup follows path from this node; a list's items go by index from "0".
func (n *Node) Lookup(path ...string) *Node {
	for _, part := range path {
		if n, _ = n.step(part); n == nil {
			return nil
		}
	}
	return n
}

// Any is the plain value for a schema: map[string]any, []any, string,
// json.Number, bool or nil. A number that JSON cannot write as it stands
// (010, 1_000, 0x1F: YAML readers differ about them) comes as its text.
func (n *Node) Any() any {
	switch n.Kind {
	case Map:
		m := make(map[string]any, len(n.Pairs))
		for _, p := range n.Pairs {
			m[p.Key] = p.Value.Any()
		}
		return m
	case List:
		l := make([]any, len(n.Items))
		for i, item := range n.Items {
			l[i] = item.Any()
		}
		return l
	}
	switch n.Tag {
	case Null:
		return nil
	case Bool:
		return strings.EqualFold(n.Value, "true")
	case Number:
		if text, ok := jsonNumber(n.Value); ok {
			return json.Number(text)
		}
	}
	return n.Value
}

// maxNumber bounds the text of a number, its power of ten included: a schema
// checker computes 1e999999999 exactly, or tries to.
const maxNumber = 40

// jsonNumber rewrites the spellings all YAML readers agree on (+5, .5) as JSON.
func jsonNumber(text string) (string, bool) {
	if _, power, found := strings.Cut(strings.ToLower(text), "e"); len(text) > maxNumber || found && len(power) > 3 {
		return "", false
	}
	digits, minus := strings.TrimPrefix(text, "+"), ""
	if strings.HasPrefix(digits, "-") {
		digits, minus = digits[1:], "-"
	}
	if strings.HasPrefix(digits, ".") {
		digits = "0" + digits
	}
	text = minus + strings.TrimSuffix(digits, ".")
	if text == "" || !json.Valid([]byte(text)) || strings.ContainsAny(text[:1], "\"[{tfn") {
		return "", false
	}
	return text, true
}

// Get, of the root.
func (d *Document) Get(key string) *Node { return d.Root.Get(key) }

// Lookup follows path from the root.
func (d *Document) Lookup(path ...string) *Node { return d.Root.Lookup(path...) }

// Keys of the root.
func (d *Document) Keys() []string { return d.Root.Keys() }

// Any is the plain value of the root.
func (d *Document) Any() any { return d.Root.Any() }

// Position is the place of path: its key's, or of the nearest ancestor that
// stands in the file.
func (d *Document) Position(path ...string) finding.Position {
	n, at := d.Root, d.Root.At
	for _, part := range path {
		next, place := n.step(part)
		if next == nil {
			break
		}
		n, at = next, place
	}
	return at
}

// PositionOfPointer is Position of a JSON pointer: "/fixtures/basin/trap/seal".
func (d *Document) PositionOfPointer(pointer string) finding.Position {
	return d.Position(PointerPath(pointer)...)
}

// PointerPath splits a JSON pointer (RFC 6901) into its parts.
func PointerPath(pointer string) []string {
	pointer = strings.TrimPrefix(pointer, "/")
	if pointer == "" {
		return nil
	}
	parts := strings.Split(pointer, "/")
	for i, p := range parts {
		parts[i] = strings.ReplaceAll(strings.ReplaceAll(p, "~1", "/"), "~0", "~")
	}
	return parts
}

// Read reads one YAML or JSON document. A file whose first character is `{`
// is JSON, all else YAML. The document is nil when no tree could be made;
// otherwise it is there even with faults, so that more can be said about it.
// Places count lines and characters from 1.
func Read(name string, src []byte) (*Document, []Fault) {
	if fault := unreadable(name, src); fault != nil {
		return nil, []Fault{*fault}
	}
	text := bytes.TrimPrefix(src, []byte("\ufeff"))
	var root *Node
	var faults []Fault
	if bytes.HasPrefix(bytes.TrimLeft(text, " \t\r\n"), []byte("{")) {
		root, faults = readJSON(name, text)
	} else {
		root, faults = readYAML(name, text)
	}
	if root == nil {
		return nil, Sort(faults)
	}
	return &Document{Name: name, Raw: src, Root: root}, Sort(faults)
}

// unreadable finds what makes the bytes no text at all.
func unreadable(name string, src []byte) *Fault {
	start := finding.Position{File: name, Line: 1, Column: 1}
	if len(src) > MaxBytes {
		return &Fault{At: start, What: fmt.Sprintf("the file has %d bytes, too many to read", len(src)), Allowed: "64 MiB"}
	}
	place := places{name: name, text: src, line: 1, column: 1}
	for i := 0; i < len(src); {
		r, size := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && size <= 1 {
			return &Fault{At: place.at(i), What: "this byte is no UTF-8", Allowed: "a file saved as UTF-8"}
		}
		if r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0x7f {
			return &Fault{At: place.at(i), What: fmt.Sprintf("a control character (U+%04X) stands here", r), Allowed: "text, tabs and line ends"}
		}
		i += size
	}
	return nil
}

// places turns byte offsets into places. Offsets must not go back: it walks on
// from the last one, so that a long file on one line costs no more.
type places struct {
	name         string
	text         []byte
	offset       int
	line, column int
}

func (p *places) at(offset int) finding.Position {
	for p.offset < offset && p.offset < len(p.text) {
		r, size := utf8.DecodeRune(p.text[p.offset:])
		p.offset += size
		switch r {
		case '\n':
			p.line, p.column = p.line+1, 1
		case '\ufeff':
		default:
			p.column++
		}
	}
	return finding.Position{File: p.name, Line: p.line, Column: p.column}
}
