package document

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"

	"fallrule/engine/finding"
)

// jsonReader walks JSON tokens: the decoder of the standard library says where
// each ends, which is all that places need. (A YAML reader is no reader of
// JSON: it refuses surrogate pairs, which ASCII-only writers make.)
type jsonReader struct {
	dec    *json.Decoder
	text   []byte
	places places
	faults []Fault
}

// errStopped says that a fault is already noted and nothing more can be read.
var errStopped = errors.New("cannot read on")

func readJSON(name string, text []byte) (*Node, []Fault) {
	r := &jsonReader{
		dec: json.NewDecoder(bytes.NewReader(text)), text: text,
		places: places{name: name, text: text, line: 1, column: 1},
	}
	r.dec.UseNumber()
	root, err := r.value(1)
	if err != nil {
		return nil, r.stop(err)
	}
	if end := r.next(); end < len(text) {
		r.fault(r.places.at(end), "something follows the end of the document", "one document a file")
	}
	return root, r.faults
}

func (r *jsonReader) fault(at finding.Position, what, allowed string) {
	r.faults = append(r.faults, Fault{At: at, What: what, Allowed: allowed})
}

// next is the offset of the next token: past blanks and separators.
func (r *jsonReader) next() int {
	i := int(r.dec.InputOffset())
	for i < len(r.text) && bytes.IndexByte([]byte(" \t\r\n,:"), r.text[i]) >= 0 {
		i++
	}
	return i
}

func (r *jsonReader) value(depth int) (*Node, error) {
	at := r.places.at(r.next())
	if depth > MaxDepth {
		r.fault(at, "maps and lists are nested too deep", fmt.Sprintf("%d levels", MaxDepth))
		return nil, errStopped
	}
	token, err := r.dec.Token()
	if err != nil {
		return nil, err
	}
	n := &Node{At: at, Tag: String}
	switch t := token.(type) {
	case json.Delim:
		n.Tag = ""
		if t == '{' {
			n.Kind = Map
			return n, r.pairs(n, depth)
		}
		n.Kind = List
		return n, r.items(n, depth)
	case string:
		n.Value = t
	case json.Number:
		n.Value, n.Tag = t.String(), Number
	case bool:
		n.Value, n.Tag = fmt.Sprint(t), Bool
	case nil:
		n.Value, n.Tag = "null", Null
	}
	return n, nil
}

func (r *jsonReader) pairs(n *Node, depth int) error {
	seen := map[string]finding.Position{}
	for r.dec.More() {
		at := r.places.at(r.next())
		token, err := r.dec.Token()
		if err != nil {
			return err
		}
		key, _ := token.(string) // the decoder refuses any other key
		value, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		if first, twice := seen[key]; twice {
			r.faults = append(r.faults, doubled(key, at, first))
			continue
		}
		seen[key] = at
		n.Pairs = append(n.Pairs, Pair{Key: key, KeyAt: at, Value: value})
	}
	n.indexed()
	_, err := r.dec.Token()
	return err
}

func (r *jsonReader) items(n *Node, depth int) error {
	for r.dec.More() {
		item, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		n.Items = append(n.Items, item)
	}
	_, err := r.dec.Token()
	return err
}

// stop says in words of our own why the decoder stopped. Its text is written
// for programmers; what stands at the place tells more.
func (r *jsonReader) stop(err error) []Fault {
	if errors.Is(err, errStopped) {
		return r.faults
	}
	offset := inString(r.text, r.next())
	// A token before may have ended further on: begin again.
	at := (&places{name: r.places.name, text: r.text, line: 1, column: 1}).at(offset)
	if offset >= len(r.text) {
		r.fault(at, "the file ends in the middle", "a closing ], } or quotation mark")
		return r.faults
	}
	r.fault(at, jsonTrouble(r.text, offset), "JSON, since the file begins with {")
	return r.faults
}

// inString is where the text that begins at offset goes wrong: at a line end
// or tab within it, or at the end of the file. Else it is offset.
func inString(text []byte, offset int) int {
	if offset >= len(text) || text[offset] != '"' {
		return offset
	}
	for i := offset + 1; i < len(text); i++ {
		switch text[i] {
		case '\\':
			i++
		case '"':
			return offset
		case '\n', '\r', '\t':
			return i
		}
	}
	return len(text)
}

func jsonTrouble(text []byte, offset int) string {
	c := text[offset]
	before := bytes.TrimRight(text[:offset], " \t\r\n")
	switch {
	case (c == '}' || c == ']') && bytes.HasSuffix(before, []byte(",")):
		return "a comma stands before the closing " + string(c)
	case c == '\'':
		return "a single quote begins this; JSON has double quotes only"
	case c == '/' || c == '#':
		return "a comment stands here; JSON has none"
	case c == '\n' || c == '\r' || c == '\t':
		return "a quoted text runs over the end of the line or holds a tab"
	case c == '"':
		return "this text cannot stand here: a comma or colon before it is missing, or it holds a backslash that means nothing"
	}
	r, _ := utf8.DecodeRune(text[offset:])
	return fmt.Sprintf("%q cannot stand here: a key or text without double quotes, or a missing comma", r)
}

func doubled(key string, at, first finding.Position) Fault {
	return Fault{
		At:      at,
		What:    fmt.Sprintf("key `%s` stands here a second time, first in line %d", key, first.Line),
		Allowed: "each key once",
	}
}
