package profile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
)

// document is one YAML file, or the METADATA block of a Rego file, with the
// line of every key.
type document struct {
	file   string
	offset int // lines of the file before the YAML
	root   *yaml.Node
	value  any
	faults *Faults
	proven bool // see prover; its examples were cut out
}

// maxFile is far above any profile file: a larger one is a slip or an attack.
const maxFile = 4 << 20

// readDocument reads YAML strictly: one document, no anchors, aliases, tags or
// doubled keys, so that what the loader checks and what the policy engine reads
// are the same thing.
func readDocument(file string, offset int, src []byte, faults *Faults) *document {
	d := &document{file: file, offset: offset, faults: faults}
	if len(src) > maxFile {
		d.fault(0, "the file is larger than %d MiB", maxFile>>20)
		return d
	}
	dec := yaml.NewDecoder(bytes.NewReader(src))
	var root, more yaml.Node
	if err := dec.Decode(&root); err != nil {
		if !errors.Is(err, io.EOF) {
			d.fault(0, "read as YAML: %s", strings.TrimPrefix(err.Error(), "yaml: "))
		}
		return d
	}
	if err := dec.Decode(&more); !errors.Is(err, io.EOF) {
		d.fault(0, "more than one YAML document in the file")
	}
	d.root = root.Content[0]
	d.value = d.plain(d.root)
	return d
}

func (d *document) fault(line int, format string, args ...any) {
	if line > 0 {
		line += d.offset
	}
	*d.faults = append(*d.faults, Fault{d.file, line, fmt.Sprintf(format, args...)})
}

func (d *document) cursor() cursor {
	return cursor{value: d.value, report: func(path []any, text string) {
		if d.root != nil { // what could not be read is told already
			d.fault(d.line(path), "%s", text)
		}
	}}
}

// line of the key or item a path leads to, of the deepest one that is there.
func (d *document) line(path []any) int {
	n := d.root
	if n == nil {
		return 0
	}
	line := n.Line
	for _, step := range path {
		var next *yaml.Node
		switch step := step.(type) {
		case string:
			for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
				if n.Content[i].Value == step {
					line, next = n.Content[i].Line, n.Content[i+1]
				}
			}
		case int:
			if n.Kind == yaml.SequenceNode && step < len(n.Content) {
				next = n.Content[step]
				line = next.Line
			}
		}
		if next == nil {
			return line
		}
		n = next
	}
	return line
}

// plain turns a node into maps, lists, texts, numbers, booleans and nil.
func (d *document) plain(n *yaml.Node) any {
	if n.Anchor != "" || n.Style&yaml.TaggedStyle != 0 {
		d.fault(n.Line, "anchors and tags are not allowed")
	}
	switch n.Kind {
	case yaml.MappingNode:
		return d.mapping(n)
	case yaml.SequenceNode:
		out := make([]any, len(n.Content))
		for i, item := range n.Content {
			out[i] = d.plain(item)
		}
		return out
	case yaml.ScalarNode:
		return d.scalar(n)
	}
	d.fault(n.Line, "aliases are not allowed")
	return nil
}

func (d *document) mapping(n *yaml.Node) any {
	out := make(map[string]any, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if key.Kind != yaml.ScalarNode || key.ShortTag() != "!!str" {
			d.fault(key.Line, "the key %q must be a text: quote it", key.Value)
			continue
		}
		if _, twice := out[key.Value]; twice {
			d.fault(key.Line, "the key %q stands twice", key.Value)
		}
		out[key.Value] = d.plain(n.Content[i+1])
	}
	return out
}

// decimal is how a bare number may be written: what every YAML reader takes
// for the same number. 010 is 8 for some.
var decimal = regexp.MustCompile(`^-?(0|[1-9][0-9]*)(\.[0-9]+)?$`)

func (d *document) scalar(n *yaml.Node) any {
	switch n.ShortTag() {
	case "!!int", "!!float":
		if !decimal.MatchString(n.Value) {
			d.fault(n.Line, "%s can be read as more than one number: quote it", n.Value)
		}
		v, _ := strconv.ParseFloat(n.Value, 64)
		return v
	case "!!bool":
		return n.Value == "true"
	case "!!null":
		return nil
	}
	return n.Value
}
