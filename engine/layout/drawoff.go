package layout

import (
	"fallrule/engine/document"
	"fallrule/engine/finding"
	"fallrule/engine/quantity"
	"fallrule/plugins/sdk/plan"
)

// drawOffs makes a subject of every tap that is told of, or that a line or a
// manifold leads to.
func (r *reader) drawOffs() {
	met, stopped := r.tapsMet()
	for _, p := range pairs(r.doc.Get("fixtures")) {
		f := r.plan.Fixtures[r.fixture[p.Key]]
		for _, water := range []string{"cold", "hot"} {
			id, n := p.Key+"."+water, p.Value.Get(water)
			switch at, led := met[id]; {
			case text(n) == none && led:
				r.fault(n.At, "%s is told as none, and what stands in line %d leads to it: one of them is wrong", id, at.Line)
			case text(n) == none, n == nil && !led && !(water == "cold" && tapImplied(p.Value)):
			default:
				d := r.drawOff(id, water, f, p.Value)
				if d.Stop == unknown && stopped[id] {
					d.Stop = "fitted"
				}
				r.plan.DrawOffs = append(r.plan.DrawOffs, d)
			}
		}
	}
}

// tapImplied: a fixture with a spout or a hose has a tap, also when nobody
// wrote `cold`; forgetting it must not take it out of the rules' sight.
func tapImplied(fixture *document.Node) bool {
	for _, key := range []string{"gap", "hose", "mixer"} {
		if t := text(fixture.Get(key)); t != "" && t != none && t != unknown {
			return true
		}
	}
	return false
}

// tapsMet are the draw-offs that lines, manifolds and buckets name, and those
// whose manifold has a valve at each outlet.
func (r *reader) tapsMet() (met map[string]finding.Position, stopped map[string]bool) {
	met, stopped = map[string]finding.Position{}, map[string]bool{}
	supply := r.doc.Get("supply")
	for _, path := range [][]string{{"supply", "meter", "bucket", "at"}, {"supply", "sources", "*", "bucket", "at"}} {
		each(r.doc.Root, path, func(id string, at finding.Position) { met[id] = at })
	}
	for _, l := range pairs(supply.Get("lines")) {
		for _, id := range texts(l.Value.Get("path")) {
			met[id] = l.KeyAt
		}
	}
	for _, m := range pairs(supply.Get("manifolds")) {
		for _, to := range pairs(m.Value.Get("to")) {
			met[to.Key] = to.KeyAt
			if text(m.Value.Get("stop")) == "true" {
				stopped[to.Key] = true
			}
		}
	}
	return met, stopped
}

func (r *reader) drawOff(id, water string, f plan.Fixture, fixture *document.Node) plan.DrawOff {
	n := fixture.Get(water)
	state := stateOf(n, f.State)
	either := func(key string) *document.Node {
		if own := n.Get(key); own != nil {
			return own
		}
		return fixture.Get(key)
	}
	d := plan.DrawOff{
		ID: id, State: state, Fixture: f.ID, Serves: f.Kind, Room: f.Room, Water: water, MadeOf: word(n.Get("made_of")),
		Level: r.level(n.Get("level"), state), Rim: f.Rim, Mixer: f.Mixer, Reach: word(n.Get("reach")),
		Gap: r.read(either("gap"), quantity.Length, placed, state), Hose: r.length(either("hose"), state), HoseReach: word(n.Get("hose_reach")),
		Device: word(n.Get("device")), Class: text(n.Get("device_class")), Stop: unknown,
		Flow: r.read(n.Get("flow"), quantity.Flow, taped, state), Rating: r.print(n.Get("rating"), quantity.Flow, state),
		Temperature: r.read(n.Get("temperature"), quantity.Temperature, taped, state), Pressure: r.pressure(n.Get("pressure"), state),
	}
	if cold := n.Get("cold_temperature"); water == "cold" && d.Temperature == nil && cold != nil {
		d.Temperature = r.read(cold, quantity.Temperature, taped, state)
	}
	d.Size = r.waterSize(n.Get("size"), nil, d.MadeOf, state)
	if text(either("hose")) == none {
		d.HoseReach = none
	}
	if d.Class == unknown || d.Class == none {
		d.Class = ""
	}
	switch text(n.Get("stop")) {
	case "true":
		d.Stop = "fitted"
	case "false":
		d.Stop = "without"
	}
	return d
}

// mixer is what the two waters meet in. `true` tells that there is one and
// not of what kind.
func mixer(n *document.Node) string {
	switch told := text(n); told {
	case "single_lever", "two_handles", "thermostatic", "separate_taps", none:
		return told
	}
	return unknown
}

// position reads x, y and, where told, z; nil when x or y is not known.
func (r *reader) position(n *document.Node, state plan.State) []plan.Reading {
	return r.coordinates(n, 2, state)
}

// sides reads a width and a depth; nil when one is not known.
func (r *reader) sides(n *document.Node, state plan.State) []plan.Reading {
	all := r.coordinates(n, 2, state)
	if len(all) < 2 {
		return nil
	}
	return all[:2]
}

// coordinates reads a list whose first values must be known.
func (r *reader) coordinates(n *document.Node, least int, state plan.State) []plan.Reading {
	if n == nil || n.Kind != document.List || len(n.Items) < least {
		return nil
	}
	var out []plan.Reading
	for i, item := range n.Items {
		v := r.read(item, quantity.Length, placed, state)
		if i == 2 {
			v = r.level(item, state)
		}
		switch {
		case v != nil && i < 3:
			out = append(out, *v)
		case i < least:
			return nil
		}
	}
	return out
}
