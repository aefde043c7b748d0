package layout

import (
	"fmt"
	"math"
	"testing"

	"fallrule/engine/document"
	"fallrule/plugins/sdk/plan"
)

// spoilers put something else where a node was.
var spoilers = map[string]func(*document.Node){
	"empty text": func(n *document.Node) { *n = scalar("") },
	"wrong word": func(n *document.Node) { *n = scalar("sideways") },
	"a number":   func(n *document.Node) { *n = document.Node{Kind: document.Scalar, Value: "7", Tag: document.Number} },
	"a huge one": func(n *document.Node) { *n = scalar("1e300 m") },
	"open band":  func(n *document.Node) { *n = scalar("at least 0.4 m") },
	"nothing":    func(n *document.Node) { *n = document.Node{Kind: document.Scalar, Tag: document.Null} },
	"unknown":    func(n *document.Node) { *n = scalar("unknown") },
	"empty list": func(n *document.Node) { *n = document.Node{Kind: document.List} },
	"empty map":  func(n *document.Node) { *n = document.Node{Kind: document.Map} },
	"nested list": func(n *document.Node) {
		*n = document.Node{Kind: document.List, Items: []*document.Node{{Kind: document.List}}}
	},
	"nil value": func(n *document.Node) { *n = document.Node{Kind: document.Map, Pairs: []document.Pair{{Key: "pipe"}}} },
	"a ring":    func(n *document.Node) { *n = scalar("tub.waste") },
}

func scalar(s string) document.Node {
	return document.Node{Kind: document.Scalar, Value: s, Plain: true, Tag: document.String}
}

// nodes of a tree, and its pairs' keys are left alone.
func nodes(n *document.Node) []*document.Node {
	out := []*document.Node{n}
	for _, p := range n.Pairs {
		out = append(out, nodes(p.Value)...)
	}
	for _, item := range n.Items {
		out = append(out, nodes(item)...)
	}
	return out
}

// Whatever stands at any place of a document, reading it ends without panic,
// and what comes out of it has no figure that is not one.
func TestNothingMakesReadPanic(t *testing.T) {
	for _, src := range []string{short, yardHouse, fullHouse, house(), waterHouse, joistHouse} {
		count := len(nodes(parse(t, src).Root))
		for i := range count {
			for name, spoil := range spoilers {
				doc := parse(t, src)
				node := nodes(doc.Root)[i]
				was := fmt.Sprintf("%s %q", node.At, node.Value)
				spoil(node)
				sound(t, was+" became "+name, doc)
			}
		}
	}
}

func parse(t *testing.T, src string) *document.Document {
	t.Helper()
	doc, faults := document.Read("house.yaml", []byte(src))
	if document.Refused(faults) {
		t.Fatal(faults)
	}
	return doc
}

func sound(t *testing.T, what string, doc *document.Document) {
	t.Helper()
	defer func() {
		if p := recover(); p != nil {
			t.Errorf("%s: panic: %v", what, p)
		}
	}()
	lay, faults := Read(doc)
	if lay == nil || document.Refused(faults) {
		return
	}
	lay.Input()
	check := func(id string, readings ...*plan.Reading) {
		for _, v := range readings {
			if v != nil && (math.IsNaN(v.Low) || math.IsNaN(v.Value) || math.IsNaN(v.High) || math.IsInf(v.Value, 0) || v.Low > v.Value || v.Value > v.High) {
				t.Errorf("%s: %s has the reading %+v", what, id, *v)
			}
		}
	}
	for _, p := range append(append([]plan.Pipe{}, lay.Plan.Branches...), lay.Plan.Drains...) {
		for _, leg := range p.Legs {
			check(p.ID, leg.Along, leg.Drop, leg.Length, leg.Fall, p.Level, p.To.Level)
		}
	}
	for _, c := range lay.Plan.Crossings {
		check(c.ID, c.Along, c.OnSpan, c.Invert)
	}
	for _, l := range lay.Plan.Links {
		check(l.ID, l.Length, l.Rise, l.Clips)
	}
	for _, d := range lay.Plan.DrawOffs {
		check(d.ID, d.Level, d.Gap, d.Rim, d.Hose, d.Flow, d.Temperature, d.Pressure)
	}
	for _, s := range lay.Plan.Sources {
		check(s.ID, s.Bucket, s.Static, s.Level)
	}
	for _, f := range lay.Plan.Floors {
		check(f.ID, f.Top, f.Boards)
	}
}

// FuzzRead throws whole files at it.
func FuzzRead(f *testing.F) {
	for _, src := range []string{short, yardHouse, fullHouse, house(), waterHouse, joistHouse} {
		f.Add([]byte(src))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		doc, faults := document.Read("house.yaml", src)
		if document.Refused(faults) {
			return
		}
		if lay, faults := Read(doc); lay != nil && !document.Refused(faults) {
			lay.Input()
		}
	})
}
